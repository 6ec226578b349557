"""A delivery comes in from its list whole, once, or not at all."""

from pathlib import Path
from typing import Any

import pytest

from ledger.acts.deliveries import Told, deliver, parcels
from ledger.acts.packing import read_list
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.ids import LotId
from ledger.views.boards import boards_of
from ledger.views.wood import Lot, documents_of
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
    found = parcels(read_list(path.read_bytes()), Told(lot=draft, **facts))
    return deliver(loft.shop, path, found, hands=loft.hands("02"))


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
        assert (first.mass_mg, second.mass_mg) == (221_000, 230_000)
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
