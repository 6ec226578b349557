"""Stiffness along the grain, brought from the moisture of the test to another.

Dry wood is stiffer: by some 6 % from 12 % of moisture to 8 %. The rules are for the
static modulus along the grain. Stiffness across the grain and in shear moves about
twice as much for each percent, nobody printed a rule for it, and it is left as it was.
"""

from dataclasses import dataclass

from ledger.errors import RefusedError
from ledger.wood.handbook import printed_of
from ledger.wood.uncertainty import Estimate, require_measured

DRIEST = 4.0  # percent
# Where no species is known the straight line holds to here.
LINE_DAMPEST = 22.0
LINE_FROM, LINE_BY = 1.44, 0.02
# Of the correction itself: three printed rules differ by a tenth of it.
U_RULE = 0.1
STANDARD = 12.0
# Oily woods hold less water than the rule supposes; their printed ratio is implausible.
OILY = ("dalbergia", "diospyros")

BY_SPECIES = "Wood Handbook, equation 5-3"
BY_LINE = "ASTM D2915, straight line"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stiffness:
    """A modulus [Pa] at a stated moisture [%], and the rule that brought it there."""

    modulus: Estimate
    moisture: float
    method: str
    warnings: tuple[str, ...]


def stiffness_at(
    *, modulus: Estimate, moisture: Estimate, at: float = STANDARD, species: str = ""
) -> Stiffness:
    """Return the modulus along the grain at another moisture content.

    modulus       [Pa]  along the grain, at the moisture of the test
    moisture, at  [%]   of the test, and the other; from 4 % up to where green begins
    species             scientific; its printed green and dry moduli make the rule,
                        else a straight line for any wood

    Source: Wood Handbook, FPL-GTR-190 (2010), equation (5-3) with tables 5-3a, 5-5a
    and 5-13; ASTM D2915, (1.44 - 0.02 M); constants from memory.
    """
    require_measured(modulus)
    ratio, meeting = _printed(species)
    dampest = meeting if ratio else LINE_DAMPEST
    for content in (moisture.value, at):
        if not DRIEST <= content <= dampest:
            raise RefusedError(
                f"the rule for stiffness holds from {DRIEST:g} to {dampest:g} % of "
                f"moisture, and {content:g} % lies outside: measure again when it is "
                f"drier"
            )
    if ratio:
        factor = ratio ** ((moisture.value - at) / (meeting - STANDARD))
        per_percent = abs(factor * (ratio ** (1 / (meeting - STANDARD)) - 1))
    else:
        factor = (LINE_FROM - LINE_BY * at) / (LINE_FROM - LINE_BY * moisture.value)
        per_percent = factor * LINE_BY / (LINE_FROM - LINE_BY * moisture.value)
    parts = (
        modulus.u / modulus.value,
        per_percent / factor * moisture.u,
        U_RULE * (factor - 1) / factor,
    )
    value = modulus.value * factor
    spread = sum(part**2 for part in parts) ** 0.5
    return Stiffness(
        modulus=Estimate(value=value, u=value * spread),
        moisture=at,
        method=BY_SPECIES if ratio else BY_LINE,
        warnings=tuple(_warnings(species, is_known=bool(ratio))),
    )


def _printed(species: str) -> tuple[float | None, float]:
    """Return dry over green stiffness, and the moisture where green begins."""
    row = None if species.casefold().startswith(OILY) else printed_of(species)
    if row is None or not (row.moe_green and row.moe_12 and row.meeting):
        return None, 0.0
    return row.moe_12 / row.moe_green, row.meeting


def _warnings(species: str, *, is_known: bool) -> list[str]:
    if is_known or not species:
        return []
    return [
        f"no rule of its own is used for {species}: the straight line for any wood "
        f"stands for it"
    ]
