"""The rack as the rules of matching look at it: sizes, density, taps, grades, rest.

Whatever is asked is asked for all boards at once, so that two thousand boards cost as
many questions to the database as two. Taps are worked out only for those boards that
would do by everything else.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from operator import attrgetter
from typing import TypeVar

from sqlmodel import Session, col, func, select

from ledger.acts import newest_taps
from ledger.acts.boards import boards_meant
from ledger.acts.grading import RADIATION_RATIO, findings_of
from ledger.acts.measuring import density_of, is_worked
from ledger.acts.newest_taps import newest_bare
from ledger.acts.resting import Rack as Rest
from ledger.acts.resting import judged, lots_in
from ledger.acts.resting import rack_of as rest_of
from ledger.craft.likeness import Candidate
from ledger.craft.pairs import Left
from ledger.craft.rings import mean_ring_width_um
from ledger.errors import RefusedError
from ledger.events import BoardGraded
from ledger.ids import BoardId
from ledger.views.boards import AnyBoard, Board, PlainBoard, plain_boards
from ledger.views.grading import Grading, found_in
from ledger.views.measures import Sizing, Weighing
from ledger.views.wood import UNKNOWN

T = TypeVar("T")

AND = " and "
# So many boards are named in one question.
AT_ONCE = 500

Gradings = dict[str, list[Grading]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """Boards that are there to be matched, those that are not and why.

    `others` is how many more lie on the rack for other parts, and were not looked at.
    """

    candidates: tuple[Candidate, ...]
    left: tuple[Left, ...] = ()
    others: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """Candidates with what their newest taps come to, and by which methods."""

    candidates: tuple[Candidate, ...]
    methods: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was seen of a board's grain, and the entries that say so."""

    ring_width_um: int | None = None
    skew_millidegree: int | None = None
    figure: str | None = None
    lab_milli: tuple[int, int, int] | None = None
    entries: tuple[int, ...] = ()


def rack_of(session: Session, texts: Sequence[str], *, part: str, today: str) -> Rack:
    """Return the boards, sets and lots that were named, or the rack's for a part.

    Raises RefusedError where there is nothing to match.
    """
    if texts:
        named = {b.code: b for text in texts for b in boards_meant(session, text)}
        boards: Sequence[AnyBoard] = list(named.values())
        others = 0
    else:
        everything = _on_the_rack(session)
        boards = [b for b in everything if b.meant_for.casefold() == part.casefold()]
        others = len(everything) - len(boards)
    if not boards:
        raise RefusedError(
            f"no board on the rack is meant for {part}, and {others} are for other "
            f"parts: name boards, sets or lots"
        )
    rest = rest_of(session, boards)
    woods = species_in(rest, boards)
    gone = {board.code: _why_gone(board, woods[board.code]) for board in boards}
    there = [board for board in boards if gone[board.code] is None]
    return Rack(
        candidates=candidates(session, there, rest, part=part, today=today),
        left=tuple(
            Left(board=BoardId.parse(code), reasons=(why,))
            for code, why in gone.items()
            if why is not None
        ),
        others=others,
    )


def candidates(
    session: Session,
    boards: Sequence[AnyBoard],
    rest: Rest,
    *,
    part: str,
    today: str,
) -> tuple[Candidate, ...]:
    """Return what is known of boards, but for their taps.

    rest  what is known of their rest, and of that of more boards perhaps

    A grade counts that was given for the part. A board that was worked since it was
    weighed has no density until it is weighed again.
    """
    woods = species_in(rest, boards)
    graded = _gradings(session, [board.code for board in boards])
    worked = _worked(session, boards)
    found = []
    for board in boards:
        rows = graded.get(board.code, [])
        seen = _seen(rows)
        grades = [row.grade for row in rows if _is_for(row, part)]
        found.append(
            Candidate(
                board=BoardId.parse(board.code),
                species=woods[board.code],
                length_um=board.length_um,
                width_um=board.width_um,
                thickness_um=board.thickness_um,
                grade=grades[-1] if grades else None,
                waits=judged(rest, board, today=today).reasons,
                density_gram_per_m3=None if board.code in worked else density_of(board),
                ring_width_um=seen.ring_width_um,
                figure=seen.figure,
                lab_milli=seen.lab_milli,
            )
        )
    return tuple(found)


def heard(session: Session, boards: Iterable[Candidate]) -> Heard:
    """Return boards with what their newest taps come to, if they were tapped."""
    silent = list(boards)
    codes = [str(board.board) for board in silent]
    known = newest_bare(session, codes, figure=RADIATION_RATIO)
    methods = {each.method for each in known.values()}
    found = [
        _with_figures(board, known[code]) if code in known else board
        for code, board in zip(codes, silent, strict=True)
    ]
    return Heard(candidates=tuple(found), methods=tuple(sorted(methods)))


def species_in(rest: Rest, boards: Sequence[AnyBoard]) -> dict[str, str]:
    """Return the species of each board; of one glued from several woods, all."""
    return {
        board.code: AND.join(sorted({lot.species for lot in lots_in(rest, board.code)}))
        for board in boards
    }


