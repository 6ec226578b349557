"""A log of governing entries for tests: keys fixed by their names, judged in memory."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any

from ledger.log.approvals import approve
from ledger.log.authority import LINEAGE, Judgement, judge
from ledger.log.entry import NO_PREVIOUS, Entry, Record, parse_record, seal
from ledger.log.governing import founding_origin
from ledger.log.keys import (
    SecretKey,
    prove_possession,
    signature_text,
)
from ledger.log.standing import Standing, apply

Event = dict[str, Any]

VECTORS = Path(__file__).parents[2] / "vectors/log"
ROOTS = ("root-1", "root-2", "root-3")


def secret(name: str) -> SecretKey:
    """Return the key of a name."""
    return SecretKey(sha256(f"a key for tests: {name}".encode()).digest())


def subject(name: str) -> str:
    """Return the subject id of a name."""
    return sha256(f"a subject for tests: {name}".encode()).hexdigest()[:32]


ORIGIN = founding_origin([secret(name).public for name in ROOTS])


def shown(name: str, purpose: str, origin: str = ORIGIN) -> Event:
    """Show a key with its possession for one purpose."""
    key = secret(name)
    possession = prove_possession(key, origin=origin, purpose=purpose)
    return {"public": str(key.public), "possession": possession}


def founded(
    roots: Sequence[str] = ROOTS,
    threshold: int = 2,
    log: str = "log",
    domain: str = "",
) -> Event:
    """Say that a shop was founded by these roots, with a domain or without."""
    origin = domain or founding_origin([secret(name).public for name in roots])
    return {
        "kind": "shop.founded/1",
        "log": shown(log, "log", origin),
        "name": "Skerrymoor Fretted Instruments",
        "origin": origin,
        "roots": [shown(name, "root", origin) for name in roots],
        "threshold": threshold,
        "unicode": "15.0.0",
    }


def roots_changed(
    roots: Sequence[str], threshold: int, version: int, origin: str = ORIGIN
) -> Event:
    """Say that other roots decide from now on."""
    return {
        "kind": "root.changed/1",
        "roots": [shown(name, "root", origin) for name in roots],
        "threshold": threshold,
        "version": version,
    }


def enrolled(who: str, key: str | None = None) -> Event:
    """Say that a person was enrolled with a key of the same name, or another."""
    return shown(key or who, "person") | {
        "badge": "01",
        "kind": "person.enrolled/1",
        "name_commitment": "5a" * 32,
        "subject": subject(who),
    }


def replaced(who: str, key: str) -> Event:
    """Say that a person's key was replaced by another."""
    return shown(key, "person") | {
        "kind": "person.key-replaced/1",
        "subject": subject(who),
    }


def erased(who: str) -> Event:
    """Say that a person's name was erased."""
    return {"kind": "person.erased/1", "subject": subject(who)}


def role(who: str, name: str, verb: str = "granted") -> Event:
    """Say that a role was granted to a person, or withdrawn."""
    return {"kind": f"role.{verb}/1", "role": name, "subject": subject(who)}


def qualified(who: str, name: str = "receive", verb: str = "granted") -> Event:
    """Say that a person was qualified for something, or no longer is."""
    kind = f"qualification.{verb}/1"
    return {"kind": kind, "qualification": name, "subject": subject(who)}


def key_enrolled(name: str, purpose: str) -> Event:
    """Say that a key of the shop was enrolled, under its purpose's own name."""
    return shown(name, purpose) | {"kind": "key.enrolled/1", "purpose": purpose}


def retired(key: str) -> Event:
    """Say that a key was retired."""
    return {"key": secret(key).id, "kind": "key.retired/1"}


def reported(key: str, since: int) -> Event:
    """Say that a key was in other hands since an entry."""
    return {"key": secret(key).id, "kind": "key.compromised/1", "since_index": since}


def affirmed(key: str, index: int, leaf: str = "5a" * 32) -> Event:
    """Say that what a key said in an entry was meant."""
    return {
        "index": index,
        "key": secret(key).id,
        "kind": "entry.affirmed/1",
        "leaf": leaf,
    }


def log_key_replaced(key: str, origin: str = ORIGIN) -> Event:
    """Say that the log has another key from now on."""
    return shown(key, "log", origin) | {"kind": "log.key-replaced/1"}


def adopted(*rules: Event) -> Event:
    """Say that a signing policy was adopted."""
    text = {"format": "flitchbook-policy/1", "id": "the-loft", "version": 1}
    return {"kind": "policy.adopted/1", "policy": text | {"rules": list(rules)}}


