"""Papers by somebody who wants a yes and should not have it.

Each class takes several shops, so that no forger is stopped by the one shop's ways.
"""

import json
from collections.abc import Iterator
from dataclasses import replace

from ledger.check import CANNOT_TELL, MARKER, NO, YES
from ledger.log.checkpoint import NoteKey
from ledger.log.keys import SecretKey
from tests.labels.verify.cards import card, claims, item
from tests.labels.verify.cases import (
    ANY,
    DOMAIN,
    NEVER_YES,
    PLANS,
    Case,
    full_sale,
    only,
    pdf_around,
    sale,
    stranger,
)
from tests.labels.verify.houses import Plan, Sale, entry_of, note_of, place, resigned
from tests.labels.verify.sayings import Chance, Json, disclosure, loosely

TRUE, FALSE, OPEN = only(YES), only(NO), only(CANNOT_TELL)
SHOPS = PLANS


def by_strangers() -> Iterator[Case]:
    """Yield certificates that somebody else signed, with true parts around that."""
    for plan in SHOPS:
        one, other = sale(plan), stranger()
        thief = SecretKey(b"z" * 32)
        lead, origin = one.house.key("lead"), one.house.origin
        for label in ("more", "another"):
            event = one.event | {"model": label}
            signed = one.resaid(event, thief)
            for what, made, allowed in (
                ("under the true log", signed, FALSE),
                ("under a false head", signed.proved(by=thief), FALSE),
                ("in the lead's name", one.recorded(_as(one, event), thief), FALSE),
                ("under the old proof", replace(signed, path=one.path), FALSE),
                ("of the stranger's log", other, _unless(one, other)),
                ("as if of this log", _moved(other, origin), NEVER_YES),
            ):
                what = f"{plan.label}: {what}, {label}"
                yield Case(what=what, data=made.data, keys=one.keys, allowed=allowed)
        changed = replace(one, record=_respelt(one.record), note=one.note)
        yield Case(
            what="a serial changed", data=changed.data, keys=one.keys, allowed=FALSE
        )
        kept = changed.proved()
        yield Case(what="and proved", data=kept.data, keys=one.keys, allowed=FALSE)
        again = one.proved(by=lead)
        yield Case(what="head by lead", data=again.data, keys=one.keys, allowed=FALSE)
        yield Case(what="true", data=one.data, keys=other.keys, allowed=OPEN)


def _as(one: Sale, event: Json) -> Json:
    return entry_of(one.house.origin, event, one.house.key("lead").id, one.index)


def _unless(one: Sale, other: Sale) -> frozenset[str]:
    return OPEN if one.house.origin != other.house.origin else FALSE


def _moved(other: Sale, origin: str) -> Sale:
    """Return a stranger's certificate made over as if it were of another's log."""
    house = replace(other.house, origin=origin)
    return replace(other, house=house).resaid(other.event)


def _respelt(record: bytes) -> bytes:
    return record.replace(b"26-0001-8", b"26-0002-6")


def shops_of_the_same_name() -> Iterator[Case]:
    """Yield true papers of one shop with the keys of another of the same name."""
    plans = [Plan(label=f"double {n}", roots=3, threshold=2) for n in range(12)]
    # Somebody who takes a domain as an origin can take another's.
    plans += [Plan(label=f"taken {n}", domain=DOMAIN.domain) for n in range(12)]
    true = sale(DOMAIN)
    yield from _origins_claimed(sale())
    for plan in plans:
        false = sale(plan)
        allowed = OPEN if not plan.domain else FALSE
        yield Case(what=plan.label, data=false.data, keys=true.keys, allowed=allowed)
        yield Case(what=plan.label, data=true.data, keys=false.keys, allowed=allowed)
        mixed = resigned(
            json.loads(true.keys) | {"keys": json.loads(false.keys)["keys"]},
            *false.house.live,
        )
        yield Case(what="mixed", data=false.data, keys=mixed, allowed=NEVER_YES)
        text = card(item(claims(false, Chance("c"))), false.house.key("card")).encode()
        yield Case(what="card", data=text, keys=true.keys, allowed=OPEN)


def _origins_claimed(true: Sale) -> Iterator[Case]:
    """Yield shops that say they are a log whose name is made of others' roots."""
    for n in range(8):
        origin = true.house.origin
        plan = Plan(label=f"claimed {n}", domain=origin, roots=3, threshold=2)
        false = sale(plan)
        yield Case(what="own keys", data=false.data, keys=false.keys, allowed=OPEN)
        yield Case(what="false keys", data=true.data, keys=false.keys, allowed=OPEN)
        yield Case(what="true keys", data=false.data, keys=true.keys, allowed=FALSE)


