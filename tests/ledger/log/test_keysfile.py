"""The keys file: written from a standing, signed by its roots, and not alterable."""

from collections.abc import Sequence
from typing import Any

import pytest

from ledger.errors import RefusedError, TamperError
from ledger.log.checkpoint import NoteKey
from ledger.log.encoding import canonical, parse_object
from ledger.log.keys import SMALL_ORDER, SecretKey, signature_text
from ledger.log.keysfile import KnownKey, Span, read_keys_file, write_keys_file
from ledger.log.standing import Standing, apply
from tests.ledger.log.damage import damaged
from tests.ledger.log.workshop import (
    ROOTS,
    VECTORS,
    Workshop,
    founded,
    key_enrolled,
    newly_founded,
    retired,
    role,
    roots_changed,
    secret,
    staffed,
    subject,
    vector_records,
)

DATA = (VECTORS / "keys.json").read_bytes()
ROOT = b"\x5a" * 32
BOTH = ("root-1", "root-2")


def test_the_keys_file_of_the_vectors_is_written_byte_for_byte() -> None:
    """Folding the fourteen entries and signing with two roots gives the same file."""
    seeds = dict(map(str.split, (VECTORS / "seeds").read_text().splitlines()))
    roots = [SecretKey(bytes.fromhex(seeds[name])) for name in ("root-1", "root-4")]
    root = bytes.fromhex((VECTORS / "root").read_text())
    standing = Standing()
    for record in vector_records():
        apply(standing, record.entry.index, record.entry.event, record.entry.key)
    lineage = [vector_records()[n].data for n in (0, 8)]

    data = write_keys_file(
        standing,
        lineage=lineage,
        number=1,
        date="2026-11-24",
        size=14,
        root=root,
        roots=roots,
    )

    assert data == DATA


def test_the_keys_file_of_the_vectors_tells_who_spoke_when() -> None:
    """The lead was lead at index 10 with the first key, and has a new one since 12."""
    file = read_keys_file(DATA)
    certificate = vector_records()[10].entry
    lead = file.key(certificate.key)

    assert (file.number, file.size, file.date) == (1, 14, "2026-11-24")
    assert file.origin == certificate.origin
    assert lead is not None and lead.purpose == "person"
    assert lead.span == Span(from_index=2, until_index=11)
    assert [lead.has_role("lead", n) for n in (3, 4, 10)] == [False, True, True]
    assert not lead.has_role("key-administrator", 10)
    assert file.key("0" * 16) is None


def test_no_byte_of_a_keys_file_can_change() -> None:
    """Each byte flipped, lost or cut off there is refused."""
    for bad in damaged(DATA):
        with pytest.raises(TamperError):
            read_keys_file(bad)


def written(roots: Sequence[str] = BOTH) -> bytes:
    """Return the keys file of a staffed shop in which one key is retired."""
    shop = staffed()
    shop.says(key_enrolled("card", "card"), by="lead", yes=BOTH)
    shop.says(retired("helper"), by="helper")
    shop.says(role("lead", "lead", "withdrawn"), by="lead", yes=BOTH)
    return file_of(shop, roots)


def file_of(shop: Workshop, roots: Sequence[str] = BOTH) -> bytes:
    """Return the keys file of a shop as it stands."""
    return write_keys_file(
        shop.standing,
        lineage=shop.lineage(),
        number=7,
        date="2026-03-02",
        size=len(shop.records),
        root=ROOT,
        roots=[secret(name) for name in roots],
    )


def test_keys_of_every_purpose_are_read_as_they_stand() -> None:
    """Purpose, holder, span and tenures come back, ended ones with their end."""
    file = read_keys_file(written())
    known = {key.public.id: key for key in file.keys}

    def of(name: str) -> KnownKey:
        return known[secret(name).id]

    assert len(known) == 9
    assert of("root-3").purpose == "root" and of("root-3").subject is None
    assert of("card").purpose == "card" and of("card").roles == ()
    assert not of("builder").has_role("lead", file.size)
    assert of("helper").span.until_index == file.size - 2
    assert of("lead").subject == subject("lead")
    assert not of("lead").has_role("lead", file.size)
    assert of("lead").has_role("lead", file.size - 1)
    assert of("second").has_role("lead", file.size + 1000)
    assert file.log_keys_at(0) == []
    assert file.log_keys_at(1) == [NoteKey(file.origin, secret("log").public)]


