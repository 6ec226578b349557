"""A new key for the log: its first head bears both, and later ones the new one's."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import fields
from pathlib import Path
from typing import ClassVar

import pytest

from cli.record_pages import write_pages
from ledger.acts import copies
from ledger.acts.claims import since
from ledger.acts.exchange import export, import_record
from ledger.acts.heads import prove, sign_head
from ledger.acts.logkey import NewLogKey, replace_log_key
from ledger.acts.settings import Settings
from ledger.acts.shop import Shop, Turn, open_for_audit
from ledger.acts.signing import LOG_KEY, NEXT_LOG_KEY, log_key
from ledger.audit import Outside, audit
from ledger.audit.lately import lately
from ledger.check import NO, YES, check_certificate
from ledger.errors import RefusedError, TamperError
from ledger.log import keyfile
from ledger.log.checkpoint import (
    Checkpoint,
    NoteKey,
    checkpoint_by,
    parse_checkpoint,
    parse_note,
    sign_note,
    verified_checkpoint,
)
from ledger.log.keys import SecretKey
from tests.ledger.buying import sold_by
from tests.skerrymoor import Loft


def old_key(loft: Loft) -> NoteKey:
    """Return the log's key of now, by which others will know it."""
    return NoteKey(loft.shop.standing().origin, log_key(loft.shop).public)


def signed_by_thief(loft: Loft, thief: SecretKey, size: int, root: bytes) -> str:
    """Sign a head as whoever stole the log's key can."""
    head = Checkpoint(origin=loft.shop.standing().origin, size=size, root=root)
    return sign_note(head.text, name=head.origin, secret=thief)


def test_a_log_goes_on_with_a_new_key_and_its_old_heads_stand(
    certified: Loft, tmp_path: Path
) -> None:
    """Certificate, audit, export and the shop's own look all know which key when."""
    shop, old = certified.shop, old_key(certified)
    before, sold = sign_head(shop), sold_by(certified)
    made = replace_log_key(shop, certified.hands("01", "roots"))
    certified.model("Nightferry")
    after = sign_head(shop)
    standing = shop.standing()

    assert made.is_cosigned and log_key(shop).id == made.key
    assert parse_checkpoint(parse_note(made.head)).size == made.entry.index + 1
    # Whoever has only an older keys file sees the new key begin.
    assert verified_checkpoint(made.head, [old])
    for note in (before, made.head, after):
        assert checkpoint_by(note, standing.log_keys_at)
    with pytest.raises(TamperError, match="no key that is known"):
        verified_checkpoint(after, [old])
    outside = Outside.of(parse_checkpoint(parse_note(before)), before)
    assert audit(shop, against=outside).findings == ()
    assert audit(shop, level="tree", against=outside).findings == ()
    assert lately(shop, certified.clock()).findings == ()
    keys = copies.publish_keys(shop, certified.roots[:2]).read_bytes()
    assert check_certificate(sold.data, keys).word == YES
    assert since(shop, "C-2026-00001").is_kept
    assert prove(shop, made.entry.index).head.size == shop.store.head().size

    export(shop, tmp_path / "out", draw=write_pages)
    import_record(tmp_path / "out", tmp_path / "in", Settings())
    other = open_for_audit(tmp_path / "in", now=certified.clock)
    assert [f.cause for f in audit(other).findings if not f.is_open] == []
    other.close()


def test_what_a_thief_signs_with_the_old_key_counts_no_more(certified: Loft) -> None:
    """From the change's own head on; an older size is told by its root alone."""
    shop, thief = certified.shop, log_key(certified.shop)
    sold = sold_by(certified)
    early = parse_checkpoint(parse_note(sign_head(shop)))
    made = replace_log_key(shop, certified.hands("01", "roots"))
    index, false = made.entry.index, b"\x5a" * 32
    keys = copies.publish_keys(shop, certified.roots[:2]).read_bytes()

    for size in (index + 1, index + 2, index + 900):
        note = signed_by_thief(certified, thief, size, false)
        with pytest.raises(TamperError, match="no key that is known"):
            checkpoint_by(note, shop.standing().log_keys_at)
        outside = Outside.of(parse_checkpoint(parse_note(note)), note)
        (found,) = audit(shop, against=outside).findings
        assert "was not signed by this log" in found.detail
    note = signed_by_thief(certified, thief, early.size, false)
    outside = Outside.of(parse_checkpoint(parse_note(note)), note)
    (found,) = audit(shop, against=outside).findings
    assert "are not those that were signed for" in found.detail
    path = prove(shop, sold.file.record.entry.index)
    forged = path.checkpoint.rpartition("\n\n")[0] + "\n"
    fake = sign_note(forged, name=early.origin, secret=thief)
    file = sold.data.replace(json_text(sold.file.proof.checkpoint), json_text(fake))
    assert check_certificate(file, keys).word == NO


