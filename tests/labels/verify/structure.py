"""Papers of which one member is odd, lost or doubled, and which are signed that way.

Whoever signs is who ought to sign, so that nothing but the form is left to judge.
"""

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from ledger.log.keys import signature_text
from tests.labels.verify.cases import DOMAIN, SHOP, Case, full_sale, sale
from tests.labels.verify.houses import Sale, approved, entry_of, recorded, resigned
from tests.labels.verify.sayings import Json, certificate
from tests.labels.verify.twists import bytes_of, twisted

# Of the very many only one in so many is taken; a prime, so that none goes by forms.
EVERY = 5


def certificate_files() -> Iterator[Case]:
    """Yield the certificate file itself with a member odd."""
    one = full_sale()
    for what, made in list(twisted(one.members))[::2]:
        data = bytes_of(made)
        yield Case(what=what, data=data, keys=one.keys)


def events() -> Iterator[Case]:
    """Yield a certificate's event with a member odd, signed by the lead and proved."""
    one = full_sale()
    for what, event in list(twisted(one.event))[::EVERY]:
        yield _issued(one, what, event)


def least_events() -> Iterator[Case]:
    """Yield the shortest event with every member odd in every way."""
    one = sale()
    token = one.event["status_token_sha256"]
    event = _least(token)
    for what, made in list(twisted(event))[::3]:
        yield _issued(replace(one, disclosed=[]), what, made)


def _least(token: str) -> Json:
    event = certificate("least")[0]
    members = ("issued_on", "kind", "mass_mg", "model", "number", "serial")
    least = {name: event[name] for name in members}
    least |= {"status_token_sha256": token, "transfer_sha256": token}
    maker = {"badge": "01", "subject": "ab" * 16, "work": "all"}
    measure = {"length_um": 180, "what": "relief"}
    return least | {
        "makers": [maker],
        "materials": [],
        "measures": [measure],
        "photographs": [],
    }


def _issued(one: Sale, what: str, event: object) -> Case:
    """Sign and prove an event, with the members that stand twice in it."""
    lead = one.house.key("lead")
    entry = entry_of(one.house.origin, event, lead.id, one.index)
    return _entered(one, what, entry)


def entries() -> Iterator[Case]:
    """Yield an entry with a member odd, signed by the lead and proved."""
    one = sale()
    lead = one.house.key("lead")
    entry = entry_of(one.house.origin, {"kind": "x"}, lead.id, one.index)
    for what, made in twisted(entry):
        full = made
        if made.get("event") == {"kind": "x"}:
            full = made | {"event": one.event}
        yield _entered(one, what, full)


def _entered(one: Sale, what: str, entry: object) -> Case:
    said = bytes_of(entry)
    signature = signature_text(one.house.key("lead").sign(said)).encode()
    made = replace(one, record=said + b"\n" + signature + b"\n").proved()
    return Case(what=what, data=made.data, keys=one.keys)


def keys_files() -> Iterator[Case]:
    """Yield a keys file with a member odd, signed by the roots."""
    one = sale()
    members = json.loads(one.keys)
    rest = {k: v for k, v in members.items() if k not in ("lineage", "signatures")}
    for what, made in list(twisted(rest))[::EVERY]:
        full = made | {"lineage": members["lineage"]}
        yield _keyed(one, what, full)


def signatures_of_keys_files() -> Iterator[Case]:
    """Yield a keys file whose signatures or lineage are odd."""
    one = sale()
    members = json.loads(one.keys)
    named = {"signatures": members["signatures"]}
    for what, made in list(twisted(named))[::3]:
        keys = bytes_of(members | made if "signatures" in made else made)
        yield Case(what=what, data=one.data, keys=keys)
    named = {"lineage": members["lineage"]}
    for what, made in list(twisted(named))[::3]:
        yield _keyed(one, what, members | made)


def _keyed(one: Sale, what: str, members: Json) -> Case:
    """Sign a keys file with the members that stand twice in it."""
    rest = {name: value for name, value in members.items() if name != "signatures"}
    said = bytes_of(rest)
    rows = [
        {"key": root.id, "signature": signature_text(root.sign(said))}
        for root in sorted(one.house.live, key=lambda secret: secret.id)
    ]
    keys = bytes_of(rest | {"signatures": rows})
    return Case(what=what, data=one.data, keys=keys)


def foundings() -> Iterator[Case]:
    """Yield a founding with a member odd, approved by every root."""
    for plan, step in ((DOMAIN, 3), (SHOP, 3 * EVERY + 2)):
        yield from _lineages(plan_sale=sale(plan), at=0, step=step)


def changes_of_roots() -> Iterator[Case]:
    """Yield a change of roots with a member odd, approved by old and new roots."""
    yield from _lineages(plan_sale=sale(SHOP), at=1, step=2 * EVERY + 1)


def _lineages(*, plan_sale: Sale, at: int, step: int) -> Iterator[Case]:
    house = plan_sale.house
    entry = json.loads(house.lineage[at].split(b"\n")[0])
    event, approvals = dict(entry["event"]), entry["event"]["approvals"]
    del event["approvals"]
    by = [key for key in _everybody(plan_sale) if key.id in _names(approvals)]
    version = approvals["root_version"]
    for what, made in list(twisted(event))[::step]:
        said = approved(made, by, house.origin, version)
        yield _lined(plan_sale, at, what, entry | {"event": said}, by[0])
    for what, made in list(twisted({"approvals": approvals}))[::3]:
        yield _lined(plan_sale, at, what, entry | {"event": event | made}, by[0])
    for what, made in list(twisted(entry | {"event": {}}))[::3]:
        full = made | {"event": entry["event"]} if made.get("event") == {} else made
        yield _lined(plan_sale, at, what, full, by[0])


def _names(approvals: Json) -> set[str]:
    return {row["key"] for row in approvals["by"]}


def _everybody(one: Sale) -> list[Any]:
    names = [f"root {n}" for n in range(8)] + [f"new root {n}" for n in range(8)]
    return [one.house.key(name) for name in names]


def _lined(one: Sale, at: int, what: str, entry: Json, by: Any) -> Case:
    """Put another record into the lineage of a keys file; its signer has signed it."""
    signer = next((k for k in _everybody(one) if k.id == entry.get("key")), by)
    record = recorded(entry, signer).replace(b"~", b"")
    lineage = [text.decode() for text in one.house.lineage]
    lineage[at] = record.decode("utf-8", "surrogatepass")
    members = json.loads(one.keys) | {"lineage": lineage}
    keys = resigned(members, *one.house.live)
    return Case(what=what, data=one.data, keys=keys)
