"""The newest tap of each of many boards that tells a figure, in two questions."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass

from sqlmodel import Session, col, select

from ledger.acts.stiffness import Stiffness, stiffness_of
from ledger.views.boards import Board
from ledger.views.readings import Tapping, TapReading

ALONG = "e_along_gpa"
# Told how many of how many boards are worked out.
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A tap of a board, and what it comes to: the figure asked for at least."""

    tapping: Tapping
    stiffness: Stiffness


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
    wanted = set(codes)
    # A lot's code is a board's before its number; to read each code costs far more.
    lots = {code.rpartition("-")[0] for code in wanted}
    readings = _readings(session, lots)
    taps: dict[str, list[Tapping]] = defaultdict(list)
    for tapping in _taps(session, lots):
        if tapping.board in wanted:
            taps[tapping.board].append(tapping)
    found: dict[str, Known] = {}
    for done, (code, tried) in enumerate(taps.items(), 1):
        known = _newest(tried, readings, figure)
        if known is not None:
            found[code] = known
        if progress is not None:
            progress(done, len(taps))
    return found


def _newest(
    newest_first: Iterable[Tapping],
    readings: dict[int, list[TapReading]],
    figure: str,
) -> Known | None:
    for tapping in newest_first:
        figures = stiffness_of(tapping, readings[tapping.idx])
        if figure in figures.figures:
            return Known(tapping=tapping, stiffness=figures)
    return None


def _taps(session: Session, lots: Collection[str]) -> list[Tapping]:
    """Return the taps of lots that count, the newest first."""
    query = (
        select(Tapping)
        .join(Board, col(Board.code) == col(Tapping.board))
        .where(col(Board.lot).in_(lots), col(Tapping.struck_idx).is_(None))
    )
    newest = (col(Tapping.moment).desc(), col(Tapping.idx).desc())
    return list(session.exec(query.order_by(*newest)).all())


def _readings(session: Session, lots: Collection[str]) -> dict[int, list[TapReading]]:
    query = (
        select(TapReading)
        .join(Tapping, col(Tapping.idx) == col(TapReading.idx))
        .join(Board, col(Board.code) == col(Tapping.board))
        .where(col(Board.lot).in_(lots))
    )
    by_place = query.order_by(col(TapReading.idx), col(TapReading.position))
    found: dict[int, list[TapReading]] = defaultdict(list)
    for row in session.exec(by_place).all():
        found[row.idx].append(row)
    return found
