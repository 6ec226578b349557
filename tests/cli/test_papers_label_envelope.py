"""The facts on the slip of a key, for each kind of key that a shop has."""

from pathlib import Path

import pytest

from cli import papers_label_envelope
from cli.papers_label_envelope import KINDS
from labels.envelope import Envelope
from ledger.acts import people
from ledger.errors import RefusedError
from ledger.log.keyfile import sealed, write
from ledger.log.keys import PURPOSES, SecretKey
from tests.conftest import entropy_from
from tests.shops import loft, staffed_folder
from tests.skerrymoor import CHEAP, Loft

__all__ = ["loft", "staffed_folder"]


def slip(loft: Loft, text: str | Path) -> Envelope:
    """Return the slip of a key that the lead sealed today."""
    return papers_label_envelope.envelope(
        loft.shop, str(text), sealed="", sealed_by="01"
    )


def file_of(loft: Loft, purpose: str) -> Path:
    """Return a key file of the shop with this purpose."""
    if purpose == "log":
        return loft.shop.keys / "log.json"
    return next(loft.shop.keys.glob("*.card.json"))


def test_every_purpose_of_a_key_has_its_words() -> None:
    """What it is and decides, and what to do; each of them ends a sentence."""
    assert set(KINDS) == set(PURPOSES)
    assert all(kind.opened[-1] + kind.lost[-1] == ".." for kind in KINDS.values())


def test_the_shop_s_own_keys_say_whose_they_are(loft: Loft) -> None:
    """The log's is the shop's, and a lead's copy of the card key bears the name."""
    log, card = (slip(loft, file_of(loft, purpose)) for purpose in ("log", "card"))

    assert (log.what, log.whose) == ("Key of the log", loft.shop.standing().name)
    assert card.what == "Card key"
    assert card.whose.endswith('under the PIN of Oluwaseun "Seun" Adeyemi-Brandt')


def test_an_erased_name_leaves_the_badge(loft: Loft) -> None:
    """On the slip of a key, as on any paper."""
    people.erase(loft.shop, loft.person("03").subject, loft.hands("12", "01"))
    told = slip(loft, loft.shop.keys / f"{loft.keys['03'].public.id}.json")

    assert told.whose == "badge 03"


def test_a_key_of_another_shop_is_refused(loft: Loft, tmp_path: Path) -> None:
    """Its file is sound, and this shop's record knows nothing of it."""
    stranger, path = SecretKey(b"s" * 32), tmp_path / "strange.json"
    entropy = entropy_from("strange")
    data = sealed(stranger, purpose="root", pin="x", entropy=entropy, stretching=CHEAP)
    write(path, data)

    with pytest.raises(RefusedError, match="is none of this shop's"):
        slip(loft, path)


def test_a_key_that_ended_needs_no_envelope(loft: Loft) -> None:
    """It counts for nothing, and the file is better destroyed."""
    key = loft.keys["03"].public.id
    people.retire(loft.shop, loft.person("03"), loft.hands("03"))

    with pytest.raises(RefusedError, match=f"key {key} of 03 ended with entry"):
        slip(loft, "03")
