"""A delivery comes in from its list whole, once, or not at all."""

from dataclasses import replace
from pathlib import Path
from threading import Thread
from time import monotonic, sleep
from typing import Any

import pytest

from ledger.acts import people
from ledger.acts.deliveries import Delivered, Plan, Told, deliver, parcels, plan
from ledger.acts.packing import read_list
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.ids import LotId
from ledger.log import attachments
from ledger.views.boards import boards_of
from ledger.views.measures import sizings_of, weighings_of
from ledger.views.wood import Lot, documents_of
from tests.conftest import entropy_from
from tests.skerrymoor import Loft

LISTS = Path(__file__).parents[2] / "vectors" / "packing"
PLAIN = """No,Length (mm),Width (mm),Thickness (mm),Mass (g),Qty,Species,Grade
1,560,215,4.5,221,1 board,Picea abies,AAA
2,560,215,4.5,230,1 board,Picea abies,AA
"""


def came(loft: Loft, text: str | bytes, **told: Any) -> Any:
    """Receive a list that says this, through its plan."""
    path = loft.shop.folder.parent / "list.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    facts: dict[str, Any] = {"meant_for": "top", "by_species": False} | told
    species = facts.pop("species", "")
    draft = loft.draft(species=species, boards=0)
    data = path.read_bytes()
    found = parcels(read_list(data), Told(lot=draft, **facts))
    return deliver(loft.shop, data, found, hands=loft.hands("02"))


def test_a_list_becomes_a_lot_its_boards_and_a_paper(supplied: Loft) -> None:
    """What the sawyer wrote is kept beside what was read of it."""
    delivered = came(supplied, PLAIN)
    ((code, codes),) = delivered.lots.items()
    with supplied.shop.store.reading() as session:
        lot = session.get_one(Lot, code)
        first, second = boards_of(session, code)
        papers = [paper.code for paper in documents_of(session, code)]

        assert (lot.species, lot.boards, codes) == (
            "Picea abies",
            2,
            [f"{code}-01", f"{code}-02"],
        )
        assert (first.length_um, first.width_um, first.thickness_um) == (
            560_000,
            215_000,
            4_500,
        )
        assert (first.listed_mg, second.listed_mg) == (221_000, 230_000)
        assert (first.mass_mg, weighings_of(session, first.code)) == (None, [])
        assert (first.mark, first.supplier_grade) == ("1", "AAA")
        assert papers == [delivered.document]
    assert audit(supplied.shop).findings == ()


def test_sets_without_masses_get_two_codes_each(supplied: Loft) -> None:
    """They are weighed once they are labelled."""
    listed = "Item,Length mm,Width mm,Thickness mm,Quantity\n7,559,203,4.2,24 sets\n"
    delivered = came(supplied, listed, species="Picea abies")
    ((code, codes),) = delivered.lots.items()
    with supplied.shop.store.reading() as session:
        boards = boards_of(session, code)

        assert len(codes) == len(boards) == 48
        assert codes[:2] == [f"{code}-01.A", f"{code}-01.B"]
        assert {board.mass_mg for board in boards} == {None}
        assert session.get_one(Lot, code).boards == 24


def test_what_a_list_says_stays_the_sawyer_s_word(supplied: Loft) -> None:
    """Its cells as they stand, its moisture, and a mass that is a board's own."""
    listed = (
        "Item,Length mm,Width mm,Thickness mm,Quantity,Set g,Moisture\n"
        "7,559,203,4.2,1 set,410,11.5\n"
    )
    delivered = came(supplied, listed, species="Picea abies")
    ((code, _),) = delivered.lots.items()
    with supplied.shop.store.reading() as session:
        first, second = boards_of(session, code)

        assert (first.listed_moisture_ppm, first.moisture_ppm) == (115_000, None)
        assert [row.is_listed for row in sizings_of(session, first.code)] == [True]
        assert first.length_um == 559_000
        assert first.as_written == second.as_written
        assert str(first.as_written).startswith("Length mm: 559; Width mm: 203; ")
        assert "; Set g: 410; " in str(first.as_written)
        assert (first.listed_mg, first.mass_mg) == (None, None)