def disputes(at: int) -> Iterator[tuple[str, Json, frozenset[str]]]:
    """Yield what may be said of a key in dispute that spoke at an index."""
    yield "disputed before", {"disputed_since": at - 1}, OPEN
    yield "disputed now", {"disputed_since": at}, OPEN
    yield "disputed after", {"disputed_since": at + 1}, TRUE
    yield "disputed from 0", {"disputed_since": 0}, OPEN
    yield "affirmed", {"disputed_since": at, "affirmed": [at]}, TRUE
    yield "affirmed too", {"disputed_since": 3, "affirmed": [3, at, at + 1]}, TRUE
    yield "others affirmed", {"disputed_since": 3, "affirmed": [3, at - 1]}, OPEN
    yield "affirmed without dispute", {"affirmed": [at]}, OPEN
    odds: tuple[object, ...] = (
        *(None, [], {}, ["x"]),
        *([at, at], [at + 1, at], [at - 1, at]),
    )
    for odd in odds:
        yield f"affirmed {odd!r}", {"disputed_since": at, "affirmed": odd}, OPEN


def signers_not_entitled() -> Iterator[Case]:
    """Yield keys files that vouch for the signer, though not for this certificate."""
    for plan in SHOPS:
        one = sale(plan)
        lead, at = one.house.key("lead"), one.index
        granted = {"from_index": 3, "role": "lead", "until_index": None}
        told: list[tuple[str, Json, frozenset[str]]] = [
            ("no role", {"roles": []}, FALSE),
            (
                "another role",
                {"roles": [granted | {"role": "key-administrator"}]},
                FALSE,
            ),
            ("a role of capitals", {"roles": [granted | {"role": "Lead"}]}, FALSE),
            ("a role in a list", {"roles": [granted | {"role": ["lead"]}]}, FALSE),
            (
                "a role that ended",
                {"roles": [granted | {"until_index": at - 1}]},
                FALSE,
            ),
            ("a role that ends", {"roles": [granted | {"until_index": at}]}, TRUE),
            ("a role to come", {"roles": [granted | {"from_index": at + 1}]}, FALSE),
            ("a role of now", {"roles": [granted | {"from_index": at}]}, TRUE),
            ("a key that ended", {"until_index": at - 1}, FALSE),
            ("a key that ends", {"until_index": at}, TRUE),
            ("a key to come", {"from_index": at + 1}, FALSE),
            ("a key of now", {"from_index": at}, TRUE),
            *disputes(at),
            ("for cards", {"purpose": "card"}, FALSE),
            ("for pages", {"purpose": "pdf"}, FALSE),
            ("for the log", {"purpose": "log"}, FALSE),
            ("for roots", {"purpose": "root"}, OPEN),
        ]
        for what, changes, allowed in told:
            keys = one.rekeyed(keys=one.rows(lead, **changes))
            what = f"{plan.label}: {what}"
            yield Case(what=what, data=one.data, keys=keys, allowed=allowed)
        rows = [row for row in one.rows(lead) if row["key"] != lead.id]
        keys = one.rekeyed(keys=rows)
        yield Case(what="not named", data=one.data, keys=keys, allowed=FALSE)
        for name in ("card", "log"):
            made = one.resaid(one.event, one.house.key(name))
            what = f"{plan.label}: signed by {name}"
            yield Case(what=what, data=made.data, keys=one.keys, allowed=FALSE)
        made = one.resaid(one.event, one.house.roots[0])
        yield Case(what="by a root", data=made.data, keys=one.keys, allowed=FALSE)


def heads_and_places() -> Iterator[Case]:
    """Yield certificates whose proof, head or place is another's."""
    for plan in SHOPS:
        one, other = sale(plan), stranger()
        house, head = one.house, plan.head
        second = sale(plan, "second")
        _, root = place(one.record, one.index, head)
        turned = bytes([root[0] ^ 1]) + root[1:]
        told: dict[str, Sale] = {
            "another record's proof": replace(one, path=second.path, note=second.note),
            "another record's head": replace(one, note=second.note),
            "a stranger's head": replace(one, note=other.note),
            "one leaf more": replace(one, note=note_of(house, head * 2, root)),
            "no leaf": replace(one, note=note_of(house, 0, root)),
            "another root": replace(one, note=note_of(house, head, turned)),
            "the place before": replace(one, index=one.index - 1),
            "the place after": replace(one, index=one.index + 1),
            "another origin": replace(one, note=note_of(house, head, root, origin="x")),
            "a longer path": replace(one, path=(*one.path, root)),
            "a shorter path": replace(one, path=one.path[:-1]),
            "the path backwards": replace(one, path=(*one.path[::-1], root)),
        }
        for what, made in told.items():
            what = f"{plan.label}: {what}"
            yield Case(what=what, data=made.data, keys=one.keys, allowed=FALSE)
            proof = made.proof(made.record).encode()
            what = f"{what}, as a proof"
            yield Case(what=what, data=proof, keys=one.keys, allowed=FALSE)
        # Of a size at which the path goes the same way, only the signature tells.
        fewer = note_of(house, head - 1, root, by=house.key("lead"))
        data = replace(one, note=fewer).data
        yield Case(what="one leaf fewer", data=data, keys=one.keys, allowed=FALSE)
        yield from _of_the_keys_file(one, head, root)


