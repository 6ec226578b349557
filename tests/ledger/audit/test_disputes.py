"""What a walk finds in dispute: what governs first, what is settled not at all."""

from ledger.audit.disputes import dispute_findings
from ledger.audit.walk import ROLES, Walk
from tests.ledger.log.workshop import (
    Workshop,
    affirmed,
    plain,
    qualified,
    reported,
    staffed,
)


def walked(shop: Workshop) -> Walk:
    """Walk over a log in memory."""
    walk = Walk(level=ROLES)
    for record in shop.records:
        walk.feed(record.entry.index, record.data, record.leaf)
    return walk


def test_what_governs_is_named_before_what_was_said_earlier() -> None:
    """An approval of it as well; and what was affirmed is not named at all."""
    shop = staffed()
    since = len(shop.records)
    for _ in range(2):
        shop.says(plain("lot.seen/1"), by="second")
    shop.says(qualified("builder"), by="second")
    shop.says(plain("clock.doubted/1"), by="lead", yes=("second",))
    shop.says(plain("lot.seen/1"), by="lead")
    roots = ("root-1", "root-2")
    shop.says(reported("second", since), by="office", yes=roots)
    leaf = shop.records[since].leaf.hex()
    shop.says(affirmed("second", since, leaf), by="lead", yes=("office",))
    found = list(dispute_findings(walked(shop)))

    assert [each.index for each in found] == [since + 2, since + 1, since + 3]
    assert {each.cause for each in found} == {"disputed"}
    assert found[0].detail.startswith("said by key ")
    assert found[2].detail.startswith("approved by key ")
    assert all(f"disputed since entry {since}, not" in each.detail for each in found)


def test_where_no_key_was_reported_nothing_is_in_dispute() -> None:
    """However much was said and approved."""
    assert list(dispute_findings(walked(staffed()))) == []


def test_an_affirmation_that_names_another_entry_or_key_is_found() -> None:
    """By its leaf hash, and by who spoke there."""
    shop = staffed()
    since = len(shop.records)
    shop.says(plain("lot.seen/1"), by="lead")
    shop.says(reported("builder", since), by="office", yes=("lead",))
    leaf = shop.records[since].leaf.hex()
    shop.says(affirmed("builder", since, leaf), by="lead", yes=("office",))
    shop.says(affirmed("builder", since + 1, "00" * 32), by="lead", yes=("office",))
    found = [f for f in walked(shop).findings if f.cause == "affirmed"]

    assert [f.index for f in found] == [since + 2, since + 3]
    assert "neither said nor approved entry" in found[0].detail
    assert "another one was meant" in found[1].detail
