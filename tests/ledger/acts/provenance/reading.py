"""A provenance graph as the library `prov` reads it, held against PROV's constraints.

Source: W3C PROV-CONSTRAINTS (Recommendation of 30 April 2013), sections 5 and 6; the
library's and networkx's are the only eyes here.
"""

from pathlib import Path
from typing import Any

import networkx as nx
import pytest

from ledger.log.entry import Record, parse_record

WHY = "prov is not installed (extra dev): nobody reads what was written"
model = pytest.importorskip("prov.model", reason=WHY)
FOLDED = Path(__file__).parents[3] / "vectors/fold/records.txt"
THINGS = ("ProvEntity", "ProvActivity", "ProvAgent")


def every_view() -> list[Record]:
    """Return records in which something happened in every view."""
    lines = FOLDED.read_bytes().split(b"\n")[:-1]
    return [
        parse_record(b"\n".join(pair) + b"\n")
        for pair in zip(lines[::2], lines[1::2], strict=True)
    ]


def read(data: bytes) -> Any:
    """Return the document that the library reads, once written back it reads alike."""
    document = model.ProvDocument.deserialize(content=data.decode())
    again = model.ProvDocument.deserialize(content=document.serialize())
    assert document == again
    return document


def names_of(document: Any, what: str) -> set[str]:
    """Return the names of all entities, activities or agents."""
    found = (r for r in document.get_records() if type(r).__name__ == what)
    return {str(record.identifier) for record in found}


def ends_of(document: Any, what: str) -> list[tuple[str, str]]:
    """Return from what to what each relation of a kind is."""
    found = (r for r in document.get_records() if type(r).__name__ == what)
    return [(str(record.args[0]), str(record.args[1])) for record in found]


def faults_in(document: Any) -> list[str]:
    """Return every constraint of PROV that a document breaks."""
    made = dict(ends_of(document, "ProvGeneration"))
    ended = dict(ends_of(document, "ProvInvalidation"))
    faults = [
        f"{what} twice"
        for what in ("ProvGeneration", "ProvInvalidation")
        if len({thing for thing, _ in ends_of(document, what)})
        < len(ends_of(document, what))
    ]
    for act, thing in ends_of(document, "ProvUsage"):
        if thing not in made or index(made[thing]) >= index(act):
            faults.append(f"{thing} is used by {act} before it is there")
        if thing in ended and index(ended[thing]) < index(act):
            faults.append(f"{thing} is used by {act} after its end")
    faults += [f"{t} ends at once" for t in ended if made.get(t) == ended[t]]
    for new, old in ends_of(document, "ProvDerivation"):
        if new not in made or old not in made or index(made[old]) >= index(made[new]):
            faults.append(f"{new} is of {old} which is not there")
    for part, whole in ends_of(document, "ProvSpecialization"):
        if index(made[whole]) >= index(made[part]):
            faults.append(f"{part} is there before {whole}")
    return faults + cycles(document) + strangers(document)


def cycles(document: Any) -> list[str]:
    """Return the rings of things that would be made of each other."""
    graph = nx.DiGraph(ends_of(document, "ProvDerivation"))
    return [] if nx.is_directed_acyclic_graph(graph) else ["made of itself"]


def strangers(document: Any) -> list[str]:
    """Return what a relation names and nobody declares, and what has two natures."""
    known = [names_of(document, what) for what in THINGS]
    every = set().union(*known)
    faults = ["two natures"] if sum(map(len, known)) > len(every) else []
    for record in document.get_records():
        if not record.is_element():
            ends = {str(end) for end in record.args[:2]}
            faults += [f"{name} is nowhere" for name in ends - every]
    return faults


def index(name: str) -> int:
    """Return the number of the entry that an activity is."""
    return int(name.rpartition("-")[2])
