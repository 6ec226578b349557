"""Instruments: begun, found again, and their tags printed."""

from contextlib import suppress

from sqlmodel import Session

from ledger.acts.names import checked_words, is_same, meant_words, nearest
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import NotFoundError, RefusedError
from ledger.events import (
    BuildBegun,
    TagPrinted,
)
from ledger.events.build import Run
from ledger.ids import BodyId, NeckId, parse_any
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.serials import Serial, read_serial, serial_for, stamped_number
from ledger.views.builds import Build, newest_body, place_in_run, printed_tags
from ledger.views.models import Model, models, newest_model, parts_of
from ledger.views.orders import misstamps
from ledger.views.reserved import lost_words, reserved


def begin(shop: Shop, *, model: str, run: Run | None, hands: Hands) -> str:
    """Begin an instrument: its serial, body and neck number are taken for ever."""
    with shop.turn() as turn:
        return begin_in(turn, model=model, run=run, hands=hands)


def begin_in(turn: Turn, *, model: str, run: Run | None, hands: Hands) -> str:
    """Begin an instrument in a turn in which more is said of it."""
    if run is not None:
        checked_words("name of a run", run.name)
        _require_place(turn.session, run)
    newest = model_named(turn.session, model)
    shop = turn.shop
    year = int(shop.today()[:4])
    number = next_number(turn, year)
    event = BuildBegun(
        serial=str(serial_for(shop.settings.pattern, year=year, number=number)),
        model=newest.name,
        version=newest.version,
        body=str(BodyId(year=year % 100, number=number)),
        neck=str(NeckId(year=year % 100, number=number)),
        run=run,
    )
    if turn.session.get(Build, event.serial) is not None:
        raise RefusedError(
            f"serial {event.serial} was taken before: the pattern in shop.toml "
            f"needs the year in it"
        )
    turn.say(event, hands)
    return event.serial


def model_named(session: Session, name: str) -> Model:
    """Return the newest version of a model, whose name may be typed in any case."""
    newest = newest_model(session, name)
    if newest is not None:
        return newest
    known = models(session)
    found = next((model for model in known if is_same(model.name, name)), None)
    if found is None:
        near = meant_words(nearest(name, [model.name for model in known]))
        raise NotFoundError(
            f"there is no model {name}: set it down with flitchbook model define{near}"
        )
    return found


def _require_place(session: Session, run: Run) -> None:
    """Refuse a place in a short run that another instrument has."""
    taken = place_in_run(session, run.name, run.number)
    if taken is not None:
        raise RefusedError(
            f"{taken.serial} is {taken.run}, {taken.run_number} of {taken.run_pieces}: "
            f"give this one another place of the run"
        )


def require_build(turn: Turn, serial: str) -> Build:
    """Return an instrument, or say that it was never begun."""
    return find_build(turn.session, serial)


def find_build(session: Session, serial: str) -> Build:
    """Return an instrument, or say that it was never begun."""
    build = session.get(Build, serial)
    if build is None:
        lost = lost_words(session, serial)
        raise NotFoundError(
            lost or f"there is no instrument {serial}: look at the tag again"
        )
    return build


def require_part(session: Session, build: Build, part: str) -> None:
    """Refuse a part that the model of an instrument does not have."""
    parts = parts_of(session, build.model, build.version)
    if part not in parts:
        raise NotFoundError(
            f"{build.model} has no part {part!r}: it has {', '.join(parts)}"
        )


def tag_printed(
    shop: Shop, *, serial: str, note: str, sha256_hex: str, hands: Hands
) -> int:
    """Record that a build tag was drawn, with its checkpoint; return which print."""
    head = parse_checkpoint(parse_note(note))
    with shop.turn() as turn:
        require_build(turn, serial)
        number = len(printed_tags(turn.session, serial)) + 1
        event = TagPrinted(
            serial=serial,
            number=number,
            size=head.size,
            root=head.root.hex(),
            sha256=sha256_hex,
        )
        turn.say(event, hands)
    return number


def next_number(turn: Turn, year: int) -> int:
    """Return the next number of a year, after those given before this log began."""
    newest = newest_body(turn.session, f"B{year % 100:02d}-")
    number = BodyId.parse(newest).number + 1 if newest else 1
    number = max(number, _highest_lost(turn, year) + 1)
    settings = turn.shop.settings
    if settings.first_serial:
        first = read_serial(settings.first_serial, settings.pattern)
        if first.year in (None, year, year % 100):
            number = max(number, first.number)
    stamped = _stamped_numbers(turn, year)
    while number in stamped:
        number += 1
    return number


def _highest_lost(turn: Turn, year: int) -> int:
    """Return the highest number of a year that was issued in lost entries, or 0."""
    pattern, highest = turn.shop.settings.pattern, 0
    for row in reserved(turn.session):
        # One of an earlier pattern is no number of today's.
        with suppress(RefusedError):
            code = parse_any(row.number, pattern)
            if not isinstance(code, Serial | BodyId | NeckId):
                continue
            if code.year in (None, year, year % 100):
                highest = max(highest, code.number)
    return highest


def _stamped_numbers(turn: Turn, year: int) -> set[int]:
    """Return the numbers of a year that stand stamped by mistake, and are void."""
    pattern = turn.shop.settings.pattern
    read = []
    for row in misstamps(turn.session):
        # One of an earlier pattern is no number of today's.
        with suppress(RefusedError):
            read.append(stamped_number(row.stamped, pattern))
    return {one.number for one in read if one.year in (None, year, year % 100)}
