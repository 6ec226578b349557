"""Whether wood is all accounted for: before and after the saw, and the glue.

    a back set 869 g = plates 690 g + headplate 54 g + strips 61 g + waste 64 g

Pieces never weigh more than what they were sawn from, and here nothing is forgiven.
What the saw took and what became waste is known less well, and the house's tolerance
is for that; more than the tolerance may be missing only where somebody says why.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from ledger.craft.seasoning import Verdict
from ledger.errors import RefusedError
from ledger.quantities import grams, millimetres, percent

# What a cut makes smaller: a ripcut the width, a resaw the thickness.
Way = Literal["rip", "resaw", "crosscut"]
MILLION = 1_000_000
# A figure with its point astray, or written down with a nought too many.
SLIP = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Saw:
    """A saw: how wide its kerf is, how many cuts it made, and which way."""

    kerf_um: int
    cuts: int
    way: Way = "rip"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """A board before the saw; what was never measured is None."""

    code: str
    mass_mg: int
    length_um: int | None
    width_um: int | None
    thickness_um: int | None


def balances(
    *,
    parent_mg: int,
    pieces_mg: Sequence[tuple[str, int]],
    dust_mg: int,
    waste_mg: int,
    within_ppm: int,
    explained: bool,
) -> Verdict:
    """Tell whether a board's mass is found again in its pieces, and if not, why not.

    pieces_mg   what each piece is for and its mass
    within_ppm  the tolerance, in parts of the parent's mass
    explained   whether somebody says why mass is missing; nothing explains too much

    Source: conservation of mass; the tolerance is the shop's policy (common practice,
    no source).
    """
    figures = [*pieces_mg, ("kerf", dust_mg), ("waste", waste_mg)]
    pieces = sum(mass for _, mass in pieces_mg)
    found = pieces + dust_mg + waste_mg
    allowed = _share(parent_mg, within_ppm)
    if pieces > parent_mg:
        fault = (
            f"the pieces weigh {grams(pieces)} and the board {grams(parent_mg)}: "
            f"children weigh more than the parent by {grams(pieces - parent_mg)}"
        )
    elif found > parent_mg + allowed:
        fault = (
            f"pieces, kerf and waste come to {grams(found)} and the board weighs "
            f"{grams(parent_mg)}: {grams(found - parent_mg)} too much, where "
            f"{_tolerance(allowed, within_ppm)} may be"
        )
    elif found < parent_mg - allowed and not explained:
        fault = (
            f"pieces, kerf and waste come to {grams(found)} and the board weighs "
            f"{grams(parent_mg)}: {grams(parent_mg - found)} are missing, where "
            f"{_tolerance(allowed, within_ppm)} may be; name the waste, or give a "
            f"reason"
        )
    else:
        return Verdict()
    return Verdict(reasons=(f"{fault}; {_look_at(figures, parent_mg, allowed)}",))


def holds_together(
    *, parents_mg: int, piece_mg: int, within_ppm: int, explained: bool
) -> Verdict:
    """Tell whether what was glued weighs what went into it, and if not, why not.

    Glue adds a little, planing the joint takes a little: both lie within the tolerance.
    Less may be left only where somebody says why; nothing explains more.

    Source: conservation of mass; the tolerance is the shop's policy (common practice,
    no source).
    """
    allowed = _share(parents_mg, within_ppm)
    off = piece_mg - parents_mg
    if abs(off) <= allowed or (off < 0 and explained):
        return Verdict()
    more = "more" if off > 0 else "less"
    next_step = "weigh them again" if off > 0 else "weigh them again, or give a reason"
    return Verdict(
        reasons=(
            f"the piece weighs {grams(piece_mg)} and the boards it is glued of "
            f"{grams(parents_mg)}: {grams(abs(off))} {more}, where "
            f"{_tolerance(allowed, within_ppm)} may be; {next_step}",
        )
    )


def sawdust_mg(saw: Saw, boards: Sequence[Sizes]) -> int:
    """Return the mass that a saw turned to dust, each cut going through every board.

    A cut through an evenly dense board takes kerf over width of its mass, where it
    divides the width. Raises RefusedError where that size was never measured, and where
    the cuts are wider than the board.

    Source: geometry of a straight cut.
    """
    if saw.kerf_um <= 0 or saw.cuts <= 0:
        raise RefusedError(
            f"a saw has a kerf and makes at least one cut, not {saw.cuts} of "
            f"{millimetres(saw.kerf_um)}"
        )
    return sum(_dust_of(saw, board) for board in boards)


def _dust_of(saw: Saw, board: Sizes) -> int:
    name, size = {
        "rip": ("width", board.width_um),
        "resaw": ("thickness", board.thickness_um),
        "crosscut": ("length", board.length_um),
    }[saw.way]
    if size is None:
        raise RefusedError(
            f"the {name} of {board.code} was never measured: measure it, or weigh the "
            f"dust and give its mass"
        )
    cut = saw.kerf_um * saw.cuts
    if cut >= size:
        raise RefusedError(
            f"{saw.cuts} cuts of {millimetres(saw.kerf_um)} are {millimetres(cut)}, "
            f"and the {name} of {board.code} is {millimetres(size)}: look at the kerf"
        )
    return (board.mass_mg * cut + size // 2) // size


def _share(mass: int, ppm: int) -> int:
    return mass * ppm // MILLION


def _tolerance(allowed: int, within_ppm: int) -> str:
    return f"{grams(allowed)} ({percent(within_ppm)})"


def _look_at(figures: Sequence[tuple[str, int]], parent: int, allowed: int) -> str:
    """Point at the heaviest figure that balances when its point is moved by one."""
    for name, mass, other in _slips(figures):
        found = sum(m for _, m in figures) - mass + other
        if abs(found - parent) <= allowed:
            return f"look at {name} {grams(mass)}: {grams(other)}?"
    return "weigh them again, and the board too if it lay long"


def _slips(figures: Sequence[tuple[str, int]]) -> Iterator[tuple[str, int, int]]:
    for name, mass in sorted(figures, key=lambda figure: -figure[1]):
        if mass:
            yield name, mass, mass // SLIP
            yield name, mass, mass * SLIP