def test_the_same_list_comes_in_once(supplied: Loft) -> None:
    """Under whatever name it lies on the disk."""
    size = supplied.shop.store.head().size
    came(supplied, PLAIN)
    after = supplied.shop.store.head().size
    with pytest.raises(RefusedError, match="came in before, as D26-0001 with lot L26"):
        came(supplied, PLAIN)

    assert supplied.shop.store.head().size == after == size + 4


@pytest.mark.parametrize(
    ("text", "told", "why"),
    [
        (PLAIN, {"species": "Picea sitchensis"}, "says Picea abies and you say Picea"),
        (PLAIN.replace("Species", "Remark"), {}, "line 2 names no species"),
        (PLAIN, {"meant_for": None}, "does not say what its wood is for"),
        (PLAIN.replace("230", "-230"), {}, "nothing was received, for 1 row cannot"),
        (
            PLAIN.replace("AA\n", "AA\n").replace(
                "Picea abies,AA\n", "Picea sitchensis,AA\n"
            ),
            {},
            "of 2 species .*Picea abies in 1 row, Picea sitchensis in 1 row",
        ),
    ],
)
def test_a_list_that_leaves_a_question_is_refused_whole(
    supplied: Loft, text: str, told: dict[str, Any], why: str
) -> None:
    """Nothing of it is recorded, and the answer says what to do."""
    size = supplied.shop.store.head().size
    with pytest.raises(LedgerError, match=why):
        came(supplied, text, **told)

    assert supplied.shop.store.head().size == size


def test_mixed_species_become_a_lot_of_each(supplied: Loft) -> None:
    """If somebody says so; one of them failing, none comes in."""
    mixed = PLAIN.replace("Picea abies,AA\n", "Picea sitchensis,AA\n")
    delivered = came(supplied, mixed, by_species=True)

    assert len(delivered.lots) == 2
    heavy = PLAIN.replace("230", "2300").replace(
        "Picea abies,AA\n", "Acer saccharum,AA\n"
    )
    size = supplied.shop.store.head().size
    with pytest.raises(RefusedError, match="kg/m³"):
        came(supplied, heavy, by_species=True)
    assert supplied.shop.store.head().size == size


def test_two_hundred_boards_are_numbered_in_order(supplied: Loft) -> None:
    """Three digits follow ninety-nine."""
    rows = "".join(f"{n},560,215,4.5,1 board\n" for n in range(1, 201))
    listed = f"No,Length mm,Width mm,Thickness mm,Qty\n{rows}"
    delivered = came(supplied, listed, species="Picea abies")
    ((code, codes),) = delivered.lots.items()

    assert LotId.parse(code)
    assert (codes[0], codes[98], codes[199]) == (
        f"{code}-01",
        f"{code}-99",
        f"{code}-200",
    )


def test_a_list_that_is_refused_leaves_no_file_behind(supplied: Loft) -> None:
    """It names a sawyer and prices, and no entry would ever say that it lies there."""
    kept = attachments.digests(supplied.shop.attachments)
    with pytest.raises(RefusedError, match="kg/m³"):
        came(supplied, PLAIN.replace("230", "2300"))
    assert attachments.digests(supplied.shop.attachments) == kept

    came(supplied, PLAIN)
    with pytest.raises(RefusedError, match="this list came in before"):
        came(supplied, PLAIN)
    assert audit(supplied.shop).findings == ()


ENDED = {"paper": "phytosanitary paper", "expires_on": "2026-01-04"}


