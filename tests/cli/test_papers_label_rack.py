"""The facts of lots, holds and places, as their papers in the rack show them."""

from typing import Any

import pytest

from cli.papers_label_rack import hold_tag, lot_card, rack_card, wanted
from labels.rack_card import Shelved
from labels.tongue import tongue
from ledger.acts import holds, measuring, rejects
from ledger.acts.holds import InDoubt
from ledger.craft.seasoning import Verdict
from ledger.errors import NotFoundError, RefusedError
from ledger.events.wood import Shown
from ledger.ids import LotId
from tests.shops import loft, staffed_folder, supplied
from tests.skerrymoor import TOP, Loft

__all__ = ["loft", "staffed_folder", "supplied"]

SHELF = "crib, shelf B"
ROOM = {"least_humidity_ppm": 400_000, "most_humidity_ppm": 550_000, "fresh_days": 7}
NO_REST = {"least_days": 0, "preferred_days": 0}
FREE = {
    "room": ROOM | {"fresh_days": 0},
    "steady": {"weighings": 0, "apart_days": 0, "within_ppm": 1_000},
}
STEADY = {"weighings": 2, "apart_days": 0, "within_ppm": 1_000}


def held(loft: Loft, lot: LotId) -> str:
    """Place a hold on a lot, and return its number."""
    return holds.place(
        loft.shop,
        InDoubt(on="lot", code=str(lot)),
        reason="a doubtful stamp",
        hands=loft.hands("02"),
    )


def test_a_card_counts_pieces_papers_and_days(supplied: Loft) -> None:
    """A set is one piece; without limits of rest it is ready today."""
    paper = supplied.document()
    lot = supplied.receive(boards=3, documents=(paper,))
    supplied.number(lot, TOP, TOP)
    card = lot_card(supplied.shop, lot)

    assert card.count == "3 came in, 2 numbered, 2 in the rack"
    assert card.grades == "not graded 2"
    assert card.papers[0].code == paper
    assert card.rest == "all 2 ready when printed"
    assert card.earliest == supplied.shop.today()
    assert card.host == "skerrymoor.example" and not card.origin_unknown


def test_a_card_of_wood_that_nobody_numbered_promises_no_day(supplied: Loft) -> None:
    """Rest is told piece by piece."""
    card = lot_card(supplied.shop, supplied.receive(boards=3))

    assert card.count == "3 came in, none numbered"
    assert (card.earliest, card.preferred, card.grades) == ("", "", "none")
    assert card.rest == "no piece of it is in the rack"


@pytest.mark.parametrize(
    ("shown", "words"),
    [
        ("by-name", "Ferrante & Daughters"),
        ("by-region", "a sawyer of Val Corda"),
        ("known-to-maker", "known to the maker"),
    ],
)
def test_a_sawyer_is_shown_as_was_agreed(loft: Loft, shown: Shown, words: str) -> None:
    """On a card in the rack too."""
    loft.supplier(shown=shown)
    lot = loft.receive()

    assert lot_card(loft.shop, lot).sawyer == words


def test_old_stock_says_how_it_is_known_and_where_it_may_be_from(loft: Loft) -> None:
    """And wood that nobody can name claims no species."""
    lot = loft.receive(
        supplier=None,
        is_opening=True,
        evidence="witness",
        species="unknown",
        harvested_in=None,
        documents=(),
    )
    card = lot_card(loft.shop, lot)

    assert card.sawyer == "old stock, by somebody’s word"
    assert card.grown == "a country that nobody said"
    assert card.origin_unknown


def test_a_tag_names_what_is_under_it_lot_by_lot(supplied: Loft) -> None:
    """Both halves of a set as one, and who may lift it by name."""
    lot = supplied.receive(boards=4)
    supplied.number(lot, TOP, TOP, TOP)
    tag = hold_tag(supplied.shop, held(supplied, lot))

    assert tag.doubted == f"lot {lot}"
    assert tag.count == 6
    assert tag.rack == ((f"{lot}-01 to 03", "Picea abies"),)
    assert tag.who == "a lead"
    assert tag.lifted_by == ('Oluwaseun "Seun" Adeyemi-Brandt',)


def test_a_tag_of_a_person_s_work_names_nobody(loft: Loft) -> None:
    """A tag hangs where everybody reads it: the badge is enough."""
    number = holds.place(
        loft.shop,
        InDoubt(on="person", code=loft.person("03").subject),
        reason="the gauge was read wrongly",
        since=loft.shop.today(),
        hands=loft.hands("02"),
    )
    tag = hold_tag(loft.shop, number)

    assert tag.doubted == "what badge 03 signed"
    assert tag.since == loft.shop.today()
    assert (tag.rack, tag.count) == ((), 0)


def test_a_hold_that_was_lifted_needs_no_tag(supplied: Loft) -> None:
    """Nor does one that was never placed."""
    number = held(supplied, supplied.receive())
    holds.lift(supplied.shop, number, reason="known", hands=supplied.hands("01"))

    with pytest.raises(RefusedError, match="was lifted by entry"):
        hold_tag(supplied.shop, number)
    with pytest.raises(NotFoundError, match="there is no hold H26-099"):
        hold_tag(supplied.shop, "H26-099")


