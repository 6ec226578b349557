"""What is said in a shop that grows: of wood that comes in, and of what is built.

    for event, badge in wood_of(stock, number=1):
        …

Each saying is an event and the badge of whoever may say it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ledger.events import (
    BoardAllotted,
    BoardConsumed,
    BoardGraded,
    BoardMoved,
    BoardNumbered,
    BoardRejected,
    BoardReserved,
    BoardSplit,
    BoardWeighed,
    BuildBegun,
    BuildChanged,
    BuildOrdered,
    BuildTapped,
    ConcessionGiven,
    Event,
    LabelPrinted,
    LotReceived,
    ReworkOrdered,
    RoomMeasured,
    StepSigned,
)
from ledger.events.board import Piece
from ledger.events.build import Measure, PartWeighed, Promise, Stage
from ledger.events.grading import CountedRings
from ledger.events.route import Characteristic, ModelDefined, PlannedStep
from ledger.ids import BodyId, NeckId
from ledger.serials import DEFAULT_PATTERN, serial_for
from tests import rung
from tests.benchmarks.grown_wares import WARES, Ware

Saying = tuple[Event, str]
LEAD, RECEIVES, INSPECTS, PAPERS = "01", "02", "10", "12"
# Who does which work at the bench.
WORKERS = {
    "plates": "03",
    "brace": "03",
    "machine": "20",
    "bind": "21",
    "necks": "22",
    "frets": "23",
    "finish": "24",
    "set-up": "25",
}
WEIGHINGS = 8
PIECES = 6
STAGES: dict[str, Stage] = {
    "voice the top": "braced",
    "close the box": "closed",
    "string and set up": "strung",
}
OF_A_UNIT = {
    "length_um": 2_000,
    "mass_mg": 200_000,
    "frequency_millihertz": 180_000,
    "humidity_ppm": 440_000,
    "temperature_millikelvin": 293_150,
    "angle_millidegree": 1_000,
    "pitch_ppm": 0,
    "time_seconds": 3_600,
}


@dataclass(slots=True, kw_only=True)
class Lot:
    """A lot that comes in: how it is called, of what, from whom, on which papers."""

    code: str
    ware: Ware
    supplier: str
    documents: tuple[str, ...]
    received_on: str
    boards: int

    def codes(self) -> list[str]:
        """Return what is labelled of it."""
        halves = (".A", ".B") if self.ware.is_set else ("",)
        return [
            f"{self.code}-{number:02d}{half}"
            for number in range(1, self.boards + 1)
            for half in halves
        ]


@dataclass(slots=True, kw_only=True)
class Rack:
    """What lies ready for each part, a set or a piece each; and what all of it is."""

    ready: dict[str, list[tuple[str, ...]]] = field(default_factory=dict)
    boards: list[str] = field(default_factory=list)


def wood_of(lot: Lot, rack: Rack) -> Iterator[Saying]:
    """Yield what is said of a lot until its boards lie ready: a tenth is rejected."""
    ware, codes = lot.ware, lot.codes()
    length, width, thickness = ware.sizes_um
    yield (
        LotReceived(
            lot=lot.code,
            species=ware.species,
            form="sawn",
            boards=lot.boards,
            received_on=lot.received_on,
            documents=lot.documents,
            supplier=lot.supplier,
            harvested_in=ware.country,
        ),
        RECEIVES,
    )
    for n, code in enumerate(codes):
        numbered = BoardNumbered(
            board=code,
            lot=lot.code,
            meant_for=ware.part,
            length_um=length,
            width_um=width,
            thickness_um=thickness,
            mass_mg=ware.mass_mg + n * 37 % 900,
            supplier_grade=("AAA", "AA", "A")[n % 3],
        )
        yield numbered, RECEIVES
    labels = LabelPrinted(codes=tuple(codes), paper="A4", sha256="1a" * 32)
    yield labels, RECEIVES
    for n, code in enumerate(codes):
        yield BoardMoved(board=code, place=f"crib, shelf {n % 12 + 1}"), RECEIVES
    for week in range(WEIGHINGS):
        for n, code in enumerate(codes):
            mass_mg = ware.mass_mg + n * 37 % 900 - 100 * min(week, 5)
            yield BoardWeighed(board=code, mass_mg=mass_mg), RECEIVES
        yield air(week), RECEIVES
    if ware.part == "top":
        yield from _judged(ware, codes)
    bad = codes[9::10] if not ware.is_set else [c for c in codes if c[-4:-2] == "10"]
    for code in bad:
        yield BoardRejected(board=code, faults=("shake",)), RECEIVES
    yield from _put_away(ware, [code for code in codes if code not in bad], rack)


def air(week: int) -> RoomMeasured:
    """Return what the crib's air is in a week."""
    return RoomMeasured(
        room="crib",
        temperature_millikelvin=293_150 + week * 100,
        humidity_ppm=440_000 + week * 1_000,
    )