def json_text(text: str) -> bytes:
    """Return a text as it stands inside a canonical file."""
    return text.replace("\n", "\\n").encode()


def test_a_lost_key_is_replaced_without_its_signature(loft: Loft) -> None:
    """The new one alone makes the first head good."""
    before = sign_head(loft.shop)
    (loft.shop.keys / LOG_KEY).unlink()
    made = replace_log_key(loft.shop, loft.hands("02", "roots"))

    assert not made.is_cosigned
    assert checkpoint_by(before, loft.shop.standing().log_keys_at)
    assert audit(loft.shop).findings == ()


def test_the_roots_decide_and_a_refusal_leaves_the_old_key(loft: Loft) -> None:
    """Neither leads nor one root; nothing is written, and heads are signed on."""
    kept = (loft.shop.keys / LOG_KEY).read_bytes()
    for hands in (loft.hands("01", "12"), loft.hands("01")):
        with pytest.raises(RefusedError, match="of 2 roots: bring another stick"):
            replace_log_key(loft.shop, hands)

    assert (loft.shop.keys / LOG_KEY).read_bytes() == kept
    assert not (loft.shop.keys / NEXT_LOG_KEY).exists()
    assert sign_head(loft.shop)


def test_a_power_cut_behind_the_entry_loses_no_key(loft: Loft) -> None:
    """The new key is found where it was made, and the next change takes it along."""
    old = (loft.shop.keys / LOG_KEY).read_bytes()
    made = replace_log_key(loft.shop, loft.hands("01", "roots"))
    (loft.shop.keys / LOG_KEY).rename(loft.shop.keys / NEXT_LOG_KEY)
    keyfile.write(loft.shop.keys / LOG_KEY, old)
    loft.model()

    assert log_key(loft.shop).id == made.key
    assert sign_head(loft.shop)
    assert audit(loft.shop).findings == ()
    again = replace_log_key(loft.shop, loft.hands("01", "roots"))
    assert again.is_cosigned and log_key(loft.shop).id == again.key
    assert not (loft.shop.keys / NEXT_LOG_KEY).exists()


def test_no_head_is_signed_with_a_key_that_is_not_the_log_s(loft: Loft) -> None:
    """As where an older copy of the key files was laid back."""
    old = (loft.shop.keys / LOG_KEY).read_bytes()
    replace_log_key(loft.shop, loft.hands("01", "roots"))
    (loft.shop.keys / LOG_KEY).write_bytes(old)
    loft.model()

    with pytest.raises(RefusedError, match="is not the log's of today"):
        sign_head(loft.shop)
    assert [f.cause for f in audit(loft.shop).findings] == ["custody"]


class _BesideAnother(Shop):
    """A shop beside whose next turn another station does something."""

    before: ClassVar[list[Callable[[], object]]] = []
    after: ClassVar[list[Callable[[], object]]] = []

    @contextmanager
    def turn(self, *, at_once: bool = True) -> Iterator[Turn]:
        """Let the other station come first, and again when this turn is written."""
        while self.before:
            self.before.pop()()
        with super().turn(at_once=at_once) as turn:
            yield turn
        while self.after:
            self.after.pop()()


@pytest.mark.parametrize("when", ["before", "after"])
def test_two_stations_that_replace_the_key_at_once_lose_none(
    loft: Loft, when: str
) -> None:
    """Whichever comes last has the key that signs, and it lies in its place."""
    shop, hands = loft.shop, loft.hands("01", "roots")
    slow = _BesideAnother(
        **{each.name: getattr(shop, each.name) for each in fields(shop)}
    )
    made: list[NewLogKey] = []
    getattr(slow, when).append(lambda: made.append(replace_log_key(shop, hands)))
    made.append(replace_log_key(slow, hands))

    keys = [each.key for each in sorted(made, key=lambda one: one.entry.index)]
    assert log_key(shop).id == keys[-1]
    assert log_key(shop).public == shop.standing().log_key
    assert keyfile.named_key((shop.keys / LOG_KEY).read_bytes(), "")[0].id == keys[-1]
    assert not (shop.keys / NEXT_LOG_KEY).exists()
    loft.model()
    assert sign_head(shop) and audit(shop).findings == ()