@pytest.mark.parametrize(
    ("text", "badge", "facts"),
    [
        (PLAIN, "02", {}),
        (PLAIN, "02", {"supplier": None}),
        (PLAIN, "02", {"documents": ("D26-0099",)}),
        (PLAIN, "02", {"documents": ("D26-0001",)}),
        (PLAIN, "02", {"documents": ("D26-0002",)}),
        (PLAIN, "02", {"received_on": "2026-02-01"}),
        (PLAIN, "02", {"code": LotId.parse("L26-001")}),
        (PLAIN, "02", {"form": "w" * 300}),
        (PLAIN, "03", {}),
        (PLAIN.replace("230", "2300"), "02", {}),
        (PLAIN.replace("Species", "Remark"), "02", {}),
        (PLAIN.replace("230", "heavy"), "02", {}),
    ],
    ids=[
        "nothing wrong",
        "no sawyer",
        "no such paper",
        "a paper that came in",
        "a paper that ended",
        "a day to come",
        "a lot that is there",
        "a form too long",
        "not qualified",
        "too heavy",
        "no species",
        "no mass",
    ],
)
def test_a_plan_is_refused_as_the_delivery_would_be(
    supplied: Loft, text: str, badge: str, facts: dict[str, Any]
) -> None:
    """In the same words, without a PIN, and nothing of it is kept anywhere."""
    supplied.receive(documents=(supplied.document(),))
    supplied.document("ended", **ENDED)
    data, draft = text.encode(), supplied.draft(boards=0, **({"species": ""} | facts))
    listed, told = read_list(data), Told(lot=draft, meant_for="top")
    shop, person = supplied.shop, supplied.person(badge)
    before = kept(supplied)
    planned = plan(shop, data, listed, told, by=person)

    assert kept(supplied) == before
    try:
        found = parcels(listed, told)
        came_in = deliver(shop, data, found, hands=supplied.hands(badge))
    except LedgerError as refusal:
        assert planned.refusal == str(refusal)
    else:
        assert planned == Plan(parcels=found)
        assert [len(codes) for codes in came_in.lots.values()] == [2]
    assert audit(shop).findings == ()


def kept(loft: Loft) -> tuple[int, list[str], tuple[str, ...]]:
    """Return what an act would have changed: the log, the shelf, the vault."""
    shop = loft.shop
    shelf = sorted(attachments.digests(shop.attachments))
    return shop.store.head().size, shelf, tuple(sorted(shop.vault.subjects()))


def test_a_plan_tells_that_the_list_came_in_before(supplied: Loft) -> None:
    """Its file stays on the shelf, where the first delivery put it."""
    came(supplied, PLAIN)
    data, draft = PLAIN.encode(), supplied.draft(species="", boards=0)
    before = kept(supplied)
    told = Told(lot=draft, meant_for="top")
    by = supplied.person("02")
    planned = plan(supplied.shop, data, read_list(data), told, by=by)

    assert "this list came in before, as D26-0001" in str(planned.refusal)
    assert kept(supplied) == before
    assert audit(supplied.shop).findings == ()


def test_a_plan_takes_nothing_from_a_delivery_of_the_same_list(
    supplied: Loft,
) -> None:
    """Another station brings the list in while the plan is still looked at."""
    shop, data = supplied.shop, PLAIN.encode()
    listed = read_list(data)
    told = Told(lot=supplied.draft(species="", boards=0), meant_for="top")
    came_in: list[Delivered] = []
    shelf: list[tuple[str, ...]] = []
    there = replace(shop, entropy=entropy_from("the other station"))
    other = Thread(
        target=lambda: came_in.append(
            deliver(there, data, parcels(listed, told), hands=supplied.hands("02"))
        )
    )

    def meanwhile(size: int) -> bytes:
        """Give bytes within the plan's turn, once the other waits behind it."""
        shelf.append(attachments.digests(shop.attachments))
        other.start()
        until = monotonic() + 30
        while not attachments.digests(shop.attachments) and monotonic() < until:
            sleep(0.01)
        return shop.entropy(size)

    here = replace(shop, entropy=meanwhile)
    planned = plan(here, data, listed, told, by=supplied.person("02"))
    other.join()

    assert shelf == [()]
    assert planned.refusal is None
    assert [len(codes) for codes in came_in[0].lots.values()] == [2]
    assert attachments.digests(shop.attachments) == (attachments.digest_of(data),)
    assert audit(shop).findings == ()


def test_a_plan_lends_nobody_a_key(supplied: Loft) -> None:
    """Who is retired is refused, and a key made for a plan signs nothing after it."""
    jakub = supplied.person("03")
    data, told = PLAIN.encode(), Told(lot=supplied.draft(species=""), meant_for="top")
    plan(supplied.shop, data, read_list(data), told, by=supplied.person("02"))
    known = set(supplied.shop.standing().keys)
    people.retire(supplied.shop, jakub, supplied.hands("03"))
    planned = plan(supplied.shop, data, read_list(data), told, by=jakub)

    assert "badge 03 is retired" in str(planned.refusal)
    assert set(supplied.shop.standing().keys) == known
