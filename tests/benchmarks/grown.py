"""A custom shop grown to a size, for what is measured on a big record.

    grown = shop_of(folder, 100_000)

Wood comes in by lots, is numbered, weighed, tapped, graded, put away, sawn and
allotted; instruments go down a family's whole road, many at a time. All of it is
signed entries in a real store, folded into every view. What the bench says thousands of
times is appended many at once by whoever may say it, without the acts' questions;
papers, batches, gauges, certificates, owners, shipments and holds are said through the
acts. The instruments of the last round are still in work, each farther than the next.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import count, cycle, islice
from pathlib import Path
from typing import Any

from sqlalchemy.event import listen
from sqlmodel import Session

from ledger.acts import gauges, heads, holds, materials, models, shipments, training
from ledger.acts.freight import Goods
from ledger.acts.materials import BatchDraft
from ledger.acts.shop import Hands
from ledger.acts.suppliers import find_supplier
from ledger.craft.families import family_text
from ledger.craft.modeltext import read_model
from ledger.craft.wares import Measures, Use
from ledger.events import (
    BoardMoved,
    BoardWeighed,
    GaugeCalibrated,
    InstrumentReturned,
    InstrumentSent,
    InstrumentServiced,
    ModelDefined,
    TagPrinted,
)
from ledger.events.codec import Beside, plain
from ledger.log import attachments
from ledger.log.entry import Entry, at_text, seal
from ledger.views.boards import Board
from ledger.views.fold import fold
from ledger.views.measures import Placing, Weighing
from tests import skerrymoor
from tests.benchmarks.grown_sayings import (
    LEAD,
    PAPERS,
    PIECES,
    RECEIVES,
    WORKERS,
    Bench,
    Job,
    Lot,
    Rack,
    Saying,
    begun,
    kept_for,
    step_of,
    wood_of,
)
from tests.benchmarks.grown_wares import WARES, Ware
from tests.skerrymoor import Loft

MODEL = "Tidewarden"
YEAR, SPAN = 2026, timedelta(days=330)
BATCH = 500
AN_INSTRUMENT = 285  # entries, its wood's and its papers' among them
A_ROUND = 60
OWNER = "Amélie Rousset"
SAWYERS = 12
WAITING = 2
MEASURED: tuple[Measures, ...] = ("length", "mass", "moisture", "humidity")
SHELF: tuple[tuple[str, Use], ...] = (
    ("glue", "glue"),
    ("finish", "finish"),
    ("fret wire", "frets"),
    ("tuners", "hardware"),
    ("strings", "strings"),
)


@dataclass(slots=True, kw_only=True)
class Grown:
    """The shop, how long an entry takes, and what was made in it."""

    loft: Loft
    start: datetime
    every: timedelta
    model: ModelDefined
    gauges: tuple[str, ...]
    pictures: Iterator[str]
    rack: Rack = field(default_factory=Rack)
    lots: int = 0
    builds: int = 0
    papers: list[str] = field(default_factory=list)
    batches: list[str] = field(default_factory=list)
    certified: list[str] = field(default_factory=list)
    working: list[str] = field(default_factory=list)
    waiting: list[str] = field(default_factory=list)

    @property
    def size(self) -> int:
        """The number of entries."""
        return self.loft.shop.store.head().size

    def at(self, index: int) -> datetime:
        """Return when an entry is said."""
        return self.start + self.every * index

    def hands(self, badge: str) -> Hands:
        """Return whose key signs an act, and set the clock for it."""
        self.loft.clock.moment = self.at(self.size)
        return self.loft.hands(badge)

    def day(self, later: int = 0) -> str:
        """Return the day that it is, or one so many days later."""
        return f"{self.at(self.size) + timedelta(days=later):%Y-%m-%d}"

    def say(self, sayings: Iterable[Saying]) -> None:
        """Append what is said, many entries to a transaction."""
        waiting = iter(sayings)
        origin, keys = self.loft.shop.standing().origin, self.loft.keys
        while chunk := list(islice(waiting, BATCH)):
            with self.loft.shop.store.appending() as appending:
                keep_rows(appending.session)
                for event, badge in chunk:
                    newest, size = appending.newest, appending.head.size
                    entry = Entry(
                        at=at_text(self.at(size)),
                        event=plain(event, Beside()),
                        index=size,
                        key=keys[badge].id,
                        origin=origin,
                        previous=newest.leaf.hex() if newest else "",
                    )
                    appending.append(seal(entry, keys[badge]), remember)


def keep_rows(session: Session) -> None:
    """Keep what a session read until it ends, so that it is not asked for again."""
    kept: list[object] = []
    for name in ("loaded_as_persistent", "pending_to_persistent"):
        listen(session, name, lambda _, row: kept.append(row))


def remember(session: Session, entry: Entry) -> None:
    """Fold an entry; a mass and a place, the newest of their board, in a shorter way.

    The rows are the same, as an audit of the shop shows.
    """
    code = str(entry.event.get("board"))
    told: dict[str, Any] = {"idx": entry.index, "board": code, "moment": entry.at}
    if entry.kind == BoardWeighed.kind:
        mass_mg = entry.event["mass_mg"]
        session.add(Weighing(mass_mg=mass_mg, **told))
        session.get_one(Board, code).mass_mg = mass_mg
    elif entry.kind == BoardMoved.kind:
        place = entry.event["place"]
        session.add(Placing(place=place, **told))
        session.get_one(Board, code).place = place
    else:
        fold(session, entry)


def shop_of(folder: Path, entries: int) -> Grown:
    """Return an open shop with that many entries."""
    grown = _staffed(folder, entries)
    jobs = (entries - grown.size) // AN_INSTRUMENT
    rounds = max(2, round(jobs / A_ROUND))
    for number in range(rounds):
        _round(grown, jobs // rounds, is_last=number == rounds - 1)
    grown.say(kept_for(grown.rack.boards[:10], grown.day(30)))
    _doubt(grown)
    for _ in range(WAITING):
        grown.hands(LEAD)
        grown.waiting.append(grown.loft.begin(MODEL))
    codes = cycle(grown.rack.boards)
    lacking = max(0, entries - grown.size)
    grown.say(
        (BoardWeighed(board=code, mass_mg=200_000 + n % 50), RECEIVES)
        for n, code in enumerate(islice(codes, lacking))
    )
    grown.loft.clock.moment = grown.at(grown.size)
    return grown


def _staffed(folder: Path, entries: int) -> Grown:
    """Open the shop, with fourteen people, sawyers, a model and gauges."""
    loft = skerrymoor.opened(folder)
    works = ("machine", "bind", "necks", "frets", "finish", "set-up")
    for n, work in enumerate(works, 20):
        loft.enrol(f"Builder {n}", str(n), qualifications=(work,))
    for n, work in enumerate(("necks", "frets", "finish"), 26):
        loft.enrol(f"Apprentice {n}", str(n), qualifications=("apprentice",))
        learner, trainer = loft.person(str(n)), loft.person(str(n - 4))
        hands = loft.hands()
        training.begin(loft.shop, learner, work, trainer=trainer, hands=hands)
    loft.adopt()
    for n in range(1, SAWYERS + 1):
        loft.supplier(f"Sawyer {n:02d}", ("by-name", "by-region")[n % 2])
    told = models.planned(read_model(family_text("flat-top")))
    models.define_model(loft.shop, name=MODEL, hands=loft.hands(), **told)
    with loft.shop.store.reading() as session:
        model = models.find_model(session, MODEL)
    measured = tuple(_gauges(loft))
    loft.clock.step, every = timedelta(), SPAN / entries
    return Grown(
        loft=loft,
        start=loft.clock.moment - every * loft.shop.store.head().size,
        every=every,
        model=model,
        gauges=measured,
        pictures=_pictures(loft),
    )


def _gauges(loft: Loft) -> Iterator[str]:
    """Put twenty gauges on the list, each compared twice."""
    for n in range(20):
        measures = MEASURED[n % len(MEASURED)]
        gauge = gauges.add_gauge(
            loft.shop,
            what=f"gauge of {measures}",
            measures=measures,
            mark=f"no. {n}",
            hands=loft.hands(RECEIVES),
        )
        for day in ("2025-06-01", "2025-12-01"):
            until = f"2026-12-{n + 1:02d}"
            told = GaugeCalibrated(gauge=gauge, on=day, until=until, outcome="good")
            gauges.calibrate(loft.shop, told, loft.hands(RECEIVES))
        yield gauge


def _pictures(loft: Loft) -> Iterator[str]:
    """Yield the digests of pictures without end, each on file."""
    for n in count():
        yield attachments.put(loft.shop.attachments, b"picture %d" % n)


def _round(grown: Grown, builds: int, *, is_last: bool) -> None:
    """Let wood come in for so many builds, and build them; the last stay in work."""
    for ware in WARES:
        grown.say(wood_of(_lot(grown, ware, builds), grown.rack))
    bench = Bench(
        batches=dict(_shelf(grown)), gauges=grown.gauges, pictures=grown.pictures
    )
    jobs = [
        Job(
            number=grown.builds + n + 1,
            year=YEAR,
            model=grown.model,
            due=grown.day(20 + n),
            share=(n + 1) / (builds + 1) if is_last else 1.0,
        )
        for n in range(builds)
    ]
    grown.builds += builds
    grown.say(said for job in jobs for said in begun(job, grown.rack))
    _tags(grown, jobs, 1)
    for step in grown.model.steps:
        doing = [job for job in jobs if step in job.steps]
        grown.say(said for job in doing for said in step_of(job, step, bench))
    if is_last:
        grown.working += [job.serial for job in jobs]
    else:
        _tags(grown, jobs, 2)
        _sold(grown, [job.serial for job in jobs])


def _lot(grown: Grown, ware: Ware, builds: int) -> Lot:
    """Return the next lot: a fifth more than the builds want, with two papers."""
    grown.lots += 1
    wanted = builds * 12 // 10 + 1
    papers = tuple(_paper(grown, each) for each in ("packing list", "export permit"))
    name = f"Sawyer {grown.lots % SAWYERS + 1:02d}"
    return Lot(
        code=f"L{YEAR % 100}-{grown.lots:03d}",
        ware=ware,
        supplier=find_supplier(grown.loft.shop, name).subject,
        documents=papers,
        received_on=grown.day(),
        boards=wanted // PIECES + 1 if ware.is_sawn else wanted,
    )


def _paper(grown: Grown, paper: str) -> str:
    """File a paper."""
    grown.loft.clock.moment = grown.at(grown.size)
    named = grown.loft.document(
        f"{paper} of lot {grown.lots}",
        paper=paper,
        number=f"{grown.lots}/26",
        issued_on="2025-12-01",
        expires_on=f"2027-0{grown.lots % 9 + 1}-01" if "permit" in paper else None,
    )
    grown.papers.append(named)
    return named


def _shelf(grown: Grown) -> Iterator[tuple[str, str]]:
    """Yield a batch of each thing that steps ask for."""
    for what, use in SHELF:
        draft = BatchDraft(
            what=what,
            use=use,
            received_on=grown.day(),
            expires_on=grown.day(300),
            lot_as_written=f"{what} {grown.lots}",
        )
        batch = materials.receive_batch(grown.loft.shop, draft, grown.hands(RECEIVES))
        grown.batches.append(batch)
        yield what, batch


def _tags(grown: Grown, jobs: Sequence[Job], number: int) -> None:
    """Print the tags of builds, all with one checkpoint."""
    shop = grown.loft.shop
    heads.sign_head(shop)
    head = shop.store.head()
    grown.say(
        (
            TagPrinted(
                serial=job.serial,
                number=number,
                size=head.size,
                root=head.root.hex(),
                sha256="2b" * 32,
            ),
            RECEIVES,
        )
        for job in jobs
    )


def _sold(grown: Grown, serials: Sequence[str]) -> None:
    """Issue certificates; half are sold, a quarter serviced, some sent abroad."""
    loft = grown.loft
    for n, serial in enumerate(serials):
        grown.hands(LEAD)
        grown.certified.append(loft.issue(serial))
        if n % 2 == 0:
            loft.sell(serial, f"{OWNER} {grown.builds + n}")
    grown.say(said for serial in serials[::4] for said in _after(grown, serial))
    journey = shipments.Journey(
        legs=("GB", "FR"), moves_on=grown.day(5), purpose="sale"
    )
    for serial in serials[::12]:
        shipments.plan(
            loft.shop,
            goods=Goods(serials=(serial,)),
            journey=journey,
            hands=grown.hands(PAPERS),
        )


def _after(grown: Grown, serial: str) -> Iterator[Saying]:
    """Yield an instrument's life behind its certificate."""
    day = grown.day()
    yield (
        InstrumentServiced(serial=serial, on=day, work="new saddle"),
        WORKERS["set-up"],
    )
    sent = InstrumentSent(serial=serial, on=day, errand="show")
    yield sent, PAPERS
    yield InstrumentReturned(serial=serial, on=day), PAPERS


def _doubt(grown: Grown) -> None:
    """Place holds: on a paper, a batch and a gauge, and one that is lifted again."""
    shop = grown.loft.shop
    for text in (grown.papers[1], grown.batches[0], grown.gauges[0], "L26-001"):
        doubted = holds.find_doubted(shop, text)
        reason = "a letter came"
        hold = holds.place(shop, doubted, reason=reason, hands=grown.hands(LEAD))
    holds.lift(shop, hold, reason="cleared", hands=grown.hands(LEAD))
