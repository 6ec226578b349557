"""What a kept head proves is said with its day, its place and every number."""

from ledger.acts.gaps import Gap, Kept, weekday
from ledger.log.seen import Sighting, SignedHead
from tests.ledger.log.witnessed import LOG, head, note


def gap(size: int, *, is_signed: bool) -> Gap:
    """Return that a log of some size does not hold a head of six entries."""
    signed = SignedHead(key=LOG, note=note(6), day="2026-01-09")
    seen = Sighting(head=head(6), day="2026-01-09")
    kept = Kept(signed=signed if is_signed else seen, where="kept here")
    return Gap(kept=kept, proven=head(6), size=size)


def test_a_signed_head_proves_and_one_that_was_seen_is_this_account_s_word() -> None:
    """Whatever is missing is counted; another history of the same size is told."""
    assert str(gap(4, is_signed=True)) == (
        "this ledger ends at 4; a checkpoint of Friday 2026-01-09, kept here, proves 6 "
        "existed: 2 entries are missing"
    )
    assert str(gap(5, is_signed=False)) == (
        "this ledger ends at 5; this account saw 6 entries on Friday 2026-01-09: 1 "
        "entry is missing"
    )
    assert "are not those of a checkpoint of Friday" in str(gap(6, is_signed=True))
    assert str(gap(7, is_signed=False)).endswith(
        "that this account saw on Friday 2026-01-09"
    )


def test_what_is_no_day_is_said_as_it_stands() -> None:
    """A file may hold anything."""
    assert weekday("soon") == "soon"
