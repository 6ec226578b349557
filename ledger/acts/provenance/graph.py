"""A provenance graph: things, what was done, who did it, and how they hang together.

Every relation bears an identifier of its own, made of the entry that it rests on, so
that two exports of one log name the same things alike and the bytes come out the same.

Source: W3C PROV-DM (Recommendation of 30 April 2013) for the relations and what they
mean; PROV-JSON (W3C Member Submission of 24 April 2013) for how they are written.
"""

import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import quote

Attributes = dict[str, Any]

PREFIX = "log"
# What a relation is from and to: the members' names in PROV-JSON.
ENDS = {
    "used": ("prov:activity", "prov:entity"),
    "wasGeneratedBy": ("prov:entity", "prov:activity"),
    "wasInvalidatedBy": ("prov:entity", "prov:activity"),
    "wasDerivedFrom": ("prov:generatedEntity", "prov:usedEntity"),
    "wasAssociatedWith": ("prov:activity", "prov:agent"),
    "wasAttributedTo": ("prov:entity", "prov:agent"),
    "wasInfluencedBy": ("prov:influencee", "prov:influencer"),
    "hadMember": ("prov:collection", "prov:entity"),
    "specializationOf": ("prov:specificEntity", "prov:generalEntity"),
}
# PROV-DM gives these two no identifier: PROV-JSON keys them by a blank node.
UNNAMED = ("hadMember", "specializationOf")
WOOD = ("lot-", "batch-")
# These come along with what is done to a thing, wherever else they belong.
BESIDE = ("file", "document", "certificate", "shipment", "batch", "gauge", "record")


@dataclass(frozen=True, slots=True, kw_only=True)
class Relation:
    """One relation: its kind, from what to what, and the entry that it rests on."""

    kind: str
    name: str
    start: str
    end: str
    more: Attributes = field(default_factory=dict)


@dataclass(slots=True, kw_only=True)
class Graph:
    """Everything by its name; `touches` says which things an entry is about.

    An entry that was struck is about things and has no relation to them.
    """

    base: str
    entities: dict[str, Attributes] = field(default_factory=dict)
    activities: dict[str, Attributes] = field(default_factory=dict)
    agents: dict[str, Attributes] = field(default_factory=dict)
    relations: list[Relation] = field(default_factory=list)
    touches: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))

    def relate(self, kind: str, index: int, start: str, end: str, **more: Any) -> None:
        """Say how two things hang together, by which entry.

        It is named by the entry, and within it by how many of its kind came before.
        """
        before = sum(
            1 for known in reversed_until(self.relations, index) if known.kind == kind
        )
        name = f"{kind}-{index}-{before + 1}"
        said = Relation(kind=kind, name=name, start=start, end=end, more=more)
        self.relations.append(said)

    def data(self) -> bytes:
        """Return its canonical bytes: PROV-JSON by the rules of RFC 8785."""
        document: dict[str, Any] = {"prefix": {PREFIX: self.base}}
        for kind, known in (
            ("entity", self.entities),
            ("activity", self.activities),
            ("agent", self.agents),
        ):
            if known:
                document[kind] = {named(name): told for name, told in known.items()}
        for relation in self.relations:
            start, end = ENDS[relation.kind]
            ends = {start: named(relation.start), end: named(relation.end)}
            key = named(relation.name)
            if relation.kind in UNNAMED:
                key = f"_:{relation.name}"
            document.setdefault(relation.kind, {})[key] = ends | relation.more
        # All names are ASCII and all numbers whole: these are RFC 8785's bytes.
        return json.dumps(
            document, ensure_ascii=False, sort_keys=True, separators=(",", ":")
        ).encode("utf-8")

    def about(self, starts: Collection[str]) -> "Graph":
        """Return of the graph what some things came from and what became of them.

        From a thing on the way up nothing leads down again: who else is of the same
        wood is not told.
        """
        starts = {*starts, *self._came_with(starts)}
        whole = _closure(starts, self._steps(up=True))
        whole |= _closure(starts, self._steps(up=False))
        for relation in self.relations:
            # An instrument as it was certified stands beside the one it is of.
            if relation.kind == "specializationOf" and relation.end in whole:
                paper = relation.start.replace("made-", "certificate-", 1)
                whole |= {relation.start, paper}
        done = {name for name, about in self.touches.items() if about & whole}
        for relation in self.relations:
            ends = {relation.start, relation.end}
            if relation.kind in ("used", "wasGeneratedBy") and ends & done:
                whole |= {name for name in ends if name.partition("-")[0] in BESIDE}
        done |= {
            relation.end
            for relation in self.relations
            if relation.kind == "wasGeneratedBy" and relation.start in whole
        }
        return self._part(whole, done)

    def _came_with(self, starts: Collection[str]) -> set[str]:
        """Return the lots and batches that papers came with or were joined to."""
        papers = {name for name in starts if name.startswith("document-")}
        together = [about for about in self.touches.values() if about & papers]
        return {n for about in together for n in about if n.startswith(WOOD)}

    def _steps(self, *, up: bool) -> dict[str, list[str]]:
        steps: dict[str, list[str]] = defaultdict(list)
        for relation in self.relations:
            if relation.kind == "wasDerivedFrom" and up:
                steps[relation.start].append(relation.end)
            elif relation.kind == "wasDerivedFrom":
                steps[relation.end].append(relation.start)
            elif relation.kind == "hadMember" and up:
                steps[relation.start].append(relation.end)
            elif relation.kind == "hadMember":
                steps[relation.end].append(relation.start)
        return steps

    def _part(self, whole: Collection[str], done: Collection[str]) -> "Graph":
        inside = {*whole, *done, *self.agents}
        kept = [r for r in self.relations if r.start in inside and r.end in inside]
        agents = {relation.end for relation in kept} & self.agents.keys()
        return Graph(
            base=self.base,
            entities={n: told for n, told in self.entities.items() if n in whole},
            activities={n: told for n, told in self.activities.items() if n in done},
            agents={n: told for n, told in self.agents.items() if n in agents},
            relations=kept,
        )


def reversed_until(relations: list[Relation], index: int) -> Iterator[Relation]:
    """Yield the newest relations as long as they rest on an entry."""
    for relation in reversed(relations):
        if relation.name.split("-")[1] != str(index):
            return
        yield relation


def local(kind: str, code: object) -> str:
    """Return the name of a thing: what it is, and its code with odd letters escaped."""
    return f"{kind}-{quote(str(code), safe='-._~')}"


def named(name: str) -> str:
    """Return a name as PROV-JSON has it, behind the prefix of the log."""
    return f"{PREFIX}:{name}"


def typed(*names: str) -> Attributes:
    """Return the types of a thing; those of PROV's own bear its prefix."""
    types = [
        {"$": name if ":" in name else named(name), "type": "xsd:QName"}
        for name in names
    ]
    return {"prov:type": types[0] if len(types) == 1 else types}


def _closure(starts: Iterable[str], steps: dict[str, list[str]]) -> set[str]:
    found: set[str] = set()
    ahead = list(starts)
    while ahead:
        name = ahead.pop()
        if name not in found:
            found.add(name)
            ahead += steps.get(name, ())
    return found
