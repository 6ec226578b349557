"""Boards bent under a weight: the way to stiffness that makes no sound.

What was laid on and how far it bent is recorded; stiffness is worked out from that
whenever it is asked for, with the same common uncertainties as a tap's.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from sqlmodel import Session

from ledger.acts.boards import one_board
from ledger.acts.shop import Hands, Shop
from ledger.acts.stiffness import (
    GIGA,
    U_LENGTH_UM,
    U_THICKNESS_UM,
    Stiffness,
    metres,
)
from ledger.acts.tapping import LIKELY_GPA
from ledger.errors import RefusedError
from ledger.events import BoardFlexed
from ledger.events.board import Load
from ledger.log.entry import Entry
from ledger.quantities import millimetres
from ledger.scales import GRAVITY
from ledger.views.boards import Board
from ledger.views.readings import Flexing, FlexLoad, flexings_of, loads_of
from ledger.wood.deflection import Load as Weight
from ledger.wood.deflection import flexed
from ledger.wood.uncertainty import Estimate

Way = Literal["along", "across"]
MOST_LOADS = 50
# A dial gauge: common practice, no source.
U_DEFLECTION_UM = 20
# How each figure is called, by the way in which the board spans.
MODULUS: dict[str, str] = {"along": "e_along_gpa", "across": "e_across_gpa"}
STIFFNESS = "stiffness_n_mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Flexed:
    """A board that was bent: its entry, and what it comes to."""

    entry: Entry
    board: str
    way: Way
    stiffness: Stiffness


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """One bending of a board: the day, the loads, and what it comes to."""

    flexing: Flexing
    loads: tuple[FlexLoad, ...]
    stiffness: Stiffness


def flex(
    shop: Shop,
    code: str,
    *,
    way: Way,
    span_um: int,
    loads: Sequence[Load],
    hands: Hands,
    as_read: bool = False,
) -> Flexed:
    """Record how far a board bent between two supports under each mass.

    Raises RefusedError where sizes are lacking or the span is longer than the board,
    where it did not bend more under more, and where it would be stiffer or softer than
    any wood, unless it is taken `as_read`.
    """
    if not 1 <= len(loads) <= MOST_LOADS:
        raise RefusedError(
            f"a board is bent by 1 to {MOST_LOADS} loads, not {len(loads)}: give each "
            f"mass with how far the board bent"
        )
    with shop.turn() as turn:
        board = one_board(turn.session, code)
        width_um, thickness_um = _sizes(board, way, span_um)
        figures = bent(
            way=way,
            span_um=span_um,
            width_um=width_um,
            thickness_um=thickness_um,
            loads=[(load.load_mg, load.deflection_um) for load in loads],
        )
        if not as_read:
            _require_likely(board.code, way, figures)
        event = BoardFlexed(
            board=board.code,
            way=way,
            span_um=span_um,
            width_um=width_um,
            thickness_um=thickness_um,
            loads=tuple(loads),
        )
        return Flexed(
            entry=turn.say(event, hands), board=board.code, way=way, stiffness=figures
        )


def bendings(session: Session, code: str) -> list[Bent]:
    """Return the bendings of a board that count, the newest first, and their figures.

    One that no formula fits any more has no figure, and the reason as a warning.
    """
    return [_bent(session, row) for row in reversed(flexings_of(session, code))]


def bent(
    *,
    way: str,
    span_um: int,
    width_um: int,
    thickness_um: int,
    loads: Sequence[tuple[int, int]],
) -> Stiffness:
    """Return what loads [mg] and deflections [um] come to.

    Raises RefusedError where they come to nothing.
    """
    found = flexed(
        span=metres(span_um, U_LENGTH_UM),
        width=metres(width_um, U_LENGTH_UM),
        thickness=metres(thickness_um, U_THICKNESS_UM),
        loads=[
            Weight(
                force=Estimate(value=load_mg / 1e6 * float(GRAVITY), u=0.0),
                sunk=metres(deflection_um, U_DEFLECTION_UM),
            )
            for load_mg, deflection_um in loads
        ],
    )
    modulus, stiffness = found.youngs_modulus, found.stiffness
    return Stiffness(
        figures={
            MODULUS[way]: Estimate(value=modulus.value / GIGA, u=modulus.u / GIGA),
            STIFFNESS: Estimate(value=stiffness.value / 1e3, u=stiffness.u / 1e3),
        },
        method=found.method,
        warnings=found.warnings,
    )


def _bent(session: Session, row: Flexing) -> Bent:
    loads = tuple(loads_of(session, row.idx))
    try:
        figures = bent(
            way=row.way,
            span_um=row.span_um,
            width_um=row.width_um,
            thickness_um=row.thickness_um,
            loads=[(load.load_mg, load.deflection_um) for load in loads],
        )
    except RefusedError as fault:
        figures = Stiffness(figures={}, method="none fits", warnings=(str(fault),))
    return Bent(flexing=row, loads=loads, stiffness=figures)


def _sizes(board: Board, way: Way, span_um: int) -> tuple[int, int]:
    """Return width and thickness of a board as it spans, which must be longer."""
    sizes = {"along": board.length_um, "across": board.width_um}
    spanned, across = sizes[way], sizes["across" if way == "along" else "along"]
    if spanned is None or across is None or board.thickness_um is None:
        raise RefusedError(
            f"board {board.code} has no length, width and thickness yet: measure it "
            f"first with flitchbook board measure"
        )
    if not 0 < span_um <= spanned:
        raise RefusedError(
            f"board {board.code} is {millimetres(spanned)} {way} the grain and cannot "
            f"span {millimetres(span_um)}: measure between the supports"
        )
    return across, board.thickness_um


def _require_likely(code: str, way: Way, figures: Stiffness) -> None:
    least, most = LIKELY_GPA[MODULUS[way]]
    found = figures.figures[MODULUS[way]].value
    if not least <= found <= most:
        raise RefusedError(
            f"E {way} of board {code} would be {found:.3g} GPa, and no wood has less "
            f"than {least:g} or more than {most:g}: see span, loads and sizes, or take "
            f"it with --as-read"
        )
