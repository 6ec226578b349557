"""A shop is opened whole, or not at all."""

from pathlib import Path
from typing import Any

import pytest

from ledger.acts import copies, people
from ledger.acts import founding as founding_module
from ledger.acts.founding import FirstLead, RootStick, found_shop
from ledger.acts.policies import house_text
from ledger.acts.settings import Settings
from ledger.acts.shop import Hands, open_shop
from ledger.acts.signing import card_key, find_person, log_key, person_key, root_key
from ledger.audit import audit
from ledger.craft.policy import first_house_policy
from ledger.errors import LedgerError, RefusedError
from ledger.log.entry import parse_record
from ledger.log.keysfile import read_keys_file
from ledger.views.people import abilities
from tests import skerrymoor
from tests.conftest import entropy_from
from tests.skerrymoor import CHEAP, LEAD, Clock, Loft


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


def new_stick(folder: Path, name: str = "root-4.json") -> RootStick:
    """Return a root stick that is to be made."""
    return RootStick(path=folder / "sticks" / name, pass_phrase="x")  # noqa: S106


def test_a_lost_root_stick_is_changed_for_a_new_one(loft: Loft, tmp_path: Path) -> None:
    """Two of three say yes; the lost one decides nothing more."""
    stick, lost = new_stick(tmp_path), loft.roots[2]
    founding_module.change_roots(
        loft.shop,
        kept=loft.roots[:2],
        new=[stick],
        threshold=2,
        hands=loft.hands("01"),
        stretching=CHEAP,
    )
    made = root_key(stick.path, stick.pass_phrase)
    standing, size = loft.shop.standing(), loft.shop.store.head().size

    assert set(standing.live_keys("root", size)) == {
        *(root.id for root in loft.roots[:2]),
        made.id,
    }
    assert (standing.root_version, standing.threshold) == (2, 2)
    jakub = loft.person("03")
    for roots, is_enough in (
        ((loft.roots[0], lost), False),
        ((made, loft.roots[0]), True),
    ):
        hands = Hands(by=loft.keys["01"], approving=roots)
        if is_enough:
            people.appoint(loft.shop, jakub, "lead", hands)
        else:
            with pytest.raises(RefusedError, match="1 of 2 roots"):
                people.appoint(loft.shop, jakub, "lead", hands)
    keys = copies.publish_keys(loft.shop, [made, loft.roots[1]])
    assert read_keys_file(keys.read_bytes()).size == loft.shop.store.head().size
    assert audit(loft.shop).findings == ()


def test_roots_that_go_may_approve_those_that_come(loft: Loft, tmp_path: Path) -> None:
    """One stays, two go, and one new key takes their place."""
    founding_module.change_roots(
        loft.shop,
        kept=loft.roots[2:],
        new=[new_stick(tmp_path)],
        threshold=1,
        hands=Hands(by=loft.keys["12"], approving=loft.roots[:1]),
        stretching=CHEAP,
    )

    size = loft.shop.store.head().size
    assert len(loft.shop.standing().live_keys("root", size)) == 2
    assert loft.shop.standing().threshold == 1
    assert audit(loft.shop).findings == ()


def test_a_refused_change_of_roots_leaves_no_stick(loft: Loft, tmp_path: Path) -> None:
    """Too few roots, a threshold that does not fit, a stranger, a bad place."""
    stick, before = new_stick(tmp_path), loft.shop.store.head().size
    inside = RootStick(path=loft.shop.folder / "r.json", pass_phrase="x")  # noqa: S106
    in_use = new_stick(tmp_path, "root-1.json")
    cases: list[tuple[Any, Any, int, str]] = [
        (loft.roots[:1], [stick], 2, "1 of 2 roots"),
        (loft.roots[:2], [stick], 4, "does not fit"),
        ([*loft.roots[:2], loft.keys["03"]], [stick], 2, "is no root"),
        (loft.roots[:2], [inside], 2, "kept elsewhere"),
        (loft.roots[:2], [in_use], 2, "there already"),
    ]
    for kept, new, threshold, said in cases:
        with pytest.raises(RefusedError, match=said):
            founding_module.change_roots(
                loft.shop,
                kept=kept,
                new=new,
                threshold=threshold,
                hands=loft.hands("01"),
                stretching=CHEAP,
            )

    assert not stick.path.exists()
    assert not inside.path.exists()
    assert in_use.path.exists()
    assert loft.shop.store.head().size == before


def test_a_shop_is_opened_with_limits_of_its_house(tmp_path: Path) -> None:
    """The first ones, or those that are given."""
    founding(tmp_path / "first")
    mine = first_house_policy() | {"id": "mine", "version": 4}
    founding(tmp_path / "mine", house=mine)
    for name, expected in (("first", first_house_policy()), ("mine", mine)):
        shop = open_shop(
            tmp_path / name / "shop", now=Clock(), entropy=entropy_from(name)
        )
        with shop.store.reading() as session:
            assert house_text(session) == expected
        assert audit(shop).findings == ()
        shop.close()


def test_limits_that_do_not_fit_open_no_shop(tmp_path: Path) -> None:
    """Nothing is made first, not even a stick."""
    for house in ({}, first_house_policy() | {"version": 0}, {"format": "x"}):
        with pytest.raises(RefusedError):
            founding(tmp_path, house=house)

    assert files_in(tmp_path) == []
