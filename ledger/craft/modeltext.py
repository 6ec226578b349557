"""The text of a model, as a builder writes it and reads it: parts, then the road.

    [model]
    instrument = "flat-top guitar"
    family = "flat-top"

    [[part]]
    name = "top"
    species = ["Picea"]              # a genus stands for all of its species
    pieces = 2
    rough = "559 x 203 x 4.2 mm"     # length, width, thickness; ? where it is open
    finished = "508 x 200 x 2.9 mm"

    [[step]]
    name = "join the top"
    needs = "plates"                 # the qualification of whoever signs it
    uses_up = ["top"]
    rest = "1 day"

        [[step.measure]]
        what = "thickness of the top"
        unit = "mm"                  # recorded only; or target, least, most

The text is TOML 1.0. What it does not say is not said of the model either; what it says
wrongly is answered with every fault, each by its part or step and its line.
"""

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args
from unicodedata import normalize

from ledger.craft.measured import Unit, read_measure, unit_of
from ledger.craft.road import road_faults
from ledger.errors import RefusedError
from ledger.quantities import length_um, millimetres, span_days
from ledger.scales import LARGEST, in_a_row, shown

Family = Literal["flat-top", "arch-top", "solid-body"]
Gate = Literal["inspected", "approved"]
Sizes = tuple[int | None, int | None, int | None]
SIDES = ("length", "width", "thickness")
FAMILIES: tuple[Family, ...] = get_args(Family)
GATES: tuple[Gate, ...] = get_args(Gate)
# A model of fifty steps takes a twentieth of it.
LONGEST_TEXT = 400_000
MOST_FAULTS = 12
OPEN_SIZE = "?"
MODEL_KEYS = ("instrument", "family")
PART_KEYS = ("name", "species", "pieces", "rough", "finished", "optional")
STEP_KEYS = (
    "name",
    "needs",
    "after",
    "ways",
    "uses_up",
    "materials",
    "gate",
    "rest",
    "photograph",
    "marries",
    "measure",
)
MEASURE_KEYS = ("what", "unit", "target", "least", "most")


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureDraft:
    """What a step measures: its aim and its band, or nothing but that it is read."""

    what: str
    unit: Unit
    target: int | None = None
    least: int | None = None
    most: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartDraft:
    """A part: of what wood, of how many pieces, and a piece's sizes [um]."""

    part: str
    species: tuple[str, ...] | None = None
    pieces: int | None = None
    rough: Sizes | None = None
    finished: Sizes | None = None
    is_optional: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDraft:
    """A step of the road: whose it is, what comes before it, what it asks for."""

    step: str
    qualification: str
    after: tuple[str, ...] = ()
    ways: tuple[str, ...] = ()
    uses_up: tuple[str, ...] = ()
    measured: tuple[MeasureDraft, ...] = ()
    materials: tuple[str, ...] = ()
    gate: Gate | None = None
    rest_days: int | None = None
    is_photographed: bool = False
    marries: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelDraft:
    """A model as its text says it; its name is given where it is set down."""

    instrument: str
    family: Family | None = None
    parts: tuple[PartDraft, ...]
    steps: tuple[StepDraft, ...]


def read_model(text: bytes) -> ModelDraft:
    """Read the text of a model.

    Raises RefusedError with every fault of its tables, or else of its road.

    Source: TOML 1.0.0; the words of the tables are the shop's own.
    """
    written = _written(text)
    tables = _tables(written)
    _require_known(tables, ("model", "part", "step"), "the text")
    faults: list[str] = []
    model = _model(tables, faults)
    parts = _each(tables, "part", written, _part, faults)
    steps = _each(tables, "step", written, _step, faults)
    if not faults:
        faults = road_faults(
            parts=[part.part for part in parts],
            steps=[step.step for step in steps],
            after={step.step: step.after for step in steps},
            uses_up={step.step: step.uses_up for step in steps},
        )
    if faults:
        more = len(faults) - MOST_FAULTS
        told = faults[:MOST_FAULTS] + ([f"and {more} more"] if more > 0 else [])
        raise RefusedError("; ".join(told))
    return ModelDraft(**model, parts=tuple(parts), steps=tuple(steps))


