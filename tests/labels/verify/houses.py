"""Invented shops for the two readers, made by hand in memory, any number of them.

    house = founded(Plan(label="three roots", roots=3, threshold=2))
    sale = sold(house)

Only what leaves a building is made: the other leaves of the tree are any hashes, so
that an entry may stand wherever it likes in a tree of any size.
"""

import json
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from hashlib import sha256
from typing import Any

from ledger.log import merkle
from ledger.log.checkpoint import NoteKey
from ledger.log.governing import founding_origin
from ledger.log.keys import PublicKey, SecretKey, signature_text
from ledger.log.keysfile import write_keys_file
from ledger.log.standing import Standing, apply
from tests.labels.verify.sayings import Json, b64, certificate, loosely

AT = "2026-11-21T15:40:00Z"
FIRST_CHANGE = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """How a shop is made: its roots, its origin, and where its certificate stands."""

    label: str
    roots: int = 1
    threshold: int = 1
    changes: int = 0  # of the roots, in the lineage
    domain: str = ""
    name: str = "Skerrymoor Fretted Instruments"
    is_replaced: bool = False  # the lead has another key since
    index: int = 10
    head: int = 14
    size: int = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """A shop: its standing, its lineage, and the keys of everybody."""

    plan: Plan
    origin: str
    standing: Standing
    lineage: tuple[bytes, ...]
    roots: tuple[SecretKey, ...]  # those of today

    def key(self, name: str) -> SecretKey:
        """Return the shop's key of a name."""
        return key_of(self.plan.label, name)

    @property
    def live(self) -> tuple[SecretKey, ...]:
        """As many of today's roots as the threshold asks for."""
        return self.roots[: self.plan.threshold]


def key_of(label: str, name: str) -> SecretKey:
    """Return the key that a shop's label and a name stand for."""
    return SecretKey(
        sha256(f"a key for two readers: {label}: {name}".encode()).digest()
    )


def subject_of(name: str) -> str:
    """Return a person's subject."""
    return sha256(f"a subject for two readers: {name}".encode()).hexdigest()[:32]


def shown(secret: SecretKey, purpose: str, origin: str) -> Json:
    """Show a key with its possession."""
    statement: Json = {"format": "flitchbook-possession/1", "origin": origin}
    statement |= {"public": str(secret.public), "purpose": purpose}
    possession = signature_text(secret.sign(loosely(statement)))
    return {"public": str(secret.public), "possession": possession}


def approved(event: Json, by: Collection[SecretKey], origin: str, version: int) -> Json:
    """Return an event with these approvals, even an event that nobody may say."""
    once = sha256(loosely(event)).hexdigest()[:32]
    statement = {"event": event, "format": "flitchbook-approval/1", "once": once}
    said = loosely(statement | {"origin": origin, "root_version": version})
    keys = sorted(by, key=lambda secret: secret.id)
    rows = [{"key": k.id, "signature": signature_text(k.sign(said))} for k in keys]
    return event | {"approvals": {"by": rows, "once": once, "root_version": version}}


def entry_of(house_origin: str, event: object, key: str, index: int) -> Json:
    """Return an entry's seven members."""
    return {
        "at": AT,
        "event": event,
        "format": "flitchbook-entry/1",
        "index": index,
        "key": key,
        "origin": house_origin,
        "previous": sha256(f"before {index}".encode()).hexdigest(),
    }


def recorded(entry: object, by: SecretKey) -> bytes:
    """Sign an entry as it is, and return the record."""
    said = loosely(entry)
    return said + b"\n" + signature_text(by.sign(said)).encode() + b"\n"


@cache
def founded(plan: Plan) -> House:
    """Found a shop, staff it with a lead and a card key, and change its roots."""
    roots = [key_of(plan.label, f"root {n}") for n in range(plan.roots)]
    origin = plan.domain or founding_origin([root.public for root in roots])
    standing, lineage = Standing(), []
    event = approved(founding(plan, origin, roots), roots, origin, 1)
    lineage.append(recorded(entry_of(origin, event, roots[0].id, 0), roots[0]))
    apply(standing, 0, event, roots[0].id)
    for index, event in enumerate(_staff(plan), start=1):
        apply(standing, index, event, roots[0].id)
    for version in range(2, 2 + plan.changes):
        index = FIRST_CHANGE + version - 2
        later = [*roots[1:], key_of(plan.label, f"new root {version}")]
        event = root_change(plan.threshold, version, later, origin)
        event = approved(event, {*roots, *later}, origin, version - 1)
        lineage.append(recorded(entry_of(origin, event, roots[0].id, index), roots[0]))
        apply(standing, index, event, roots[0].id)
        roots = later
    if plan.is_replaced:
        key = str(key_of(plan.label, "lead since").public)
        event = {"kind": "person.key-replaced/1", "public": key}
        event["subject"] = subject_of("lead")
        apply(standing, plan.index + 1, event, roots[0].id)
    return House(
        plan=plan,
        origin=origin,
        standing=standing,
        lineage=tuple(lineage),
        roots=tuple(roots),
    )


def founding(plan: Plan, origin: str, roots: Sequence[SecretKey]) -> Json:
    """Say that the shop was founded."""
    return {
        "kind": "shop.founded/1",
        "log": shown(key_of(plan.label, "log"), "log", origin),
        "name": plan.name,
        "origin": origin,
        "roots": [shown(root, "root", origin) for root in roots],
        "threshold": plan.threshold,
        "unicode": "15.0.0",
    }


