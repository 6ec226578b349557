"""Owners are known to the office only."""

from pathlib import Path

import pytest

from ledger.acts import owners
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.log.vault import person_sealing_key
from ledger.views.certificates import owners_of
from tests.handed import SERIAL, reported
from tests.skerrymoor import Loft


def files_with(folder: Path, name: str) -> list[Path]:
    """Return the files that hold a name in one of the encodings of text."""
    spelled = [name.encode(coding) for coding in ("utf-8", "utf-16-le", "utf-16-be")]
    files = [path for path in folder.rglob("*") if path.is_file()]
    return [f for f in files if any(text in f.read_bytes() for text in spelled)]


@pytest.mark.parametrize("name", ["Amélie Rousset", "荒川 健二", "Seán O'Brien"])
def test_an_owner_s_name_is_in_no_file_in_clear(certified: Loft, name: str) -> None:
    """It is sealed, and whoever holds the office's key reads it."""
    certified.sell(SERIAL, name)
    with certified.shop.store.reading() as session:
        (owner,) = owners_of(session, SERIAL)
        subject, day = owner.subject, owner.registered_on
    vault = certified.shop.vault
    office = vault.open_office(person_sealing_key(certified.keys["01"].seed))
    opening = vault.get(subject, owners.OWNER_NAME, office=office)

    assert files_with(certified.shop.folder, name) == []
    assert (opening.value if opening else None) == name
    assert day == "2026-01-05"
    assert audit(certified.shop).findings == ()


def test_an_instrument_gets_its_first_owner_once(certified: Loft) -> None:
    """The next one needs the transfer slip."""
    certified.sell(SERIAL)
    with pytest.raises(RefusedError, match="needs the transfer slip"):
        certified.sell(SERIAL, "Kenji Arakawa")


@pytest.mark.parametrize(
    ("changes", "error", "said"),
    [
        ({"serial": "26-0002-6"}, NotFoundError, "no certificate yet"),
        ({"registered_on": "yesterday"}, RefusedError, "no day"),
        ({"registered_on": "2026-01-06"}, RefusedError, "is still to come"),
        ({"name": "Kenji\u2066"}, RefusedError, "cannot be written"),
        (
            {"registered_on": "2026-01-04"},
            RefusedError,
            "C-2026-00001 of 26-0001-8 was",
        ),
        ({"name": ""}, RefusedError, "1 to 200"),
    ],
)
def test_what_does_not_make_sense_leaves_nothing(
    certified: Loft, changes: dict[str, str], error: type[Exception], said: str
) -> None:
    """Neither in the log nor in the vault."""
    known = certified.shop.vault.subjects()
    told = {"serial": SERIAL, "name": "Kenji Arakawa", "registered_on": None} | changes
    hands = certified.hands("12")
    with pytest.raises(error, match=said):
        owners.register(certified.shop, hands=hands, **told)  # type: ignore[arg-type]

    assert certified.shop.vault.subjects() == known


def test_while_a_report_stands_nobody_becomes_the_first_owner(certified: Loft) -> None:
    """Whoever comes with it may be the one who took it."""
    reported(certified)
    known = certified.shop.vault.subjects()
    with pytest.raises(RefusedError, match="26-0001-8 is reported"):
        certified.sell(SERIAL)

    assert certified.shop.vault.subjects() == known


def test_an_owner_is_entered_by_whoever_keeps_the_papers(certified: Loft) -> None:
    """A builder is refused, and the name is not kept."""
    known = certified.shop.vault.subjects()
    with pytest.raises(RefusedError, match=r"registering an owner needs"):
        owners.register(
            certified.shop,
            serial=SERIAL,
            name="Kenji Arakawa",
            registered_on=None,
            hands=certified.hands("03"),
        )

    assert certified.shop.vault.subjects() == known