def test_a_place_tells_each_piece_and_how_it_stands(supplied: Loft) -> None:
    """Ready, in an instrument or on hold; what went elsewhere is not there."""
    lot, doubtful = supplied.receive(boards=4), supplied.receive(boards=1)
    codes = supplied.number(lot, TOP, TOP, TOP, TOP)
    codes += supplied.number(doubtful, TOP)
    supplied.model()
    serial = supplied.begin()
    measuring.move(supplied.shop, codes, SHELF, hands=supplied.hands("02"))
    measuring.move(supplied.shop, codes[6:8], "attic", hands=supplied.hands("02"))
    supplied.allot(serial, "top", f"{lot}-02")
    number = held(supplied, doubtful)
    card = rack_card(supplied.shop, f"  {SHELF.upper()} ")
    fir, top = "Picea abies", "top"

    assert card.place == SHELF
    assert card.rows == (
        Shelved(f"{lot}-01", fir, top, "ready", "solid"),
        Shelved(f"{lot}-02", fir, top, f"in {serial}", "solid"),
        Shelved(f"{lot}-03", fir, top, "ready", "solid"),
        Shelved(f"{doubtful}-01", fir, top, f"HOLD {number}", "sawn"),
    )


def test_rejected_wood_that_lies_there_is_told(supplied: Loft) -> None:
    """It may be sawn, and goes into no instrument."""
    codes = supplied.number(supplied.receive(boards=1), TOP)
    hands = supplied.hands("02")
    measuring.move(supplied.shop, codes, SHELF, hands=hands)
    lead = supplied.hands("01")
    rejects.reject(supplied.shop, codes[0], faults=["a pitch pocket"], hands=lead)
    row = rack_card(supplied.shop, SHELF).rows[0]

    assert (row.when, row.edge) == ("REJECTED", "sawn")


def test_an_erased_lead_is_told_by_badge(supplied: Loft) -> None:
    """On a tag as on any paper, as long as the key counts."""
    number = held(supplied, supplied.receive())
    supplied.shop.vault.erase(supplied.person("01").subject)

    assert hold_tag(supplied.shop, number).lifted_by == ("badge 01",)


def test_wood_that_still_rests_bears_its_earliest_day(supplied: Loft) -> None:
    """By the house's limits of the day."""
    lot = supplied.receive(boards=1)
    codes = supplied.number(lot, TOP)
    measuring.move(supplied.shop, codes, SHELF, hands=supplied.hands("02"))
    supplied.adopt(rest_of_others={"least_days": 90, "preferred_days": 180})
    row = rack_card(supplied.shop, SHELF).rows[0]
    card = lot_card(supplied.shop, lot)

    assert row.edge == "hollow" and row.when == card.earliest > supplied.shop.today()
    assert card.preferred > card.earliest
    assert card.rest == "none of 1 ready when printed; days of the last one"


def test_a_place_without_wood_names_those_with_some(supplied: Loft) -> None:
    """So that whoever mistyped it finds it."""
    codes = supplied.number(supplied.receive(boards=1), TOP)
    with pytest.raises(NotFoundError, match="there is wood in no place yet"):
        rack_card(supplied.shop, "attic")
    measuring.move(supplied.shop, codes, SHELF, hands=supplied.hands("02"))

    with pytest.raises(NotFoundError, match="'attic': there is wood in crib, shelf B;"):
        rack_card(supplied.shop, "attic")


def test_a_card_of_a_lot_on_hold_names_the_hold_and_promises_no_day(
    supplied: Loft,
) -> None:
    """By one of its papers; where a piece alone is in doubt the others have a day."""
    paper = supplied.document()
    lot = supplied.receive(boards=2, documents=(paper,))
    supplied.number(lot, TOP, TOP)
    doubt = InDoubt(on="board", code=f"{lot}-01")
    lead = supplied.hands("02")
    first = holds.place(supplied.shop, doubt, reason="a crack", hands=lead)
    some = lot_card(supplied.shop, lot)
    doubt = InDoubt(on="document", code=paper)
    second = holds.place(supplied.shop, doubt, reason="an odd stamp", hands=lead)
    every = lot_card(supplied.shop, lot)

    assert (some.holds, some.papers[0].hold) == ((first,), "")
    assert some.rest == "1 of 2 on hold when printed: use none of those"
    assert some.earliest == supplied.shop.today()
    assert (every.holds, every.papers[0].hold) == ((first, second), second)
    assert every.rest == "2 of 2 on hold when printed: use none of those"
    assert (every.earliest, every.preferred, every.wanted) == ("", "", "")


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        ({"room": ROOM}, "measure the air"),
        ({"steady": STEADY}, "weigh again"),
    ],
)
def test_where_days_no_longer_hinder_it_is_said_what_does(
    supplied: Loft, limits: dict[str, Any], words: str
) -> None:
    """No card promises today for wood that is not ready today."""
    lot = supplied.receive(boards=1)
    codes = supplied.number(lot, TOP)
    measuring.move(supplied.shop, codes, SHELF, hands=supplied.hands("02"))
    supplied.adopt(rest=[], rest_of_others=NO_REST, **(FREE | limits))
    row, card = rack_card(supplied.shop, SHELF).rows[0], lot_card(supplied.shop, lot)

    assert (row.when, row.edge) == (words, "hollow")
    assert (card.wanted, card.earliest) == (words, "")
    assert card.rest == "none of 1 ready when printed"


@pytest.mark.parametrize(
    ("reason", "words"),
    [
        ("moisture 9.0 % is 2.0 % above the 7.0 % that the room's air", "moisture is"),
        ("the crib averaged 71 %, outside 40 % to 55 %", "air out of bounds"),
        ("something else", "ask the ledger"),
    ],
)
def test_each_reason_has_its_own_words(reason: str, words: str) -> None:
    """One that has none sends to the ledger."""
    verdict = Verdict(reasons=(reason,), earliest="2026-01-05", preferred="2026-01-05")

    assert wanted([verdict], tongue("en"), today="2026-01-05").startswith(words)
