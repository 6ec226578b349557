"""What lies in the rack to be used: ready, ready soon, or waiting, and for what."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, func, select

from ledger.acts.names import last_day
from ledger.acts.resting import in_parts, joined, judged, lots_in, rack_of
from ledger.craft.fitting import is_of
from ledger.craft.seasoning import Verdict
from ledger.views.boards import Board, PlainBoard, plain_boards, set_of
from ledger.views.grading import Grading


@dataclass(frozen=True, slots=True, kw_only=True)
class Stocked:
    """A board, or a set of two halves, in the rack: what it is and if it is ready.

    `grade` is the house's newest one, of halves that differ both.
    """

    code: str
    boards: tuple[str, ...]
    species: str
    meant_for: str
    length_um: int | None
    width_um: int | None
    thickness_um: int | None
    grade: str | None
    place: str | None
    verdict: Verdict

    @property
    def kind(self) -> tuple[str, str, tuple[int, ...], str]:
        """Its species, use, size and grade: what makes it like others.

        Length and width are whole millimetres [um], thickness a tenth of one.
        """
        sizes = ((self.length_um, 3), (self.width_um, 3), (self.thickness_um, 2))
        return (
            self.species,
            self.meant_for,
            tuple(round(um or 0, -places) for um, places in sizes),
            self.grade or "",
        )


def stock(
    session: Session,
    *,
    today: str,
    species: str | None = None,
    meant_for: str | None = None,
    grade: str | None = None,
) -> list[Stocked]:
    """Return what lies in the rack and is in no instrument, by kind and then by code.

    species, meant_for, grade  only wood of these; a genus stands for all of its species

    A few questions are asked, however many boards there are.
    """
    boards = _free(session, meant_for)
    rack = rack_of(session, boards)
    grades = _grades(session, [board.code for board in boards])
    sets: dict[str, list[PlainBoard]] = {}
    woods: dict[str, str] = {}
    for board in boards:
        names = sorted({lot.species for lot in lots_in(rack, board.code)})
        if species is None or any(is_of(name, species) for name in names):
            sets.setdefault(set_of(board.code), []).append(board)
            woods[board.code] = " and ".join(names)
    found = [
        Stocked(
            code=name if len(halves) > 1 else halves[0].code,
            boards=tuple(half.code for half in halves),
            species=woods[halves[0].code],
            meant_for=halves[0].meant_for,
            length_um=halves[0].length_um,
            width_um=halves[0].width_um,
            thickness_um=halves[0].thickness_um,
            grade=_both(grades.get(half.code) for half in halves),
            place=halves[0].place,
            verdict=joined([judged(rack, half, today=today) for half in halves]),
        )
        for name, halves in sets.items()
    ]
    return sorted(
        (each for each in found if grade is None or each.grade == grade),
        key=lambda each: (each.kind, each.code),
    )


def is_due(found: Stocked, *, today: str, within_days: int) -> bool:
    """Tell whether a board that waits can be ready so soon, if mass and air let it."""
    last = last_day(today, within_days)
    return not found.verdict and str(found.verdict.earliest) <= last


def _free(session: Session, meant_for: str | None) -> list[PlainBoard]:
    """Return the boards that are in no instrument and can go into one."""
    where: list[Any] = [
        col(Board.serial).is_(None),
        col(Board.became_idx).is_(None),
        col(Board.struck_idx).is_(None),
        col(Board.returned_idx).is_(None),
        col(Board.rejected_idx).is_(None),
        col(Board.off_idx).is_(None),
    ]
    if meant_for is not None:
        where.append(func.lower(col(Board.meant_for)) == meant_for.lower())
    return plain_boards(session, *where)


def _grades(session: Session, codes: Sequence[str]) -> dict[str, str]:
    """Return the newest grade of each board that has one."""
    found: dict[str, str] = {}
    for part in in_parts(codes):
        query = (
            select(Grading.board, Grading.grade)
            .where(col(Grading.board).in_(part), col(Grading.struck_idx).is_(None))
            .order_by(col(Grading.moment), col(Grading.idx))
        )
        found |= dict(session.exec(query).all())
    return found


def _both(grades: Iterable[str | None]) -> str | None:
    """Return the grade of a set: that of both halves, or each where they differ."""
    told = list(dict.fromkeys(grades))
    if told == [None]:
        return None
    return " and ".join(grade or "not graded" for grade in told)
