"""A graph is written in canonical bytes, and cut so that no cousin is told."""

import json

import rfc8785

from ledger.acts.provenance.graph import Graph, local, named, typed
from tests.ledger.acts.provenance.reading import faults_in, names_of, read


def chain() -> Graph:
    """Return a lot, its two boards, and one part of two instruments of each."""
    graph = Graph(base="https://log.example#")
    steps = [
        ("lot-a", "", 0),
        ("board-1", "lot-a", 1),
        ("board-2", "lot-a", 2),
        ("part-3", "board-1", 3),
        ("part-4", "board-2", 4),
    ]
    for name, of, index in steps:
        act = local("entry", index)
        graph.activities[act] = {}
        graph.entities[name] = {named("mass_mg"): 2**53 - 1}
        graph.relate("wasGeneratedBy", index, name, act)
        graph.touches[act] |= {name}
        if of:
            graph.relate("used", index, act, of)
            graph.relate("wasDerivedFrom", index, name, of)
            graph.touches[act] |= {of}
    return graph


def test_the_bytes_are_those_of_the_standard() -> None:
    """An independent writer of RFC 8785 gives the same, whatever the letters."""
    graph = chain()
    graph.entities["lot-a"] |= {named("species"): "Dalbergia – “à l’œil” 琴\n"}

    assert graph.data() == rfc8785.dumps(json.loads(graph.data()))
    assert faults_in(read(graph.data())) == []


def test_what_a_thing_came_from_has_no_other_children() -> None:
    """The lot is told, and the other board of it is not."""
    found = read(chain().about(["part-3"]).data())

    assert names_of(found, "ProvEntity") == {"log:part-3", "log:board-1", "log:lot-a"}
    assert faults_in(found) == []


def test_what_became_of_a_thing_is_told_whole() -> None:
    """Of a lot both boards and both parts."""
    whole, part = chain(), chain().about(["lot-a"])

    assert part.data() == whole.data()


def test_each_relation_is_named_by_its_entry_and_keeps_its_name() -> None:
    """In a part of the graph as in the whole."""
    whole, part = chain(), chain().about(["part-3"])
    names = [relation.name for relation in whole.relations]

    assert names[:4] == [
        "wasGeneratedBy-0-1",
        "wasGeneratedBy-1-1",
        "used-1-1",
        "wasDerivedFrom-1-1",
    ]
    assert len(names) == len(set(names))
    assert {relation.name for relation in part.relations} < {*names}


def test_two_of_a_kind_in_one_entry_are_told_apart() -> None:
    """By their number within it."""
    graph = Graph(base="https://log.example#")
    for board in ("board-1", "board-2"):
        graph.relate("used", 12, "entry-12", board)
        graph.relate("hadMember", 12, "serial-1", board)

    assert [r.name for r in graph.relations] == [
        "used-12-1",
        "hadMember-12-1",
        "used-12-2",
        "hadMember-12-2",
    ]


def test_odd_letters_of_a_code_are_escaped() -> None:
    """An old instrument enters with the number it bears, whatever that is."""
    assert local("serial", "No 12/ä") == "serial-No%2012%2F%C3%A4"
    assert local("board", "L26-001-11.A") == "board-L26-001-11.A"
    assert typed("Lot", "prov:Collection")["prov:type"] == [
        {"$": "log:Lot", "type": "xsd:QName"},
        {"$": "prov:Collection", "type": "xsd:QName"},
    ]
