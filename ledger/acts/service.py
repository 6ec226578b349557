"""Instruments that are done: serviced, a part taken off, sent out, come home.

A photograph is filed beside its entry. Each way out is an entry of its own, and so is
each way home.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from sqlmodel import Session

from ledger.acts import likely
from ledger.acts.asked import usable_batch
from ledger.acts.builds import find_build
from ledger.acts.closing import require_not_void
from ledger.acts.corrections import reasons_of
from ledger.acts.filing import kept_files, pictures_of
from ledger.acts.holds import require_no_hold
from ledger.acts.names import checked_day, checked_past_day, checked_words, kept_reason
from ledger.acts.shop import Hands, Shop
from ledger.benchcodes import MaterialId
from ledger.craft.wares import Errand
from ledger.errors import NotFoundError, RefusedError
from ledger.events import (
    InstrumentReturned,
    InstrumentSent,
    InstrumentServiced,
    PartRemoved,
    codec,
)
from ledger.events.build import Measure
from ledger.log.entry import Entry
from ledger.scales import in_a_row
from ledger.views.boards import boards_in
from ledger.views.certificates import certificates_of, newest_owner, require_standing
from ledger.views.said import entry_said
from ledger.views.service import Trip, services_of, trip_out, trips_of, trips_out

Fate = Literal["kept", "destroyed", "given to the owner"]
FATES: dict[str, Fate] = {
    "kept": "kept",
    "destroyed": "destroyed",
    "owner": "given to the owner",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Away:
    """An instrument that is out, and how many days after the day it was due home.

    `to` is None where whither it went is not kept here any more.
    """

    trip: Trip
    to: str | None
    overdue_days: int | None


def service(
    shop: Shop,
    *,
    serial: str,
    work: str,
    fault: str | None = None,
    on: str | None = None,
    measures: Sequence[Measure] = (),
    materials: Sequence[str] = (),
    photographs: Sequence[Path] = (),
    by_others: bool = False,
    as_read: bool = False,
    hands: Hands,
) -> Entry:
    """Record work that was done on a finished instrument, here or by others.

    Raises RefusedError for one without a certificate: that is a step of its build; and
    for a measure that no instrument has, unless it is taken `as_read`.
    """
    day = on or shop.day()
    batches = [str(MaterialId.parse(code)) for code in materials]
    for what, words in (("work", work), ("fault", fault)):
        checked_words(what, words)
    _require_measures(measures)
    checked_past_day(day, shop.today())
    pictures = pictures_of(photographs)
    with kept_files(shop, pictures) as turn:
        first = _first_certificate_day(turn.session, serial)
        if day < first:
            raise RefusedError(
                f"{serial} was certified on {first}, and this service is of {day}: "
                f"what was done before is a step of its build"
            )
        build = find_build(turn.session, serial)
        likely.require_likely(turn.session, build, measures, as_read=as_read)
        for batch in batches:
            usable_batch(turn.session, batch, day=day, late=day < shop.today())
        require_no_hold(turn.session, materials=batches)
        event = InstrumentServiced(
            serial=serial,
            on=day,
            fault=fault,
            work=work,
            measures=tuple(measures),
            materials=tuple(dict.fromkeys(batches)),
            photographs=tuple(pictures),
            by_others=True if by_others else None,
        )
        return turn.say(event, hands)


def remove_part(
    shop: Shop,
    *,
    serial: str,
    part: str,
    fate: str,
    reason: str,
    photographs: Sequence[Path] = (),
    hands: Hands,
) -> Entry:
    """Record that a part was taken off a finished instrument, and what became of it.

    Other wood may be allotted to that part then, and steps signed again, until the
    next certificate.
    """
    if fate not in FATES:
        raise RefusedError(f"{fate!r} is no fate of a part: say {in_a_row([*FATES])}")
    pictures = pictures_of(photographs)
    with kept_files(shop, pictures) as turn:
        _first_certificate_day(turn.session, serial)
        held = boards_in(turn.session, serial)
        boards = [board.code for board in held if board.part == part]
        if not boards:
            parts = in_a_row(list(dict.fromkeys(str(board.part) for board in held)))
            raise NotFoundError(
                f"{serial} has no {part} on it: of its parts {parts or 'none'} can "
                f"come off"
            )
        event = PartRemoved(
            serial=serial,
            part=part,
            boards=tuple(boards),
            fate=FATES[fate],
            photographs=tuple(pictures),
        )
        with kept_reason(turn, hands.by.id, reason) as commitment:
            return turn.say(event, hands, reason=commitment)


def send(
    shop: Shop,
    *,
    serial: str,
    to: str,
    errand: Errand,
    on: str | None = None,
    until: str | None = None,
    hands: Hands,
) -> Entry:
    """Record that an instrument left the shop; one that is out cannot leave again.

    Whither is kept in the vault, with the particulars of the registered owner, or else
    of whoever says it.
    """
    day = on or shop.day()
    checked_words("place", to)
    checked_past_day(day, shop.today())
    checked_day(until)
    if until is not None and until < day:
        raise RefusedError(f"it left on {day} and is due home on {until}, before that")
    with shop.turn() as turn:
        require_not_void(turn.session, serial)
        _require_begun(turn.session, serial, day)
        if errand != "service":
            _require_finished(turn.session, serial, errand)
        trip = trip_out(turn.session, serial)
        if trip is not None:
            raise RefusedError(
                f"{serial} is out: {trip_words(shop, turn.session, trip)}; enter first "
                f"that it came home, with flitchbook instrument return"
            )
        _require_home_on(shop, turn.session, serial, day)
        if errand != "service":
            require_no_hold(turn.session, serial=serial)
        event = InstrumentSent(serial=serial, on=day, errand=errand, until=until)
        about = newest_owner(turn.session, serial)
        with kept_reason(turn, hands.by.id, to, about=about) as commitment:
            return turn.say(event, hands, reason=commitment)


def come_home(
    shop: Shop,
    *,
    serial: str,
    on: str | None = None,
    condition: str | None = None,
    hands: Hands,
) -> Entry:
    """Record that an instrument came home; one that is at home is refused."""
    day = on or shop.day()
    checked_words("condition", condition)
    checked_past_day(day, shop.today())
    with shop.turn() as turn:
        find_build(turn.session, serial)
        trip = trip_out(turn.session, serial)
        if trip is None:
            raise RefusedError(
                f"{serial} is at home: {_last_trip(shop, turn.session, serial)}"
            )
        if day < trip.sent_on:
            raise RefusedError(
                f"{serial} left on {trip.sent_on} (entry {trip.idx}) and cannot be "
                f"back on {day}: look at the day again"
            )
        event = InstrumentReturned(serial=serial, on=day, condition=condition)
        return turn.say(event, hands)


def services_said(
    shop: Shop, session: Session, serial: str
) -> list[tuple[int, InstrumentServiced]]:
    """Return the service of an instrument as it was said, by entry."""
    said = []
    for index in sorted(row.idx for row in services_of(session, serial)):
        event = codec.parse(entry_said(session, index).event)
        if isinstance(event, InstrumentServiced):
            said.append((index, event))
    return said


def away(shop: Shop, session: Session, today: str) -> list[Away]:
    """Return the instruments that are out, those that were sold left aside."""
    return [
        Away(
            trip=trip,
            to=place_of(shop, session, trip),
            overdue_days=_days_over(trip, today),
        )
        for trip in trips_out(session)
        if trip.errand != "sale"
    ]


def place_of(shop: Shop, session: Session, trip: Trip) -> str | None:
    """Return whither a trip led, or None where that is not kept here any more."""
    if trip.to is not None:
        return trip.to
    return reasons_of(shop, session, [trip.idx]).get(trip.idx)


def trip_words(shop: Shop, session: Session, trip: Trip) -> str:
    """Say whither an instrument went, when, what for, and whether it came home."""
    to = place_of(shop, session, trip) or "a place that is not kept here"
    home = f", home {trip.returned_on}" if trip.returned_on else ""
    due = f", due home {trip.until}" if trip.until and not home else ""
    return (
        f"it left on {trip.sent_on} for {to} ({trip.errand}, entry {trip.idx})"
        f"{due}{home}"
    )


def _days_over(trip: Trip, today: str) -> int | None:
    if trip.until is None:
        return None
    over = (date.fromisoformat(today) - date.fromisoformat(trip.until)).days
    return max(over, 0)


def _last_trip(shop: Shop, session: Session, serial: str) -> str:
    trips = trips_of(session, serial)
    if not trips:
        return "nobody entered that it left; enter that first, as late as it may be"
    return f"{trip_words(shop, session, trips[-1])} (entry {trips[-1].returned_idx})"


def _require_begun(session: Session, serial: str, day: str) -> None:
    """Refuse a day on which an instrument was not even begun."""
    begun = find_build(session, serial).begun_at[:10]
    if day < begun:
        raise RefusedError(
            f"{serial} was begun on {begun} and cannot have left on {day}: look at the "
            f"day again"
        )


def _require_finished(session: Session, serial: str, errand: str) -> None:
    """Refuse to sell an instrument that is still being built.

    One that is strung goes to a show, or to somebody who plays it in, before its
    certificate (common practice, no source).
    """
    if errand != "sale":
        return
    issued = certificates_of(session, serial)
    if not issued:
        raise RefusedError(
            f"{serial} has no certificate yet, so it is still being built and is not "
            f"sold: certify it first, or send it with --for show, loan or service"
        )
    require_standing(issued[-1])


def _require_home_on(shop: Shop, session: Session, serial: str, day: str) -> None:
    """Refuse a way out on a day on which an instrument was out by another entry."""
    for trip in trips_of(session, serial):
        if trip.returned_on is not None and trip.sent_on < day < trip.returned_on:
            raise RefusedError(
                f"on {day} {serial} was out: {trip_words(shop, session, trip)}; look "
                f"at the day again"
            )


def _first_certificate_day(session: Session, serial: str) -> str:
    """Return the day of an instrument's first certificate, or refuse one without."""
    require_not_void(session, serial)
    issued = certificates_of(session, serial)
    if not issued:
        raise RefusedError(
            f"{serial} has no certificate yet, so it is still being built: sign a step "
            f"of it with flitchbook build sign, or let a lead order one done again"
        )
    return issued[0].issued_on


def _require_measures(measures: Sequence[Measure]) -> None:
    names = [measure.what for measure in measures]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise RefusedError(f"{twice!r} is measured twice: give the right value only")
    for measure in measures:
        if measure.mass_mg is not None and measure.mass_mg <= 0:
            raise RefusedError(f"{measure.mass_mg} mg is no mass: weigh it again")