@pytest.mark.parametrize(
    "roots",
    [(), ("root-1",), ("root-1", "root-1"), ("root-1", "lead"), ("lead", "log")],
)
def test_too_few_roots_write_no_keys_file(roots: Sequence[str]) -> None:
    """The same root twice is one, and other keys are none."""
    with pytest.raises(RefusedError, match="needs 2 of the shop's roots"):
        written(roots)


def test_all_roots_may_sign_and_any_two_suffice() -> None:
    """The signatures are sorted by key, whoever comes first."""
    all_three = parse_object(written(("root-3", "root-1", "root-2")))["signatures"]
    keys = [row["key"] for row in all_three]

    assert len(keys) == 3 and keys == sorted(keys)
    assert read_keys_file(written(("root-3", "root-2")))


SAID = parse_object(written())


def resigned(
    signers: Sequence[str] = BOTH, said: dict[str, Any] = SAID, **members: Any
) -> bytes:
    """Return the keys file with other members, signed again by these keys."""
    left_out = {name for name, value in members.items() if value is ...}
    left_out.add("signatures")
    rest = {n: value for n, value in (said | members).items() if n not in left_out}
    signed = canonical(rest)
    rows = [
        {"key": secret(n).id, "signature": signature_text(secret(n).sign(signed))}
        for n in signers
    ]
    return canonical(rest | {"signatures": rows})


def test_a_file_that_is_signed_again_as_it_was_is_read() -> None:
    """What follows refuses the faults, then, and not the signing."""
    assert read_keys_file(resigned()) == read_keys_file(written())


@pytest.mark.parametrize(
    "signers",
    [
        (),
        ("root-1",),
        ("root-1", "lead"),
        ("root-1", "log"),
        ("root-1", "card"),
        ("root-1", "stranger"),
    ],
)
def test_a_file_with_too_few_signatures_is_refused(signers: Sequence[str]) -> None:
    """Only roots count, and two are wanted."""
    with pytest.raises(TamperError, match="of 2 roots"):
        read_keys_file(resigned(signers))


def test_a_bad_signature_of_a_root_spoils_the_file() -> None:
    """Two good ones beside it do not make up for it."""
    said = parse_object(written(("root-1", "root-2", "root-3")))
    for row in said["signatures"]:
        row = dict(row)
        other = [r if r["key"] != row["key"] else row for r in said["signatures"]]
        row["signature"] = signature_text(secret("root-1").sign(b"another text"))
        with pytest.raises(TamperError, match=f"signature by {row['key']} is bad"):
            read_keys_file(canonical(said | {"signatures": other}))


FIRST = SAID["keys"][0]
LEAD = next(row for row in SAID["keys"] if row["key"] == secret("lead").id)
LOG = SAID["log"][0]
OTHER_LOG = str(NoteKey(SAID["origin"], secret("stranger").public))
WEAK = min(SMALL_ORDER).hex()


def with_first(**members: Any) -> dict[str, Any]:
    """Return the keys with the first one altered."""
    altered = {n: v for n, v in (FIRST | members).items() if v is not ...}
    return {"keys": [altered, *SAID["keys"][1:]]}


