"""Lost entries found later: quoted whole, judged as far as may be, and not folded."""

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts.claims import claims, since
from ledger.acts.continuing import go_on
from ledger.acts.recovering import recover
from ledger.audit import audit
from ledger.errors import RefusedError, TamperError
from ledger.events import EntryRecovered
from ledger.log.entry import parse_record, seal
from ledger.log.proof import parse_certificate_file
from tests.ledger.losing import Lost, lose
from tests.skerrymoor import Loft


@pytest.fixture
def lost(tmp_path: Path, certified_folder: Path) -> Lost:
    """Give a shop that went on without a day, and what is left of that day."""
    made = lose(tmp_path, certified_folder)
    go_on(made.loft.shop, made.given, made.loft.hands("01", "roots"))
    return made


def kept(lost: Lost) -> Path:
    """Return the certificate of the lost day, as a file."""
    path = lost.newer.parent / "found.json"
    path.write_bytes(lost.certificate)
    return path


def test_a_certificate_brings_its_lost_entry_back_as_a_quotation(lost: Lost) -> None:
    """Its number is kept free and its code is found; no view shows what it says."""
    loft, shop, path = lost.loft, lost.loft.shop, kept(lost)
    hands = loft.hands("01", "12")
    with pytest.raises(RefusedError, match="approved by 0 of 1"):
        recover(shop, path, loft.hands("01"))
    (entry,) = recover(shop, path, hands)
    with shop.store.reading() as session:
        named = claims(shop, session, lost.serial)

    assert (
        entry.event["record"].encode()
        == parse_certificate_file(lost.certificate).record.data
    )
    assert [claim.kind for claim in named] == ["entry.recovered"]
    assert named[0].about.endswith("recovered, not folded")
    with pytest.raises(RefusedError, match="entries that are lost"):
        since(shop, str(path))
    with pytest.raises(RefusedError, match="quoted here already"):
        recover(shop, path, hands)
    assert {f.cause for f in audit(shop).findings} == {"orphan"}
    assert loft.issue(loft.another()) == "C-2026-00003"


def test_all_that_a_copy_still_holds_is_quoted_at_once(lost: Lost) -> None:
    """Every lost entry, and its numbers; those that are held are passed over."""
    shop, size = lost.loft.shop, lost.loft.shop.standing().closed[0].size
    said = recover(shop, lost.newer, lost.loft.hands("01", "12"))

    assert [e.event["index"] for e in said] == list(range(size, lost.given.size))
    assert lost.loft.begin() > lost.serial
    assert {f.cause for f in audit(shop).findings} == {"orphan"}


def test_what_no_key_of_the_closed_volume_signed_is_refused(lost: Lost) -> None:
    """A stranger's, a changed one, one that is held, a whole log's; and an audit."""
    loft, shop = lost.loft, lost.loft.shop
    true = parse_certificate_file(lost.certificate).record
    stranger = seal(replace(true.entry, key=loft.roots[0].id), loft.keys["01"])
    unknown = seal(replace(true.entry, key="5a" * 8), loft.keys["01"])
    held = shop.store.record(3)
    path = lost.newer.parent / "records.txt"
    for data, said in (
        (stranger.data, "the signature is not by key"),
        (unknown.data, "which nobody knows who had"),
        (held, "no lost entry"),
        (b'{"at":1}\n\n', "holds no record"),
    ):
        path.write_bytes(data)
        with pytest.raises((RefusedError, TamperError), match=said):
            recover(shop, path, loft.hands("01", "12"))
    for data, index, origin in (
        (stranger.data, true.entry.index, true.entry.origin),
        (held, 3, true.entry.origin),
        (true.data, true.entry.index + 1, true.entry.origin),
        (true.data, true.entry.index, "elsewhere"),
    ):
        slipped(loft, data, index, origin)
    found = [f for f in audit(shop, level="roles").findings if f.cause == "authority"]
    assert len(found) == 4


def slipped(loft: Loft, data: bytes, index: int, origin: str) -> None:
    """Quote something past the act that would refuse it."""
    parse_record(data)
    event = EntryRecovered(origin=origin, index=index, record=data.decode())
    hands = loft.hands("01", "12")
    with loft.shop.turn() as turn:
        turn.say(event, hands)


def test_a_whole_log_has_nothing_to_recover(loft: Loft, tmp_path: Path) -> None:
    """What is missing is put back."""
    path = tmp_path / "records.txt"
    path.write_bytes(loft.shop.store.record(2))
    with pytest.raises(RefusedError, match="put-back"):
        recover(loft.shop, path, loft.hands("01", "12"))
