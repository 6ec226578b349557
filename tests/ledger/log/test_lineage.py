"""The lineage: from the founding to the roots and the log's keys of today."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from ledger.errors import TamperError
from ledger.log.authority import Judgement, judge_lineage
from ledger.log.checkpoint import NoteKey
from ledger.log.entry import Record
from ledger.log.governing import faults_of
from ledger.log.keysfile import KeysFile, read_keys_file, write_keys_file
from ledger.log.lineage import walk_lineage
from ledger.log.standing import Standing, apply
from ledger.log.tenures import LogTenure
from tests.ledger.log.volumes import continued, head
from tests.ledger.log.workshop import (
    ROOTS,
    Event,
    Workshop,
    affirmed,
    founded,
    log_key_replaced,
    newly_founded,
    plain,
    reported,
    roots_changed,
    secret,
    staffed,
    with_false_yes,
)

BOTH = ("root-1", "root-2")


@pytest.fixture(scope="module")
def changed() -> Workshop:
    """Give a shop whose log and roots changed, and whose builder was robbed."""
    shop = staffed()
    shop.says(log_key_replaced("log-2"), by="lead", yes=BOTH)
    change = roots_changed(("root-1", "root-4"), 2, 2)
    shop.says(change, by="lead", yes=("root-1", "root-2", "root-4"))
    shop.says(plain("lot.seen/1"), by="lead")
    shop.says(log_key_replaced("log-3"), by="office", yes=("root-1", "root-4"))
    shop.says(reported("builder", 9), by="office", yes=("lead",))
    for index in (12, 9):
        shop.says(affirmed("builder", index), by="lead", yes=("office",))
    return shop


def texts(shop: Workshop) -> list[str]:
    """Return the lineage as a keys file holds it."""
    return [data.decode() for data in shop.lineage()]


def file_of(shop: Workshop, roots: Sequence[str] = ("root-1", "root-4")) -> KeysFile:
    """Write the keys file of a shop, and read it."""
    data = write_keys_file(
        shop.standing,
        lineage=shop.lineage(),
        number=1,
        date="2026-03-02",
        size=len(shop.records),
        root=b"\x5a" * 32,
        roots=[secret(name) for name in roots],
    )
    return read_keys_file(data)


def test_a_lineage_leads_to_the_log_s_keys_of_every_size(changed: Workshop) -> None:
    """With nothing but its records: both changes of the log, and that of the roots."""
    walked = walk_lineage(texts(changed), len(changed.records))

    assert walked.log_tenures == changed.standing.log_tenures
    assert walked.root_version == 2
    assert [len(walked.log_keys_at(n)) for n in (0, 1, 10, 11, 99)] == [0, 1, 1, 1, 1]


def test_a_keys_file_says_which_key_signed_which_head(changed: Workshop) -> None:
    """And since when a key is in dispute, save what was affirmed, sorted."""
    file = file_of(changed)
    tenures = changed.standing.log_tenures

    for size in range(1, len(changed.records) + 2):
        wanted = [NoteKey(file.origin, t.public) for t in tenures if t.covers(size)]
        assert file.log_keys_at(size) == wanted and len(wanted) == 1
    robbed = file.key(secret("builder").id)
    assert robbed is not None
    assert (robbed.disputed_since, robbed.affirmed) == (9, frozenset({9, 12}))
    assert [robbed.is_disputed_at(n) for n in (8, 9, 10, 12)] == [
        *(False, False),
        *(True, False),
    ]


@pytest.mark.parametrize("n", [1, 3])
def test_a_new_key_of_the_log_that_was_left_out_is_missed(
    changed: Workshop, n: int
) -> None:
    """Nobody signs heads by a key to which the lineage does not lead."""
    lineage = changed.lineage()
    del lineage[n]
    data = write_keys_file(
        changed.standing,
        lineage=lineage,
        number=1,
        date="2026-03-02",
        size=len(changed.records),
        root=b"\x5a" * 32,
        roots=[secret("root-1"), secret("root-4")],
    )

    with pytest.raises(TamperError, match="other keys of the log, or other sizes"):
        read_keys_file(data)


@pytest.mark.parametrize(
    ("yes", "fault"),
    [
        ((), "approved by 0 of 2 roots"),
        (("root-1",), "approved by 1 of 2 roots"),
        (("root-1", "lead"), "approved by 1 of 2 roots"),
        (("root-1", "log"), "approved by 1 of 2 roots"),
    ],
)
def test_no_key_of_the_log_follows_by_too_few_roots(
    yes: Sequence[str], fault: str
) -> None:
    """A thief of the log's key, or of one stick, leads no reader to another key."""
    shop = staffed()
    forged = shop.record(shop.approved(log_key_replaced("thief"), yes), "log")
    apply(shop.standing, forged.entry.index, forged.entry.event, forged.entry.key)
    shop.records.append(forged)

    with pytest.raises(TamperError, match=fault):
        walk_lineage(texts(shop), len(shop.records))


