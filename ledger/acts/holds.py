"""Holds: what is in doubt, and all that rests on it, blocked until a lead clears it."""

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.benchnumbers import next_hold
from ledger.acts.described import PIECE
from ledger.acts.names import checked_past_day, kept_reason
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.signing import find_person, person_name
from ledger.acts.suppliers import SUPPLIER_NAME, find_supplier
from ledger.benchcodes import GaugeId, MaterialId
from ledger.errors import NotFoundError, RefusedError
from ledger.events import HoldLifted, HoldPlaced
from ledger.events.hold import On
from ledger.ids import BoardId, DocumentId, LotId, parse_any
from ledger.log.entry import Entry
from ledger.views.boards import boards_named
from ledger.views.builds import Build
from ledger.views.doubt import doubts_in, doubts_of, instruments, reached, source_of
from ledger.views.holds import THINGS, Hold, open_holds
from ledger.views.people import Person
from ledger.views.wood import Document

NOUNS: dict[type, On] = {
    DocumentId: "document",
    LotId: "lot",
    BoardId: "board",
    MaterialId: "batch",
    GaugeId: "gauge",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class InDoubt:
    """What somebody doubts: what it is, and its code or its subject."""

    on: On
    code: str


class HeldError(RefusedError):
    """What is in doubt goes nowhere until the doubt is cleared."""

    def __init__(self, what: str, hold: Hold, doubted: str) -> None:
        since = f"since {hold.since[:10]}, " if hold.since else ""
        super().__init__(
            f"{what} is in doubt by hold {hold.hold} on {doubted}, {since}placed "
            f"{hold.at[:10]} in entry {hold.idx}: nothing was recorded; look at it "
            f"with flitchbook hold show {hold.hold}, or take something else"
        )
        self.hold = hold.hold


def require_no_hold(
    session: Session,
    *,
    serial: str | None = None,
    boards: Sequence[str] = (),
    materials: Sequence[str] = (),
    gauges: Sequence[str] = (),
) -> None:
    """Refuse what an open hold covers: an instrument, boards at any depth, batches.

    Raises HeldError, which names the hold, what is in doubt and since when.
    """
    for hold, code in doubts_in(session, serial=serial, boards=boards):
        what = code if code == serial else f"board {code}"
        raise HeldError(what, hold, doubted_words(session, hold))
    for hold, code in doubts_of(session, batches=materials, gauges=gauges):
        what = f"batch {code}" if code in materials else f"gauge {code}"
        raise HeldError(what, hold, doubted_words(session, hold))


def doubted_words(session: Session, hold: Hold) -> str:
    """Say what a hold is on, without a name that only the vault knows."""
    match hold.on:
        case "document":
            paper = session.get_one(Document, hold.code)
            number = f" {paper.number_as_written}" if paper.number_as_written else ""
            return f"document {hold.code}, {paper.paper}{number}"
        case "person":
            person = session.get(Person, hold.code)
            return f"what badge {person.badge} signed" if person else "a person's work"
        case "supplier":
            return "all wood of one sawyer"
        case _:
            return f"{hold.on} {hold.code}"


def doubted_name(shop: Shop, session: Session, hold: Hold) -> str:
    """Say what a hold is on, by name where the vault still holds it."""
    if hold.on == "supplier":
        opening = shop.vault.get(hold.code, SUPPLIER_NAME)
        return f"all wood of {opening.value}" if opening else "all wood of one sawyer"
    if hold.on == "person":
        person = session.get(Person, hold.code)
        return f"what {person_name(shop, person)} signed" if person else "a person"
    return doubted_words(session, hold)


def find_doubted(shop: Shop, text: str) -> InDoubt:
    """Return what a code, a badge or a name means; a name may be given in part."""
    try:
        code = parse_any(text, shop.settings.pattern)
    except RefusedError:
        return _somebody(shop, text)
    on = NOUNS.get(type(code))
    if on is None:
        raise RefusedError(
            f"{code} is a {code.form.noun}, and a hold is placed on what it rests on: "
            f"name a document, a lot, a board, a batch, a gauge, a person or a sawyer"
        )
    with shop.store.reading() as session:
        _require_known(session, on, str(code))
    return InDoubt(on=on, code=str(code))


def place(
    shop: Shop,
    doubted: InDoubt,
    *,
    reason: str,
    hands: Hands,
    since: str | None = None,
) -> str:
    """Place a hold, and say why; return its number.

    `since` is a day: of a gauge or a person only what was measured or signed from then
    on is in doubt; of anything else it is told, and all of it is in doubt.
    """
    if since is not None:
        checked_past_day(since, shop.today())
    with shop.turn() as turn:
        _require_known(turn.session, doubted.on, doubted.code)
        number = next_hold(turn)
        event = HoldPlaced(
            hold=number,
            on=doubted.on,
            code=doubted.code,
            since=f"{since}T00:00:00Z" if since else None,
        )
        with kept_reason(turn, hands.by.id, reason) as commitment:
            turn.say(event, hands, reason=commitment)
    return number


def lift(
    shop: Shop, hold: str, *, only: str | None = None, reason: str, hands: Hands
) -> Entry:
    """Lift a hold, or clear one lot, board, batch or instrument of it, and say why.

    What another hold covers as well stays on hold by that.
    """
    with shop.turn() as turn:
        found = open_hold(turn.session, hold)
        code = _cleared(turn, found, only) if only is not None else None
        event = HoldLifted(hold=hold, code=code)
        with kept_reason(turn, hands.by.id, reason) as commitment:
            return turn.say(event, hands, reason=commitment)


def find_hold(session: Session, number: str) -> Hold:
    """Return a hold, or say that there is none of this number."""
    found = session.get(Hold, number)
    if found is None:
        raise NotFoundError(
            f"there is no hold {number}: look at flitchbook hold list for the others"
        )
    return found


def open_hold(session: Session, number: str) -> Hold:
    """Return a hold that stands, or say by which entry it was lifted."""
    found = find_hold(session, number)
    if found.lifted_idx is not None:
        raise RefusedError(
            f"hold {number} was lifted by entry {found.lifted_idx} already: place "
            f"another one if there is a new doubt"
        )
    return found


def _somebody(shop: Shop, text: str) -> InDoubt:
    """Return the person or the sawyer of a name, and refuse one that fits both."""
    fitting: list[InDoubt] = []
    with suppress(NotFoundError):
        fitting.append(InDoubt(on="person", code=find_person(shop, text).subject))
    with suppress(NotFoundError):
        fitting.append(InDoubt(on="supplier", code=find_supplier(shop, text).subject))
    if len(fitting) > 1:
        raise RefusedError(
            f"{text!r} fits somebody of the shop and a sawyer: give the badge, or the "
            f"sawyer's whole name"
        )
    if not fitting:
        raise NotFoundError(
            f"{text!r} is no code, nobody's name here and no sawyer's: write such as "
            f"D26-0001, L26-031, L26-031-07, M26-001, G26-001, a badge or a name"
        )
    return fitting[0]


def _require_known(session: Session, on: On, code: str) -> None:
    if on == "board":
        is_known = bool(boards_named(session, code))
    else:
        is_known = session.get(THINGS[on], code) is not None
    if not is_known:
        raise NotFoundError(f"there is no {on} {code}: it was never recorded")


def _cleared(turn: Turn, hold: Hold, only: str) -> str:
    """Return the code of what is cleared, which the hold has to cover."""
    code = str(parse_any(only, turn.shop.settings.pattern))
    source = source_of(turn.session, hold)
    boards = reached(turn.session, source)
    touched = instruments(turn.session, source, boards.values())
    named = {board.code for board in boards_named(turn.session, code)}
    is_covered = (
        code in source.lots
        or code in source.batches
        or code in source.gauges
        or code in touched
        or bool(named & boards.keys())
    )
    if not is_covered:
        if code in source.cleared:
            raise RefusedError(f"{code} was cleared of hold {hold.hold} already")
        is_build = turn.session.get(Build, code) is not None
        what = "instrument" if is_build else "lot, board or batch"
        raise RefusedError(
            f"hold {hold.hold} does not cover {what} {code}: look at flitchbook hold "
            f"show {hold.hold} for what it covers"
        )
    if code == hold.code:
        raise RefusedError(
            f"hold {hold.hold} is on {code} itself: lift it whole, without --only"
        )
    return code


def holds_on(
    session: Session,
    *,
    boards: Sequence[str],
    lots: Iterable[str],
    papers: Iterable[str],
) -> tuple[Hold, ...]:
    """Return the open holds on one wood: by its boards, its batch or its papers.

    What was cleared of a doubt is out of it, and its paper counts again. What was not
    made here has papers alone.
    """
    ours = [lot for lot in lots if not lot.startswith(PIECE)]
    if boards:
        found = [hold for hold, _ in doubts_in(session, boards=boards)]
    elif ours:
        found = [hold for hold, _ in doubts_of(session, batches=ours)]
    else:
        named = set(papers)
        found = [
            hold
            for hold in open_holds(session)
            if hold.on == "document" and hold.code in named
        ]
    return tuple({hold.hold: hold for hold in found}.values())


def by_paper(holds: Iterable[Hold]) -> dict[str, str]:
    """Return of each paper in doubt the number of its hold."""
    return {hold.code: hold.hold for hold in holds if hold.on == "document"}
