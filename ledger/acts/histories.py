"""The life of one instrument, as far as whoever asks may see it.

The maker sees all that is on record, the owner no other owner's name and no place it
was sent to, and the public only what was made and certified. Every fact bears the day
it happened, the day it was entered, and its entry.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from sqlmodel import Session, col, select

from ledger.acts.builds import find_build
from ledger.acts.corrections import reason_words, reasons_of
from ledger.acts.service import place_of
from ledger.acts.shop import Shop
from ledger.acts.signing import holder_name
from ledger.acts.voiding import misstamps_to
from ledger.log.entry import Entry
from ledger.scales import in_a_row
from ledger.views.allotting import stays_in
from ledger.views.boards import set_of
from ledger.views.builds import Build, SignedStep
from ledger.views.certificates import certificates_of, owners_of
from ledger.views.graduations import graduations_of
from ledger.views.orders import concessions_of
from ledger.views.ownership import reports_of
from ledger.views.people import subjects_of_keys
from ledger.views.readings import voice_of
from ledger.views.said import entry_said
from ledger.views.service import removed_parts, services_of, trips_of
from ledger.views.shipments import shipments_of

Reader = Literal["maker", "owner", "public"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """Something of an instrument: its entry, the days, and what each reader is told.

    A reader who is told nothing of it does not learn that it is there.
    """

    entry: int
    happened: str
    entered: str
    maker: str
    owner: str | None
    public: str | None

    def told(self, reader: Reader) -> str | None:
        """Return what a reader is told, or None."""
        words = {"maker": self.maker, "owner": self.owner, "public": self.public}
        return words[reader]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A fact as one reader is told it."""

    entry: int
    happened: str
    entered: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Life:
    """An instrument of which facts are gathered."""

    shop: Shop
    session: Session
    build: Build

    @property
    def serial(self) -> str:
        return self.build.serial

    @property
    def certified(self) -> int | None:
        """The entry of the first certificate, after which it is in the world."""
        issued = certificates_of(self.session, self.serial)
        return issued[0].idx if issued else None

    def entry(self, index: int) -> Entry:
        return entry_said(self.session, index)

    def name(self, key: str) -> str:
        return holder_name(self.shop, self.session, key)

    def why(self, index: int) -> str:
        """Return why an entry was said, in words that follow it."""
        given = reasons_of(self.shop, self.session, {index})
        return f": {reason_words(given[index])}" if index in given else ""

    def fact(
        self,
        index: int,
        maker: str,
        *,
        owner: str | None = None,
        public: str | None = None,
        on: str | None = None,
    ) -> Fact:
        entry = self.entry(index)
        happened = on or entry.happened_at
        return Fact(
            entry=index,
            happened=happened[:10],
            entered=entry.at[:10],
            maker=maker,
            owner=owner,
            public=public,
        )


def history(shop: Shop, session: Session, serial: str, reader: Reader) -> list[Told]:
    """Return the life of an instrument as a reader may see it, day by day."""
    life = _Life(shop=shop, session=session, build=find_build(session, serial))
    told = (_made, _stamped, _certified, _serviced, _rebuilt, _graduated)
    parts = (*told, _travelled, _owned, _reported)
    facts = [fact for part in parts for fact in part(life)]
    return [
        Told(entry=fact.entry, happened=fact.happened, entered=fact.entered, said=said)
        for fact in sorted(facts, key=lambda fact: (fact.happened, fact.entry))
        if (said := fact.told(reader)) is not None
    ]


def _made(life: _Life) -> Iterator[Fact]:
    """Tell of the beginning, and of the steps up to the first certificate."""
    build = life.build
    run = f", {build.run} {build.run_number} of {build.run_pieces}" if build.run else ""
    begun = f"begun: {build.model}{run}"
    numbers = f", body {build.body}, neck {build.neck}"
    yield life.fact(build.idx, begun + numbers, owner=begun, public=begun)
    steps, certified = _steps(life), life.certified
    first = [s for s in steps if certified is None or s.idx < certified]
    if first:
        whose = subjects_of_keys(life.session, (step.key for step in first))
        people = set(whose.values())
        done = len({s.step for s in first})
        said = (
            f"built: {done} {'step' if done == 1 else 'steps'}, signed by "
            f"{len(people)} {'person' if len(people) == 1 else 'people'}"
        )
        yield life.fact(first[-1].idx, said, owner=said, public="built and signed off")
    for step in steps[len(first) :]:
        said = f"{step.step}: {step.meaning} by {life.name(step.key)}"
        yield life.fact(step.idx, said, owner=said)
    for given in concessions_of(life.session, life.serial):
        said = f"step {given.step}: {given.what}, let pass by a lead"
        yield life.fact(given.idx, said + life.why(given.idx), owner=said)
    if build.voided_idx is not None:
        why = life.why(build.voided_idx)
        void = "void: it will not be, and its number is not given again"
        yield life.fact(build.voided_idx, void + why, owner=void, public=void)