@pytest.mark.parametrize("key", ["log", "log-2", "root-2", "root-1"])
def test_a_key_that_was_there_before_does_not_come_back(
    changed: Workshop, key: str
) -> None:
    """Neither an older one of the log nor any root."""
    event = changed.approved(log_key_replaced(key), ("root-1", "root-4"))
    again = changed.record(event, "lead").data.decode()

    with pytest.raises(TamperError, match="cannot be again"):
        walk_lineage([*texts(changed), again], len(changed.records) + 1)


def test_what_changes_no_key_is_no_part_of_a_lineage(changed: Workshop) -> None:
    """Nor is a record of another log, or one that is out of its order."""
    other = changed.records[-1].data.decode()
    for lineage, fault in (
        ([*texts(changed), other], "changes no roots here"),
        (texts(changed)[::-1], "not in order|changes no roots here"),
        ([texts(changed)[1]], "changes no roots here"),
        ([7], "records as text"),
    ):
        with pytest.raises(TamperError, match=fault):
            walk_lineage(lineage, len(changed.records))
    nothing: tuple[object, ...] = (None, [], {}, "", "x", 7)
    for odd in nothing:
        with pytest.raises(TamperError, match="has no lineage"):
            walk_lineage(odd, len(changed.records))


def test_a_lineage_goes_no_further_than_its_head(changed: Workshop) -> None:
    """Of a head that is before one of its records it tells too much."""
    last = max(r.entry.index for r in changed.records if r.data in changed.lineage())
    for size in (0, 9, last):
        with pytest.raises(TamperError, match="not in order"):
            walk_lineage(texts(changed), size)

    assert walk_lineage(texts(changed), last + 1).root_version == 2


def test_two_records_of_a_lineage_have_not_one_place() -> None:
    """Nor does a later one stand before an earlier: each alone might be said there."""
    shop = staffed()
    lower, upper = (
        shop.record(shop.approved(log_key_replaced(key), BOTH), "lead")
        for key in ("log-2", "log-3")
    )
    shop.says(plain("lot.seen/1"), by="lead")
    later = shop.record(shop.approved(log_key_replaced("log-4"), BOTH), "lead")

    def walked(*records: Record) -> list[LogTenure]:
        lineage = [*texts(shop), *(record.data.decode() for record in records)]
        return walk_lineage(lineage, 99).log_tenures

    assert len(walked(lower, later)) == 3
    for records in ((lower, upper), (later, lower)):
        with pytest.raises(TamperError, match="not in order"):
            walked(*records)


def test_a_closed_volume_knows_what_is_lost_of_it() -> None:
    """The heads behind its end, up to the largest that is proven, and no other."""
    shop = staffed()
    first, size = shop.standing.origin, len(shop.records)
    shop.says(continued(shop, "log-2", lost=2), by="lead", yes=BOTH)
    closed = shop.standing.closed_as(first)

    assert closed is not None
    assert shop.standing.closed_as(f"{first}/v2") is None
    assert [closed.proves(size + n) for n in range(-1, 4)] == [
        *(False, False),
        *(True, True, False),
    ]
    assert str(closed) == f"2 entries are lost of {first}: {size} to {size + 1}"
    one = replace(closed, proven_size=size + 1)
    assert str(one) == f"1 entry is lost of {first}: {size}"
    other = replace(closed, proven_size=size)
    assert (other.lost, other.proves(size)) == (0, False)
    assert str(other) == (
        f"of {first} another history of {size} entries is proven: it was closed after "
        f"{size}"
    )


def test_volumes_follow_one_another_in_one_lineage() -> None:
    """Each has its own name and keys; indices, keys of people and roots go on."""
    shop = staffed()
    first = shop.standing.origin
    size = len(shop.records)
    shop.says(continued(shop, "log-2"), by="lead", yes=BOTH)
    shop.says(plain("lot.seen/1"), by="lead")
    shop.says(log_key_replaced("log-3", f"{first}/v2"), by="lead", yes=BOTH)
    change = roots_changed(("root-1", "root-4"), 2, 2, f"{first}/v2")
    shop.says(change, by="lead", yes=("root-1", "root-2", "root-4"))
    again = continued(shop, "log-4", lost=1)
    shop.says(again, by="office", yes=("root-1", "root-4"))
    file = file_of(shop)

    assert walk_lineage(texts(shop), 99).log_tenures == shop.standing.log_tenures
    assert file.origin == f"{first}/v3" == shop.standing.origin
    assert [file.origin_at(i) for i in (0, size - 1, size, size + 3, size + 4)] == [
        *[first] * 2,
        *[f"{first}/v2"] * 2,
        f"{first}/v3",
    ]
    assert file.closed_after(first) == size
    assert file.closed_after(f"{first}/v2") == size + 4
    assert file.closed_after(f"{first}/v3") is None
    assert file.closed_after("another.example") is None
    assert [str(closed).split(" of ")[0] for closed in shop.standing.closed] == [
        "9 entries are lost",
        "1 entry is lost",
    ]


