"""How thick a plate is to be worked for a frequency that the shop has stated itself.

It comes from the board's own wood as it was tapped, and tells nothing of what is heard.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.boards import stored_board
from ledger.acts.stiffness import GIGA, U_LENGTH_UM, U_THICKNESS_UM, Rung, rung
from ledger.errors import RefusedError
from ledger.quantities import millimetres
from ledger.wood.thickness import thickness_for
from ledger.wood.uncertainty import Estimate

# What the rule needs of a tap, how it is called, and the mode that tells it.
NEEDED = {
    "e_along_gpa": ("E along", "along"),
    "e_across_gpa": ("E across", "across"),
    "g_gpa": ("G", "twist"),
}
LIMITS = (
    "the rule takes a flat rectangle clamped all round, without braces, and moduli as "
    "read, not corrected for air: it says how thick to work this wood for the number "
    "stated, and nothing of what is heard"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """The thickness of one board for one number, from one tap, and by which rule.

    What has `u` in its name is a standard uncertainty.
    """

    board: str
    tapped_idx: int
    tapped_on: str
    thickness_um: int
    u_thickness_um: int
    method: str
    notes: tuple[str, ...]


def target_thickness(
    session: Session,
    code: str,
    *,
    length_um: int,
    width_um: int,
    frequency_millihertz: int,
) -> Target:
    """Return how thick a plate of a board's wood sounds a stated frequency.

    length_um, width_um   of the body, and of its lower bout
    frequency_millihertz  the shop's own number; there is no usual one

    Raises RefusedError where E along, E across or G of the board is not known.
    """
    board = stored_board(session, code)
    tap = _newest_whole(board.code, rung(session, board.code))
    figures = tap.stiffness.figures
    found = thickness_for(
        frequency=Estimate(value=frequency_millihertz / 1000, u=0.0),
        length=_outline(length_um),
        width=_outline(width_um),
        density=figures["density_kg_m3"],
        **{name.removesuffix("_gpa"): _pascals(figures, name) for name in NEEDED},
        measured_at=Estimate(
            value=tap.tapping.thickness_um / 1e6, u=U_THICKNESS_UM / 1e6
        ),
    )
    um = round(found.thickness.value * 1e6)
    return Target(
        board=board.code,
        tapped_idx=tap.tapping.idx,
        tapped_on=tap.tapping.day,
        thickness_um=um,
        u_thickness_um=round(found.thickness.u * 1e6),
        method=f"{found.method}; moduli by {tap.stiffness.method}",
        notes=(
            LIMITS,
            *found.warnings,
            *_about_today(board.thickness_um, um),
            *tap.stiffness.warnings,
        ),
    )


def _newest_whole(code: str, taps: Sequence[Rung]) -> Rung:
    """Return the newest tap as a plate from which all moduli are known."""
    plates = [tap for tap in taps if tap.tapping.held_as == "plate"]
    for tap in plates:
        if NEEDED.keys() <= tap.stiffness.figures.keys():
            return tap
    if not plates:
        raise RefusedError(
            f"board {code} was never tapped as a plate, so its stiffness is not known: "
            f"tap it first"
        )
    newest = plates[0]
    missing = [
        (name, mode)
        for key, (name, mode) in NEEDED.items()
        if key not in newest.stiffness.figures
    ]
    heard = {reading.mode for reading in newest.readings}
    unheard = [mode for _, mode in missing if mode not in heard]
    names = " and ".join(name for name, _ in missing)
    if not unheard:
        why = newest.stiffness.warnings[0] if newest.stiffness.warnings else "no fit"
        raise RefusedError(
            f"{names} of board {code} cannot be worked out from the tap of entry "
            f"{newest.tapping.idx}: {why}"
        )
    raise RefusedError(
        f"{names} of board {code} is not known, for the tap of entry "
        f"{newest.tapping.idx} has no tone {' and '.join(unheard)}: tap it for that too"
    )


def _outline(um: int) -> Estimate:
    return Estimate(value=um / 1e6, u=U_LENGTH_UM / 1e6)


def _pascals(figures: Mapping[str, Estimate], name: str) -> Estimate:
    found = figures[name]
    return Estimate(value=found.value * GIGA, u=found.u * GIGA)


def _about_today(thickness_um: int | None, target_um: int) -> tuple[str, ...]:
    """Say where a board is too thin already."""
    if thickness_um is None or thickness_um >= target_um:
        return ()
    today, wanted = (millimetres(um, places=2) for um in (thickness_um, target_um))
    return (f"it is {today} thick already, thinner than {wanted}",)