def _stamped(life: _Life) -> Iterator[Fact]:
    for row in misstamps_to(life.session, life.serial):
        said = f"{row.stamped} was stamped by mistake, is void and leads here"
        yield life.fact(row.idx, said + life.why(row.idx), owner=said, public=said)


def _certified(life: _Life) -> Iterator[Fact]:
    before = ""
    for row in certificates_of(life.session, life.serial):
        said = f"certificate {row.number}{before}"
        yield life.fact(row.idx, said, owner=said, public=said, on=row.issued_on)
        before = f", in place of {row.number}"
        if row.withdrawn_idx is not None:
            gone = f"certificate {row.number} withdrawn"
            maker = gone + life.why(row.withdrawn_idx)
            yield life.fact(row.withdrawn_idx, maker, owner=gone, public=gone)


def _serviced(life: _Life) -> Iterator[Fact]:
    for row in services_of(life.session, life.serial):
        who = "by others" if row.by_others else f"by {life.name(row.key)}"
        fault = f" for {row.fault}" if row.fault else ""
        said = f"service{fault}: {row.work}, {who}"
        yield life.fact(row.idx, said, owner=said, public="service", on=row.day)


def _rebuilt(life: _Life) -> Iterator[Fact]:
    """Tell of parts that came off, of the wood that took their place, of its voice."""
    off: dict[tuple[int, str, str], list[str]] = {}
    for row in removed_parts(life.session, life.serial):
        off.setdefault((row.idx, row.part, row.fate), []).append(row.board)
    for (index, part, fate), boards in off.items():
        said = f"{part} taken off ({in_a_row(boards)}), {fate}"
        public = f"{part} taken off"
        yield life.fact(index, said + life.why(index), owner=said, public=public)
    certified = life.certified
    if certified is None:
        return
    on: dict[tuple[str, str], int] = {}
    for stay in stays_in(life.session, life.serial):
        if stay.idx > certified and stay.how != "struck":
            on.setdefault((stay.part, set_of(stay.board)), stay.idx)
    for (part, code), index in on.items():
        yield life.fact(
            index, f"{part}: {code}", owner=f"{part}: {code}", public=f"another {part}"
        )
    for tap in voice_of(life.session, life.serial):
        if tap.idx > certified:
            said = f"{tap.part} tapped as it is {tap.stage}"
            yield life.fact(tap.idx, said, owner=said)


def _graduated(life: _Life) -> Iterator[Fact]:
    """Tell of plates that were gauged after the first certificate."""
    certified = life.certified
    for row in graduations_of(life.session, life.serial):
        if certified is not None and row.idx > certified:
            said = f"{row.part} gauged for its thickness at {row.number} places"
            yield life.fact(row.idx, said, owner=said)


def _travelled(life: _Life) -> Iterator[Fact]:
    """Tell of trips; whither and in which condition is for the maker."""
    for trip in trips_of(life.session, life.serial):
        left = f"left the shop, {trip.errand}"
        to = place_of(life.shop, life.session, trip)
        out = f"left for {to}, {trip.errand}" if to else left
        yield life.fact(trip.idx, out, owner=left, on=trip.sent_on)
        if trip.returned_idx is not None:
            home = f"came home{f': {trip.condition}' if trip.condition else ''}"
            yield life.fact(
                trip.returned_idx, home, owner="came home", on=trip.returned_on
            )
    for shipment in shipments_of(life.session, life.serial):
        said = f"shipment {shipment.number} planned to {shipment.to}"
        yield life.fact(shipment.idx, said, on=shipment.moves_on)


def _owned(life: _Life) -> Iterator[Fact]:
    """Tell that there is an owner, or another; who it is, nobody is told here."""
    said = "an owner was registered"
    for row in owners_of(life.session, life.serial):
        maker = f"{said} with {row.certificate}; the name is sealed"
        yield life.fact(row.idx, maker, owner=said, public=said, on=row.registered_on)
        said = "another owner was entered"


def _reported(life: _Life) -> Iterator[Fact]:
    """Tell of reports to the maker; everybody else reads the status list of the day."""
    for row in reports_of(life.session, life.serial):
        said = f"report {row.number}: somebody says that it was taken"
        yield life.fact(row.idx, said, on=row.said_on)
        if row.withdrawn_idx is not None:
            gone = f"report {row.number} withdrawn{life.why(row.withdrawn_idx)}"
            yield life.fact(row.withdrawn_idx, gone)


def _steps(life: _Life) -> list[SignedStep]:
    """Return every step that was signed and not struck, reworked ones too."""
    query = select(SignedStep).where(
        col(SignedStep.serial) == life.serial, col(SignedStep.struck_idx).is_(None)
    )
    return list(life.session.exec(query.order_by(col(SignedStep.idx))).all())