def seen_on(session: Session, codes: Sequence[str]) -> dict[str, Seen]:
    """Return what was seen of the grain of each board."""
    graded = _gradings(session, codes)
    return {code: _seen(graded.get(code, [])) for code in codes}


def _on_the_rack(session: Session) -> list[PlainBoard]:
    """Return every board that is whole, here, in no instrument and not rejected."""
    found = plain_boards(
        session,
        col(Board.became_idx).is_(None),
        col(Board.struck_idx).is_(None),
        col(Board.returned_idx).is_(None),
        col(Board.rejected_idx).is_(None),
        col(Board.serial).is_(None),
    )
    return sorted(found, key=attrgetter("idx", "code"))


def _why_gone(board: AnyBoard, species: str) -> str | None:
    """Say why a board is not there to be matched, if it is not."""
    if board.became_idx is not None:
        return f"made into pieces by entry {board.became_idx}"
    if board.struck_idx is not None:
        return f"its number was struck by entry {board.struck_idx}"
    if board.returned_idx is not None:
        return f"went back to the sawyer by entry {board.returned_idx}"
    if board.rejected_idx is not None:
        return f"rejected by entry {board.rejected_idx}"
    if board.serial is not None:
        return f"the {board.part} of {board.serial} already"
    if UNKNOWN in species.split(AND):
        return "nobody knows of which species it is, so that it is fit for jigs only"
    return None


def _gradings(session: Session, codes: Sequence[str]) -> Gradings:
    """Return the gradings of boards that count, the oldest first."""
    found: Gradings = defaultdict(list)
    for part in _in_parts(codes):
        query = select(Grading).where(
            col(Grading.board).in_(part), col(Grading.struck_idx).is_(None)
        )
        by_time = (col(Grading.moment), col(Grading.idx))
        for row in session.exec(query.order_by(*by_time)).all():
            found[row.board].append(row)
    return found


def _worked(session: Session, boards: Sequence[AnyBoard]) -> set[str]:
    """Return the boards off which wood was taken since they were last on the scale.

    Only those are looked at closely that were measured after they were weighed.
    """
    codes = [board.code for board in boards]
    sized, weighed = _newest(session, Sizing, codes), _newest(session, Weighing, codes)
    return {
        board.code
        for board in boards
        if board.code in sized
        and board.code in weighed
        and _is_later(sized[board.code], weighed[board.code])
        and is_worked(session, board, {})
    }


def _is_later(one: tuple[str, int], other: tuple[str, int]) -> bool:
    """Tell whether anything of the one may have come after all of the other."""
    return one[0] > other[0] or one[1] > other[1]


def _newest(
    session: Session, view: type[Sizing | Weighing], codes: Sequence[str]
) -> dict[str, tuple[str, int]]:
    """Return the last moment and the last entry of what counts of each board."""
    found = {}
    for part in _in_parts(codes):
        query = (
            select(view.board, func.max(view.moment), func.max(view.idx))
            .where(col(view.board).in_(part), col(view.struck_idx).is_(None))
            .group_by(col(view.board))
        )
        for code, moment, idx in session.exec(query).all():
            found[code] = (moment, idx)
    return found


def _is_for(row: Grading, part: str) -> bool:
    return row.part.casefold() == part.casefold()


def _seen(rows: Sequence[Grading]) -> Seen:
    """Return what was seen last of each thing, by whomever."""
    newest_first = [(row.idx, found_in(row)) for row in reversed(rows)]
    ring, by_ring = _last(newest_first, _ring_width)
    skew, by_skew = _last(newest_first, lambda said: said.skew_millidegree)
    figure, by_figure = _last(newest_first, lambda said: said.figure)
    lab, by_lab = _last(newest_first, lambda said: said.lab_milli)
    entries = {*by_ring, *by_skew, *by_figure, *by_lab}
    return Seen(
        ring_width_um=ring,
        skew_millidegree=skew,
        figure=figure,
        lab_milli=lab,
        entries=tuple(sorted(entries)),
    )


def _last(
    newest_first: Sequence[tuple[int, BoardGraded]],
    told: Callable[[BoardGraded], T | None],
) -> tuple[T | None, tuple[int, ...]]:
    """Return what the newest entry that speaks of a thing says, and which that is."""
    for idx, said in newest_first:
        value = told(said)
        if value is not None:
            return value, (idx,)
    return None, ()


def _ring_width(said: BoardGraded) -> int | None:
    return mean_ring_width_um(findings_of(said).rings)


def _with_figures(board: Candidate, rung: newest_taps.Heard) -> Candidate:
    """Return a board with figures in its small units; a bar has but one stiffness."""
    return replace(
        board,
        along_pa=None if rung.along is None else round(rung.along),
        across_pa=None if rung.across is None else round(rung.across),
        radiation_ratio_milli=round(rung.radiation_ratio * 1_000),
    )


def _in_parts(asked: Sequence[T]) -> Iterator[Sequence[T]]:
    for start in range(0, len(asked), AT_ONCE):
        yield asked[start : start + AT_ONCE]
