"""Whose mass a packing list tells: of each, of a set, of a half, or of them all."""

from dataclasses import dataclass
from fractions import Fraction

from ledger.acts.packing.words import Per
from ledger.errors import RefusedError
from ledger.scales import half_up

HALVES: dict[str, int] = {"set": 2, "half": 1}


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """The mass of one piece or set, or of a set's halves.

    `is_shared` tells that several were weighed together, and this is a part of that.
    """

    masses_mg: tuple[int, ...]
    per: Per | None
    is_shared: bool = False


def settle(
    listed_mg: tuple[int, ...], *, told: str | None, quantity: int, per: Per | None
) -> Settled:
    """Bring listed masses to one piece or one set; `told` is what the header tells.

    Raises RefusedError where it cannot be known whose mass it is.
    """
    if len(listed_mg) == 2:
        return Settled(masses_mg=listed_mg, per=_per_of_two(quantity, per))
    if told is None and quantity > 1:
        raise RefusedError(
            f"may be the mass of each or of all {quantity}; name the unit so: "
            f"--unit 'mass=g each' or --unit 'mass=g total'"
        )
    share = Fraction(1)
    if told == "total":
        share = Fraction(1, quantity)
    elif told in HALVES:
        per = "set" if per is None and told == "set" else per
        if per not in HALVES:
            raise RefusedError(
                f"is the mass of a {told}, and the row does not count sets; say "
                f"--unit quantity=sets or --unit quantity=halves"
            )
        share = Fraction(HALVES[per], HALVES[told])
    mass = half_up(listed_mg[0] * share)
    return Settled(masses_mg=(mass,), per=per, is_shared=share < 1)


def _per_of_two(quantity: int, per: Per | None) -> Per:
    """See that two masses belong to one set, and say what the row counts."""
    if quantity == 1 and per in (None, "set"):
        return "set"
    if quantity == 2 and per == "half":
        return "half"
    counted = f"{quantity} ({per})" if per else f"{quantity}"
    raise RefusedError(
        f"two masses are those of one set's halves, and the row lists {counted}; give "
        f"each set a row"
    )