def test_a_volume_that_does_not_follow_is_refused() -> None:
    """Neither with another number, name or head, nor by too few, nor behind nothing."""
    shop = staffed()
    origin, size = shop.standing.origin, len(shop.records)
    true = continued(shop, "log-2")
    said = f"a volume says origin, size and root of {origin}, closed"
    proven = "a volume says which head of the older one is proven"
    cases: tuple[tuple[Event, str], ...] = (
        ({"number": 3}, f"volume 3 cannot follow volume 1 of {origin}"),
        ({"number": 1}, f"volume 1 cannot follow volume 1 of {origin}"),
        ({"origin": f"{origin}/v3"}, f"the origin of this volume is {origin}/v2"),
        ({"origin": origin}, f"the origin of this volume is {origin}/v2"),
        ({"closed": head(origin, size - 1)}, f"{size - 1} entries are closed, and"),
        ({"closed": head(origin, size + 1)}, f"{size + 1} entries are closed, and"),
        ({"closed": head(origin, size, "5a" * 10)}, said),
        ({"closed": head(origin, True)}, said),
        ({"closed": head(origin, 0)}, said),
        ({"closed": head(origin, size) | {"more": 1}}, said),
        ({"closed": head("x", size)}, said),
        ({"closed": None}, said),
        ({"proven": head(origin, size)}, "nothing is lost"),
        ({"proven": head(origin, size - 1)}, "nothing is lost"),
        ({"proven": head(origin, size, "5a" * 10)}, "nothing is lost"),
        ({"proven": head(origin, size + 1, "5a" * 11)}, proven),
        ({"proven": head("x", size + 1)}, proven),
        ({"log": continued(shop, "log")["log"]}, "cannot be again"),
        ({"log": continued(shop, "lead")["log"]}, "cannot be again"),
        ({"log": true["log"] | {"possession": "x"}}, "without possession"),
        ({"name": "Skerrymoor"}, "it has no place for name"),
    )
    for changes, fault in cases:
        judgement = shop.judged(true | changes, by="lead", yes=BOTH)
        assert fault in "; ".join(judgement.reasons)
    assert not shop.judged(true, by="lead", yes=("root-1",))
    assert not shop.judged(true, by="lead", yes=("lead", "second"))
    assert shop.judged(true, by="lead", yes=BOTH)
    other = {"proven": head(origin, size, "a5" * 32)}
    assert shop.judged(true | other, by="root-1", yes=BOTH)
    first = {"proven": head(origin, 1, "a5" * 32)}
    assert shop.judged(true | first, by="root-1", yes=BOTH)
    faults = faults_of(Standing(origin=origin), 0, true)
    assert faults == (f"volume 2 cannot follow volume 1 of {origin}",)


def first_judged(event: Event, yes: Sequence[str]) -> Judgement:
    """Judge the founding for somebody who has nothing but a lineage."""
    shop = Workshop()
    record = shop.record(shop.approved(event, yes), by="root-1")
    return judge_lineage(shop.standing, record)


def test_a_lineage_begins_with_a_founding_that_is_judged_whole() -> None:
    """Every root approves it, as in the log itself."""
    assert first_judged(founded(), ROOTS)
    assert first_judged(founded(), BOTH).reasons == (
        "2 of 3 roots approved the founding",
    )


def test_the_entry_after_the_founding_is_judged_as_a_change() -> None:
    """Whoever signs it is unknown to a reader of a lineage, and the roots count."""
    shop = newly_founded()
    change = shop.approved(roots_changed(("root-1", "root-4"), 2, 2), ("root-4", *BOTH))

    assert judge_lineage(shop.standing, shop.record(change, by="stranger"))
    following = shop.approved(log_key_replaced("log-2"), BOTH)
    assert judge_lineage(shop.standing, shop.record(following, by="stranger"))


def test_a_false_approval_in_a_lineage_is_named() -> None:
    """It is more than one that is missing."""
    shop = newly_founded()
    change = roots_changed(("root-1", "root-4"), 2, 2)
    event = with_false_yes(change, "root-2", "root-1", "root-4")
    judgement = judge_lineage(shop.standing, shop.record(event, by="lead"))

    assert "does not verify" in judgement.reasons[0]
