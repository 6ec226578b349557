"""Entries told as provenance: what each used, made, ended, and by whose hand.

An entry is an activity; a lot, a board, a part, an instrument and a paper are entities.
A thing is made once and ended once: what is said of it after its end influenced the
entry, as PROV has it, and was not used by it. An entry that was struck is told, marked,
and makes and ends nothing; its record stands as an entity of which the correction's
record is a revision.

Only what a table below names is told: no reason, no name, no order, no promise, no
place. Who did it is a badge.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from ledger import events as said
from ledger.acts.provenance.graph import Attributes, Graph, local, named, typed
from ledger.benchcodes import GaugeId
from ledger.errors import TamperError
from ledger.events import Event, codec
from ledger.log.entry import Entry

# Words that are facts of the wood, the work or a paper, and never of a person.
WORDS = (
    *("species", "trade_name", "form", "received_on", "harvested_in", "evidence"),
    *("opening", "meant_for", "offcut", "part", "model", "step", "meaning", "stage"),
    *("face", "paper", "issued_on", "expires_on", "held_as", "way", "grade", "what"),
    *("method", "outcome", "on", "errand", "fate", "moves_on", "day"),
)
# Which member of an event names which kind of thing.
ONE = {
    "board": "board",
    "lot": "lot",
    "document": "document",
    "batch": "batch",
    "gauge": "gauge",
    "serial": "serial",
    "certificate": "certificate",
    "shipment": "shipment",
}
SEVERAL = {
    "boards": "board",
    "parents": "board",
    "codes": "board",
    "documents": "document",
    "materials": "batch",
    "gauges": "gauge",
    "serials": "serial",
}
FILES = ("sha256", "recording_sha256")
HALVES = ("A", "B")
REVISION = typed("prov:Revision")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Who signed, as an agent: a badge, or a key that nobody wears."""

    name: str
    attributes: Attributes


@dataclass(slots=True, kw_only=True)
class Telling:
    """Entries told one after the other, the oldest first.

    hands     who signed, by key
    sawyers   the agents of suppliers, by subject
    struck    which entry struck an entry
    told      how each kind is told; of any other only that it was said
    """

    graph: Graph
    hands: Mapping[str, Hand]
    sawyers: Mapping[str, Hand]
    struck: Mapping[int, int]
    told: Mapping[type[Any], Callable[["Act"], None]]
    made: set[str] = field(default_factory=set)
    ended: set[str] = field(default_factory=set)
    # The part that a board is today, of which serial, and a serial's certified state.
    part_of: dict[str, str] = field(default_factory=dict)
    serial_of: dict[str, str] = field(default_factory=dict)
    certified: dict[str, str] = field(default_factory=dict)

    def tell(self, entry: Entry, leaf: bytes) -> None:
        """Tell one entry; what this version does not understand is told by its kind."""
        event = _parsed(entry)
        name = local("entry", entry.index)
        about: Attributes = {
            "prov:startTime": entry.at,
            "prov:endTime": entry.at,
            **typed("Entry"),
            named("index"): entry.index,
            named("kind"): entry.kind,
            named("leaf"): leaf.hex(),
        }
        if entry.happened_at != entry.at:
            about[named("happened_at")] = entry.happened_at
        self.graph.activities[name] = about
        hand = self.hands.get(entry.key) or _key_alone(entry.key)
        self.graph.agents.setdefault(hand.name, hand.attributes)
        self.graph.relate("wasAssociatedWith", entry.index, name, hand.name)
        if isinstance(event, said.CorrectionMade):
            self._correct(entry.index, event, leaf)
        if event is None or type(event) not in self.told:
            return
        about |= facts_in(entry.event)
        self.graph.touches[name] |= {*names_in(event)}
        if entry.index in self.struck:
            about[named("struck_by")] = self.struck[entry.index]
            self._record(entry.index, leaf)
            return
        Act(self, entry.index, event, entry.event).tell()

    def parts_of(self, serial: str, code: str) -> list[str]:
        """Return the parts of an instrument that a board is, or a set by its halves."""
        boards = (code, *(f"{code}.{half}" for half in HALVES))
        return [
            self.part_of[board]
            for board in boards
            if self.serial_of.get(board) == serial
        ]

    def _correct(self, index: int, event: said.CorrectionMade, leaf: bytes) -> None:
        after, before = local("record", index), local("record", event.index)
        self._record(index, leaf)
        name, struck = local("entry", index), local("entry", event.index)
        self.graph.touches[name] = self.graph.touches[struck] | {after}
        self.graph.touches[struck] |= {before}
        if before in self.graph.entities:
            self.graph.relate("wasDerivedFrom", index, after, before, **REVISION)
            self.graph.relate("wasInvalidatedBy", index, before, name)

    def _record(self, index: int, leaf: bytes) -> None:
        name = local("record", index)
        self.graph.entities[name] = {
            **typed("Record"),
            named("leaf"): leaf.hex(),
        }
        self.graph.relate("wasGeneratedBy", index, name, local("entry", index))


