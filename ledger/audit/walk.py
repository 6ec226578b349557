"""The walk over the records: chain, signatures and authority, one after the other.

A `Walk` is fed the stored rows from index 0 on and needs no database. It hashes each
record again, reads it, and judges it under the standing of those before it. A record
that may not stand changes nothing for those that follow.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

from ledger.audit.findings import Finding
from ledger.errors import TamperError
from ledger.events import ClockDoubted, Event, codec
from ledger.log import merkle
from ledger.log.authority import judge
from ledger.log.entry import NO_PREVIOUS, Entry, Record, parse_record
from ledger.log.standing import Standing, apply, cloud, is_governing

TREE, ROLES, ALL = "tree", "roles", "all"
LEVELS = (TREE, ROLES, ALL)

# Takes an entry that may stand and the event it says.
Heard = Callable[[Entry, Event], None]


@dataclass(slots=True, kw_only=True)
class Walk:
    """Where a walk over the records has come to, and what it found."""

    level: str = ALL
    heard: Heard | None = None
    findings: list[Finding] = field(default_factory=list)
    standing: Standing = field(default_factory=Standing)
    size: int = 0
    edge: tuple[bytes, ...] = ()
    previous: str = NO_PREVIOUS
    newest_at: str = ""
    onces: set[str] = field(default_factory=set)
    doubts: list[tuple[str, str]] = field(default_factory=list)

    @property
    def root(self) -> bytes:
        """The root hash of the records so far, hashed again."""
        return merkle.edge_root(self.edge)

    def feed(self, index: int, data: bytes, leaf: bytes) -> bytes:
        """Take the next stored row, and return the hash of the record it holds."""
        if index != self.size:
            self._find(index, "gap", f"expected entry {self.size}")
        hashed = merkle.leaf_hash(data)
        if hashed != leaf:
            self._find(index, "leaf", "the stored leaf hash is another")
        self.edge = merkle.extend(self.edge, self.size, hashed)
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
        if index == 0 or self.level != TREE:
            self._judge(index, record)

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
            if judgement.is_open:
                cloud(self.standing, entry.kind, index)
            return
        approvals = entry.event.get("approvals")
        if approvals is not None:
            self.onces.add(approvals["once"])
        if governs:
            apply(self.standing, entry.index, entry.event)
        if self.level != TREE:
            self._hear(index, entry)

    def _hear(self, index: int, entry: Entry) -> None:
        if entry.kind not in codec.KINDS:
            self._find(index, "unknown", f"the kind {entry.kind} is not known here")
            return
        try:
            event = codec.parse(entry.event)
        except TamperError as fault:
            self._find(index, "event", str(fault))
            return
        if isinstance(event, ClockDoubted):
            self.doubts.append((event.from_, event.to))
        elif self._is_doubted(entry.at) and "happened_at" not in entry.event:
            self._find(index, "clock", f"it was entered at {entry.at}, which is false")
        if self.heard is not None:
            self.heard(entry, event)

    def _is_doubted(self, at: str) -> bool:
        return any(since <= at <= until for since, until in self.doubts)

    def _find(self, index: int, cause: str, detail: str) -> None:
        self.findings.append(Finding(index, cause, detail))
