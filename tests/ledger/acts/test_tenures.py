"""A key that the log had counts for heads of its own sizes alone."""

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts import outside, tenures
from ledger.acts.heads import sign_head
from ledger.acts.layout import EVIDENCE
from ledger.acts.logkey import replace_log_key
from ledger.acts.signing import log_key
from ledger.audit import Outside, audit
from ledger.log import seen
from ledger.log.checkpoint import (
    Checkpoint,
    NoteKey,
    parse_checkpoint,
    parse_note,
    sign_note,
)
from ledger.log.keys import SecretKey
from tests.skerrymoor import Loft


@pytest.fixture
def kept(loft: Loft, tmp_path: Path) -> Loft:
    """Give a shop whose account remembers."""
    loft.shop = replace(loft.shop, state=tmp_path / "account")
    return loft


def beyond(loft: Loft, key: SecretKey, more: int = 50) -> str:
    """Sign a head of more entries than there are, as whoever has a key can."""
    origin, size = loft.shop.standing().origin, loft.shop.store.head().size + more
    head = Checkpoint(origin=origin, size=size, root=b"\x5a" * 32)
    return sign_note(head.text, name=origin, secret=key)


def test_a_stolen_key_that_was_replaced_stops_nobody(kept: Loft) -> None:
    """Neither held against the log nor laid into its folder; and each time it is told.

    Before it was replaced the same head stopped the shop, and now it goes on.
    """
    shop, thief = kept.shop, log_key(kept.shop)
    origin = shop.standing().origin
    before = NoteKey(origin, thief.public)
    assert shop.state is not None
    replace_log_key(shop, kept.hands("01", "roots"))
    note = beyond(kept, thief)
    head = parse_checkpoint(parse_note(note))

    assert outside.hold_against(shop.store, shop.folder, shop.state, note, "") is None
    assert not (shop.folder / EVIDENCE).exists()
    (shop.folder / EVIDENCE).mkdir()
    laid = shop.folder / EVIDENCE / "2026-01-09-x.note"
    laid.write_text(note, encoding="utf-8")
    signed = seen.SignedHead(key=before, note=note, day="2026-01-09")
    seen.remember(shop.state, origin, lambda known: known.with_against(signed))

    assert outside.find_gap(shop.store, shop.folder, shop.state) is None
    kept.model()
    told = list(outside.signed_by_ended(shop.store, shop.folder, shop.state))
    assert [each.partition(":")[0] for each in told] == [outside.HERE, str(laid)]
    assert all("that was replaced after" in each for each in told)
    (found,) = audit(shop, level="tree", against=Outside.of(head, note)).findings
    assert found.cause == "outside"
    assert f"it is a head of {head.size} entries, signed with a key" in found.detail


def test_the_key_of_today_is_believed_beyond_the_end(kept: Loft) -> None:
    """And no other for a size that is not its own."""
    shop, old = kept.shop, log_key(kept.shop)
    early = parse_checkpoint(parse_note(sign_head(shop)))
    replace_log_key(shop, kept.hands("01", "roots"))
    known, new = tenures.lineage(shop.store), log_key(shop)
    backwards = sign_note(early.text, name=early.origin, secret=new)
    good = beyond(kept, new)

    assert [key.public for key in tenures.log_keys(shop.store)] == [
        new.public,
        old.public,
    ]
    assert tenures.signer(known, backwards) is None
    assert tenures.signer(known, "nothing") is None
    assert tenures.signed_too_late(known, good) is None
    assert (
        outside.hold_against(shop.store, shop.folder, shop.state, good, "") is not None
    )


def test_a_log_is_folded_again_only_where_its_bytes_are_others(kept: Loft) -> None:
    """What is said of the work changes nothing of its keys; a new key does, at once."""
    shop, before = kept.shop, tenures.lineage(kept.shop.store)
    kept.model()
    assert tenures.lineage(shop.store) is before
    replace_log_key(shop, kept.hands("01", "roots"))

    assert len(tenures.lineage(shop.store).log_tenures) == 2
    assert len(before.log_tenures) == 1
