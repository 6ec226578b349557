"""A next volume: begun where entries are lost, and never for anything less."""

from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pytest

from cli.record_pages import write_pages
from ledger.acts import continuing, copies, outside, witnesses
from ledger.acts.certificates import certificate_paper
from ledger.acts.exchange import export, import_record
from ledger.acts.heads import prove, sign_head
from ledger.acts.keyring import new_key, shown_key
from ledger.acts.settings import Settings
from ledger.acts.shop import open_for_audit
from ledger.acts.signing import LOG_KEY, NEXT_LOG_KEY, log_key
from ledger.acts.witnessing import Holder, witness
from ledger.audit import Outside, audit
from ledger.audit.lately import lately
from ledger.check import CANNOT_TELL, YES, check_certificate, check_proof
from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.events import ShopContinued
from ledger.events.shop import Head
from ledger.log import keyfile
from ledger.log.checkpoint import Checkpoint, parse_checkpoint, parse_note, sign_note
from ledger.log.governing import volume_origin
from tests.ledger.log.witnessed import WITNESS, WITNESS_KEY
from tests.ledger.losing import Lost, lose
from tests.skerrymoor import Loft

NAME = "harbour-notary"
NOTARY = Holder(name=WITNESS, secret=WITNESS_KEY)
FALSE = b"\x5a" * 32


@pytest.fixture
def lost(tmp_path: Path, certified_folder: Path) -> Lost:
    """Give a shop that was put back as it was before its second instrument."""
    return lose(tmp_path, certified_folder)


def beyond(loft: Loft, more: int = 7) -> Outside:
    """Give a signed head of entries that this log does not hold."""
    origin = loft.shop.standing().origin
    size = loft.shop.store.head().size + more
    head = Checkpoint(origin=origin, size=size, root=FALSE)
    note = sign_note(head.text, name=origin, secret=log_key(loft.shop))
    return Outside.of(head, note)


def test_a_log_goes_on_under_another_name_and_key(loft_on_each: Loft) -> None:
    """In either database; its entries, their numbers and its old heads stay."""
    loft, shop = loft_on_each, loft_on_each.shop
    early, size = sign_head(shop), shop.store.head().size
    old, root = log_key(shop).id, shop.store.head().root
    made = continuing.go_on(shop, beyond(loft), loft.hands("01", "roots"))
    loft.model("Nightferry")
    late = parse_checkpoint(parse_note(sign_head(shop)))
    standing = shop.standing()

    assert made.entry.index == size and made.key not in (old, "")
    assert made.entry.event["closed"]["root"] == root.hex()
    assert standing.origin == f"{standing.first_origin}/v2" == late.origin
    assert standing.volume == 2 and [str(each) for each in standing.closed] == [
        f"7 entries are lost of {standing.first_origin}: {size} to {size + 6}"
    ]
    assert parse_checkpoint(parse_note(early)).origin == standing.first_origin
    report = audit(shop)
    assert report.findings == () and report.closed == tuple(standing.closed)
    told = lately(shop, loft.clock())
    assert told.findings == () and told.closed == report.closed
    assert copies.rebuild(shop) == report.size == size + 2


def test_old_papers_and_new_ones_are_told_apart_from_lost_ones(lost: Lost) -> None:
    """The new keys file answers for all that is here, the old one for what is lost."""
    shop = lost.loft.shop
    made = continuing.go_on(shop, lost.given, lost.loft.hands("01", "roots"))
    keys = copies.publish_keys(shop, lost.loft.roots[:2]).read_bytes()
    fresh = certificate_paper(shop, "C-2026-00001").file.data

    assert prove(shop, 0).head.origin.endswith("/v2")
    assert check_certificate(fresh, keys).word == YES
    assert check_certificate(lost.before, lost.keys).word == YES
    assert check_certificate(lost.certificate, lost.keys).word == YES
    for data in (lost.before, lost.certificate):
        answer = check_certificate(data, keys)
        assert answer.word == CANNOT_TELL
        assert "lost the newest entries" in answer.reasons[0]
    assert check_certificate(fresh, lost.keys).word == CANNOT_TELL
    proof = replace(
        prove(shop, made.entry.index), extra=shop.store.record(made.entry.index)
    )
    assert check_proof(proof.text.encode(), keys).word == YES


def test_the_gap_is_told_for_ever_and_keeps_nobody_from_work(
    lost: Lost, tmp_path: Path
) -> None:
    """Neither what the account saw, nor a witness's note, nor the file of heads."""
    (tmp_path / "state").mkdir()
    shop = replace(lost.loft.shop, state=tmp_path / "state")
    gap = outside.hold_against(
        shop.store, shop.folder, shop.state, lost.note, shop.today()
    )
    assert gap is not None
    with pytest.raises(TamperError, match="entries are missing"), shop.turn():
        pass
    hands = lost.loft.hands("01", "roots")
    made = continuing.go_on(shop, None, hands)
    with shop.turn():
        pass

    assert made.closed.lost == gap.missing
    # The vault is newer than the log that was put back.
    assert {found.cause for found in audit(shop).findings} == {"orphan"}
    assert lately(shop, lost.loft.clock()).findings == ()
    found, *rest = audit(shop, level="tree", against=lost.given).findings
    assert not rest
    assert (found.cause, found.is_open) == ("lost", True)
    size = made.closed.proven_size
    typed = Outside(size=size, root_start=lost.given.root_start[:10])
    (found,) = audit(shop, level="tree", against=typed).findings
    assert "speaks of entries that are lost" in found.detail and found.is_open
    # Words of another root may be of either volume, and hide no fork of this one.
    typed = Outside(size=size, root_start=FALSE[:10])
    (found,) = audit(shop, level="tree", against=typed).findings
    assert "or it is of entries that are lost" in found.detail and not found.is_open
    assert outside.hold_against(shop.store, shop.folder, None, lost.note, "") is None
    export(shop, tmp_path / "out", draw=write_pages)
    import_record(tmp_path / "out", tmp_path / "in", Settings())
    other = open_for_audit(tmp_path / "in", now=lost.loft.clock)
    assert audit(other).closed == (made.closed,)
    other.close()


