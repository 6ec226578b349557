"""Every sentence that can be said is read back as it was said, and strictly."""

import dataclasses
import types
import typing
from collections.abc import Iterator
from datetime import datetime
from typing import Any, Literal

import pytest
from annotated_types import Ge, MinLen
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import StringConstraints, ValidationError

from ledger.errors import TamperError
from ledger.events import EVENTS, Event, LotReceived, codec
from ledger.events.build import Measure, PartWeighed
from ledger.events.codec import RESERVED, Beside
from ledger.events.form import Day, Moment
from ledger.events.route import NEVER_BELOW_ZERO, UNITS, Quantity
from ledger.log.encoding import LARGEST, canonical, parse_object
from tests.ledger.events.plates import on_a_plate
from tests.ledger.log.workshop import vector_records

PLAIN = st.text(st.characters(exclude_categories=["Cs", "Cc", "Cf"]), max_size=12)
MOMENT = "%Y-%m-%dT%H:%M:%SZ"
WHOLE = st.integers(-LARGEST, LARGEST)
NAMES = st.from_regex(r"[a-z][a-z0-9_]{0,6}", fullmatch=True)
OBJECT = st.dictionaries(NAMES, PLAIN | WHOLE | st.none(), max_size=3)


def values(hint: Any) -> st.SearchStrategy[Any]:
    """Return what a member of this type can hold."""
    inner = typing.get_args(hint)
    origin = typing.get_origin(hint)
    if hint is Measure:
        return measures()
    if hint is PartWeighed:
        return said(hint).filter(lambda part: part.mass_mg >= 0)
    if dataclasses.is_dataclass(hint):
        return said(hint)
    if origin is tuple and inner[-1] is not Ellipsis:
        return st.tuples(*map(values, inner))
    if origin is tuple:
        return st.lists(values(inner[0]), max_size=3).map(tuple)
    if origin is Literal:
        return st.sampled_from(inner)
    if origin is typing.Annotated:
        return fitting(inner)
    if origin in (types.UnionType, typing.Union):
        return st.one_of([values(part) for part in inner])
    if origin is dict:
        return OBJECT
    return {str: PLAIN, int: WHOLE, bool: st.booleans(), type(None): st.none()}[hint]


def fitting(hint: tuple[Any, ...]) -> st.SearchStrategy[Any]:
    """Return what keeps the rule of a member that is more than text or a number."""
    for rule in hint[1:]:
        if rule in typing.get_args(Day):
            return st.dates().map(str)
        if rule in typing.get_args(Moment):
            return st.datetimes(datetime(1000, 1, 1)).map(lambda t: f"{t:{MOMENT}}")  # noqa: DTZ001
        if isinstance(rule, Ge):
            return st.integers(typing.cast("int", rule.ge), LARGEST)
        if isinstance(rule, MinLen):
            each, least = values(typing.get_args(hint[0])[0]), rule.min_length
            return st.lists(each, min_size=least, max_size=least + 2).map(tuple)
        if isinstance(rule, StringConstraints) and rule.pattern:
            return st.from_regex(rule.pattern, fullmatch=True)
    return PLAIN.filter(bool)


def measures() -> st.SearchStrategy[Measure]:
    """Return measures, each with one value in one of the units."""
    one = st.tuples(PLAIN.filter(bool), st.sampled_from(UNITS), st.integers(0, LARGEST))
    return one.map(lambda m: Measure(what=m[0], **{m[1]: m[2]}))


def said(sentence: Any) -> st.SearchStrategy[Any]:
    """Return instances of a class of events, made of its type hints."""
    hints = typing.get_type_hints(sentence, include_extras=True)
    names = [field.name for field in dataclasses.fields(sentence)]
    members = {name: values(hints[name]) for name in names}
    return st.fixed_dictionaries(members).map(lambda told: sentence(**fitted(told)))


