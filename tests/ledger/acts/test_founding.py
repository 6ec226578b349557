"""A shop is opened whole, or not at all."""

from pathlib import Path

import pytest

from ledger.acts.founding import FirstLead, RootStick, found_shop
from ledger.acts.settings import Settings
from ledger.acts.signing import card_key, find_person, log_key, person_key
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.log.entry import parse_record
from ledger.views.people import abilities
from tests import skerrymoor
from tests.conftest import entropy_from
from tests.skerrymoor import CHEAP, LEAD, Clock


@pytest.mark.parametrize(("roots", "threshold"), [(1, 1), (3, 2), (3, 3)])
def test_a_shop_is_opened_by_its_roots(
    tmp_path: Path, roots: int, threshold: int
) -> None:
    """One alone or two of three: the audit finds a founding and a first lead."""
    shop = skerrymoor.founded(tmp_path, clock=Clock(), roots=roots, threshold=threshold)
    kinds = [parse_record(data).entry.kind for _, data in shop.store.records()]
    lead = find_person(shop, "seun")
    with shop.store.reading() as session:
        held = {row.name for row in abilities(session, lead.subject)}
    report, standing = audit(shop), shop.standing()
    shop.close()

    assert report.findings == ()
    assert kinds[0] == "shop.founded/1"
    assert held == {"lead", "key-administrator"}
    assert (len(standing.live_keys("root", 99)), standing.threshold) == (
        roots,
        threshold,
    )


def test_it_opens_on_each_database(database_url: str, tmp_path: Path) -> None:
    """The records of two shops from the same chance are the same to the byte."""
    shops = [
        skerrymoor.founded(tmp_path / "one", clock=Clock(), database=database_url),
        skerrymoor.founded(tmp_path / "two", clock=Clock()),
    ]
    one, two = (list(shop.store.records()) for shop in shops)
    for shop in shops:
        shop.close()

    assert one == two
    assert (shops[0].folder / "ledger.sqlite3").exists() is False


def test_the_first_lead_s_pin_opens_key_and_card_key(tmp_path: Path) -> None:
    """The log's own key needs none, and lies for its owner's eyes only."""
    shop = skerrymoor.founded(tmp_path, clock=Clock())
    lead = find_person(shop, "01")
    modes = {path.stat().st_mode & 0o777 for path in shop.keys.iterdir()}
    key, card = person_key(shop, lead, LEAD.pin), card_key(shop, lead, LEAD.pin)
    standing = shop.standing()
    shop.close()

    assert key.id == lead.key
    assert standing.keys[card.id].purpose == "card"
    assert log_key(shop).public == standing.log_key
    assert (modes, shop.keys.stat().st_mode & 0o777) == ({0o600}, 0o700)


def founding(folder: Path, database: str = "", **changes: object) -> None:
    """Try to open a shop in a folder, with something that does not fit."""
    told: dict[str, object] = {
        "name": skerrymoor.NAME,
        "lead": LEAD,
        "sticks": skerrymoor.sticks(folder),
        "threshold": 2,
        "settings": Settings(database=database),
        "now": Clock(),
        "entropy": entropy_from("founding"),
        "stretching": CHEAP,
    }
    found_shop(folder / "shop", **(told | changes)).close()  # type: ignore[arg-type]


def files_in(folder: Path) -> list[Path]:
    """Return every file below a folder."""
    return [path for path in folder.rglob("*") if path.is_file()]


FAULTS: dict[str, dict[str, object]] = {
    "threshold 0": {"threshold": 0},
    "threshold 4": {"threshold": 4},
    "no stick": {"sticks": [], "threshold": 1},
    "no name": {"name": ""},
    "name upside down": {"name": "Skerry\u202emoor"},
    "name of surrogates": {"name": "Skerry\ud800moor"},
    "lead without a name": {"lead": FirstLead(name=" ", badge="01", pin="1")},
    "lead with a bad badge": {"lead": FirstLead(name="Seun", badge="0 1", pin="1")},
    "lead without a PIN": {"lead": FirstLead(name="Seun", badge="01", pin="")},
}


@pytest.mark.parametrize("fault", FAULTS)
def test_nothing_is_left_of_a_founding_that_was_refused(
    database_url: str, tmp_path: Path, fault: str
) -> None:
    """Neither file nor stick nor table, so that it can be tried again at once."""
    database = database_url if database_url.startswith("postgresql") else ""
    with pytest.raises(RefusedError):
        founding(tmp_path, database, **FAULTS[fault])

    assert files_in(tmp_path) == []
    founding(tmp_path, database)


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path) -> None:
    """Whatever is there stays, byte for byte."""
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "letter").write_text("from Ines")
    with pytest.raises(RefusedError, match="not empty"):
        founding(tmp_path)

    assert [path.name for path in files_in(tmp_path)] == ["letter"]


def test_a_shop_is_not_opened_over_another(tmp_path: Path) -> None:
    """Its sticks are there already, and so is its folder."""
    founding(tmp_path)
    before = {path: path.read_bytes() for path in files_in(tmp_path)}
    with pytest.raises(RefusedError, match="not empty"):
        founding(tmp_path)

    assert {path: path.read_bytes() for path in files_in(tmp_path)} == before


@pytest.mark.parametrize("inside", ["shop/root.json", "shop/keys/../root.json"])
def test_a_root_key_does_not_lie_in_the_shop(tmp_path: Path, inside: str) -> None:
    """Whoever steals the machine is not to have the roots as well."""
    stick = RootStick(path=tmp_path / inside, pass_phrase="x")  # noqa: S106
    with pytest.raises(RefusedError, match="kept elsewhere"):
        founding(tmp_path, sticks=[stick], threshold=1)

    assert files_in(tmp_path) == []


def test_a_stick_that_is_in_use_is_not_written_over(tmp_path: Path) -> None:
    """It may be another shop's only root."""
    stick = tmp_path / "sticks/root-2.json"
    stick.parent.mkdir()
    stick.write_text("of another shop")
    with pytest.raises(LedgerError, match="there already"):
        founding(tmp_path)

    assert stick.read_text() == "of another shop"
    assert files_in(tmp_path) == [stick]


def test_the_same_stick_twice_is_refused(tmp_path: Path) -> None:
    """Two of two would be one of one."""
    stick = skerrymoor.sticks(tmp_path)[0]
    with pytest.raises(RefusedError, match="there already"):
        founding(tmp_path, sticks=[stick, stick])

    assert files_in(tmp_path) == []
