"""The walk over the records: chain, signatures and authority, one after the other.

A `Walk` is fed the stored rows from index 0 on and needs no database. It hashes each
record again, reads it, and judges it under the standing of those before it. A record
that may not stand changes nothing for those that follow. One that goes on where another
ended is given what that one knew, and how to read what stands before.
"""

from array import array
from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, field
from sys import intern

from ledger.audit.findings import Finding
from ledger.errors import RefusedError, TamperError
from ledger.events import (
    ClockDoubted,
    CorrectionMade,
    EntryAffirmed,
    EntryRecovered,
    Event,
    LotReceived,
    ShopContinued,
    codec,
)
from ledger.log import merkle
from ledger.log.approvals import approvers_of, once_of
from ledger.log.authority import LINEAGE, judge, judge_lineage
from ledger.log.entry import NO_PREVIOUS, Entry, Record, parse_record
from ledger.log.recovery import recovered
from ledger.log.standing import Standing, apply, cloud, is_governing

TREE, ROLES, ALL = "tree", "roles", "all"
LEVELS = (TREE, ROLES, ALL)

# Takes an entry that is not refused, and the event it says if that is understood.
Heard = Callable[[Entry, Event | None], None]
# Tells the record of an entry that stands before the walk, or None.
Earlier = Callable[[int], bytes | None]


def _nothing_earlier(_index: int) -> bytes | None:
    return None