def fitted(told: dict[str, Any]) -> dict[str, Any]:
    """Return members that go together: a mass for each parent, lots and their sum."""
    if "masses_mg" in told:
        told |= {"masses_mg": tuple(range(1, len(told["parents"]) + 1))}
    saw = ("dust_mg", "kerf_um", "cuts", "way")
    if "kerf_um" in told and None in (told[name] for name in saw):
        told |= dict.fromkeys(("kerf_um", "cuts", "way"))
    told |= in_one_unit(told) | on_a_plate(told)
    if "volume_mm3" in told:
        told |= {"mass_mg": None, "volume_mm3": None, "pieces": 7}
    if "determined" in told and not told["boards"]:
        told |= {"serials": ("26-0001-8",)}
    for name in {"countries", "numbers"} & told.keys():
        told |= {name: tuple(sorted(set(told[name])))}
    if "may_be_from" in told:
        told |= {"may_be_from": None if told["origin"] else ("CM", "GA")}
    if {"lot", "batch", "number"} <= told.keys():
        batch = None if told["lot"] else told["batch"] or "M26-001"
        told |= {"batch": batch, "number": None}
    if "shares" in told:
        return told | of_shares(told)
    return told | of_lots(told) if "newest_source" in told else told


def in_one_unit(told: dict[str, Any]) -> dict[str, Any]:
    """Return a value in one unit, and the three of a characteristic in its own."""
    if "unit" in told:
        given = (n for n in ("target", "least", "most") if told[n] is not None)
        return {name: Quantity(**{told["unit"]: 7}) for name in given}
    units = [unit for unit in UNITS if unit in told]
    if "humidity_ppm" not in units or len(units) < 4:
        return {}
    one = next((unit for unit in units if told[unit] is not None), units[0])
    return dict.fromkeys(units) | {one: abs(told[one] or 7)}


def of_lots(told: dict[str, Any]) -> dict[str, Any]:
    """Return the wood of an answer: each lot once, with a species, form and mass."""
    lots = {share.lot: share for share in told["lots"]}
    each = tuple(dataclasses.replace(one, mass_mg=7) for one in lots.values())
    if None in (told["species"], told["form"]):
        return {"lots": each} | dict.fromkeys(("species", "form", "mass_mg"))
    return {"lots": each, "mass_mg": 7 * len(each)}


def of_shares(told: dict[str, Any]) -> dict[str, Any]:
    """Return an answer of shares: each once, weighed in all or in nothing."""
    each = tuple({share.of: share for share in told["shares"]}.values())
    masses = [share.mass_mg for share in each]
    mass_mg = None if None in masses else sum(masses)
    if mass_mg is not None and mass_mg > LARGEST:
        each, mass_mg = each[:1], masses[0]
    if None in (told["species"], told["form"]):
        told |= dict.fromkeys(("species", "form"))
        mass_mg = None
    return told | {"shares": each, "mass_mg": mass_mg}


