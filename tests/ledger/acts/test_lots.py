"""A lot comes in once, from somebody, and makes sense."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import lots
from ledger.acts.lots import DuplicateLotError
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.ids import LotId
from ledger.views.wood import Lot, documents_of
from tests.skerrymoor import Loft


def untouched(loft: Loft, size: int) -> bool:
    """Tell that nothing was recorded since, and that everything is whole."""
    return loft.shop.store.head().size == size and audit(loft.shop).findings == ()


@pytest.mark.parametrize("badge", ["03", "10"])
def test_wood_is_received_by_whoever_is_qualified(supplied: Loft, badge: str) -> None:
    """The others are told what is needed."""
    draft = supplied.draft()
    with pytest.raises(
        RefusedError, match=r"receiving a lot needs the role lead or the"
    ):
        lots.receive_lot(supplied.shop, draft, supplied.hands(badge))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"boards": 0}, "at least one board"),
        ({"boards": -3}, "at least one board"),
        ({"species": "spruce"}, "a name of the trade that may mean Picea abies, "),
        ({"species": "Picea"}, "a genus: write the species too, or 'Picea spp.'"),
        ({"species": "swietenia"}, "a genus: .* or 'Swietenia spp.' where nobody"),
        ({"species": ""}, "the species has 1 to 35 characters"),
        ({"species": "12 kg"}, "no scientific name"),
        ({"species": "Picea abies\u202e"}, "no scientific name"),
        ({"species": "Picea \udcff"}, "no scientific name"),
        ({"received_on": "2026-1-5"}, "no day"),
        ({"received_on": "2026-02-30"}, "no day"),
        ({"received_on": "20260105"}, "no day"),
        ({"received_on": "2026-W02-1"}, "no day"),
        ({"received_on": ""}, "no day"),
        ({"received_on": "\u0662\u0660\u0662\u0666-01-05"}, "no day"),
        ({"harvested_in": "Italia"}, "is no country: write two letters"),
        ({"harvested_in": "zz"}, "'zz' is no country"),
        ({"supplier": None}, "comes from somebody"),
        ({"is_opening": True}, "how its origin is known"),
        ({"documents": ("D26-0099",)}, "no document D26-0099"),
        ({"species": "P " + "x" * 70_000}, "the species has 1 to 35 characters"),
    ],
)
def test_a_lot_that_does_not_make_sense_is_refused(
    supplied: Loft, changes: dict[str, Any], said: str
) -> None:
    """Nothing of it is recorded."""
    draft = replace(supplied.draft(), **changes)
    size = supplied.shop.store.head().size
    with pytest.raises(LedgerError, match=said):
        lots.receive_lot(supplied.shop, draft, supplied.hands("02"))

    assert untouched(supplied, size)


def test_a_country_of_harvest_is_recorded_in_capitals(supplied: Loft) -> None:
    """However it is typed."""
    draft = replace(supplied.draft(), harvested_in="br")
    code = lots.receive_lot(supplied.shop, draft, supplied.hands("02"))
    with supplied.shop.store.reading() as session:
        assert session.get_one(Lot, str(code)).harvested_in == "BR"


def test_lots_are_numbered_one_after_the_other(supplied: Loft) -> None:
    """A code that was chosen is kept, and the next one goes on from there."""
    first = supplied.receive()
    chosen = supplied.receive(code=LotId(year=26, number=40))
    old = supplied.receive(is_opening=True, evidence="diary", species="unknown")

    assert [str(lot) for lot in (first, chosen, old)] == [
        "L26-001",
        "L26-040",
        "L26-041",
    ]
    with pytest.raises(RefusedError, match="L26-040 is there already"):
        supplied.receive(code=LotId(year=26, number=40))
    supplied.receive(code=LotId(year=26, number=999))
    with pytest.raises(RefusedError, match="999"):
        supplied.receive()


def test_the_same_delivery_comes_in_once(supplied: Loft) -> None:
    """Another species on the same paper is another lot."""
    paper = supplied.document()
    lot = supplied.receive(documents=(paper,))
    with pytest.raises(DuplicateLotError, match=f"lot {lot} of the same species"):
        supplied.receive(documents=(paper,))
    other = supplied.receive(documents=(paper,), species="Acer pseudoplatanus")
    supplied.receive(documents=(supplied.document("another delivery note"),))

    with supplied.shop.store.reading() as session:
        assert [d.code for d in documents_of(session, str(other))] == [paper]


@pytest.mark.parametrize(
    ("expires_on", "received_on", "is_refused"),
    [
        (None, "2026-01-05", False),
        ("2026-01-05", "2026-01-05", False),
        ("2026-01-04", "2026-01-05", True),
        ("2026-01-04", "2026-01-04", False),
        ("2024-02-28", "2024-02-29", True),
    ],
)
def test_a_paper_that_ended_before_the_wood_came_is_no_paper_of_it(
    supplied: Loft, expires_on: str | None, received_on: str, is_refused: bool
) -> None:
    """Judged by the day on which the lot came in; its last day still counts."""
    paper = supplied.document(issued_on="2024-01-01", expires_on=expires_on)
    draft = supplied.draft(documents=(paper,), received_on=received_on)
    size = supplied.shop.store.head().size
    if not is_refused:
        lots.receive_lot(supplied.shop, draft, supplied.hands("02"))
        return
    said = rf"{paper} \(delivery note\) ended on {expires_on}, before {received_on}"
    with pytest.raises(RefusedError, match=said):
        lots.receive_lot(supplied.shop, draft, supplied.hands("02"))

    assert untouched(supplied, size)
