"""What an instrument is to be: ordered with it, changed by a signed note, compared."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from sqlmodel import Session

from ledger.acts.builds import begin_in, find_build, model_named
from ledger.acts.closing import require_open
from ledger.acts.corrections import reasons_of
from ledger.acts.names import (
    LONGEST_DAYS,
    checked_country,
    checked_day,
    checked_words,
    is_same,
    kept_reason,
    last_day,
)
from ledger.acts.promising import require_promises
from ledger.acts.shop import Hands, Shop, Turn
from ledger.codes import shown
from ledger.craft.measured import read_measure
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BuildChanged, BuildOrdered, ModelDefined
from ledger.events.build import Promise, Run
from ledger.log.entry import Entry
from ledger.views.allotting import standing_measures
from ledger.views.boards import boards_in
from ledger.views.builds import Build, BuildMeasure
from ledger.views.family import lots_of
from ledger.views.models import Model, newest_model, parts_of, plan_of
from ledger.views.orders import (
    BuildOrder,
    ChangeNote,
    Concession,
    PromiseLine,
    changes_of,
    concessions_of,
    order_of,
    promises_of,
    serials_of,
)
from ledger.views.wood import Lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What is promised of an instrument: when, whither, and how each thing is to be.

    `promised` are pairs of what it is and how it is to be.
    """

    due: str | None = None
    destination: str | None = None
    promised: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PartWood:
    """The wood that is in a part today: a board, its species, how it was traded."""

    part: str
    board: str
    species: tuple[str, ...]
    trade_names: tuple[str, ...]
    idx: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Promised:
    """What was promised of an instrument beside what was read of it.

    `lines` are all that was promised, what was changed too; `measures` the newest of
    each thing, `woods` what its parts are made of. `reasons` are of the changes and
    the concessions, by entry; of one that was erased there is None.
    """

    build: Build
    order: BuildOrder | None
    lines: tuple[PromiseLine, ...]
    changes: tuple[ChangeNote, ...]
    concessions: tuple[Concession, ...]
    measures: tuple[BuildMeasure, ...]
    woods: tuple[PartWood, ...]
    reasons: dict[int, str | None]

    def measured(self, what: str) -> BuildMeasure | None:
        """Return what was read of a thing that was promised by the same name."""
        return next((m for m in self.measures if is_same(m.what, what)), None)

    def made_of(self, what: str) -> list[PartWood]:
        """Return the wood of a part that something was promised of by its name."""
        return [wood for wood in self.woods if is_same(wood.part, what)]

    def newest(self) -> list[PromiseLine]:
        """Return what is promised of each thing today, in the order first promised."""
        return list({line.what: line for line in self.lines}.values())

    def before(self, line: PromiseLine) -> list[PromiseLine]:
        """Return what was promised of the same thing before."""
        return [o for o in self.lines if o.what == line.what and o.idx < line.idx]


def begin(
    shop: Shop,
    *,
    model: str,
    run: Run | None,
    order: str | None,
    terms: Terms,
    hands: Hands,
) -> str:
    """Begin an instrument, and set down in the same turn what it is to be.

    Where nothing is said of that, it is begun and no more.
    """
    terms = _checked_terms(shop, terms)
    _require_number(order)
    if terms.due is not None and terms.due < shop.day():
        raise RefusedError(
            f"{terms.due} is past, and today is {shop.day()}: give the day it is due, "
            f"or begin it without one, for no serial is given twice; build order says "
            f"later of what is late already"
        )
    with shop.turn() as turn:
        newest = model_named(turn.session, model)
        plan = plan_of(turn.session, newest.name, newest.version)
        require_promises(plan, terms.promised)
        serial = begin_in(turn, model=model, run=run, hands=hands)
        if order is not None or terms != Terms():
            turn.say(_ordered(serial, order, terms), hands)
    return serial


def set_down(
    shop: Shop, *, serial: str, order: str | None, terms: Terms, hands: Hands
) -> Entry:
    """Set down what an instrument is to be that was begun without an order.

    Raises RefusedError where that was set down before.
    """
    terms = _checked_terms(shop, terms)
    _require_number(order)
    with shop.turn() as turn:
        build = find_build(turn.session, serial)
        require_promises(plan_for(turn.session, build), terms.promised)
        require_open(turn.session, serial)
        known = order_of(turn.session, serial)
        if known is not None:
            raise RefusedError(
                f"what {serial} is to be was set down in entry {known.idx}: a lead "
                f"changes it with flitchbook build change"
            )
        if order is None and terms == Terms():
            raise RefusedError(
                f"that says nothing of {serial}: give its order, its day, its country "
                f"or what was promised"
            )
        return turn.say(_ordered(serial, order, terms), hands)


def change(
    shop: Shop,
    *,
    serial: str,
    terms: Terms,
    version: int | None = None,
    reason: str,
    hands: Hands,
) -> Entry:
    """Change what was promised of an instrument, or the version that it follows.

    What is not said stays as it was promised. Raises RefusedError where nothing would
    change, and where a board is allotted to a part that the version does not have.
    """
    terms = _checked_terms(shop, terms)
    with shop.turn() as turn:
        build = find_build(turn.session, serial)
        require_promises(plan_for(turn.session, build), terms.promised)
        require_open(turn.session, serial)
        _require_news(turn.session, build, terms, version)
        if version is not None:
            _require_version(turn, build, version)
        event = BuildChanged(
            serial=serial,
            version=version,
            due=terms.due,
            destination=terms.destination,
            promised=_promises(terms),
        )
        with kept_reason(turn, hands.by.id, reason) as commitment:
            return turn.say(event, hands, reason=commitment)