def _judged(ware: Ware, codes: Sequence[str]) -> Iterator[Saying]:
    """Yield taps and grades of each half."""
    for n, code in enumerate(codes):
        tones = rung.scaled(1 + n * 13 % 100 / 1_000)
        at = int.from_bytes(code.encode())
        yield rung.said(code, at=at, tones=tones, mass_mg=ware.mass_mg), RECEIVES
        graded = BoardGraded(
            board=code,
            part=ware.part,
            species=ware.species,
            policy="first",
            version=1,
            grade=("first", "second")[n % 4 // 3],
            why=(),
            rings=(CountedRings(number=30 + n % 5, span_um=50_000),),
            figure="none",
        )
        yield graded, INSPECTS


def _put_away(ware: Ware, codes: Sequence[str], rack: Rack) -> Iterator[Saying]:
    """Yield how billets are sawn, and put all that is left into the rack."""
    ready = rack.ready.setdefault(ware.part, [])
    if ware.is_set:
        ready += [(c, f"{c[:-1]}B") for c in codes if c.endswith(".A")]
        rack.boards += codes
        return
    if not ware.is_sawn:
        ready += [(code,) for code in codes]
        rack.boards += codes
        return
    for code in codes:
        made = tuple(
            Piece(
                board=f"{code}.C{n}",
                meant_for=ware.part,
                mass_mg=ware.mass_mg // (PIECES + 1),
            )
            for n in range(1, PIECES + 1)
        )
        sawn = BoardSplit(
            parents=(code,),
            masses_mg=(ware.mass_mg,),
            made=made,
            waste_mg=ware.mass_mg - sum(piece.mass_mg for piece in made),
        )
        yield sawn, RECEIVES
        ready += [(piece.board,) for piece in made]
        rack.boards += [piece.board for piece in made]


@dataclass(slots=True, kw_only=True)
class Job:
    """An instrument on its way: its number, its model, its wood, and how far it goes.

    `share` of the road is signed.
    """

    number: int
    year: int
    model: ModelDefined
    due: str
    share: float = 1.0
    wood: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def serial(self) -> str:
        """The number that is stamped."""
        made = serial_for(DEFAULT_PATTERN, year=self.year, number=self.number)
        return str(made)

    @property
    def steps(self) -> tuple[PlannedStep, ...]:
        """The steps that it takes."""
        return self.model.steps[: int(len(self.model.steps) * self.share)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What lies on the bench: batches by what they are, gauges, a way to file."""

    batches: dict[str, str]
    gauges: tuple[str, ...]
    pictures: Iterator[str]


def begun(job: Job, rack: Rack) -> Iterator[Saying]:
    """Yield how an instrument is begun, ordered, and given its wood."""
    serial, number = job.serial, job.number
    numbers = {"year": job.year % 100, "number": number}
    yield (
        BuildBegun(
            serial=serial,
            model=job.model.model,
            version=job.model.version,
            body=str(BodyId(**numbers)),
            neck=str(NeckId(**numbers)),
        ),
        LEAD,
    )
    promised = (
        Promise(what="top", promised="spruce"),
        Promise(what="width at the nut", promised="44 mm"),
    )
    ordered = BuildOrdered(
        serial=serial,
        order=f"order {number}",
        due=job.due,
        destination="FR",
        promised=promised,
    )
    yield ordered, PAPERS
    if number % 5 == 0:
        changed = (Promise(what="width at the nut", promised="45 mm"),)
        yield BuildChanged(serial=serial, promised=changed), LEAD
    for part in job.model.parts:
        if part.optional:
            continue
        job.wood[part.part] = boards = rack.ready[part.part].pop()
        for code in boards:
            rack.boards.remove(code)
            yield BoardAllotted(board=code, serial=serial, part=part.part), "03"


def step_of(job: Job, step: PlannedStep, bench: Bench) -> Iterator[Saying]:
    """Yield how one step is signed: done, the wood used up, looked at, and again."""
    signed = StepSigned(
        serial=job.serial,
        step=step.step,
        meaning="did",
        measures=tuple(_taken(each) for each in step.measured or ()),
        weighed=tuple(
            PartWeighed(part=ware.part, mass_mg=ware.finished_mg + job.number % 97)
            for ware in WARES
            if ware.part in (step.uses_up or ())
        ),
        materials=tuple(bench.batches[name] for name in step.materials or ()),
        gauges=bench.gauges[: 2 if step.measured else 0],
        photographs=(next(bench.pictures),) if step.photograph else (),
        body=str(_numbered(BodyId, job)) if step.marries else None,
        neck=str(_numbered(NeckId, job)) if step.marries else None,
    )
    badge = WORKERS[step.qualification]
    yield signed, badge
    for part in step.uses_up or ():
        for code in job.wood.get(part, ()):
            yield BoardConsumed(board=code, serial=job.serial), badge
    if step.step == "bend the sides" and job.number % 7 == 0:
        yield ReworkOrdered(serial=job.serial, step=step.step), LEAD
        yield signed, badge
    if step.step == "fit the neck" and job.number % 9 == 0:
        conceded = ConcessionGiven(serial=job.serial, step=step.step, what="a chip")
        yield conceded, LEAD
    if step.step in STAGES:
        yield _voiced(job, STAGES[step.step]), badge
    if step.gate == "inspected":
        yield StepSigned(serial=job.serial, step=step.step, meaning="inspected"), "10"
    if step.gate == "approved":
        yield StepSigned(serial=job.serial, step=step.step, meaning="approved"), LEAD


def _numbered(kind: type[BodyId | NeckId], job: Job) -> BodyId | NeckId:
    return kind(year=job.year % 100, number=job.number)


def _taken(asked: Characteristic) -> Measure:
    """Return a measure within its band."""
    bounds = [
        getattr(bound, asked.unit)
        for bound in (asked.least, asked.most, asked.target)
        if bound is not None
    ]
    value = sum(bounds) // len(bounds) if bounds else OF_A_UNIT[asked.unit]
    if asked.what == "mass":
        # More than its parts, which come to 2.0 kg and a little.
        value = 2_100_000
    return Measure(what=asked.what, **{asked.unit: value})


def _voiced(job: Job, stage: Stage) -> BuildTapped:
    """Return how an instrument rings at a stage."""
    on = {"braced": 0, "closed": 1, "strung": 2}[stage]
    tapped = rung.said("L26-001-01", at=job.number * 3 + on)
    return BuildTapped(
        serial=job.serial,
        part="top",
        stage=stage,
        mass_mg=190_000,
        recording_sha256=tapped.recording_sha256,
        low_millihertz=tapped.low_millihertz,
        high_millihertz=tapped.high_millihertz,
        method=tapped.method,
        readings=tapped.readings,
    )


def kept_for(codes: Sequence[str], until: str) -> Iterator[Saying]:
    """Yield how boards are kept for orders."""
    for n, code in enumerate(codes):
        order = f"order {9_000 + n}"
        kept = BoardReserved(board=code, reserved_for=order, part="top", until=until)
        yield kept, RECEIVES
