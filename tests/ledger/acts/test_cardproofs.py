"""A card proves no more than its own entry, and whoever brings one hears what would."""

from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.acts.cardproofs import require_no_card
from ledger.acts.certificates import card_text, certificate_paper
from ledger.acts.puttingback import append_missing
from ledger.acts.recovering import recover
from ledger.acts.signing import card_key
from ledger.errors import RefusedError, TamperError
from tests.shops import certified, certified_folder
from tests.skerrymoor import PINS, Loft

__all__ = ["certified", "certified_folder"]


def card_of(loft: Loft) -> str:
    """Return the text of the certificate's card."""
    key = card_key(loft.shop, loft.person("01"), PINS["01"])
    return card_text(loft.shop, certificate_paper(loft.shop, "C-2026-00001"), key)


@pytest.mark.parametrize("typed", ["", "V#", "https://check.skerrymoor.example/v#"])
@pytest.mark.parametrize(
    "give",
    [
        lambda loft, source: recover(loft.shop, source, loft.hands("01", "12")),
        lambda loft, source: append_missing(loft.shop, source),
    ],
    ids=["recover", "put-back"],
)
def test_a_card_is_no_record_and_its_numbers_are_named(
    certified: Loft,
    tmp_path: Path,
    give: Callable[[Loft, Path], object],
    typed: str,
) -> None:
    """In a file or typed; nothing is recorded."""
    text, size = card_of(certified), certified.shop.store.head().size
    source = tmp_path / "card.txt"
    source.write_text(f"{text}\n", encoding="ascii")
    if typed:
        source = Path(f"{typed}{text.rpartition('#')[2]}")
    said = r"a card names entry \d+ .* record reserve 26-0001-8 C-2026-00001"
    with pytest.raises(RefusedError, match=said):
        give(certified, source)

    assert certified.shop.store.head().size == size


def test_a_card_that_is_damaged_says_so_and_what_is_none_passes(tmp_path: Path) -> None:
    """A folder, a file of anything else, and a name of nothing."""
    with pytest.raises(TamperError):
        require_no_card(Path("V#123"))
    other = tmp_path / "records.txt"
    other.write_bytes(b"\xff" * 5_000)
    for source in (tmp_path, other, tmp_path / "nothing"):
        require_no_card(source)