def _written(text: bytes) -> str:
    if len(text) > LONGEST_TEXT:
        raise RefusedError(
            f"the text has {len(text)} bytes, and no model has more than "
            f"{LONGEST_TEXT}: see that it is the right file"
        )
    try:
        return normalize("NFC", text.decode("utf-8-sig"))
    except UnicodeDecodeError as fault:
        line = text[: fault.start].count(b"\n") + 1
        raise RefusedError(
            f"line {line} is not written in UTF-8: save the text as UTF-8"
        ) from None


def _tables(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        words = str(fault)
        raise RefusedError(
            f"the text is no TOML, {words[:1].lower()}{words[1:]}: see what flitchbook "
            f"model draft writes"
        ) from None
    except RecursionError:
        raise RefusedError("the text has lists in lists without end") from None


def _model(tables: Mapping[str, Any], faults: list[str]) -> dict[str, Any]:
    table = tables.get("model")
    if not isinstance(table, dict):
        faults.append("the text has no [model]: give it with its instrument")
        return {}
    try:
        _require_known(table, MODEL_KEYS, "[model]")
        return {
            "instrument": _words(table, "instrument"),
            "family": _one_of(table, "family", FAMILIES),
        }
    except RefusedError as fault:
        faults.append(_placed("[model]", fault))
        return {}


def _each(
    tables: Mapping[str, Any],
    noun: str,
    text: str,
    read: Callable[[dict[str, Any]], Any],
    faults: list[str],
) -> list[Any]:
    """Read every part or step, and note what is wrong with each."""
    found = tables.get(noun)
    if not isinstance(found, list) or not all(isinstance(t, dict) for t in found):
        faults.append(f"the text has no [[{noun}]]: a model has at least one {noun}")
        return []
    lines = [
        n for n, line in enumerate(text.splitlines(), 1) if _HEADERS[noun].match(line)
    ]
    made = []
    for n, table in enumerate(found):
        name = table.get("name")
        where = f"{noun} {name!r}" if isinstance(name, str) else f"{noun} {n + 1}"
        if len(lines) == len(found):
            where += f" (line {lines[n]})"
        try:
            made.append(read(table))
        except RefusedError as fault:
            faults.append(_placed(where, fault))
    return made


def _part(table: dict[str, Any]) -> PartDraft:
    _require_known(table, PART_KEYS, "a part")
    rough, finished = _sizes(table, "rough"), _sizes(table, "finished")
    for name, least, size in zip(SIDES, rough or (), finished or (), strict=False):
        if least is not None and size is not None and size > least:
            raise RefusedError(
                f"its finished {name} {millimetres(size)} is above the rough one, "
                f"{millimetres(least)}: change one of them"
            )
    return PartDraft(
        part=_words(table, "name"),
        species=_list(table, "species") or None,
        pieces=_count(table, "pieces"),
        rough=rough,
        finished=finished,
        is_optional=_flag(table, "optional"),
    )


def _step(table: dict[str, Any]) -> StepDraft:
    _require_known(table, STEP_KEYS, "a step")
    measures = table.get("measure", [])
    if not isinstance(measures, list) or not all(isinstance(m, dict) for m in measures):
        raise RefusedError("a measure is a table [[step.measure]]")
    measured = tuple(map(_measure, measures))
    _require_once("measures", [measure.what for measure in measured])
    rest = _text(table, "rest")
    days = None if rest is None else span_days(rest)
    if days == 0:
        raise RefusedError("it rests 0 days: leave rest away")
    return StepDraft(
        step=_words(table, "name"),
        qualification=_words(table, "needs"),
        after=_list(table, "after"),
        ways=_list(table, "ways"),
        uses_up=_list(table, "uses_up"),
        measured=measured,
        materials=_list(table, "materials"),
        gate=_one_of(table, "gate", GATES),
        rest_days=days,
        is_photographed=_flag(table, "photograph"),
        marries=_flag(table, "marries"),
    )


def _measure(table: dict[str, Any]) -> MeasureDraft:
    _require_known(table, MEASURE_KEYS, "a measure")
    what = _words(table, "what")
    try:
        return _banded(what, table)
    except RefusedError as fault:
        raise RefusedError(_placed(f"measure {what!r}", fault)) from None


def _banded(what: str, table: dict[str, Any]) -> MeasureDraft:
    """Return a measure whose aim lies in its band, all in one unit."""
    told = {key: _text(table, key) for key in ("target", "least", "most")}
    read = {key: read_measure(text) for key, text in told.items() if text is not None}
    units = {unit for unit, _ in read.values()}
    named = _text(table, "unit")
    units |= {unit_of(named)} if named is not None else set()
    if not units:
        raise RefusedError(
            "it has neither a band nor a unit: give target, least or most, or the unit "
            "alone where it is recorded only"
        )
    if len(units) > 1:
        told_in = in_a_row(list(_quoted(table)))
        raise RefusedError(f"it is given in two units: {told_in}")
    values = {key: value for key, (_, value) in read.items()}
    low, aim, high = (values.get(key) for key in ("least", "target", "most"))
    for less, more, key, other in (
        (low, high, "least", "most"),
        (low, aim, "least", "target"),
        (aim, high, "target", "most"),
    ):
        if less is not None and more is not None and less > more:
            raise RefusedError(
                f"{key} {told[key]} is above {other} {told[other]}: change one of them"
            )
    return MeasureDraft(what=what, unit=units.pop(), **values)


def _sizes(table: dict[str, Any], key: str) -> Sizes | None:
    """Read 559 x 203 x 4.2 mm; the last unit is that of all that have none."""
    text = _text(table, key)
    if text is None:
        return None
    sides = [side.strip() for side in re.split("[x×]", text)]
    unit = _LAST_UNIT.search(sides[-1])
    if len(sides) != 3 or unit is None:
        raise RefusedError(
            f"{key} {shown(text)} is no size: write length, width and thickness, such "
            f"as '559 x 203 x 4.2 mm', and ? for what is open"
        )
    sides[-1] = sides[-1] if sides[-1][:1] != OPEN_SIZE else OPEN_SIZE
    read = [
        None if side == OPEN_SIZE else length_um(side, default_unit=unit[0])
        for side in sides
    ]
    if 0 in read:
        raise RefusedError(f"{key} {shown(text)} has a side of nothing: write its size")
    return read[0], read[1], read[2]


def _require_known(table: Mapping[str, Any], known: tuple[str, ...], of: str) -> None:
    unknown = [key for key in table if key not in known]
    if unknown:
        raise RefusedError(f"{of} has no {unknown[0]!r}: it has {in_a_row(known)}")


def _require_once(how: str, names: list[str]) -> None:
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise RefusedError(f"it {how} {twice!r} twice: leave one away")


def _text(table: Mapping[str, Any], key: str) -> str | None:
    value = table.get(key)
    if value is not None and not isinstance(value, str):
        raise RefusedError(f"{key} is {value!r}: write it in quotes, with its unit")
    return value


def _words(table: Mapping[str, Any], key: str) -> str:
    value = table.get(key)
    if not isinstance(value, str) or not value.strip():
        raise RefusedError(f'it has no {key}: write {key} = "…"')
    return value.strip()


def _list(table: Mapping[str, Any], key: str) -> tuple[str, ...]:
    values = table.get(key, [])
    if not isinstance(values, list) or not all(
        isinstance(value, str) and value.strip() for value in values
    ):
        raise RefusedError(f'{key} is a list of names: write {key} = ["…"]')
    names = [value.strip() for value in values]
    _require_once(f"names in {key}", names)
    return tuple(names)


def _count(table: Mapping[str, Any], key: str) -> int | None:
    value = table.get(key)
    if value is None:
        return None
    if type(value) is not int or not 1 <= value <= LARGEST:
        raise RefusedError(f"{key} is {value!r}: write how many, such as {key} = 2")
    return value


def _flag(table: Mapping[str, Any], key: str) -> bool:
    value = table.get(key, False)
    if not isinstance(value, bool):
        raise RefusedError(f"{key} is {value!r}: write {key} = true, or leave it away")
    return value


def _one_of(table: Mapping[str, Any], key: str, known: tuple[Any, ...]) -> Any:
    value = table.get(key)
    if value is not None and value not in known:
        raise RefusedError(f"{key} is {value!r}: write one of {', '.join(known)}")
    return value


def _quoted(table: Mapping[str, Any]) -> Iterator[str]:
    return (f"{key} {value}" for key, value in table.items() if key != "what")


def _placed(where: str, fault: RefusedError) -> str:
    return f"{where}: {fault}"


_HEADERS = {noun: re.compile(rf"\s*\[\[\s*{noun}\s*\]\]") for noun in ("part", "step")}
_LAST_UNIT = re.compile(r"[^\s0-9.,?/-]+\s*$")