def promised(shop: Shop, session: Session, serial: str) -> Promised:
    """Return what was promised of an instrument beside what was read of it."""
    build = find_build(session, serial)
    changes, concessions = changes_of(session, serial), concessions_of(session, serial)
    explained = {*(row.idx for row in changes), *(row.idx for row in concessions)}
    return Promised(
        build=build,
        order=order_of(session, serial),
        lines=tuple(promises_of(session, serial)),
        changes=tuple(changes),
        concessions=tuple(concessions),
        measures=tuple(standing_measures(session, build)),
        woods=tuple(_woods(session, serial)),
        reasons=reasons_of(shop, session, explained),
    )


def plan_for(session: Session, build: Build) -> ModelDefined:
    """Return the version of its model that an instrument follows today."""
    return plan_of(session, build.model, build.version)


def others_of(session: Session, serial: str, order: str) -> list[str]:
    """Return the other instruments of an order, which may be of several."""
    return [other for other in serials_of(session, order) if other != serial]


def _woods(session: Session, serial: str) -> Iterator[PartWood]:
    for board in boards_in(session, serial):
        lots = [session.get_one(Lot, code) for code in lots_of(session, board.code)]
        yield PartWood(
            part=str(board.part),
            board=board.code,
            species=tuple(dict.fromkeys(lot.species for lot in lots)),
            trade_names=tuple(
                dict.fromkeys(lot.trade_name for lot in lots if lot.trade_name)
            ),
            idx=int(board.allotted_idx or 0),
        )


def off_by(line: PromiseLine, read: BuildMeasure | None) -> int | None:
    """Return how much more was read than promised, or None where nobody can tell.

    Temperatures are told apart in kelvin, whatever scale they were promised on.
    """
    try:
        unit, value = read_measure(line.promised)
    except RefusedError:
        return None
    return read.value - value if read is not None and read.unit == unit else None


def _require_number(order: str | None) -> None:
    """Refuse an order that is a name: whoever ordered stands nowhere in the log."""
    words = checked_words("order", order)
    if words is not None and not any(letter.isdigit() for letter in words):
        raise RefusedError(
            f"the order {shown(words)} is no number: give the number that it has in "
            f"your books, such as A-17, for no name in the log is ever erased"
        )


def _ordered(serial: str, order: str | None, terms: Terms) -> BuildOrdered:
    return BuildOrdered(
        serial=serial,
        order=order,
        due=terms.due,
        destination=terms.destination,
        promised=_promises(terms),
    )


def _promises(terms: Terms) -> tuple[Promise, ...]:
    return tuple(Promise(what=what, promised=how) for what, how in terms.promised)


def _checked_terms(shop: Shop, terms: Terms) -> Terms:
    """Return terms to be recorded; refuse a day, country or promise that is none."""
    checked_day(terms.due)
    last = last_day(shop.today(), LONGEST_DAYS)
    if terms.due is not None and terms.due > last:
        raise RefusedError(
            f"{terms.due} is after {last}, and nobody builds for so long: see that the "
            f"year is right"
        )
    destination = checked_country(terms.destination)
    names: list[str] = []
    for what, how in terms.promised:
        checked_words("name of what is promised", what)
        checked_words("promise", how)
        if any(is_same(what, name) for name in names):
            raise RefusedError(f"{what!r} is promised twice: give one of the two only")
        names.append(what)
    return replace(terms, destination=destination)


def _require_news(
    session: Session, build: Build, terms: Terms, version: int | None
) -> None:
    """Refuse a note that says nothing, or what is so already."""
    if version is None and terms == Terms():
        raise RefusedError(
            f"that changes nothing of {build.serial}: say what is to be otherwise"
        )
    order = order_of(session, build.serial)
    so_far = {line.what: line.promised for line in promises_of(session, build.serial)}
    same: Sequence[tuple[str, str | int | None, str | int | None]] = (
        ("version", version, build.version),
        ("due day", terms.due, order.due if order else None),
        ("destination", terms.destination, order.destination if order else None),
        *((what, how, so_far.get(what)) for what, how in terms.promised),
    )
    for what, new, old in same:
        if new is not None and new == old:
            raise RefusedError(
                f"the {what} of {build.serial} is {old} already: leave it away"
            )


def _require_version(turn: Turn, build: Build, version: int) -> None:
    """See that a version is there, and has every part that has wood already."""
    session = turn.session
    if session.get(Model, (build.model, version)) is None:
        newest = newest_model(session, build.model)
        last = newest.version if newest else 0
        raise NotFoundError(
            f"{build.model} has no version {version}: the newest one is {last}"
        )
    parts = parts_of(session, build.model, version)
    for board in boards_in(session, build.serial):
        if board.part not in parts:
            raise RefusedError(
                f"board {board.code} is the {board.part} of {build.serial}, and "
                f"version {version} of {build.model} has no such part: release the "
                f"board first, or keep version {build.version}"
            )
