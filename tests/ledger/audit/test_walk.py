"""The walk names every change of a record, whoever makes it and however well."""

import random
from collections.abc import Sequence
from dataclasses import replace

import pytest

from ledger.audit import Report, audit
from ledger.audit.findings import Finding
from ledger.audit.walk import ALL, LEVELS, ROLES, TREE, Walk
from ledger.events import codec
from ledger.log import merkle
from ledger.log.entry import parse_record
from ledger.log.keys import SecretKey
from ledger.views import fold
from tests.ledger.audit.tampering import (
    appended,
    by_roots,
    index_of,
    rechained,
    records_of,
    refit,
    resealed,
)
from tests.ledger.log.damage import flipped
from tests.ledger.log.workshop import vector_records
from tests.skerrymoor import Loft

SAMPLE = 40


def walked(records: Sequence[bytes], level: str = ALL) -> Walk:
    """Walk over records whose leaf hashes all fit."""
    walk = Walk(level=level)
    for index, data in enumerate(records):
        walk.feed(index, data, merkle.leaf_hash(data))
    return walk


def judged_alone(before: Walk, index: int, data: bytes) -> list[Finding]:
    """Return what is found in one record behind a walk, which stays as it was."""
    standing = replace(before.standing)
    walk = replace(before, findings=[], standing=standing, onces=set(before.onces))
    walk.feed(index, data, merkle.leaf_hash(data))
    return walk.findings


def found_at(report: Report, index: int) -> list[Finding]:
    """Return what was found in one entry, questions left open aside."""
    return [f for f in report.findings if f.index == index and not f.is_open]


@pytest.mark.parametrize("level", LEVELS)
def test_the_published_log_has_no_finding(level: str) -> None:
    """The fourteen entries of the vectors may all stand, at every level."""
    walk = walked([record.data for record in vector_records()], level)

    assert walk.findings == []
    assert walk.size == 14


def test_a_flipped_bit_in_any_byte_of_any_record_is_found_in_that_record() -> None:
    """Even where the leaf hash is made to fit: form, hash or signature tells."""
    before = Walk()
    silent = []
    for record in vector_records():
        index, data = record.entry.index, record.data
        for place, changed in enumerate(flipped(data)):
            found = judged_alone(before, index, changed)
            if all(finding.is_open for finding in found):
                silent.append((index, place, changed[max(place - 20, 0) : place + 20]))
        before.feed(index, data, record.leaf)

    assert silent == []


def test_a_changed_byte_in_the_database_is_found_there(certified: Loft) -> None:
    """Forty bytes of the whole log, each with everything else made to fit."""
    records = records_of(certified)
    chance = random.Random(40)  # noqa: S311 (which bytes to change, nothing secret)
    for index in chance.choices(range(len(records)), k=SAMPLE):
        data = records[index]
        place, bit = chance.randrange(len(data)), chance.randrange(8)
        changed = bytearray(data)
        changed[place] ^= 1 << bit
        refit(certified, rechained(records, index, bytes(changed)))

        report = audit(certified.shop)

        assert not report, f"bit {bit} of byte {place} of entry {index}"
        assert found_at(report, index), f"bit {bit} of byte {place} of entry {index}"
        for later in range(index + 1, len(records)):
            assert found_at(report, later), f"entry {later} still counts"
    refit(certified, records)

    assert audit(certified.shop).findings == ()


def test_a_builder_cannot_say_an_old_entry_otherwise(certified: Loft) -> None:
    """Signed anew by its own key it is sound in itself: what follows tells."""
    records, index = records_of(certified), index_of(certified, "build.step-signed/2")
    event = parse_record(records[index]).entry.event | {"step": "brace"}
    records[index] = resealed(records[index], certified.keys["03"], event=event)
    refit(certified, records)

    report = audit(certified.shop)

    assert found_at(report, index) == []
    assert [f.cause for f in found_at(report, index + 1)] == ["chain"]