@pytest.mark.parametrize(
    ("members", "fault"),
    [
        ({"format": "flitchbook-keys/2"}, "this is no flitchbook-keys/1"),
        ({"note": ""}, "this is no flitchbook-keys/1"),
        ({"date": ...}, "this is no flitchbook-keys/1"),
        ({"origin": 7}, "does not say its origin and root"),
        ({"root": "5a" * 31}, "does not say its origin and root"),
        ({"date": None}, "date is no day"),
        ({"date": 20261124}, "date is no day"),
        ({"date": "2026-02-29"}, "date is no day"),
        ({"date": "0000-01-01"}, "date is no day"),
        ({"date": "20261124"}, "date is no day"),
        ({"date": "2026-11-24\n"}, "date is no day"),
        ({"date": "2026-11-24 (whoever reads this may rely on it)"}, "is no day"),
        ({"number": 0}, "count from 1"),
        ({"size": 0}, "count from 1"),
        ({"size": True}, "count from 1"),
        ({"threshold": 0}, "count from 1"),
        ({"threshold": "2"}, "count from 1"),
        ({"root_version": None}, "count from 1"),
        ({"threshold": 3}, "lineage leads to version 1 and threshold 2"),
        ({"threshold": 1}, "lineage leads to version 1 and threshold 2"),
        ({"root_version": 2}, "lineage leads to version 1 and threshold 2"),
        ({"lineage": ...}, "this is no flitchbook-keys/1"),
        ({"lineage": None}, "has no lineage"),
        ({"lineage": []}, "has no lineage"),
        ({"lineage": [7]}, "is records as text"),
        ({"lineage": ["so much for that"]}, "a record is two lines"),
        ({"lineage": SAID["lineage"] * 2}, "lineage is not in order"),
        ({"log": [LOG | {"vkey": OTHER_LOG}]}, "is not the founding's"),
        ({"log": [LOG, LOG]}, "other keys of the log, or other sizes"),
        ({"log": [LOG | {"until_size": 9}]}, "other keys of the log, or other"),
        ({"log": [LOG | {"from_size": 0}]}, "other keys of the log, or other"),
        (
            {"log": [LOG | {"until_size": 9}, LOG | {"vkey": OTHER_LOG}]},
            "other keys of the log, or other sizes",
        ),
        (with_first(affirmed=None), "was affirmed in no entries"),
        (with_first(affirmed=[]), "was affirmed in no entries"),
        (with_first(affirmed=7), "was affirmed in no entries"),
        (with_first(affirmed=["3"]), "was affirmed in no entries"),
        (with_first(affirmed=[4, "5"], disputed_since=4), "affirmed in no entries"),
        (with_first(affirmed=[-1]), "was affirmed in no entries"),
        (with_first(affirmed=[3]), "was affirmed where it is not disputed"),
        (with_first(affirmed=[3], disputed_since=4), "where it is not disputed"),
        (with_first(affirmed=[4, 4], disputed_since=4), "where it is not disputed"),
        (with_first(affirmed=[5, 4], disputed_since=4), "where it is not disputed"),
        ({"keys": None}, "are lists of objects"),
        ({"keys": {}}, "are lists of objects"),
        ({"keys": [None]}, "are lists of objects"),
        ({"keys": [FIRST, None]}, "are lists of objects"),
        ({"keys": []}, "names other roots"),
        ({"keys": SAID["keys"][1:]}, "names other roots"),
        ({"keys": [*SAID["keys"], FIRST]}, "names a key twice"),
        (with_first(purpose="master"), "not of its form"),
        (with_first(purpose=None), "not of its form"),
        (with_first(note=""), "not of its form"),
        (with_first(roles=...), "not of its form"),
        (with_first(public=WEAK), "is of small order"),
        (with_first(public=None), "is no public key"),
        (with_first(key="0" * 16), "is not the id of the public key beside it"),
        (with_first(public=LEAD["public"]), "is not the id of the public key"),
        (with_first(subject=7), "has no subject of the right form"),
        (with_first(disputed_since=-1), "is disputed since no index"),
        (with_first(disputed_since="0"), "is disputed since no index"),
        (with_first(from_index=None), "counts from an? \\w+ until"),
        (with_first(from_index=-1), "counts from an? \\w+ until"),
        (with_first(until_index="9"), "counts from an? \\w+ until"),
        (with_first(until_index=True), "counts from an? \\w+ until"),
        (with_first(from_index=1), "names other roots"),
        (with_first(until_index=0), "names other roots"),
        (with_first(purpose="person"), "names other roots"),
        (with_first(roles=None), "are lists of objects"),
        (with_first(roles=[{}]), "a role of the keys file"),
        (with_first(roles=[LEAD["roles"][0] | {"note": ""}]), "a role of the keys"),
        (with_first(roles=[LEAD["roles"][0] | {"from_index": -1}]), "counts from"),
        ({"log": []}, "has no key of its own name"),
        ({"log": None}, "are lists of objects"),
        ({"log": [{}]}, "says its verifier key and its sizes"),
        ({"log": [LOG | {"vkey": None}]}, "is no Ed25519 verifier key"),
        ({"log": [LOG | {"vkey": LOG["vkey"][:-4]}]}, "key of the log"),
        (
            {"log": [LOG | {"vkey": str(NoteKey("a.example", secret("log").public))}]},
            "has no key of its own name",
        ),
        ({"origin": "a.example"}, "has no key of its own name"),
    ],
)
def test_a_faulty_file_is_refused_though_the_roots_signed_it(
    members: dict[str, Any], fault: str
) -> None:
    """Form, ids, spans, origin and threshold are judged, whoever signed."""
    with pytest.raises(TamperError, match=fault):
        read_keys_file(resigned(**members))