def _of_the_keys_file(one: Sale, head: int, root: bytes) -> Iterator[Case]:
    """Yield keys files of another size or root, or with another key of the log."""
    turned = (bytes([root[0] ^ 1]) + root[1:]).hex()
    row = json.loads(one.keys)["log"][0]
    before = row | {"until_size": head - 1}
    thief = NoteKey(one.house.origin, SecretKey(b"z" * 32).public)
    theirs = row | {"vkey": str(thief)}
    # The lineage leads to the log's keys and their sizes: a file of others is none.
    told: list[tuple[str, Json, frozenset[str]]] = [
        ("a thief's key of the log", {"log": [theirs]}, OPEN),
        ("a thief's key of the log first", {"log": [theirs, row]}, OPEN),
        ("a thief's key of the log beside", {"log": [row, theirs]}, OPEN),
        ("no key of the log", {"log": []}, OPEN),
        ("of the entry's size", {"size": one.index}, OPEN),
        ("of one entry more", {"size": one.index + 1}, ANY),
        ("another root at this size", {"size": head, "root": turned}, FALSE),
        ("this root at this size", {"size": head, "root": root.hex()}, TRUE),
        ("the log's key ended", {"log": [before]}, OPEN),
        ("the log's key ends", {"log": [row | {"until_size": head}]}, OPEN),
        ("the log's key to come", {"log": [row | {"from_size": head + 1}]}, NEVER_YES),
        ("the log's key and again", {"log": [before, row]}, OPEN),
    ]
    for what, changes, allowed in told:
        keys = one.rekeyed(**changes)
        what = f"{one.house.plan.label}: {what}"
        yield Case(what=what, data=one.data, keys=keys, allowed=allowed)


def names_and_tokens() -> Iterator[Case]:
    """Yield certificates that disclose other names than the record commits to."""
    made = [sale(plan, f"names {n}") for plan in SHOPS for n in range(2)]
    for one in (full_sale(), *(m for m in made if m.disclosed)):
        first, *rest = one.disclosed
        subject, key = first["s"], bytes.fromhex(first["key"])
        fitting = disclosure(first["f"], subject, "Benji", key)[1]
        other = {"person.name": "supplier.name"}.get(first["f"], "person.name")
        told: dict[str, list[Json]] = {
            "another name": [first | {"v": "Benji"}, *rest],
            "a name that would fit another record": [fitting, *rest],
            "another key": [first | {"key": "00" * 32}, *rest],
            "of another": [first | {"s": "ab" * 16}, *rest],
            "as another field": [first | {"f": other}, *rest],
            "twice": [first, *one.disclosed],
            "a stranger beside": [*one.disclosed, first | {"s": "cd" * 16}],
            "in another form": [first | {"v": first["v"] + "\u0301"}, *rest],
            "with nothing seen": [first | {"v": first["v"] + "\u200b"}, *rest],
        }
        for what, rows in told.items():
            data = replace(one, disclosed=rows).data
            yield Case(what=what, data=data, keys=one.keys, allowed=FALSE)
        data = replace(one, token=bytes(16)).data
        yield Case(what="another token", data=data, keys=one.keys, allowed=FALSE)
        renamed = _renamed(one, first)
        plan = one.house.plan
        lead_says = TRUE if plan.head != plan.size else FALSE
        for secret, allowed in ((SecretKey(b"z" * 32), FALSE), (None, lead_says)):
            again = renamed.resaid(renamed.event, secret)
            what = f"{'another' if secret else 'the lead'} says the other name"
            yield Case(what=what, data=again.data, keys=one.keys, allowed=allowed)


def _renamed(one: Sale, first: Json) -> Sale:
    """Return it with another name, and a record that commits to that."""
    key = bytes.fromhex(first["key"])
    true = disclosure(first["f"], first["s"], first["v"], key)[0]
    commitment, opened = disclosure(first["f"], first["s"], "Benji", key)
    text = loosely(one.event).decode().replace(true, commitment)
    rows = [opened, *one.disclosed[1:]]
    return replace(one, event=json.loads(text), disclosed=rows)