def test_whoever_holds_every_later_key_is_not_found_by_the_chain(
    certified: Loft,
) -> None:
    """All entries since signed anew: only a checkpoint from outside can tell."""
    records = records_of(certified)
    by_id = {key.id: key for key in (*certified.keys.values(), *certified.roots)}
    index = index_of(certified, "build.step-signed/2")
    event = parse_record(records[index]).entry.event | {"measures": []}
    records[index] = resealed(records[index], certified.keys["03"], event=event)
    for later in range(index + 1, len(records)):
        previous = merkle.leaf_hash(records[later - 1]).hex()
        key = by_id[parse_record(records[later]).entry.key]
        records[later] = resealed(records[later], key, previous=previous)
    refit(certified, records)

    assert audit(certified.shop)


@pytest.mark.parametrize("place", [1, 9, 20])
def test_two_entries_that_changed_places_are_found(certified: Loft, place: int) -> None:
    """Neither stands at its own index, nor follows the one it names."""
    records = records_of(certified)
    swapped = records[place], records[place + 1]
    records[place + 1], records[place] = swapped
    refit(certified, records)

    report = audit(certified.shop)

    for index in (place, place + 1):
        causes = {f.cause for f in found_at(report, index)}
        assert {"index", "chain"} <= causes


@pytest.mark.parametrize("place", [0, 6, 30])
def test_an_entry_that_was_taken_out_is_missed(certified: Loft, place: int) -> None:
    """The next entry says an index too high, and names another before it."""
    records = records_of(certified)
    refit(certified, [*records[:place], *records[place + 1 :]])

    report = audit(certified.shop)

    causes = {f.cause for f in found_at(report, place)}
    assert {"index", "chain"} <= causes


def test_an_unknown_kind_leaves_a_question_and_no_fault(certified: Loft) -> None:
    """What a later version says of wood is kept, and everything after it judged."""
    index = appended(certified, {"kind": "board.sung/1"}).entry.index
    certified.model("Nightferry")

    report = audit(certified.shop)

    assert report
    assert [(f.index, f.cause) for f in report.findings] == [(index, "unknown")]


def test_an_unknown_kind_about_roles_leaves_everything_after_it_open(
    certified: Loft,
) -> None:
    """Who may say what is not known any more, and the audit says so each time."""
    event = by_roots(certified, {"kind": "role.shared/1"})
    index = appended(certified, event).entry.index
    appended(certified, {"kind": "label.printed/1", "codes": []})

    report = audit(certified.shop)

    unknown = [f.index for f in report.findings if f.cause == "unknown"]
    assert unknown == [index, index + 1]
    assert report.is_clouded
    assert not report


@pytest.mark.parametrize("kind", ["key.blessed/1", "role.shared/1", "shop.founded/2"])
def test_whoever_may_not_say_an_unknown_kind_clouds_nothing(
    certified: Loft, kind: str
) -> None:
    """A builder's own word leaves nobody's role in doubt."""
    public = str(certified.keys["03"].public)
    event = {"kind": kind, "roots": [{"public": public}], "threshold": 1}
    index = appended(certified, event, certified.keys["03"]).entry.index
    stranger = SecretKey(b"somebody who has none of our keys"[:32])
    appended(certified, {"kind": "role.granted/1"}, stranger)

    report = audit(certified.shop)

    assert [(f.index, f.cause) for f in report.findings] == [
        (index, "authority"),
        (index + 1, "authority"),
    ]
    assert not report.is_clouded


def test_an_unknown_kind_is_folded_the_same_by_the_audit(certified: Loft) -> None:
    """What it used up, and that it governs, is in the views whoever folds them."""
    shop = certified.shop
    for kind in ("board.sung/1", "shop.moved/1"):
        event = by_roots(certified, {"kind": kind})
        appended(certified, event, fold=fold.fold)

    report = audit(shop)

    assert [f.cause for f in report.findings] == ["unknown", "unknown"]
    assert report.is_clouded


