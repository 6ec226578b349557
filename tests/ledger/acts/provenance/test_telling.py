"""Entries are told so that PROV's constraints hold, and nothing private is told."""

import json
from dataclasses import replace
from typing import Any

import pytest

from ledger.acts.provenance.graph import Graph
from ledger.acts.provenance.kinds import TOLD
from ledger.acts.provenance.telling import Telling
from ledger.log.entry import Record
from tests.ledger.acts.provenance.reading import (
    ends_of,
    every_view,
    faults_in,
    read,
)

RECORDS = every_view()
# Members of events that somebody's life, or the shop's business, can be read from.
PRIVATE = (
    *("order", "destination", "to", "promised", "condition", "fault", "work", "due"),
    *("reason_commitment", "name_commitment", "owner", "subject", "supplier"),
    *("station", "reserved_for", "mark", "supplier_grade", "as_written", "legs"),
)


def told(records: list[Record], struck: dict[int, int] | None = None) -> Graph:
    """Return the graph of records, by hands that nobody knows."""
    telling = Telling(
        graph=Graph(base="https://log.example#"),
        hands={},
        sawyers={},
        struck=struck or {},
        told=TOLD,
    )
    for record in records:
        telling.tell(record.entry, record.leaf)
    return telling.graph


def corrections() -> dict[int, int]:
    """Return what is struck in the records, and by which entry."""
    return {
        record.entry.event["index"]: record.entry.index
        for record in RECORDS
        if record.entry.kind == "correction.made/1"
    }


def test_what_happened_in_every_view_breaks_no_constraint() -> None:
    """One activity for each entry, with its leaf hash and its time."""
    graph = told(RECORDS, corrections())
    document = read(graph.data())

    assert faults_in(document) == []
    assert len(graph.activities) == len(RECORDS)
    for record in RECORDS:
        act = graph.activities[f"entry-{record.entry.index}"]
        assert act["log:leaf"] == record.leaf.hex()
        assert act["log:kind"] == record.entry.kind
        assert act["prov:endTime"] == record.entry.at


def test_the_same_entries_give_the_same_bytes() -> None:
    """However often they are told."""
    assert told(RECORDS, corrections()).data() == told(RECORDS, corrections()).data()


def test_masses_and_sizes_stay_whole_numbers() -> None:
    """As the library has them, not one is text or a fraction."""
    document = read(told(RECORDS).data())
    values = [
        value
        for record in document.get_records()
        for name, value in record.attributes
        if str(name).endswith(("_mg", "_um", "_mm3"))
    ]

    assert len(values) > 50
    assert {type(value) for value in values} == {int}


def test_nothing_private_is_told() -> None:
    """No member of an event that speaks of a person, an order, a reason or a place."""
    document = json.loads(told(RECORDS, corrections()).data())
    members = {
        member.partition(":")[2]
        for kind in document.values()
        for thing in kind.values()
        if isinstance(thing, dict)
        for member in thing
    }

    assert members.isdisjoint(PRIVATE)
    for record in RECORDS:
        event = record.entry.event
        for name in ("name_commitment", "reason_commitment", "owner"):
            assert event.get(name, "nothing") not in json.dumps(document)


def test_what_is_not_understood_is_told_by_its_kind_alone() -> None:
    """A later version's words might be private."""
    record = RECORDS[-1]
    event = {"kind": "instrument.stolen/9", "serial": "26-0001-8", "mass_mg": 12}
    strange = replace(record, entry=replace(record.entry, event=event))
    graph = told([strange])
    (act,) = graph.activities.values()

    assert graph.entities == {}
    assert {*act} == {
        *("prov:startTime", "prov:endTime", "prov:type"),
        *("log:index", "log:kind", "log:leaf"),
    }


def test_what_was_struck_makes_nothing_and_its_record_is_revised() -> None:
    """The entry stays, marked; the correction's record is a revision of it."""
    struck = corrections()
    index, by = next(iter(struck.items()))
    graph = told(RECORDS, struck)
    document = read(graph.data())
    pair = (f"log:record-{by}", f"log:record-{index}")

    assert graph.activities[f"entry-{index}"]["log:struck_by"] == by
    assert pair in ends_of(document, "ProvDerivation")
    assert (pair[1], f"log:entry-{by}") in ends_of(document, "ProvInvalidation")
    assert f"log:entry-{index}" not in dict(ends_of(document, "ProvUsage"))


@pytest.mark.parametrize("kind", sorted({record.entry.kind for record in RECORDS}))
def test_every_kind_is_told_or_left_out_on_purpose(kind: str) -> None:
    """People, keys, rules, rooms, slips are told by kind; all else by its things."""
    untold = (
        *("shop", "root", "person", "role", "qualification", "key", "policy"),
        *("clock", "room", "training", "supplier", "model", "correction"),
        *("number", "theft"),
    )
    classes: dict[str, type[Any]] = {each.kind: each for each in TOLD}

    is_private = kind.startswith(("owner.slip-", "owner.notice-", "owner.transferred"))
    is_untold = is_private or kind.partition(".")[0] in untold
    is_untold |= kind == "certificate.withdrawn/1"
    assert (kind in classes) != is_untold
