"""Missing entries put back: all that follow byte for byte, or none."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.acts import outside
from ledger.acts.continuing import go_on
from ledger.acts.heads import sign_head
from ledger.acts.layout import EVIDENCE, RECORDS
from ledger.acts.puttingback import append_missing
from ledger.acts.signing import log_key
from ledger.audit import audit
from ledger.errors import RefusedError, TamperError
from ledger.log.checkpoint import Checkpoint, sign_note
from ledger.log.store import Store
from tests.ledger.losing import LEDGER, Lost, lose


@pytest.fixture
def lost(tmp_path: Path, certified_folder: Path) -> Lost:
    """Give a shop that lost a day, and whose account knows of it."""
    made = lose(tmp_path, certified_folder)
    (tmp_path / "state").mkdir()
    made.loft.shop = replace(made.loft.shop, state=tmp_path / "state")
    shop = made.loft.shop
    assert outside.hold_against(
        shop.store, shop.folder, shop.state, made.note, shop.today()
    )
    return made


def records(lost: Lost) -> list[bytes]:
    """Return the records of the log at the end of the lost day."""
    store = Store.open(f"sqlite:///{lost.newer / LEDGER}")
    found = [data for _, data in store.records()]
    store.close()
    return found


def test_what_a_newer_copy_holds_is_put_back_and_nothing_was_lost(lost: Lost) -> None:
    """The head that a witness kept is the log's again, and work goes on."""
    shop = lost.loft.shop
    with pytest.raises(TamperError, match="are missing"):
        sign_head(shop)
    made = append_missing(shop, lost.newer)

    assert made.size == lost.given.size and made.missing == 0
    assert sign_head(shop) == lost.note
    assert audit(shop, against=lost.given).findings == ()
    lost.loft.model("Nightferry")
    with pytest.raises(RefusedError, match="nothing is lost"):
        go_on(shop, lost.given, lost.loft.hands("01", "roots"))


def test_a_part_of_them_is_put_back_and_the_rest_is_missing_still(lost: Lost) -> None:
    """Out of an export that was made in between; then the rest."""
    shop, said = lost.loft.shop, records(lost)
    half = lost.newer.parent / RECORDS
    half.write_bytes(b"".join(said[:-3]))
    made = append_missing(shop, half)

    assert (made.size, made.missing) == (len(said) - 3, 3)
    with pytest.raises(TamperError, match="3 entries are missing"), shop.turn():
        pass
    with pytest.raises(RefusedError, match="holds no entry behind"):
        append_missing(shop, half)
    assert append_missing(shop, lost.newer).size == len(said)


def test_what_leads_to_another_head_than_was_kept_is_not_put_back(lost: Lost) -> None:
    """Two histories of one size: nobody here says which one is true."""
    shop, size = lost.loft.shop, lost.given.size - 1
    origin = shop.standing().origin
    head = Checkpoint(origin=origin, size=size, root=b"\x5a" * 32)
    note = sign_note(head.text, name=origin, secret=log_key(shop))
    assert outside.hold_against(shop.store, shop.folder, None, note, shop.today())
    before = shop.store.head()
    with pytest.raises(TamperError, match="has another root of"):
        append_missing(shop, lost.newer)

    assert shop.store.head() == before


def test_what_does_not_follow_is_not_put_back(lost: Lost) -> None:
    """A changed, a left out or another history; a shorter one, or none at all."""
    shop, said = lost.loft.shop, records(lost)
    path, size = lost.newer.parent / RECORDS, shop.store.head().size
    signed = said[size].replace(b'"at":"2026', b'"at":"2027')
    for made, told in (
        ([*said[:size], signed, *said[size + 1 :]], "the signature is not by key"),
        ([*said[:size], *said[size + 1 :]], "goes on at|made anew"),
        ([said[1], *said[1:]], "are not those that are here"),
        (said[: size - 1], "name a newer copy"),
    ):
        path.write_bytes(b"".join(made))
        with pytest.raises((RefusedError, TamperError), match=told):
            append_missing(shop, path)
    with pytest.raises(RefusedError, match="holds no records"):
        append_missing(shop, lost.newer.parent / "nowhere")
    lost.loft.shop = replace(shop, state=None)
    shutil.rmtree(shop.folder / EVIDENCE)
    # Somebody who had the PINs goes on otherwise, on a machine that knows nothing.
    lost.loft.model("Nightferry")
    with pytest.raises((RefusedError, TamperError)):
        append_missing(shop, lost.newer)

    assert shop.store.head().size == size + 1
    # The vault, and the file of heads, know of the day that is lost.
    causes = {finding.cause for finding in audit(lost.loft.shop).findings}
    assert causes == {"missing", "orphan"}
