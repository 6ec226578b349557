"""A copy says whose names it holds, how they lie there, and what reaches it."""

import re
from pathlib import Path

import ledger.acts
from cli.record_pages import write_pages
from ledger.acts import copies, exchange, measuring, people
from ledger.acts.holdings import HOLDS, WORDS, holdings_of, holds_words
from ledger.acts.settings import Settings
from ledger.acts.shop import open_for_audit
from ledger.audit import audit
from ledger.log import attachments
from ledger.log.vaultcopy import values_kept
from tests import aftersale
from tests.handed import SERIAL, handed_on, reported, slip_of
from tests.ledger.acts.test_copying import lock
from tests.skerrymoor import Loft

# A field of the vault as the acts name it, and no file's name.
FIELD = re.compile(
    r'^[A-Z_]+ = "([a-z]+\.(?!(?:csv|html|json|sqlite3|toml|txt)")[a-z-]+)"', re.M
)


def held(folder: Path) -> str:
    """Return what lies in a folder by its own words, on single lines."""
    return " ".join((folder / HOLDS).read_text(encoding="utf-8").split())


def test_a_copy_in_the_clear_says_so(certified: Loft, tmp_path: Path) -> None:
    """With how many people, letters and keys, and that PINs are weak."""
    certified.document("his letter", is_personal=True)
    copy = copies.back_up(certified.shop, tmp_path)
    words = held(copy)
    size, root = (head := certified.shop.store.head()).size, head.root.hex()

    assert f"entries {size}, root {root} vault in the clear" in words
    assert "names of 5 people" in words
    assert "1 with personal data, in the clear" in words
    assert "erasures none so far" in words
    assert "of its people lie under PINs, and a short PIN keeps nobody out" in words
    assert "The log's own key lies open in it (keys/log.json): whoever has" in words
    assert "Destroy this backup then, and make a new one." in words


def test_a_sealed_copy_says_so(certified: Loft, tmp_path: Path) -> None:
    """And that nobody helps who loses the pass-phrase."""
    copy = copies.back_up(certified.shop, tmp_path, lock=lock())
    told = holdings_of(certified.shop, copy, is_sealed=True)

    assert "vault sealed under a pass-phrase" in held(copy)
    assert "lies open" not in held(copy)
    assert "Without its pass-phrase nobody opens the sealed files again" in held(copy)
    assert holds_words(told).endswith("sealed under a pass-phrase.")
    assert told.keys == len([*certified.shop.keys.glob("*.json")])


def test_an_export_without_names_has_nothing_to_forget(
    certified: Loft, tmp_path: Path
) -> None:
    """It names the erasures all the same."""
    subject = certified.person("03").subject
    erased = people.erase(certified.shop, subject, certified.hands("12", "01"))
    exchange.export(certified.shop, tmp_path / "bare", draw=write_pages)
    exchange.export(
        certified.shop, tmp_path / "full", with_names=True, draw=write_pages
    )
    bare, full = held(tmp_path / "bare"), held(tmp_path / "full")

    for words in (bare, full):
        assert f"erasures 1, by entry {erased.index}; what they erased is not" in words
    assert "vault not here" in bare and "no name out of it" in bare
    assert "tells by serial which instruments were reported stolen" in bare
    assert "names of 4 people" in full and "An erasure in the shop" in full


def test_an_export_without_names_holds_no_picture_that_somebody_erased_signed(
    certified: Loft, tmp_path: Path
) -> None:
    """Whoever filed it first; a shop that is imported from it lacks it, and says so."""
    loft = certified
    both, own = (aftersale.picture(tmp_path / f"{n}.png", n) for n in (40, 90))
    shown = [("02", both), ("03", both), ("02", own)]
    for badge, picture in shown:
        measuring.photograph(
            loft.shop, "L26-001-01.A", picture, face="front", hands=loft.hands(badge)
        )
    digests = [attachments.digest_of(picture) for picture in (both, own)]
    people.erase(loft.shop, loft.person("03").subject, loft.hands("12", "01"))
    for name, with_names in (("bare", False), ("full", True)):
        out = tmp_path / name
        exchange.export(loft.shop, out, with_names=with_names, draw=write_pages)
        kept = [(out / "attachments" / digest).exists() for digest in digests]
        assert kept == [with_names, True]
        assert ("1 not here: photographs that somebody" in held(out)) is not with_names
    exchange.import_record(tmp_path / "bare", tmp_path / "again", Settings())
    shop = open_for_audit(tmp_path / "again", now=loft.clock)
    found = [each for each in audit(shop).findings if digests[0] in each.detail]
    shop.close()

    assert [each.cause for each in found] == ["absent", "absent"]
    assert all("whose name was erased" in each.detail for each in found)


def test_every_field_of_the_vault_has_words(certified: Loft, tmp_path: Path) -> None:
    """Whoever finds the copy reads of claimants and slips, and no field's own name."""
    acts = Path(ledger.acts.__path__[0])
    fields = {f for p in acts.glob("*.py") for f in FIELD.findall(p.read_text("utf-8"))}
    assert {"person.name", "owner.slip-code"} < fields < WORDS.keys()

    certified.sell(SERIAL)
    handed_on(certified, slip_of(certified))
    reported(certified)
    words = held(copies.back_up(certified.shop, tmp_path))
    assert "name of 1 claimant, sealed for the office's keys" in words
    assert "code of 1 later slip" in words
    assert not [field for field in values_kept(certified.shop.vault) if field in words]
