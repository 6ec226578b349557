"""Keys of the log and roots that follow one another, as they may and otherwise."""

import json
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from ledger.check import CANNOT_TELL, NO, YES
from ledger.log.checkpoint import NoteKey
from ledger.log.keys import SecretKey
from tests.labels.verify.cases import NEVER_YES, Case, only, sale
from tests.labels.verify.edges import led
from tests.labels.verify.houses import (
    Plan,
    Sale,
    approved,
    entry_of,
    note_of,
    place,
    recorded,
    root_change,
    shown,
    signature_line,
)
from tests.labels.verify.sayings import Json, b64, loosely
from tests.labels.verify.twists import SPACES

TRUE = only(YES)
FALSE = only(NO)
UNKNOWN = only(CANNOT_TELL)


def keys_of_the_log() -> Iterator[Case]:
    """Yield logs whose key changed: the head of the change bears both signatures."""
    one = sale()
    house, head = one.house, one.house.plan.head
    old, new = house.key("log"), house.key("log since")
    row = json.loads(one.keys)["log"][0]
    later = row | {"vkey": str(NoteKey(house.origin, new.public))}
    text = one.note.split("\n\n")[0] + "\n"
    lines = {secret: signature_line(house, text, secret) for secret in (old, new)}
    notes = {
        "old": lines[old],
        "new": lines[new],
        "both": lines[old] + lines[new],
        "new, old": lines[new] + lines[old],
    }
    for at in (head - 2, head - 1, head):
        rows = [row | {"until_size": at}, later | {"from_size": at + 1}]
        lineage = [*one.house.lineage, new_log_key(one, new, at, one.house.live)]
        texts = [record.decode() for record in lineage]
        keys = one.rekeyed(log=rows, lineage=texts)
        for who, said in notes.items():
            counts = {"old": at >= head, "new": at < head}
            allowed = TRUE if counts.get(who, True) else FALSE
            data = replace(one, note=f"{text}\n{said}").data
            yield Case(what=f"{who}, by {at}", data=data, keys=keys, allowed=allowed)
        data = replace(one, note=f"{text}\n{notes['both']}").data
        for what, changes in _otherwise(rows, texts).items():
            keys = one.rekeyed(**{"log": rows, "lineage": texts} | changes)
            yield Case(what=f"{what}, by {at}", data=data, keys=keys, allowed=UNKNOWN)
    yield from _log_keys_made_up(one, new)


def _otherwise(rows: list[Json], texts: list[str]) -> dict[str, Json]:
    """Return what may be said otherwise than the lineage leads to, by name."""
    old, new = rows
    at = old["until_size"]
    return {
        "back": {"log": rows[::-1]},
        "the old one alone": {"log": rows[:1]},
        "the new one alone": {"log": rows[1:]},
        "the old one open": {"log": [old | {"until_size": None}, new]},
        "the old one once more": {"log": [old | {"until_size": at + 1}, new]},
        "the new one before": {"log": [old, new | {"from_size": at}]},
        "the new one closed": {"log": [old, new | {"until_size": 2**40}]},
        "no record of it": {"lineage": texts[:-1]},
        "twice": {"lineage": [*texts, texts[-1]]},
    }


def new_log_key(
    one: Sale,
    new: SecretKey,
    index: int,
    by: Collection[SecretKey],
    purpose: str = "log",
) -> bytes:
    """Return the record by which these roots give a log another key."""
    house = one.house
    event = shown(new, purpose, house.origin) | {"kind": "log.key-replaced/1"}
    said = approved(event, by, house.origin, house.standing.root_version)
    secret = house.key("lead")
    return recorded(entry_of(house.origin, said, secret.id, index), secret)


def _log_keys_made_up(one: Sale, new: SecretKey) -> Iterator[Case]:
    """Yield keys of the log that too few approved, or that no log can have."""
    house = one.house
    at, few = house.plan.head - 1, house.live[:-1]
    row = json.loads(one.keys)["log"][0]
    made: dict[str, tuple[SecretKey, bytes]] = {
        "by too few": (new, new_log_key(one, new, at, few)),
        "by a thief": (new, new_log_key(one, new, at, [*few, new])),
        "by the old one": (new, new_log_key(one, new, at, [*few, house.key("log")])),
        "for cards": (new, new_log_key(one, new, at, house.live, "card")),
    }
    for name in ("log", "root 0"):
        again = house.key(name)
        made[f"{name} again"] = again, new_log_key(one, again, at, house.live)
    for what, (key, record) in made.items():
        later = row | {
            "from_size": at + 1,
            "vkey": str(NoteKey(house.origin, key.public)),
        }
        texts = [text.decode() for text in (*house.lineage, record)]
        keys = one.rekeyed(log=[row | {"until_size": at}, later], lineage=texts)
        yield Case(what=what, data=one.data, keys=keys, allowed=UNKNOWN)


def origins_of_entries() -> Iterator[Case]:
    """Yield entries under a log's name that no log can have, and some that can."""
    one = sale()
    head, lead = one.house.plan.head, one.house.key("lead")
    signs = [*SPACES, " ", "+", "\t", "\n", "."]
    for sign in signs:
        origin = f"checked{sign}by{sign}all"
        entry = entry_of(origin, one.event, lead.id, one.index)
        made = replace(one, record=recorded(entry, lead))
        path, root = place(made.record, made.index, head)
        # The text of a note could say it all the same.
        note = note_of(one.house, head, root, origin=origin)
        made = replace(made, path=path, note=note)
        for data in (made.data, made.proof(made.record).encode()):
            yield Case(what=f"{origin!r}", data=data, keys=one.keys, allowed=NEVER_YES)
        bare = [text.decode() for text in one.house.lineage]
        first = json.loads(bare[0].split("\n")[0]) | {"origin": origin}
        text = recorded(first, one.house.key("root 0")).decode()
        keys = one.rekeyed(lineage=[text, *bare[1:]])
        yield Case(what=f"{origin!r}", data=keys, keys=None, allowed=FALSE)