@dataclass(frozen=True, slots=True)
class Act:
    """One entry being told: what it used, made and ended."""

    telling: Telling
    index: int
    event: Any
    members: Mapping[str, Any]

    @property
    def name(self) -> str:
        """The activity."""
        return local("entry", self.index)

    def tell(self) -> None:
        """Tell it as its kind is told."""
        self.telling.told[type(self.event)](self)

    def use(self, *names: str) -> None:
        """Say that something was used, or what is over by now had its influence.

        A set is its halves; what was never said to be there is passed over.
        """
        known = self.telling.graph.entities
        halves = (f"{name}.{half}" for name in names for half in HALVES)
        for name in dict.fromkeys((*names, *halves)):
            if name not in known:
                continue
            kind = "wasInfluencedBy" if name in self.telling.ended else "used"
            self.telling.graph.touches[self.name].add(name)
            self.telling.graph.relate(kind, self.index, self.name, name)

    def make(self, name: str, **about: Any) -> None:
        """Say that something came to be; what is there already was used."""
        if name in self.telling.made:
            self.use(name)
            return
        self.telling.made.add(name)
        self.telling.graph.entities[name] = about
        self.telling.graph.relate("wasGeneratedBy", self.index, name, self.name)
        self.telling.graph.touches[self.name].add(name)

    def derive(self, made: str, of: str, **more: Any) -> None:
        """Say what something was made of."""
        more = {"prov:activity": named(self.name)} | more
        self.telling.graph.relate("wasDerivedFrom", self.index, made, of, **more)

    def end(self, name: str) -> None:
        """Say that something is no more; nothing ends twice."""
        if name not in self.telling.ended and name in self.telling.graph.entities:
            self.telling.ended.add(name)
            self.telling.graph.relate("wasInvalidatedBy", self.index, name, self.name)

    def attribute(self, name: str, supplier: str | None) -> None:
        """Say from whom something is, as far as that may be shown."""
        sawyer = self.telling.sawyers.get(supplier or "")
        if sawyer is not None:
            self.telling.graph.agents.setdefault(sawyer.name, sawyer.attributes)
            self.telling.graph.relate("wasAttributedTo", self.index, name, sawyer.name)

    def files(self, of: str | None = None) -> None:
        """Say which files came with it: recordings, photographs, printed papers."""
        digests = [getattr(self.event, member, None) for member in FILES]
        for digest in (*digests, *getattr(self.event, "photographs", ())):
            if digest is not None:
                name = local("file", digest)
                is_new = name not in self.telling.made
                about = typed("File") | {named("sha256"): digest}
                self.make(name, **about)
                if of is not None and is_new:
                    self.derive(name, of)


def _parsed(entry: Entry) -> Event | None:
    try:
        return codec.parse(entry.event)
    except TamperError:
        return None


def names_in(event: Any) -> list[str]:
    """Return the things that an event names."""
    names = []
    for member, kind in ONE.items():
        code = getattr(event, member, None)
        # What measured is a code of the shop, or free words that are no thing's name.
        is_named = kind != "gauge" or GaugeId.form.shape.fullmatch(code or "")
        if code is not None and is_named:
            names.append(local(kind, code))
    for member, kind in SEVERAL.items():
        codes = getattr(event, member, None)
        # The boards of a lot are a number, and a certificate's materials are no codes.
        if isinstance(codes, tuple):
            names += [local(kind, code) for code in codes if isinstance(code, str)]
    return names


def facts_in(members: Mapping[str, Any]) -> Attributes:
    """Return the whole numbers and the listed words among an event's members."""
    return {
        named(member): value
        for member, value in members.items()
        if member in WORDS or (isinstance(value, int) and not isinstance(value, bool))
    }


def _key_alone(key: str) -> Hand:
    return Hand(name=local("key", key), attributes=typed("Key"))
