"""The newest tap of each of many boards that tells a figure, in two questions."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass

from sqlmodel import Session, col

from ledger.acts.stiffness import (
    GIGA,
    Stiffness,
    bare_stiffness,
    frequencies,
    piece_of,
    stiffness_of,
)
from ledger.views.boards import Board
from ledger.views.readings import PlainReading, PlainTap, Tapping, TapReading
from ledger.views.rows import columns_of, plain_rows
from ledger.wood.ritz import METHOD

ALONG, RATIO = "e_along_gpa", "radiation_ratio_m4_kg_s"
# Told how many of how many boards are worked out.
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A tap of a board, and what it comes to: the figure asked for at least."""

    tapping: PlainTap
    stiffness: Stiffness


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What a tap comes to, without its uncertainties, and by which method.

    along, across    [Pa]         as far as known; of a bar there is but one
    radiation_ratio  [m4/(kg s)]
    """

    along: float | None
    across: float | None
    radiation_ratio: float
    method: str


def newest_known(
    session: Session,
    codes: Collection[str],
    *,
    figure: str = ALONG,
    progress: Progress | None = None,
) -> dict[str, Known]:
    """Return for each board its newest tap from which a figure is known.

    figure  E along the grain of a plate, if nothing else is said

    A board that was never tapped so is left out.
    """
    taps, readings = _read(session, codes)
    found: dict[str, Known] = {}
    for done, (code, tried) in enumerate(taps.items(), 1):
        known = _newest(tried, readings, figure)
        if known is not None:
            found[code] = known
        if progress is not None:
            progress(done, len(taps))
    return found


def newest_bare(
    session: Session,
    codes: Collection[str],
    *,
    figure: str = ALONG,
    progress: Progress | None = None,
) -> dict[str, Heard]:
    """Return of each board what its newest tap comes to from which a figure is known.

    figure  as above, and one with which the radiation ratio is known too

    Whatever can be is worked out side by side, for nobody is shown how sure it is.
    """
    taps, readings = _read(session, codes)
    newest = [tried[0] for tried in taps.values()]
    heard = [(piece_of(tap), frequencies(readings[tap.idx])) for tap in newest]
    found: dict[str, Heard] = {}
    each_bare = zip(taps.items(), bare_stiffness(heard), strict=True)
    for done, ((code, tried), bare) in enumerate(each_bare, 1):
        if bare is not None:
            found[code] = Heard(
                along=bare.e_along,
                across=bare.e_across,
                radiation_ratio=bare.radiation_ratio,
                method=METHOD,
            )
        elif (known := _newest(tried, readings, figure)) is not None:
            found[code] = _without_doubts(known.stiffness)
        if progress is not None:
            progress(done, len(taps))
    return found


def _without_doubts(told: Stiffness) -> Heard:
    figures = told.figures
    along = figures.get(ALONG) or figures.get("e_gpa")
    across = figures.get("e_across_gpa")
    return Heard(
        along=along.value * GIGA if along else None,
        across=across.value * GIGA if across else None,
        radiation_ratio=figures[RATIO].value,
        method=told.method,
    )


def _read(
    session: Session, codes: Collection[str]
) -> tuple[dict[str, list[PlainTap]], dict[int, list[PlainReading]]]:
    """Return the taps of boards, the newest first, and what was read of each tap."""
    wanted = set(codes)
    # A lot's code is a board's before its number; to read each code costs far more.
    lots = {code.rpartition("-")[0] for code in wanted}
    taps: dict[str, list[PlainTap]] = defaultdict(list)
    for tapping in _taps(session, lots):
        if tapping.board in wanted:
            taps[tapping.board].append(tapping)
    return taps, _readings(session, lots)


def _newest(
    newest_first: Iterable[PlainTap],
    readings: dict[int, list[PlainReading]],
    figure: str,
) -> Known | None:
    for tapping in newest_first:
        figures = stiffness_of(tapping, readings[tapping.idx])
        if figure in figures.figures:
            return Known(tapping=tapping, stiffness=figures)
    return None


def _taps(session: Session, lots: Collection[str]) -> list[PlainTap]:
    """Return the taps of lots that count, the newest first."""
    query = (
        columns_of(Tapping, PlainTap._fields)
        .join(Board, col(Board.code) == col(Tapping.board))
        .where(col(Board.lot).in_(lots), col(Tapping.struck_idx).is_(None))
    )
    newest = (col(Tapping.moment).desc(), col(Tapping.idx).desc())
    return [PlainTap._make(row) for row in plain_rows(session, query.order_by(*newest))]


def _readings(session: Session, lots: Collection[str]) -> dict[int, list[PlainReading]]:
    query = (
        columns_of(TapReading, PlainReading._fields)
        .join(Tapping, col(Tapping.idx) == col(TapReading.idx))
        .join(Board, col(Board.code) == col(Tapping.board))
        .where(col(Board.lot).in_(lots))
    )
    by_place = query.order_by(col(TapReading.idx), col(TapReading.position))
    found: dict[int, list[PlainReading]] = defaultdict(list)
    for row in plain_rows(session, by_place):
        found[row[0]].append(PlainReading._make(row))
    return found