def stories_of_roots() -> Iterator[Case]:
    """Yield changes of roots that may be and others: kept, renewed, taken back."""
    plan = Plan(label="stories", roots=3, threshold=2)
    one = sale(plan)
    house = one.house
    first = house.lineage[0]
    roots, new = house.roots, [house.key(f"new root {n}") for n in range(4)]
    lead, log = house.key("lead"), house.key("log")
    changes: list[tuple[str, list[SecretKey], list[SecretKey], int]] = [
        ("the same roots", [*roots], [*roots], 2),
        ("one new", [*roots[1:], new[0]], [*roots[:2], new[0]], 2),
        ("approved by two old and no new", [roots[0], *new], [*roots], 2),
        ("by one old and two new", [*new], [roots[0], *new], 2),
        ("all new", [*new], [*roots[:2], *new], 2),
        ("the log's key", [*roots, log], [*roots, log], 2),
        ("the lead's key", [*roots, lead], [*roots, lead], 2),
        ("one alone", [roots[0]], [*roots[:2]], 1),
        ("a threshold of all", [*roots, *new], [*roots, *new], 7),
        ("too high a threshold", [*roots], [*roots], 4),
        ("no threshold", [*roots], [*roots], 0),
        ("one twice", [*roots, roots[0]], [*roots], 2),
        ("none", [], [*roots], 1),
    ]
    for what, named, by, threshold in changes:
        bare = root_change(threshold, 2, named, house.origin)
        event = approved(bare, by, house.origin, 1)
        yield _changed(one, what, [first], event, named, threshold)
        odd = _with_more_approvals(event)
        for n, rows in enumerate(odd):
            approvals = event["approvals"] | {"by": rows}
            said = event | {"approvals": approvals}
            yield _changed(one, f"{what}, more {n}", [first], said, named, threshold)
    yield from _taken_back(one, new[0])


def _with_more_approvals(event: Json) -> Iterator[list[Json]]:
    """Yield approvals with others beside them, in Unicode's order and in another."""
    rows = event["approvals"]["by"]
    signature = rows[0]["signature"] if rows else ""
    far, near = ({"key": k, "signature": signature} for k in ("\U00010000", "\uffff"))
    yield [*rows, near, far]
    yield [*rows, far, near]
    yield [*rows, near | {"signature": "none"}]
    yield [{"key": "", "signature": ""}, *rows]
    yield [{"key": "constructor", "signature": ""}, *rows]
    yield [*rows, *rows[-1:]]
    yield rows[::-1]


def _changed(
    one: Sale,
    what: str,
    before: list[bytes],
    event: Json,
    named: Sequence[SecretKey],
    threshold: int,
) -> Case:
    """Put a change of roots at entry 5, and the next roots into the keys file."""
    house, index = one.house, 5
    # Whoever signs the entry is not judged; his signature need only look like one.
    entry = loosely(entry_of(house.origin, event, "0" * 16, index))
    record = entry + b"\n" + b64(bytes(64)).encode() + b"\n"
    live = {secret.id for secret in named}
    rows = list(json.loads(one.keys)["keys"])
    held = {row["key"] for row in rows if row["until_index"] is None}
    for row in rows:
        is_over = row["purpose"] == "root" and row["key"] not in live
        row["until_index"] = index if is_over and row["key"] in held else None
    for secret in {s.id: s for s in named if s.id not in held}.values():
        rows.append(_root_row(secret, index + 1))
    texts = [text.decode() for text in (*before, record)]
    members = {"keys": rows, "lineage": texts, "threshold": max(threshold, 1)}
    keys = one.rekeyed(*named, *house.roots, root_version=2, **members)
    return Case(what=what, data=one.data, keys=keys)


def _root_row(secret: SecretKey, since: int) -> Json:
    row: Json = {"disputed_since": None, "from_index": since, "key": secret.id}
    row |= {"public": str(secret.public), "purpose": "root", "roles": []}
    return row | {"subject": None, "until_index": None}


def _taken_back(one: Sale, new: SecretKey) -> Iterator[Case]:
    """Let a root that was ended be named again, which no key can."""
    house = one.house
    first, roots = house.lineage[0], house.roots
    without = root_change(2, 2, [*roots[:2], new], house.origin)
    again = root_change(2, 3, [*roots], house.origin)
    events = [
        approved(without, [*roots, new], house.origin, 1),
        approved(again, [*roots, new], house.origin, 2),
    ]
    records = [
        recorded(entry_of(house.origin, event, roots[0].id, n), roots[0])
        for n, event in zip((4, 6), events, strict=True)
    ]
    rows = [
        row | {"until_index": 4} if row["key"] == roots[2].id else row
        for row in json.loads(one.keys)["keys"]
    ]
    rows.append(_root_row(new, 5))
    changes: Json = {"keys": rows, "root_version": 2}
    yield led(one, "one ended", [first, records[0]], TRUE, **changes)
    for size in (4, 5):
        what = f"one ended, {size} entries"
        yield led(one, what, [first, records[0]], NEVER_YES, size=size, **changes)
    rows = [r | {"until_index": None} for r in rows[:-1]]
    rows.append(_root_row(new, 5) | {"until_index": 6})
    back: Json = {"keys": rows, "root_version": 3}
    yield led(one, "taken back", [first, *records], NEVER_YES, **back)
