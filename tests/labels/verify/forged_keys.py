"""Keys files by somebody whom the roots have not made one of them."""

import base64
import json
from collections.abc import Iterator

from ledger.check import CANNOT_TELL, YES
from ledger.log.keys import SecretKey, signature_text
from tests.labels.verify import curve
from tests.labels.verify.cases import Case, only, sale, stranger
from tests.labels.verify.forged import SHOPS
from tests.labels.verify.houses import (
    Sale,
    approved,
    entry_of,
    recorded,
    resigned,
    root_change,
)
from tests.labels.verify.sayings import Json, loosely

TRUE = only(YES)
OPEN = only(CANNOT_TELL)


def keys_files_by_too_few() -> Iterator[Case]:
    """Yield keys files that bear fewer signatures than they need, or others'."""
    for plan in SHOPS:
        one = sale(plan)
        live, members = one.house.live, json.loads(one.keys)
        rows = members["signatures"]
        stranger_key, lead = SecretKey(b"z" * 32), one.house.key("lead")
        few = live[:-1]
        signed = {
            "none": loosely(members | {"signatures": []}),
            "one too few": one_of(members, *few),
            "a stranger's for one": one_of(members, *few, stranger_key),
            "the lead's for one": one_of(members, *few, lead),
            "the log's for one": one_of(members, *few, one.house.key("log")),
            "the first again": _again(members, rows, plan.threshold),
            "one more, again": loosely(members | {"signatures": [*rows, rows[-1]]}),
            "another's under a root's name": _misnamed(members, rows, stranger_key),
            "over another number": loosely(members | {"number": 2}),
            "over S and the order": _over(members, rows),
        }
        if plan.changes:
            ended = one.house.key("root 0")
            signed["one of an ended root"] = one_of(members, *few, ended)
        for what, keys in signed.items():
            what = f"{plan.label}: {what}"
            yield Case(what=what, data=one.data, keys=keys, allowed=OPEN)
        every = one_of(members, *one.house.roots)
        yield Case(what="every root's", data=one.data, keys=every, allowed=TRUE)
        more = one_of(members, *one.house.roots, stranger_key, lead)
        yield Case(what="others' beside", data=one.data, keys=more, allowed=TRUE)


def one_of(members: Json, *signers: SecretKey) -> bytes:
    """Sign a keys file by these and nobody else, even by nobody."""
    return resigned(members, *signers)


def _again(members: Json, rows: list[Json], threshold: int) -> bytes:
    if threshold == 1:
        return loosely(members | {"signatures": []})
    return loosely(members | {"signatures": [rows[0]] * threshold})


def _misnamed(members: Json, rows: list[Json], secret: SecretKey) -> bytes:
    rest = {name: value for name, value in members.items() if name != "signatures"}
    false = rows[0] | {"signature": signature_text(secret.sign(loosely(rest)))}
    return loosely(members | {"signatures": [false, *rows[1:]]})


def _over(members: Json, rows: list[Json]) -> bytes:
    raw = base64.b64decode(rows[0]["signature"])
    false = rows[0] | {"signature": signature_text(curve.over_order(raw))}
    return loosely(members | {"signatures": [false, *rows[1:]]})


def lineages() -> Iterator[Case]:
    """Yield keys files whose lineage is another's, in another order, or taken over."""
    for plan in SHOPS:
        one, other = sale(plan), stranger()
        texts = [record.decode() for record in one.house.lineage]
        strange = [record.decode() for record in other.house.lineage]
        told: dict[str, list[str]] = {
            "none": [],
            "a stranger's": strange,
            "a stranger's founding": [strange[0], *texts[1:]],
            "the founding twice": [texts[0], *texts],
            "backwards": texts[::-1] if len(texts) > 1 else texts * 2,
            "with the certificate": [*texts, one.record.decode()],
            "with a stranger's change": [*texts, strange[1]],
            "without its newest": texts[:-1],
            "without its founding": texts[1:],
        }
        for what, lineage in told.items():
            keys = one.rekeyed(lineage=lineage)
            what = f"{plan.label}: {what}"
            yield Case(what=what, data=one.data, keys=keys, allowed=OPEN)
        for what, keys in taken_over(one):
            what = f"{plan.label}: {what}"
            yield Case(what=what, data=one.data, keys=keys, allowed=OPEN)
        members = json.loads(one.keys)
        for change in (
            {"threshold": 1 + members["threshold"]},
            {"root_version": 1 + members["root_version"]},
            {"origin": f"{one.house.origin}x"},
        ):
            keys = one.rekeyed(**change)
            yield Case(what=f"{change}", data=one.data, keys=keys, allowed=OPEN)


def taken_over(one: Sale) -> Iterator[tuple[str, bytes]]:
    """Yield keys files with one change of roots more, that a thief made up."""
    house, plan = one.house, one.house.plan
    thief = SecretKey(b"t" * 32)
    index, version = 4 + plan.changes, 2 + plan.changes
    event = root_change(1, version, [thief], house.origin)
    few = house.live[:-1]
    for what, by in (
        ("a thief alone", [thief]),
        ("a thief and too few", [*few, thief]),
    ):
        said = approved(event, by, house.origin, version - 1)
        yield what, _with_change(one, said, thief, index)
    said = approved(event, [*house.live, thief], house.origin, version - 1)
    wrong = json.loads(json.dumps(said))
    for row in wrong["approvals"]["by"]:
        if row["key"] != thief.id:
            row["signature"] = signature_text(thief.sign(b"whatever"))
    yield "false approvals", _with_change(one, wrong, thief, index)
    old = approved(event, [*house.live, thief], house.origin, version)
    yield "of another version", _with_change(one, old, thief, index)


def _with_change(one: Sale, event: Json, thief: SecretKey, index: int) -> bytes:
    record = recorded(entry_of(one.house.origin, event, thief.id, index), thief)
    members = json.loads(one.keys)
    rows = [
        row | {"until_index": index}
        if row["purpose"] == "root" and row["until_index"] is None
        else row
        for row in members["keys"]
    ]
    mine: Json = {"disputed_since": None, "from_index": index + 1, "key": thief.id}
    mine |= {"public": str(thief.public), "purpose": "root", "roles": []}
    rows.append(mine | {"subject": None, "until_index": None})
    lineage = [*members["lineage"], record.decode()]
    version = members["root_version"] + 1
    changes = {"keys": rows, "lineage": lineage, "root_version": version}
    return one.rekeyed(thief, threshold=1, **changes)