def rule(
    kinds: Iterable[object], any_of: Iterable[Event], approvals: int = 0
) -> dict[str, Any]:
    """Return one rule of a signing policy."""
    return {"any_of": list(any_of), "approvals": approvals, "kinds": list(kinds)}


def plain(kind: str, **members: object) -> Event:
    """Say something that changes nobody's standing."""
    return {"kind": kind, **members}


@dataclass
class Workshop:
    """A log that grows in memory: each entry is judged, and moves the standing."""

    standing: Standing = field(default_factory=Standing)
    records: list[Record] = field(default_factory=list)
    used_once: set[str] = field(default_factory=set)
    drawn: int = 0

    def origin_of(self, event: Event) -> str:
        """Return the origin of what is said: a founding and a volume name their own."""
        begins = event["kind"].startswith("shop.") and "origin" in event
        is_named = begins or not self.standing.origin
        return str(event["origin"]) if is_named else self.standing.origin

    def approved(self, event: Event, yes: Sequence[str], version: int = 0) -> Event:
        """Return the event with the approvals of these keys, or bare for none."""
        if not yes:
            return event
        self.drawn += 1
        return approve(
            event,
            origin=self.origin_of(event),
            root_version=version or self.standing.root_version or 1,
            once=self.drawn.to_bytes(16, "big"),
            by=[secret(name) for name in yes],
        )

    def record(self, event: Event, by: str, origin: str = "") -> Record:
        """Return the next record, with the event as it is."""
        entry = Entry(
            at="2026-01-02T08:00:00Z",
            event=event,
            index=len(self.records),
            key=secret(by).id,
            origin=origin or self.origin_of(event),
            previous=self.records[-1].leaf.hex() if self.records else NO_PREVIOUS,
        )
        return parse_record(seal(entry, secret(by)).data)

    def judged(self, event: Event, *, by: str, yes: Sequence[str] = ()) -> Judgement:
        """Judge what one says and others approve, as the next entry."""
        record = self.record(self.approved(event, yes), by)
        return judge(self.standing, record, used_once=self.used_once)

    def says(self, event: Event, *, by: str, yes: Sequence[str] = ()) -> None:
        """Append what one says and others approve; it must be allowed."""
        self.append(self.record(self.approved(event, yes), by))

    def lineage(self) -> list[bytes]:
        """Return the records of the founding, and of what changed roots and log."""
        return [r.data for r in self.records if r.entry.kind in LINEAGE]

    def append(self, record: Record) -> None:
        """Append a record, which must be allowed."""
        judgement = judge(self.standing, record, used_once=self.used_once)
        if not judgement:
            raise AssertionError(f"{record.entry.kind}: {judgement.reasons}")
        apply(self.standing, record.entry.index, record.entry.event, record.entry.key)
        self.used_once.add(record.entry.event.get("approvals", {}).get("once", ""))
        self.records.append(record)


def newly_founded(roots: Sequence[str] = ROOTS, threshold: int = 2) -> Workshop:
    """Return a log that holds its founding."""
    shop = Workshop()
    shop.says(founded(roots, threshold), by=roots[0], yes=roots)
    return shop


def staffed() -> Workshop:
    """Return a log with two leads, a key-administrator, a builder and a helper."""
    shop = newly_founded()
    for who in ("lead", "second", "office", "builder", "helper"):
        shop.says(enrolled(who), by="root-1", yes=("root-1", "root-2"))
    for who, name in (
        ("lead", "lead"),
        ("second", "lead"),
        ("office", "key-administrator"),
    ):
        shop.says(role(who, name), by="root-1", yes=("root-2", "root-3"))
    shop.says(qualified("helper"), by="lead")
    return shop


def vector_records() -> list[Record]:
    """Return the records of the committed vectors."""
    lines = (VECTORS / "records.txt").read_bytes().split(b"\n")[:-1]
    pairs = zip(lines[::2], lines[1::2], strict=True)
    return [parse_record(entry + b"\n" + said + b"\n") for entry, said in pairs]


def with_false_yes(event: Event, false: str, *good: str) -> Event:
    """Return an event that one key seems to approve, and others do."""
    keys = [secret(name) for name in (false, *good)]
    said = approve(
        event,
        origin=staffed().standing.origin,
        root_version=1,
        once=b"\x07" * 16,
        by=keys,
    )
    (row,) = (row for row in said["approvals"]["by"] if row["key"] == keys[0].id)
    row["signature"] = signature_text(keys[0].sign(b"something else"))
    return said
