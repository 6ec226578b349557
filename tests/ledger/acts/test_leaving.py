"""What left counts by its size, by whatever way it left, and while the log holds it."""

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts import builds, leaving, outside, slips
from ledger.acts.backups import ELSEWHERE, SAME_DISK, Backup
from ledger.acts.heads import sign_head
from ledger.audit import audit
from ledger.events import SlipPrinted, SlipPrintedV1
from ledger.log.checkpoint import Checkpoint, parse_checkpoint, parse_note
from tests.handed import SERIAL, slip_of
from tests.ledger.audit.tampering import behind_the_guards
from tests.shops import certified, certified_folder
from tests.skerrymoor import Loft

__all__ = ["certified", "certified_folder"]


@pytest.fixture
def kept(loft: Loft, tmp_path: Path) -> Loft:
    """Give a shop whose account remembers what left."""
    loft.shop = replace(loft.shop, state=tmp_path / "account")
    loft.model()
    return loft


def head_of(loft: Loft) -> Checkpoint:
    """Return the head of a shop, signed now."""
    return parse_checkpoint(parse_note(sign_head(loft.shop)))


def printed(loft: Loft) -> Checkpoint:
    """Print a build's tag; return the head that it carries."""
    serial = loft.begin()
    note = sign_head(loft.shop)
    builds.tag_printed(
        loft.shop, serial=serial, note=note, sha256_hex="5a" * 32, hands=loft.hands()
    )
    return parse_checkpoint(parse_note(note))


def size_of(loft: Loft) -> int | None:
    """Return the size of the newest head outside."""
    left = leaving.newest_left(loft.shop)
    return None if left is None else left.size


def test_the_newest_of_all_ways_counts(kept: Loft) -> None:
    """Nothing, then a slip, then a tag, then a backup on another disk."""
    shop = kept.shop
    assert size_of(kept) is None
    slip = head_of(kept)
    outside.leave(shop.state, slip, day="2026-01-05", how=leaving.ON_A_SLIP)
    assert size_of(kept) == slip.size
    tag = printed(kept)
    assert size_of(kept) == tag.size > slip.size
    assert size_of(replace(kept, shop=replace(shop, state=None))) == tag.size

    head = head_of(kept)
    made = Backup(
        name="copy", at="2026-01-06T08:00:00Z", size=head.size, root=head.root.hex()
    )
    for place in ("", SAME_DISK):
        leaving.backup_left(shop, replace(made, place=place))
        assert size_of(kept) == tag.size
    leaving.backup_left(shop, replace(made, place=ELSEWHERE))
    left = leaving.newest_left(shop)
    assert left is not None and left.size == head.size > tag.size
    assert left.how == "in backup copy on another disk since"


def test_a_transfer_slip_carries_a_head_out(certified: Loft) -> None:
    """As its print says, not as it was numbered; one of an older kind carried none."""
    slip, hands = slip_of(certified), certified.hands("12")
    with certified.shop.turn() as turn:
        turn.say(SlipPrintedV1(slip=slip.number, sha256="5a" * 32), hands)
    assert size_of(certified) is None
    assert audit(certified.shop).newest_outside is None
    both = certified.hands("12", "01")
    again = slips.slip_for(certified.shop, SERIAL, both, again=True)
    slips.printed(
        certified.shop, again, sha256_hex="5a" * 32, hands=both, reason="a spoilt print"
    )
    report = audit(certified.shop)

    assert again == slip and again.note != slip.note
    assert size_of(certified) == slip.entry + 2
    assert report.newest_outside == (slip.entry + 2, "2026-01-05")
    assert report.findings == ()


def test_a_slip_with_a_head_that_nobody_signed_is_found(certified: Loft) -> None:
    """An audit holds what a slip carries against the log, as it does a tag's."""
    slip = slip_of(certified)
    false = SlipPrinted(
        slip=slip.number, size=slip.entry, root="00" * 32, sha256="5a" * 32
    )
    with certified.shop.turn() as turn:
        turn.say(false, certified.hands("12"))
    (found,) = audit(certified.shop).findings

    assert (found.cause, found.index) == ("checkpoint", slip.entry + 1)
    assert size_of(certified) is None


def test_a_tag_of_another_history_has_not_left_from_here(kept: Loft) -> None:
    """Its root is not the log's; and what cannot be read says nothing."""
    printed(kept)
    with behind_the_guards(kept) as connection:
        connection.execute("UPDATE printedtag SET idx = 3")
    assert size_of(kept) is None
    with behind_the_guards(kept) as connection:
        connection.execute("DROP TABLE printedtag")
    assert size_of(kept) is None
