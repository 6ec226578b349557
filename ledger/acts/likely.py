"""Whether a measure of an instrument can be right, by its model, its wood and its past.

A measure that the model or an earlier entry knows keeps its kind of unit, whatever is
said; what is far from all that is known of it is asked about.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from sqlmodel import Session

from ledger.acts import plausible
from ledger.acts.conceding import amount
from ledger.acts.names import is_same
from ledger.acts.plausible import GROWTH_PPM, UnlikelyError
from ledger.craft.measured import UNIT_WORDS, Unit, measure_words
from ledger.errors import RefusedError
from ledger.events import InstrumentServiced, ModelDefined, codec
from ledger.events.build import Measure
from ledger.events.route import Characteristic, unit_of
from ledger.quantities import millimetres
from ledger.scales import in_a_row
from ledger.views.boards import Board, boards_in
from ledger.views.builds import Build, measures_read
from ledger.views.models import plan_of
from ledger.views.said import entry_said
from ledger.views.service import services_of

SIZES = {"length": "long", "width": "wide", "thickness": "thick"}
# Beyond so many times the largest known a value is asked about: common practice, no
# source. Below the least of each unit nobody asks, for a relief may be next to nothing.
MANY_TIMES = 10
NEGLIGIBLE: dict[Unit, int] = {"length_um": 1_000, "mass_mg": 10_000}


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of a thing that is measured: its unit, values, and where from."""

    what: str
    unit: Unit
    values: tuple[int, ...]
    source: str


def named(
    measures: Sequence[Measure], asked: Iterable[Characteristic]
) -> list[Measure]:
    """Return measures by the names that a step has for them, however they are typed."""
    names = [each.what for each in asked]
    return [
        replace(
            measure,
            what=next((n for n in names if is_same(n, measure.what)), measure.what),
        )
        for measure in measures
    ]


def require_likely(
    session: Session, build: Build, measures: Sequence[Measure], *, as_read: bool
) -> None:
    """Refuse what cannot be measured, and what hardly can, unless it is as read.

    Raises RefusedError for another kind of unit than the thing is known by.
    """
    if not measures:
        return
    known = list(_known(session, build))
    boards = boards_in(session, build.serial)
    plan = plan_of(session, build.model, build.version)
    for measure in measures:
        own = [each for each in known if is_same(each.what, measure.what)]
        _require_unit(build.serial, measure, own)
        plausible.require_measure(build.serial, measure, as_read=as_read)
        if not as_read:
            _require_near(build.serial, measure, own)
            _require_within_wood(build.serial, measure, _part(measure, plan), boards)


def _known(session: Session, build: Build) -> Iterator[Known]:
    """Yield what the model says of each thing, and what was read of it before."""
    for step in plan_of(session, build.model, build.version).steps:
        for asked in step.measured or ():
            limits = (amount(each, asked.unit) for each in (asked.least, asked.most))
            yield Known(
                what=asked.what,
                unit=asked.unit,
                values=tuple(limit for limit in limits if limit is not None),
                source=f"{build.model} measures it",
            )
    for row in measures_read(session, build.serial):
        unit = next(unit for unit in UNIT_WORDS if unit == row.unit)
        yield _read(row.what, unit, row.value, row.idx)
    for service in services_of(session, build.serial):
        event = codec.parse(entry_said(session, service.idx).event)
        for measure in event.measures if isinstance(event, InstrumentServiced) else ():
            unit = unit_of(measure)
            yield _read(measure.what, unit, getattr(measure, unit), service.idx)


def _read(what: str, unit: Unit, value: int, index: int) -> Known:
    source = f"entry {index} read it"
    return Known(what=what, unit=unit, values=(value,), source=source)


def _require_unit(serial: str, measure: Measure, known: Sequence[Known]) -> None:
    """Refuse a mass where a length is known by that name."""
    unit = unit_of(measure)
    if not known or any(each.unit == unit for each in known):
        return
    words = measure_words(unit, getattr(measure, unit))
    raise RefusedError(
        f"the {measure.what} of {serial} is given as {words}, which is in another unit "
        f"than {UNIT_WORDS[known[0].unit]}, in which {known[0].source}: read it again, "
        f"or give it another name"
    )


def _require_near(serial: str, measure: Measure, known: Sequence[Known]) -> None:
    """Ask about a value that is far beyond all that is known of the thing."""
    unit = unit_of(measure)
    value, least = getattr(measure, unit), NEGLIGIBLE.get(unit)
    values = [abs(v) for v in chain.from_iterable(k.values for k in known)]
    largest = max(values, default=0)
    if least is None or not largest or abs(value) <= least:
        return
    is_turned = value < 0 and abs(value) > largest
    if is_turned or abs(value) > MANY_TIMES * largest:
        raise UnlikelyError(
            f"the {measure.what} of {serial} is given as {measure_words(unit, value)}, "
            f"and nothing beyond {measure_words(unit, largest)} is known of it: read "
            f"it again and type it with its unit"
        )


def _part(measure: Measure, plan: ModelDefined) -> str | None:
    """Return the part whose size a measure is, by its name; of several the longest."""
    words = f" {measure.what.casefold()} "
    parts = [p.part for p in plan.parts if f" {p.part.casefold()} " in words]
    return max(parts, key=len, default=None)


def _require_within_wood(
    serial: str, measure: Measure, part: str | None, boards: Sequence[Board]
) -> None:
    """Ask about a part that is larger than the boards that it is made of."""
    size = next((s for s in SIZES if s in measure.what.casefold().split()), None)
    wood = [board for board in boards if board.part == part]
    if measure.length_um is None or size is None:
        return
    sizes = [um for b in wood if (um := getattr(b, f"{size}_um")) is not None]
    if not wood or len(sizes) < len(wood):
        return
    if measure.length_um * 1_000_000 > sum(sizes) * (1_000_000 + GROWTH_PPM):
        codes = in_a_row([board.code for board in wood])
        told = in_a_row([millimetres(um) for um in sizes])
        raise UnlikelyError(
            f"the {measure.what} of {serial} is given as "
            f"{millimetres(measure.length_um)}, and its wood {codes} is {told} "
            f"{SIZES[size]}: read it again and type it with its unit"
        )