@dataclass(slots=True, kw_only=True)
class Walk:
    """Where a walk over the records has come to, and what it found."""

    level: str = ALL
    heard: Heard | None = None
    earlier: Earlier = _nothing_earlier
    findings: list[Finding] = field(default_factory=list)
    standing: Standing = field(default_factory=Standing)
    size: int = 0
    next_index: int = 0
    edge: tuple[bytes, ...] = ()
    edge_before: tuple[bytes, ...] = ()  # without the newest
    previous: str = NO_PREVIOUS
    newest_at: str = ""
    onces: set[str] = field(default_factory=set)
    doubts: list[tuple[str, str]] = field(default_factory=list)
    keys: dict[int, str] = field(default_factory=dict)  # who said which entry
    approvers: dict[int, tuple[str, ...]] = field(default_factory=dict)
    governing: set[int] = field(default_factory=set)
    struck: set[int] = field(default_factory=set)
    indices: "array[int]" = field(default_factory=lambda: array("q"))
    leaves: bytearray = field(default_factory=bytearray)  # of the indices, in order

    @property
    def root(self) -> bytes:
        """The root hash of the records so far, hashed again."""
        return merkle.edge_root(self.edge)

    def feed(self, index: int, data: bytes, leaf: bytes) -> bytes | None:
        """Take the next stored row, and return the hash of the record it holds.

        A row before the first index is no entry, and has none.
        """
        if index < 0:
            self._find(index, "gap", "there is no place before entry 0")
            return None
        if index != self.next_index:
            self._find(index, "gap", f"expected entry {self.next_index}")
        self.next_index = index + 1
        hashed = merkle.leaf_hash(data)
        if hashed != leaf:
            self._find(index, "leaf", "the stored leaf hash is another")
        self.edge_before, self.edge = (
            self.edge,
            merkle.extend(self.edge, self.size, hashed),
        )
        self.indices.append(index)
        self.leaves += hashed
        self.size += 1
        try:
            record = parse_record(data)
        except TamperError as fault:
            self._find(index, "malformed", str(fault))
        else:
            self._follow(index, record)
        self.previous = hashed.hex()
        return hashed

    def _follow(self, index: int, record: Record) -> None:
        entry = record.entry
        if entry.index != index:
            self._find(index, "index", f"it says {entry.index}")
        if entry.previous != self.previous:
            self._find(index, "chain", "it names another entry as the one before")
        if entry.at < self.newest_at:
            self._find(index, "time", f"{entry.at} is before {self.newest_at}")
        self.newest_at = max(entry.at, self.newest_at)
        self.keys[index] = intern(entry.key)
        if self.level != TREE:
            self._judge(index, record)
        elif entry.kind in LINEAGE or index == 0:
            self._judge_lineage(index, record)

    def _judge_lineage(self, index: int, record: Record) -> None:
        """Follow the log's own keys where nobody else's are asked for."""
        judgement = judge_lineage(self.standing, record)
        if judgement:
            apply(self.standing, index, record.entry.event, record.entry.key)
        else:
            self._find(index, "authority", "; ".join(judgement.reasons))

    def _judge(self, index: int, record: Record) -> None:
        entry = record.entry
        governs = is_governing(entry.kind)
        judgement = judge(
            self.standing,
            record,
            used_once=self.onces,
            with_signature=governs or self.level == ALL,
        )
        if not judgement:
            cause = "unknown" if judgement.is_open else "authority"
            self._find(index, cause, "; ".join(judgement.reasons))
            if not judgement.is_open:
                return
            cloud(self.standing, entry.kind, index)
        elif governs:
            apply(self.standing, entry.index, entry.event, entry.key)
            self.governing.add(index)
        once = once_of(entry.event)
        if once is not None:
            self.onces.add(once)
            self.approvers[index] = tuple(map(intern, approvers_of(entry.event)))
        if self.level != TREE:
            self._hear(index, entry, is_judged=bool(judgement))

    def _hear(self, index: int, entry: Entry, *, is_judged: bool) -> None:
        event = self._understood(index, entry, is_judged=is_judged)
        if isinstance(event, ClockDoubted):
            self.doubts.append((event.from_, event.to))
        elif event is not None and self._is_timeless(entry):
            self._find(index, "clock", f"it was entered at {entry.at}, which is false")
        if event is not None:
            self._judge_what_is_said(index, entry, event)
        if self.heard is not None:
            self.heard(entry, event)

    def _judge_what_is_said(self, index: int, entry: Entry, event: Event) -> None:
        """Judge what every act sees to, in the entry of somebody who asked none."""
        happened_at = entry.happened_at
        if isinstance(event, LotReceived):
            happened_at = max(happened_at, event.received_on)
        if happened_at > entry.at:
            detail = f"it happened {happened_at}, after it was entered at {entry.at}"
            self._find(index, "clock", detail)
        if isinstance(event, CorrectionMade):
            self._judge_correction(index, entry, event)
        if isinstance(event, EntryAffirmed):
            self._judge_affirmation(index, event)
        if isinstance(event, EntryRecovered):
            self._judge_recovered(index, event)
        if isinstance(event, ShopContinued):
            self._judge_volume(index, event)

    def _judge_recovered(self, index: int, event: EntryRecovered) -> None:
        origin, of, text = event.origin, event.index, event.record
        try:
            recovered(self.standing, origin=origin, index=of, text=text)
        except RefusedError as refusal:
            self._find(index, "authority", str(refusal))

    def _judge_volume(self, index: int, event: ShopContinued) -> None:
        """See that the head which a volume closes is that of the entries before it."""
        if event.closed.root != merkle.edge_root(self.edge_before).hex():
            detail = f"it closes another history of {event.closed.size} entries"
            self._find(index, "checkpoint", detail)

    def _judge_affirmation(self, index: int, event: EntryAffirmed) -> None:
        if self._leaf_at(event.index).hex() != event.leaf:
            detail = f"it affirms entry {event.index}, and another one was meant"
            self._find(index, "affirmed", detail)
        elif event.key not in self._speakers_at(event.index):
            detail = f"key {event.key} neither said nor approved entry {event.index}"
            self._find(index, "affirmed", detail)

    def _judge_correction(
        self, index: int, entry: Entry, event: CorrectionMade
    ) -> None:
        if self._leaf_at(event.index).hex() != event.struck:
            detail = f"it strikes entry {event.index}, and another one was meant"
            self._find(index, "struck", detail)
        self.struck.add(event.index)
        if not self._may_strike(entry, event):
            detail = f"entry {event.index} was said by somebody else, who may strike it"
            self._find(index, "authority", f"{detail}, or a lead")

    def _leaf_at(self, index: int) -> bytes:
        """Return the leaf hash of an entry of this log, or nothing."""
        place = bisect_left(self.indices, index)
        if self.indices[place : place + 1] != array("q", [index]):
            data = self.earlier(index)
            return b"" if data is None else merkle.leaf_hash(data)
        start = place * merkle.HASH_SIZE
        return bytes(self.leaves[start : start + merkle.HASH_SIZE])

    def _may_strike(self, entry: Entry, event: CorrectionMade) -> bool:
        said_by, known = self._key_at(event.index), self.standing.keys
        mine, theirs = (
            known[key].subject if key in known else None for key in (entry.key, said_by)
        )
        return mine == theirs or "lead" in self.standing.roles_of(mine)

    def _key_at(self, index: int) -> str | None:
        return next(iter(self._speakers_at(index)), None)

    def _speakers_at(self, index: int) -> tuple[str | None, ...]:
        """Return the keys that said and approved an entry of this log."""
        data = None if index in self.keys else self.earlier(index)
        if data is None:
            return (self.keys.get(index), *self.approvers.get(index, ()))
        try:
            entry = parse_record(data).entry
        except TamperError:
            return ()
        return (entry.key, *approvers_of(entry.event))

    def _understood(self, index: int, entry: Entry, *, is_judged: bool) -> Event | None:
        if entry.kind not in codec.KINDS:
            if is_judged:
                self._find(index, "unknown", f"the kind {entry.kind} is not known here")
            return None
        try:
            return codec.parse(entry.event)
        except TamperError as fault:
            self._find(index, "event", str(fault))
            return None

    def _is_timeless(self, entry: Entry) -> bool:
        is_doubted = any(since <= entry.at <= until for since, until in self.doubts)
        return is_doubted and "happened_at" not in entry.event

    def _find(self, index: int, cause: str, detail: str) -> None:
        self.findings.append(Finding(index, cause, detail))