@pytest.mark.parametrize(
    "row", [{}, {"key": "0" * 16}, {"key": 7, "signature": "", "note": ""}]
)
def test_a_signature_has_a_key_and_nothing_else_beside_it(row: dict[str, Any]) -> None:
    """The signatures are not signed themselves, so nothing may hide among them."""
    rows = [*SAID["signatures"], row]

    with pytest.raises(TamperError, match="a signature of the keys file says its key"):
        read_keys_file(canonical(SAID | {"signatures": rows}))


@pytest.mark.parametrize("at", [0, 1])
def test_a_root_signs_once(at: int) -> None:
    """A true signature that stands twice is refused, however many there are beside."""
    rows = [*SAID["signatures"], SAID["signatures"][at]]

    with pytest.raises(TamperError, match=f"signed twice by {rows[-1]['key']}"):
        read_keys_file(canonical(SAID | {"signatures": rows}))


def test_an_origin_that_is_a_domain_is_not_made_of_keys() -> None:
    """The log's key bears the domain's name, and the roots may be any."""
    shop = Workshop()
    shop.says(founded(domain="shop.example/log"), by="root-1", yes=ROOTS)

    assert read_keys_file(file_of(shop)).origin == "shop.example/log"


def test_the_lineage_leads_over_every_change_of_roots() -> None:
    """The roots of today sign, one that has ended is passed over like a stranger."""
    shop = staffed()
    change = roots_changed(("root-1", "root-4"), 2, 2)
    shop.says(change, by="lead", yes=("root-1", "root-2", "root-4"))
    data = file_of(shop, ("root-1", "root-4"))

    assert read_keys_file(data).key(secret("root-4").id) is not None
    with pytest.raises(TamperError, match="signed by 1 of 2 roots"):
        read_keys_file(resigned(("root-1", "root-2"), parse_object(data)))


def test_no_forger_leads_the_true_origin_to_roots_of_his_own() -> None:
    """A change of roots that the old roots did not approve leads nowhere."""
    shop = staffed()
    change = roots_changed(("stranger",), 1, 2)
    forged = shop.record(shop.approved(change, ("root-1", "stranger")), "stranger")
    apply(shop.standing, forged.entry.index, forged.entry.event, forged.entry.key)
    shop.records.append(forged)

    with pytest.raises(TamperError, match="approved by 1 of 2 roots"):
        read_keys_file(file_of(shop, ("stranger",)))


def test_a_file_that_is_too_long_is_not_even_parsed() -> None:
    """Two mebibytes of keys are no shop's."""
    with pytest.raises(TamperError, match="at most 2097152 bytes"):
        read_keys_file(b" " * (2 * 1_048_576 + 1))
    with pytest.raises(TamperError, match="not canonical"):
        read_keys_file(b" " * (2 * 1_048_576))


def test_a_key_may_be_in_dispute_from_the_first_entry_on() -> None:
    """And what it said there may be affirmed."""
    disputed = with_first(affirmed=[0, 2], disputed_since=0)
    affirmed = read_keys_file(resigned(**disputed)).keys[0]
    since = read_keys_file(resigned(**with_first(disputed_since=1))).keys[0]
    never = read_keys_file(written()).keys[0]

    assert [affirmed.is_disputed_at(n) for n in range(3)] == [False, True, False]
    assert [since.is_disputed_at(n) for n in range(3)] == [False, True, True]
    assert [never.is_disputed_at(n) for n in range(3)] == [False] * 3


def test_a_stranger_s_signature_hides_none_behind_it() -> None:
    """It is passed over, wherever it stands."""
    assert read_keys_file(resigned(("stranger", *BOTH))) == read_keys_file(written())


def test_a_shop_that_was_not_founded_has_no_keys_file() -> None:
    """Nobody is asked for, and nobody could vouch."""
    with pytest.raises(RefusedError, match="needs 0 of the shop's roots"):
        file_of(Workshop(), ())


def test_a_shop_that_was_only_founded_has_a_keys_file_too() -> None:
    """Roots and the log's key are all that there is to vouch for."""
    shop = newly_founded()
    data = file_of(shop)

    assert [key.purpose for key in read_keys_file(data).keys] == ["root"] * 3