def root_change(
    threshold: int, version: int, roots: Sequence[SecretKey], origin: str
) -> Json:
    """Say that these are the roots from now on."""
    return {
        "kind": "root.changed/1",
        "roots": [shown(root, "root", origin) for root in roots],
        "threshold": threshold,
        "version": version,
    }


def _staff(plan: Plan) -> list[Json]:
    lead, card = key_of(plan.label, "lead").public, key_of(plan.label, "card").public
    who = {"subject": subject_of("lead")}
    return [
        {"kind": "person.enrolled/1", "public": str(lead)} | who,
        {"kind": "role.granted/1", "role": "lead"} | who,
        {"kind": "key.enrolled/1", "public": str(card), "purpose": "card"},
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale:
    """What a buyer has in hand, in parts that can be changed one by one."""

    house: House
    event: Json
    record: bytes
    index: int
    path: tuple[bytes, ...]
    note: str
    disclosed: list[Json]
    token: bytes
    keys: bytes
    odd: Json = field(default_factory=dict)  # members that replace the file's own

    @property
    def members(self) -> Json:
        """The members of the certificate file."""
        return {
            "disclosed": self.disclosed,
            "format": "flitchbook-certificate/1",
            "proof": self.proof(),
            "record": self.record.decode("utf-8", "surrogatepass"),
            "status_token": self.token.hex(),
        } | self.odd

    @property
    def data(self) -> bytes:
        """The certificate file."""
        return loosely(self.members)

    def proof(self, extra: bytes | None = None) -> str:
        """Return the proof file, with the record in it if one is given."""
        lines = ["c2sp.org/tlog-proof@v1"]
        if extra is not None:
            lines.append(f"extra {b64(extra)}")
        lines += [f"index {self.index}", *map(b64, self.path)]
        return "\n".join(lines) + "\n\n" + self.note

    def proved(self, size: int = 0, by: SecretKey | None = None) -> "Sale":
        """Return it with a proof that its record stands in a tree of this size."""
        head = size or self.house.plan.head
        path, root = place(self.record, self.index, head)
        note = note_of(self.house, head, root, by=by)
        return replace(self, path=path, note=note)

    def recorded(self, entry: object, by: SecretKey | None = None) -> "Sale":
        """Return it with another entry, signed by the lead or another, and proved."""
        secret = by or self.house.key("lead")
        return replace(self, record=recorded(entry, secret)).proved()

    def resaid(self, event: object, by: SecretKey | None = None) -> "Sale":
        """Return it with another event in a true entry of the shop."""
        secret = by or self.house.key("lead")
        entry = entry_of(self.house.origin, event, secret.id, self.index)
        return self.recorded(entry, secret)

    def rekeyed(self, *signers: SecretKey, **changes: Any) -> bytes:
        """Return the keys file with other members, signed again by roots or others."""
        return resigned(json.loads(self.keys) | changes, *(signers or self.house.live))

    def rows(self, secret: SecretKey, **changes: Any) -> list[Json]:
        """Return the rows of the keys file, a key's own with other members."""
        rows: list[Json] = json.loads(self.keys)["keys"]
        return [row | changes if row["key"] == secret.id else row for row in rows]


def resigned(members: Json, *signers: SecretKey) -> bytes:
    """Sign a keys file again, whatever it says."""
    rest = {name: value for name, value in members.items() if name != "signatures"}
    signed = loosely(rest)
    said = [
        {"key": s.id, "signature": signature_text(s.sign(signed))}
        for s in sorted(signers, key=lambda secret: secret.id)
    ]
    return loosely(rest | {"signatures": said})


def sold(house: House, label: str = "") -> Sale:
    """Issue a certificate whose words are the choice of its label."""
    event, disclosed, token = certificate(label or house.plan.label)
    bare = Sale(
        house=house,
        event=event,
        record=b"",
        index=house.plan.index,
        path=(),
        note="",
        disclosed=disclosed,
        token=token,
        keys=b"",
    )
    made = bare.resaid(event)
    size, head = house.plan.size, house.plan.head
    _, root = place(made.record, house.plan.index, head)
    other = sha256(f"the root of {size}".encode()).digest()
    keys = write_keys_file(
        house.standing,
        lineage=house.lineage,
        number=1,
        date="2026-11-24",
        size=size,
        root=root if size == head else other,
        roots=house.roots,
    )
    return replace(made, keys=keys)


def place(record: bytes, index: int, size: int) -> tuple[tuple[bytes, ...], bytes]:
    """Return the path and the root of a tree of this size in which a record stands.

    The other leaves are any; an index that is not in the tree has a path of its own.
    """
    leaf = merkle.leaf_hash(record)
    if not 0 <= index < size:
        return (), leaf
    path = merkle.inclusion_path(index, size, _node)
    root = merkle.root_from_path(leaf, index, size, path)
    assert root is not None
    return path, root


def _node(level: int, number: int) -> bytes:
    return sha256(f"node {level}/{number}".encode()).digest()


def note_of(
    house: House,
    size: int,
    root: bytes,
    *,
    by: SecretKey | None = None,
    origin: str = "",
    more: str = "",
) -> str:
    """Sign a head with the log's key or another; `more` is lines of an extension."""
    text = f"{origin or house.origin}\n{size}\n{b64(root)}\n{more}"
    return f"{text}\n{signature_line(house, text, by or house.key('log'))}"


def signature_line(house: House, text: str, secret: SecretKey, name: str = "") -> str:
    """Return the line by which a key signs a note's text."""
    signer = NoteKey(name or house.origin, PublicKey(secret.public.raw))
    return f"— {signer.name} {b64(signer.hash + secret.sign(text.encode()))}\n"