def pages() -> Iterator[Case]:
    """Yield pages with two attachments, none, or one that is cut or hidden."""
    for plan in SHOPS:
        one, other = sale(plan), stranger()
        page, false = pdf_around(one.data), pdf_around(other.data)
        told: dict[str, tuple[bytes, frozenset[str]]] = {
            "twice": (page + page, FALSE),
            "true, then false": (page + false, FALSE),
            "false, then true": (false + page, FALSE),
            "a second marker": (page + MARKER, FALSE),
            "a marker in words": (page.replace(b"obj", b"obj " + MARKER, 1), FALSE),
            "no marker": (page.replace(MARKER, b"/Other"), OPEN),
            "cut": (page[: page.index(one.data) + 200], FALSE),
            "cut before its end": (page[: page.index(b"\nendstream")], FALSE),
            "a line within": (
                pdf_around(one.data[:300] + b"\n" + one.data[300:]),
                FALSE,
            ),
            "a return after": (pdf_around(one.data + b"\r"), TRUE),
            "a line before": (pdf_around(b"\n" + one.data), FALSE),
            "no page": (page[1:], FALSE),
            "old returns": (pdf_around(one.data, line=b"\r"), FALSE),
            "mixed line ends": (page.replace(b"\nendstream", b"\r\nendstream"), TRUE),
            "a return in the head": (page.replace(b" true", b"\r true"), TRUE),
            "a line in the head": (page.replace(b" true", b"\n true"), FALSE),
            "two heads": (page.replace(b">>\nstream", b">> >>\nstream"), TRUE),
            "a longer marker": (page.replace(MARKER, MARKER + b"x"), ANY),
        }
        for what, (data, allowed) in told.items():
            what = f"{plan.label}: {what}"
            yield Case(what=what, data=data, keys=one.keys, allowed=allowed)


def forged_cards() -> Iterator[Case]:
    """Yield cards that nobody entitled signed, or whose key had ended."""
    for plan in SHOPS:
        one = sale(plan)
        key, thief = one.house.key("card"), SecretKey(b"z" * 32)
        said = item(claims(one, Chance("forged")))
        header = item({1: -19, 4: bytes.fromhex(key.id)})
        at = one.index
        told: list[tuple[str, str, Json, frozenset[str]]] = [
            ("a thief's", card(said, thief), {}, OPEN),
            ("a thief's in its name", card(said, thief, header=header), {}, FALSE),
            ("a lead's", card(said, one.house.key("lead")), {}, FALSE),
            ("a root's", card(said, one.house.roots[0]), {}, FALSE),
            ("true", card(said, key), {}, TRUE),
            ("ended before", card(said, key), {"until_index": at - 1}, FALSE),
            ("ends", card(said, key), {"until_index": at}, TRUE),
            ("begins later", card(said, key), {"from_index": at + 1}, ANY),
            ("disputed", card(said, key), {"disputed_since": at}, OPEN),
            ("disputed later", card(said, key), {"disputed_since": at + 1}, OPEN),
            ("for a person", card(said, key), {"purpose": "person"}, FALSE),
        ]
        for what, text, changes, allowed in told:
            keys = one.rekeyed(keys=one.rows(key, **changes))
            what = f"{plan.label}: {what}"
            yield Case(what=what, data=text.encode(), keys=keys, allowed=allowed)
        for index in (json.loads(one.keys)["size"], 2**53, 2**64 - 1):
            newer = item(claims(one, Chance("forged")) | {8: index})
            data = card(newer, key).encode()
            what = f"{plan.label}: entry {index}"
            # Beyond 2^53 - 1 there is no entry, and so no card of one.
            allowed = OPEN if index < 2**53 else FALSE
            yield Case(what=what, data=data, keys=one.keys, allowed=allowed)


def forged_proofs() -> Iterator[Case]:
    """Yield proofs of what nobody in the shop said, or of nothing."""
    for plan in SHOPS:
        one, thief = sale(plan), SecretKey(b"z" * 32)
        signed = one.resaid(one.event, thief)
        false = signed.proved(by=thief)
        named = one.recorded(_as(one, one.event), thief)
        told: dict[str, tuple[str, frozenset[str]]] = {
            "signed by a thief": (signed.proof(signed.record), FALSE),
            "and under a false head": (false.proof(false.record), FALSE),
            "in the lead's name": (named.proof(named.record), FALSE),
            "without a record": (one.proof(), NEVER_YES),
            "with another record": (one.proof(signed.record), FALSE),
            "with no record": (one.proof(b""), FALSE),
            "with no line end": (one.proof(one.record[:-1]), FALSE),
        }
        for what, (text, allowed) in told.items():
            what = f"{plan.label}: {what}"
            data = text.encode()
            yield Case(what=what, data=data, keys=one.keys, allowed=allowed)
