"""What an act refuses at the bench, in the entry of somebody who asked none.

Each entry is judged by the views as they were before it: wood that is kept for somebody
goes to nobody else, whoever kept it lets it go or a lead does, what was glued weighs
what went into it, and nothing of an instrument is signed, used up or certified before
its turn.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session

from ledger.acts.policies import house_rules
from ledger.acts.reserving import is_kept, names_of
from ledger.audit.findings import Finding
from ledger.audit.roads import Reading, certificate_words, step_words, wood_words
from ledger.craft.balance import holds_together
from ledger.errors import LedgerError
from ledger.events import (
    BoardAllotted,
    BoardConsumed,
    BoardJoined,
    BoardReleased,
    BoardReserved,
    BoardSplit,
    CertificateIssued,
    Event,
    StepSigned,
    StepSignedV1,
)
from ledger.log.authority import LEAD
from ledger.log.entry import Entry
from ledger.log.standing import Standing
from ledger.views.boards import Board


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """How things stood before an entry.

    `session` reads the views, `keys` tells who said each entry so far, and `read`
    gives the record of one.
    """

    session: Session
    standing: Standing
    keys: Mapping[int, str]
    read: Reading

    def subject_of(self, key: str | None) -> str | None:
        """Return whose key it is or was, or None where nobody's."""
        known = self.standing.keys.get(key) if key else None
        return known.subject if known else None


def bench_findings(before: Before, entry: Entry, event: Event) -> Iterator[Finding]:
    """Tell what of an entry no act would have said; never raises for it."""
    try:
        yield from _found(before, entry, event)
    except (SQLAlchemyError, LedgerError) as problem:
        reason = str(problem).splitlines()[0]
        yield Finding(entry.index, "number", f"it cannot be judged: {reason}")


def _found(before: Before, entry: Entry, event: Event) -> Iterator[Finding]:
    match event:
        case BoardAllotted():
            yield from _kept_for_another(before, entry, event.board, event.serial)
        case BoardReserved():
            yield from _kept_for_another(before, entry, event.board, event.reserved_for)
        case BoardReleased():
            yield from _bound_by_another(before, entry, event.board, "released")
        case BoardSplit():
            yield from _sawn(before, entry, event.parents)
        case BoardJoined():
            yield from _sawn(before, entry, event.parents)
            yield from _heavier(before, entry, event)
        case _:
            told = _before_its_turn(before, entry, event)
            yield from (Finding(entry.index, "road", words) for words in told)


def _before_its_turn(before: Before, entry: Entry, event: Event) -> Iterator[str]:
    match event:
        case StepSigned() | StepSignedV1():
            yield from step_words(before.session, entry, event)
        case BoardConsumed():
            yield from wood_words(before.session, event)
        case CertificateIssued():
            yield from certificate_words(before.session, event, before.read)


def _kept_for_another(
    before: Before, entry: Entry, code: str, wanted: str
) -> Iterator[Finding]:
    board = before.session.get(Board, code)
    if board is None or not _is_kept(before, entry, board):
        return
    if board.reserved_for not in names_of(before.session, wanted):
        detail = (
            f"board {code} goes to {wanted}, and is kept for {board.reserved_for} by "
            f"entry {board.reserved_idx} until {board.reserved_until}"
        )
        yield Finding(entry.index, "number", detail)


def _bound_by_another(
    before: Before, entry: Entry, code: str, how: str
) -> Iterator[Finding]:
    """Tell of wood that somebody let go who neither bound it nor leads."""
    board = before.session.get(Board, code)
    if board is None:
        return
    bound = board.reserved_idx if board.serial is None else board.allotted_idx
    mine = before.subject_of(entry.key)
    if bound is None or LEAD in before.standing.roles_of(mine):
        return
    if before.subject_of(before.keys.get(bound)) != mine:
        to = board.serial or board.reserved_for
        detail = (
            f"board {code} is {how}, and was bound to {to} in entry {bound} by "
            f"somebody else, who may let it go, or a lead"
        )
        yield Finding(entry.index, "authority", detail)


def _sawn(before: Before, entry: Entry, codes: tuple[str, ...]) -> Iterator[Finding]:
    for code in codes:
        board = before.session.get(Board, code)
        if board is not None and _is_kept(before, entry, board):
            yield from _bound_by_another(before, entry, code, "used up")


def _heavier(before: Before, entry: Entry, event: BoardJoined) -> Iterator[Finding]:
    """Tell of a joint that weighs more than its boards; less may have its reason."""
    verdict = holds_together(
        parents_mg=sum(event.masses_mg),
        piece_mg=event.made.mass_mg,
        within_ppm=house_rules(before.session).balance_ppm,
        explained=True,
    )
    if not verdict:
        said = verdict.reasons[0].partition(";")[0]
        yield Finding(entry.index, "number", f"{event.made.board}: {said}")


def _is_kept(before: Before, entry: Entry, board: Board) -> bool:
    return is_kept(before.session, board, today=entry.at[:10])
