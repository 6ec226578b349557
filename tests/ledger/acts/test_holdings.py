"""A copy says whose names it holds, how they lie there, and what reaches it."""

import re
from pathlib import Path

import ledger.acts
from cli.record_pages import write_pages
from ledger.acts import copies, exchange, people
from ledger.acts.holdings import HOLDS, WORDS, holdings_of, holds_words
from ledger.log.vaultcopy import values_kept
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
