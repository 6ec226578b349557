"""The roads of the story, walked day by day: every step signed as its table says.

A road is a table of lines in the order of their days; several are walked together, as
they are in a shop. A line is a step that somebody signed, or something that happened.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from demo import judging, picturing, tops
from demo.bench import Bench
from demo.shelf import Shelf
from ledger.acts import signoffs
from ledger.acts.asked import SignOff
from ledger.craft.measured import read_measure
from ledger.events.build import Meaning, Measure, PartWeighed
from ledger.events.codec import Beside
from ledger.ids import BodyId, NeckId
from ledger.quantities import mass_mg


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A step as it was signed: when, by whom, how, with what measured and weighed.

    `read` are measures and `weighed` parts, as they are said at the bench; `used` are
    batches and `tools` gauges by their names on the shelf. What was entered late
    happened at a moment before.
    """

    day: str
    badge: str
    step: str
    meaning: Meaning = "did"
    way: str | None = None
    read: Mapping[str, str] = field(default_factory=dict)
    weighed: Mapping[str, str] = field(default_factory=dict)
    used: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    is_photographed: bool = False
    marries: bool = False
    happened_at: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Going:
    """An instrument on its road: its serial, what lies ready, and what it is made of.

    `spare` is wood that was made ready and is in nothing.
    """

    serial: str
    shelf: Shelf
    parts: Mapping[str, str]
    spare: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Happening:
    """Something that happened on the way; `let` lets it happen.

    Where it went wrong, what was said of it is returned; else nothing.
    """

    day: str
    let: Callable[[Bench, Going], str | None]


Line = Work | Happening


@dataclass(frozen=True, slots=True, kw_only=True)
class Road:
    """One instrument's way: its lines, and after which steps it is tapped."""

    lines: tuple[Line, ...]
    voices: Mapping[str, tops.Voice] = field(default_factory=dict)


def did(day: str, badge: str, step: str, way: str | None = None, **more: Any) -> Work:
    """Return a step that was done."""
    return replace(Work(day=day, badge=badge, step=step, way=way), **more)


def seen(day: str, badge: str, step: str, meaning: Meaning = "inspected") -> Work:
    """Return what another said of a step."""
    return Work(day=day, badge=badge, step=step, meaning=meaning)


def walk(
    bench: Bench, roads: Sequence[tuple[Road, Going]]
) -> dict[str, tuple[str, ...]]:
    """Walk several roads together; return what went wrong on each, by its serial."""
    told: dict[str, list[str]] = {going.serial: [] for _, going in roads}
    today = ""
    for line, road, going in sorted(_lines(roads), key=lambda each: each[0].day):
        if line.day != today:
            today = line.day
            bench.clock.morning_of(today)
        if isinstance(line, Happening):
            told[going.serial] += filter(None, [line.let(bench, going)])
        else:
            sign(bench, going, line)
            voice = road.voices.get(line.step) if line.meaning == "did" else None
            if voice is not None:
                judging.voice(bench, going.serial, voice, line.badge)
    return {serial: tuple(sentences) for serial, sentences in told.items()}


def _lines(
    roads: Iterable[tuple[Road, Going]],
) -> Iterator[tuple[Line, Road, Going]]:
    for road, going in roads:
        for line in road.lines:
            yield line, road, going


def sign(bench: Bench, going: Going, work: Work, badge: str | None = None) -> None:
    """Sign a step as the table says, or let another try to."""
    shop = bench.shop
    if work.happened_at is not None:
        shop = replace(shop, beside=Beside(happened_at=work.happened_at))
    with TemporaryDirectory() as folder:
        said = said_of(going, work, Path(folder))
        signoffs.sign(shop, said, bench.hands[badge or work.badge])


def said_of(going: Going, work: Work, folder: Path) -> SignOff:
    """Return what is about to be signed of a step; its picture goes into a folder."""
    number = going.serial[:7]
    year, running = int(number[:2]), int(number[3:])
    of = f"{going.serial} {work.step}"
    picture = folder / "photograph.png"
    return SignOff(
        serial=going.serial,
        step=work.step,
        meaning=work.meaning,
        way=work.way,
        measures=tuple(_measure(what, said) for what, said in work.read.items()),
        weighed=tuple(
            PartWeighed(part=part, mass_mg=mass_mg(mass))
            for part, mass in work.weighed.items()
        ),
        materials=tuple(going.shelf.batches[name] for name in work.used),
        gauges=tuple(going.shelf.tools[name] for name in work.tools),
        photographs=((picturing.write(picture, of),) if work.is_photographed else ()),
        body=str(BodyId(year=year, number=running)) if work.marries else None,
        neck=str(NeckId(year=year, number=running)) if work.marries else None,
    )


def _measure(what: str, said: str) -> Measure:
    unit, value = read_measure(said)
    return Measure(what=what, **{unit: value})