def test_a_witness_begins_the_next_volume_anew(loft: Loft, tmp_path: Path) -> None:
    """What it signed of the older one stands; of the next one it has seen nothing."""
    shop, known = loft.shop, witnesses.add(loft.shop.folder, NAME, NOTARY.key)

    def signed() -> int:
        given = witnesses.give(shop, known)
        reply = witness(
            tmp_path / "memory",
            given.text.encode(),
            holder=NOTARY,
            log=outside.log_keys(shop.store)[0],
            now=shop.now(),
        )
        witnesses.take(shop, known, reply.line)
        return given.old

    assert signed() == 0
    loft.model()
    assert signed() > 0
    continuing.go_on(shop, beyond(loft), loft.hands("01", "roots"))
    assert signed() == 0
    loft.model("Nightferry")
    assert signed() > 0 and audit(shop).findings == ()


def test_no_number_that_a_paper_proves_is_given_again(lost: Lost) -> None:
    """The next of each sort follows the highest that was lost."""
    shop, loft = lost.loft.shop, lost.loft
    issued = (lost.serial, "C-2026-00002", "L26-009", "D26-0040", "X26-0003")
    made = continuing.go_on(shop, lost.given, loft.hands("01", "roots"), issued=issued)
    serial = loft.another()

    assert set(made.reserved) == set(issued) and serial != lost.serial
    assert loft.issue(serial) == "C-2026-00003"
    assert str(loft.receive()) == "L26-011"
    assert loft.document() > "D26-0040"
    with pytest.raises(NotFoundError, match="was issued in entries that are lost"):
        loft.sign(lost.serial, "brace")
    assert {found.cause for found in audit(shop).findings} == {"orphan"}


def test_nothing_less_than_a_proof_closes_a_log(loft: Loft) -> None:
    """Without one, with one that the log holds, with another's, without the roots."""
    shop, hands = loft.shop, loft.hands("01", "roots")
    kept = (shop.keys / LOG_KEY).read_bytes()
    note = sign_head(shop)
    held = Outside.of(parse_checkpoint(parse_note(note)), note)
    proof = beyond(loft)
    text = f"{str(proof.note).partition(chr(10) * 2)[0]}\n"
    forged = sign_note(text, name=str(proof.origin), secret=loft.roots[0])
    thief = replace(proof, note=forged)
    card = Outside(size=99, root_start=b"", leaf=FALSE)
    for given, by, said in (
        (None, hands, "nothing is lost"),
        (held, hands, "holds what you gave"),
        (card, hands, "no head of the log: name the certificate that came with"),
        (proof, loft.hands("01", "12"), "bring another stick"),
        (proof, loft.hands("01"), "bring another stick"),
    ):
        with pytest.raises(RefusedError, match=said):
            continuing.go_on(shop, given, by)
    with pytest.raises(TamperError, match="no key that is known"):
        continuing.go_on(shop, thief, hands)

    assert (shop.keys / LOG_KEY).read_bytes() == kept
    assert audit(shop).findings == () and shop.standing().volume == 1


def test_an_audit_sees_that_a_volume_closes_another_history(loft: Loft) -> None:
    """Said past the act, with the roots; at every level that judges what is said."""
    shop, hands = loft.shop, loft.hands("01", "roots")
    made = continuing.go_on(shop, beyond(loft), hands)
    size = shop.store.head().size
    origin, later = made.entry.origin, volume_origin(shop.standing())
    event = ShopContinued(
        origin=later,
        number=3,
        log=shown_key(loft.keys["03"], origin=later, purpose="log"),
        closed=Head(origin=origin, size=size, root="a5" * 32),
        proven=Head(origin=origin, size=size + 1, root="5a" * 10),
    )
    with pytest.raises(RefusedError, match="enrolled before"), shop.turn() as turn:
        turn.say(event, hands)
    fresh = shown_key(new_key(shop.entropy), origin=later, purpose="log")
    with shop.turn() as turn:
        turn.say(replace(event, log=fresh), hands)
    found = audit(shop, level="roles").findings

    assert (size, "checkpoint") in [(each.index, each.cause) for each in found]


def test_a_power_cut_leaves_the_old_volume_or_the_new(loft: Loft) -> None:
    """Before the entry its key is made in vain; behind it, it is found."""
    shop, hands = loft.shop, loft.hands("01", "roots")
    old = (shop.keys / LOG_KEY).read_bytes()
    stray = keyfile.unsealed(loft.keys["01"], purpose="log")
    keyfile.write(shop.keys / NEXT_LOG_KEY, stray)
    assert sign_head(shop) and shop.standing().volume == 1

    made = continuing.go_on(shop, beyond(loft), hands)
    (shop.keys / LOG_KEY).rename(shop.keys / NEXT_LOG_KEY)
    keyfile.write(shop.keys / LOG_KEY, old)
    assert log_key(shop).id == made.key
    assert sign_head(shop) and audit(shop).findings == ()
    again = continuing.go_on(shop, beyond(loft), hands)
    assert again.entry.origin.endswith("/v3") and shop.standing().volume == 3
    assert audit(shop).findings == ()
    assert sha256(old).digest() != sha256((shop.keys / LOG_KEY).read_bytes()).digest()