@pytest.mark.parametrize("kind", ["role.shared/1", "person.enrolled/2"])
def test_an_unknown_kind_does_not_excuse_a_forged_signature(
    certified: Loft, kind: str
) -> None:
    """Behind a kind that cannot be judged a signature still has to fit its key."""
    forger = SecretKey(b"somebody who has none of our keys"[:32])
    appended(certified, by_roots(certified, {"kind": kind}))
    last = appended(certified, {"kind": "label.printed/1", "codes": []})
    records = records_of(certified)
    signed = last.signed + b"\n" + resealed(last.data, forger).split(b"\n")[1] + b"\n"
    refit(certified, [*records[:-1], signed])

    report = audit(certified.shop)

    assert [f.cause for f in found_at(report, last.entry.index)] == ["authority"]
    assert not report


def test_a_stranger_cannot_begin_what_cannot_be_judged(certified: Loft) -> None:
    """Before the first kind that is not understood every key is known."""
    last = appended(certified, {"kind": "role.shared/1"})
    forger = SecretKey(b"somebody who has none of our keys"[:32])
    records = records_of(certified)
    forged = resealed(last.data, forger, key=forger.id)
    refit(certified, [*records[:-1], forged])

    report = audit(certified.shop)

    assert [f.cause for f in found_at(report, last.entry.index)] == ["authority"]


@pytest.mark.parametrize(
    ("level", "is_found"), [(TREE, False), (ROLES, False), (ALL, True)]
)
def test_a_forged_signature_is_found_at_its_level(
    certified: Loft, level: str, is_found: bool
) -> None:
    """Signatures of entries that do not govern are checked at level all only."""
    records, index = records_of(certified), index_of(certified, "build.step-signed/2")
    entry = records[-1].split(b"\n")[0]
    other = records[index].split(b"\n")[1]
    assert parse_record(records[-1]).entry.kind == "certificate.issued/1"
    refit(certified, [*records[:-1], entry + b"\n" + other + b"\n"])

    assert bool(audit(certified.shop, level=level)) != is_found


@pytest.mark.parametrize(("level", "is_found"), [(TREE, False), (ROLES, True)])
def test_a_forged_role_is_found_at_level_roles(
    certified: Loft, level: str, is_found: bool
) -> None:
    """What governs is checked with its signature as soon as roles are judged."""
    records, index = records_of(certified), index_of(certified, "role.granted/1")
    entry = parse_record(records[index]).entry
    assert entry.index == index
    event = entry.event | {"subject": certified.person("03").subject}
    changed = resealed(records[index], certified.roots[0], event=event)
    walk = walked([*records[:index], changed], level)

    assert bool(walk.findings) == is_found


def test_what_was_struck_is_known_behind_a_gap_as_well(certified: Loft) -> None:
    """An entry taken out is one change, and makes no other entry another's."""
    index = index_of(certified, "build.step-signed/2")
    appended(certified, codec.plain(certified.strike(index)))
    wrong = replace(certified.strike(index - 1), index=index)
    made = appended(certified, codec.plain(wrong))
    walk = Walk()
    for place, data, leaf in certified.shop.store.rows():
        if place != 5:
            walk.feed(place, data, leaf)

    struck = [finding.index for finding in walk.findings if finding.cause == "struck"]
    assert struck == [made.entry.index]


def test_an_entry_that_is_not_there_cannot_have_been_meant(certified: Loft) -> None:
    """Neither one to come, nor the striking entry itself, nor a far-off number."""
    size = certified.shop.store.head().size
    for index in (size, size + 5, 2**53 - 1):
        strike = replace(certified.strike(size - 1), index=index)
        appended(certified, codec.plain(strike))
    report = audit(certified.shop)

    found = [f.index for f in report.findings if f.cause == "struck"]
    assert found == [size, size + 1, size + 2]
