"""Logs whose newest entries are lost: papers of either volume, and volumes made up."""

import json
from collections.abc import Collection, Iterator
from dataclasses import replace

from ledger.check import CANNOT_TELL, YES
from ledger.log.checkpoint import NoteKey, sign_note
from ledger.log.keys import SecretKey
from tests.labels.verify.cases import Case, only, sale
from tests.labels.verify.houses import (
    Sale,
    approved,
    entry_of,
    place,
    recorded,
    shown,
)
from tests.labels.verify.sayings import Json, b64

TRUE = only(YES)
UNKNOWN = only(CANNOT_TELL)
ROOT = "5a" * 32


def volumes_of_a_log() -> Iterator[Case]:
    """Yield true papers under either name, and keys files that say it otherwise."""
    one = sale()
    house, index, head = one.house, one.index, one.house.plan.head
    for at in (index, index + 1, head - 1, head):
        keys = keys_of_next(one, at)
        here = at > index
        # Proved by the old volume, which was closed before this head or behind it.
        yield Case(
            what=f"old, closed at {at}",
            data=one.data,
            keys=keys,
            allowed=TRUE if at >= head else UNKNOWN,
        )
        for origin in (house.origin, f"{house.origin}/v2"):
            fits = (origin == house.origin) == here and at < head
            yield Case(
                what=f"by {origin}, proved by the next one from {at}",
                data=_proved_by_next(one, origin).data,
                keys=keys,
                allowed=TRUE if fits else only(CANNOT_TELL) | only("NO"),
            )
        yield Case(
            what=f"the next one {at}, by an old keys file",
            data=_proved_by_next(one, house.origin).data,
            keys=one.keys,
            allowed=UNKNOWN,
        )
    yield from _made_up(one, head - 1)
    for later in (
        "/v1",
        "/v02",
        "/v3",
        "/v2/v2",
        "/V2",
        "/v",
        "v2",
        "/v2 ",
        "/v1000000",
    ):
        made = _proved_by_next(one, house.origin, f"{house.origin}{later}")
        yield Case(
            what=f"proved by {later}", data=made.data, keys=keys_of_next(one, head - 1)
        )


def _made_up(one: Sale, at: int) -> Iterator[Case]:
    """Yield volumes that do not follow, or that too few approved."""
    house, origin = one.house, one.house.origin
    few, closed = house.live[:-1], _head(origin, at)
    otherwise: dict[str, Json] = {
        "by too few": {},
        "another origin": {"origin": f"{origin}/v3"},
        "another number": {"number": 3},
        "a size too few": {"closed": closed | {"size": at - 1}},
        "a short root": {"closed": closed | {"root": ROOT[:20]}},
        "another's head": {"closed": closed | {"origin": "x"}},
        "a member too many": {"closed": closed | {"x": 1}},
        "nothing proven": {"proven": closed},
        "less proven": {"proven": closed | {"size": at - 1}},
        "ten bytes of it": {"proven": closed | {"root": ROOT[:20]}},
        "no size": {"proven": closed | {"size": 0}},
        "no whole size": {"proven": closed | {"size": True}},
        "no root": {"proven": closed | {"root": "5A" * 32}},
        "of another log": {"proven": _head("x", at + 9)},
        "no closed one": {"closed": None},
        "a name": {"name": "Skerrymoor"},
        "a log's old key": {"log": shown(house.key("log"), "log", f"{origin}/v2")},
        "a root for the log": {"log": shown(house.roots[0], "log", f"{origin}/v2")},
        "shown to the old one": {"log": shown(house.key("next"), "log", origin)},
    }
    for what, said in otherwise.items():
        by: Collection[SecretKey] = few if what == "by too few" else house.live
        keys = keys_of_next(one, at, by=by, **said)
        yield Case(what=what, data=one.data, keys=keys, allowed=UNKNOWN)
    for what, size, root in (
        ("ten bytes of another", at, "a5" * 10),
        ("another history", at - 2, "a5" * 32),
    ):
        data = _proved_by_next(one, origin).data
        keys = keys_of_next(one, at, proven=_head(origin, size) | {"root": root})
        yield Case(what=what, data=data, keys=keys, allowed=TRUE)
    rows = json.loads(keys_of_next(one, at))["log"]
    for what, log in {
        "the old one gone": rows[1:],
        "the next one gone": rows[:1],
        "back": rows[::-1],
        "one name": [rows[0], _row(origin, house.key("next"), at + 1, None)],
    }.items():
        keys = keys_of_next(one, at, rows=log)
        yield Case(what=what, data=one.data, keys=keys, allowed=UNKNOWN)


def _proved_by_next(one: Sale, origin: str, named: str = "") -> Sale:
    """Return a certificate of either volume under a head that the next one signed."""
    house, head = one.house, one.house.plan.head
    lead, name = house.key("lead"), named or f"{house.origin}/v2"
    record = recorded(entry_of(origin, one.event, lead.id, one.index), lead)
    path, root = place(record, one.index, head)
    text = f"{name}\n{head}\n{b64(root)}\n"
    note = sign_note(text, name=name, secret=house.key("next"))
    return replace(one, record=record, path=path, note=note)


def keys_of_next(
    one: Sale,
    at: int,
    *,
    by: Collection[SecretKey] | None = None,
    rows: list[Json] | None = None,
    **otherwise: object,
) -> bytes:
    """Return the keys file of a log that was closed after so many entries."""
    house = one.house
    said = {
        "closed": _head(house.origin, at),
        "kind": "shop.continued/1",
        "log": shown(house.key("next"), "log", f"{house.origin}/v2"),
        "origin": f"{house.origin}/v2",
        "proven": _head(house.origin, at + 9),
        "number": 2,
    } | otherwise
    named, version = str(said["origin"]), house.standing.root_version
    event = approved(said, house.live if by is None else by, named, version)
    lead = house.key("lead")
    record = recorded(entry_of(named, event, lead.id, at), lead)
    old = json.loads(one.keys)["log"][0]
    log = [old | {"until_size": at}, _row(named, house.key("next"), at + 1, None)]
    return one.rekeyed(
        lineage=[text.decode() for text in (*house.lineage, record)],
        log=log if rows is None else rows,
        origin=named,
    )


def _row(name: str, key: SecretKey, since: int, until: int | None) -> Json:
    return {
        "from_size": since,
        "until_size": until,
        "vkey": str(NoteKey(name, key.public)),
    }


def _head(origin: str, size: int) -> Json:
    return {"origin": origin, "root": ROOT, "size": size}