def numbers_in(value: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield where whole numbers stand in the members of an event."""
    if type(value) is int:
        yield at
    elif isinstance(value, dict | list):
        names = value if isinstance(value, dict) else range(len(value))
        for name in names:
            yield from numbers_in(value[name], (*at, name))


def put(value: Any, at: tuple[Any, ...], other: Any) -> Any:
    """Return the members with another value in one place."""
    copy = parse_object(canonical(value))
    target: Any = copy
    for name in at[:-1]:
        target = target[name]
    target[at[-1]] = other
    return copy


# The kinds share their members' types, so a few sentences of each are many of all.
FEW = settings(max_examples=30)


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: event.kind)
def test_every_event_is_read_back_as_it_was_said(event: type[Event]) -> None:
    """Through canonical bytes, and whatever stands beside it."""
    beside = Beside(happened_at="2026-01-05T08:00:00Z", station="crib")

    @FEW
    @given(said(event))
    def round_trip(one: Event) -> None:
        members = codec.plain(one, beside)
        assert codec.parse(parse_object(canonical(members))) == one
        assert members["happened_at"] == beside.happened_at
        assert members["station"] == "crib"

    round_trip()


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: event.kind)
def test_every_event_is_strict(event: type[Event]) -> None:
    """No other member, none missing, no fraction, no yes for a one, no text for it."""

    @FEW
    @given(said(event))
    def strict(one: Event) -> None:
        members = codec.plain(one)
        with pytest.raises(TamperError, match=f"^{event.kind}: "):
            codec.parse(members | {"shape": "round"})
        needed = [
            field.name.removesuffix("_")
            for field in dataclasses.fields(event)
            if field.default is dataclasses.MISSING
        ]
        for name in needed:
            rest = {key: value for key, value in members.items() if key != name}
            with pytest.raises(TamperError):
                codec.parse(rest)
        for at in numbers_in({k: v for k, v in members.items() if k != "policy"}):
            for other in (True, str(1), None, [1]):
                with pytest.raises(TamperError):
                    codec.parse(put(members, at, other))

    strict()


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: event.kind)
def test_another_version_is_another_kind(event: type[Event]) -> None:
    """A kind is known in the versions that are listed, and in no other."""
    for kind in (f"{event.kind[:-1]}9", f"{event.kind}0", event.kind.upper()):
        with pytest.raises(TamperError, match="is not known here"):
            codec.parse({"kind": kind})


def test_the_kinds_are_nouns_with_a_past_verb_and_none_is_twice() -> None:
    """A class for each, by its kind."""
    assert len(codec.KINDS) == len(EVENTS)
    assert all(codec.KINDS[event.kind] is event for event in EVENTS)


def test_the_published_entries_are_read_and_written_the_same() -> None:
    """Fourteen events of the vectors, reserved members aside."""
    for record in vector_records():
        event = record.entry.event
        own = {name: value for name, value in event.items() if name not in RESERVED}

        assert codec.plain(codec.parse(event)) == own


def lot(**more: Any) -> dict[str, Any]:
    """Return the members of a lot that came in."""
    event = LotReceived(
        lot="L26-001",
        species="Picea abies",
        form="sawn",
        boards=24,
        received_on="2026-01-05",
        documents=(),
    )
    return codec.plain(event) | more


def test_what_has_no_value_is_left_out() -> None:
    """Neither null nor an empty place is written for it."""
    assert sorted(lot()) == [
        "boards",
        "documents",
        "form",
        "kind",
        "lot",
        "received_on",
        "species",
    ]


def test_reserved_members_stand_beside_any_event() -> None:
    """They are not the event's own, and are not read into it."""
    reserved: dict[str, Any] = {"approvals": {}, "reason_commitment": "5a" * 32}
    reserved["happened_at"] = "2026-01-05T08:00:00Z"

    assert codec.parse(lot(**reserved, station="crib")) == codec.parse(lot())


@pytest.mark.parametrize(
    "more",
    [
        {"boards": True},
        {"boards": "24"},
        {"boards": None},
        {"opening": 1},
        {"opening": "true"},
        {"evidence": "hearsay"},
        {"documents": "D26-0001"},
        {"documents": [1]},
        {"lot": 7},
        {"colour": "pale"},
        {"from_": "x"},
    ],
)
def test_members_of_another_type_or_name_do_not_fit(more: dict[str, Any]) -> None:
    """A whole number is a whole number, and a yes is a yes."""
    with pytest.raises(TamperError, match=r"^lot\.received/1: "):
        codec.parse(lot(**more))


@pytest.mark.parametrize(
    "beside",
    [
        {"happened_at": None},
        {"happened_at": [True]},
        {"happened_at": "9999-99-99"},
        {"happened_at": "2026-01-05"},
        {"happened_at": "2026-02-30T08:00:00Z"},
        {"station": {"x": 1}},
        {"station": ""},
        {"reason_commitment": 7},
        {"reason_commitment": "5A" * 32},
    ],
)
def test_reserved_members_are_read_as_strictly(beside: dict[str, Any]) -> None:
    """A time is a time, a commitment 64 digits, and nothing is no value."""
    with pytest.raises(TamperError, match=r"^lot\.received/1: "):
        codec.parse(lot(**beside))
    if None not in beside.values():
        with pytest.raises(ValidationError):
            Beside(**beside)


SOUND: dict[str, dict[str, Any]] = {
    "clock.doubted/1": {"from": "2026-01-05T08:00:00Z", "to": "2026-01-05T09:00:00Z"},
    "board.numbered/1": {
        "board": "L26-001-07.A",
        "length_um": 1,
        "lot": "L26-001",
        "mass_mg": 0,
        "meant_for": "top",
        "thickness_um": 1,
        "width_um": 1,
    },
    "supplier.recorded/1": {
        "name_commitment": "5a" * 32,
        "shown": "by-name",
        "supplier": "5a" * 16,
    },
    "certificate.printed/1": {
        "number": "C-2026-00001",
        "paper": "A4",
        "sha256": "5a" * 32,
    },
}


@pytest.mark.parametrize(
    ("kind", "more"),
    [
        ("clock.doubted/1", {"from": "a"}),
        ("clock.doubted/1", {"to": "2026-01-05"}),
        ("board.numbered/1", {"board": "a board"}),
        ("board.numbered/1", {"board": "L26-001-07.A\n"}),
        ("board.numbered/1", {"lot": "zz"}),
        ("board.numbered/1", {"mass_mg": -1}),
        ("board.numbered/1", {"thickness_um": -1}),
        ("supplier.recorded/1", {"supplier": "x"}),
        ("supplier.recorded/1", {"supplier": "5A" * 16}),
        ("supplier.recorded/1", {"name_commitment": "y"}),
        ("certificate.printed/1", {"sha256": "../../etc/passwd"}),
        ("certificate.printed/1", {"number": ""}),
        ("lot.received/1", {"lot": "not a lot"}),
        ("lot.received/1", {"boards": -5}),
        ("lot.received/1", {"boards": 0}),
        ("lot.received/1", {"received_on": "yesterday"}),
        ("lot.received/1", {"received_on": "2026-02-30"}),
        ("lot.received/1", {"received_on": "20260105"}),
        ("lot.received/1", {"species": ""}),
        ("lot.received/1", {"documents": ["a note"]}),
        ("lot.received/1", {"supplier": "Ferrante"}),
    ],
)
def test_what_is_no_such_thing_cannot_be_said(kind: str, more: dict[str, Any]) -> None:
    """A lot is a code, a day a day, a mass never below zero."""
    sound = lot() if kind == "lot.received/1" else {"kind": kind} | SOUND[kind]
    codec.parse(sound)
    with pytest.raises(TamperError, match=f"^{kind}: "):
        codec.parse(sound | more)


def test_a_mass_below_zero_cannot_be_signed_for() -> None:
    """Neither a part's nor an instrument's; a relief may bend the other way."""
    event: dict[str, Any] = {"kind": "build.step-signed/2", "meaning": "did"}
    event |= {"serial": "x", "step": "brace", "weighed": [], "measures": []}
    relief = {"what": "relief", "length_um": -100}
    codec.parse(event | {"measures": [relief]})
    for unit in NEVER_BELOW_ZERO:
        with pytest.raises(TamperError, match="never below zero"):
            codec.parse(event | {"measures": [{"what": "it", unit: -1}]})
    with pytest.raises(TamperError, match="never below zero"):
        codec.parse(event | {"weighed": [{"part": "top", "mass_mg": -1}]})


@pytest.mark.parametrize("units", [(), ("length_um", "mass_mg")])
def test_a_measure_has_one_value_in_one_unit(units: tuple[str, ...]) -> None:
    """With none it says nothing, with two it says which of them too late."""
    measure: dict[str, Any] = {"what": "mass"} | dict.fromkeys(units, 1)
    event: dict[str, Any] = {"kind": "build.step-signed/2", "meaning": "did"}
    event |= {"serial": "x", "step": "brace", "weighed": [], "measures": [measure]}
    with pytest.raises(ValueError, match="one value in one unit"):
        Measure(**measure)
    with pytest.raises(TamperError, match="one value in one unit"):
        codec.parse(event)
