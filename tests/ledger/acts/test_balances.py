"""The year's balance is read out of the shop: what came, what went, what is left."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from ledger.acts import rejects, rework, sawing
from ledger.acts.balances import Balance, balance_of, year_of
from ledger.acts.sawing import PieceDraft
from ledger.errors import NotFoundError
from ledger.events import BoardWeighed
from ledger.events.build import PartWeighed
from ledger.trade.balance import Sheet
from tests import roadside
from tests.roadside import CARVE, FIRST
from tests.sentences import PLANNED
from tests.skerrymoor import NECK, TOP, Loft

SPRUCE, MAPLE = "Picea abies", "Acer pseudoplatanus"


def spruce(found: Balance) -> Sheet:
    """Return the sheet of the spruce."""
    return next(sheet for sheet in found.sheets if sheet.species == SPRUCE)


@pytest.mark.parametrize(
    ("year", "why"),
    [
        (2027, "2027 is still to come, and today is 2026-01-05"),
        (2025, "the shop was opened on 2026-01-05: ask for 2026 or later"),
    ],
)
def test_a_year_that_is_none_of_the_log_is_refused(
    loft: Loft, year: int, why: str
) -> None:
    """Before it was opened, and still to come."""
    with pytest.raises(NotFoundError, match=why):
        balance_of(loft.shop, year)


def test_a_species_that_was_not_there_is_refused(supplied: Loft) -> None:
    """A misspelt name is no empty sheet."""
    supplied.number(supplied.receive())

    with pytest.raises(NotFoundError, match="no wood of Picea abes in 2026"):
        balance_of(supplied.shop, 2026, species="Picea abes")
    assert spruce(balance_of(supplied.shop, 2026, species="Picea")).received.boards == 2


def test_what_was_sawn_built_in_and_sent_back_is_told(supplied: Loft) -> None:
    """Each in its place, and nothing is missing."""
    lot = supplied.receive()
    supplied.number(lot, TOP, TOP, NECK, NECK)
    sawing.split(
        supplied.shop,
        codes=[f"{lot}-03"],
        pieces=[
            PieceDraft(meant_for="neck", mass_mg=700_000),
            PieceDraft(meant_for="brace", mass_mg=300_000, is_offcut=True),
        ],
        waste_mg=20_000,
        hands=supplied.hands("03"),
    )
    rejects.reject(
        supplied.shop,
        code=f"{lot}-02.A",
        faults=["shake"],
        is_returned=True,
        hands=supplied.hands("03"),
    )
    supplied.model()
    serial = supplied.begin()
    supplied.allot(serial, "top", f"{lot}-01")
    supplied.allot(serial, "neck", f"{lot}-03.C1")
    supplied.finish(serial)
    before = spruce(balance_of(supplied.shop, 2026))
    supplied.issue(serial)
    found = spruce(balance_of(supplied.shop, 2026))

    assert (before.built_in.boards, before.closing.boards) == (0, 6)
    assert (found.built_in.boards, found.closing.boards) == (3, 3)
    assert found.received.mass_mg == 2 * 412_000 + 2 * 1_040_000
    assert (found.made.boards, found.sawn.boards, found.finished) == (2, 1, 3)
    assert found.out_mg == 190_500 + 611_000 + 205_000
    assert (found.waste_mg, found.not_weighed_mg) == (20_000, 20_000)
    assert found.worked_mg == 412_000 - 190_500 + 700_000 - 611_000
    assert found.closing.mass_mg == 207_000 + 1_040_000 + 300_000
    assert (before.off_mg, found.off_mg) == (0, 0)


def test_a_year_opens_with_what_the_one_before_closed_with(supplied: Loft) -> None:
    """And a board that dried between them is told once, in the year of its weighing."""
    lot = supplied.receive()
    supplied.number(lot, NECK)
    supplied.clock.moment = datetime(2027, 2, 1, 8, tzinfo=UTC)
    supplied.shop = replace(supplied.shop, pause_confirmed=True)
    supplied.say(BoardWeighed(board=f"{lot}-01", mass_mg=1_000_000), "03")
    first, second = (spruce(balance_of(supplied.shop, y)) for y in (2026, 2027))
    size = supplied.shop.store.head().size
    years = [year_of(supplied.shop, year, size) for year in (2026, 2027)]

    assert first.closing == second.opening
    assert (first.dried_mg, second.dried_mg) == (0, 40_000)
    assert second.closing.mass_mg == 1_000_000
    assert years[0].until == years[1].since == years[1].until - 1
    assert second.received.boards == 0


def test_old_stock_and_wood_that_came_the_year_before_are_told(supplied: Loft) -> None:
    """Old stock has a line of its own, and a lot entered late is named."""
    old = supplied.receive(is_opening=True, evidence="diary", received_on="1998-05-01")
    late = supplied.receive(received_on="2025-12-30")
    for lot in (old, late):
        supplied.number(lot, NECK)
    found = balance_of(supplied.shop, 2026)

    assert spruce(found).old_stock.boards == spruce(found).received.boards == 1
    assert found.late == (str(late),)


def test_glue_is_told_for_each_wood_by_its_share(supplied: Loft) -> None:
    """A neck of two woods is one board of each; what is missing is shared as well."""
    spruce_lot, maple_lot = supplied.receive(), supplied.receive(species=MAPLE)
    supplied.number(spruce_lot, NECK)
    supplied.number(maple_lot, replace(NECK, masses_mg=(520_000,)))
    sawing.join(
        supplied.shop,
        codes=[f"{spruce_lot}-01", f"{maple_lot}-01"],
        draft=PieceDraft(meant_for="neck", mass_mg=1_530_000),
        hands=supplied.hands("03"),
    )
    maple, of_spruce = balance_of(supplied.shop, 2026).sheets

    assert (maple.species, of_spruce.species) == (MAPLE, SPRUCE)
    assert (maple.closing.mass_mg, of_spruce.closing.mass_mg) == (510_000, 1_020_000)
    assert (maple.not_weighed_mg, of_spruce.not_weighed_mg) == (10_000, 20_000)
    assert [sheet.closing.boards for sheet in (maple, of_spruce)] == [1, 1]


def test_a_board_leaves_on_the_day_it_moves(supplied: Loft) -> None:
    """It is there until then, and in no balance of a later year."""
    lot = supplied.receive()
    supplied.number(lot, NECK)
    supplied.document()
    supplied.say(replace(PLANNED, boards=(f"{lot}-01",)))
    before = spruce(balance_of(supplied.shop, 2026))
    supplied.clock.moment = datetime(2026, 2, 2, 8, tzinfo=UTC)
    after = spruce(balance_of(supplied.shop, 2026))
    supplied.clock.moment = datetime(2027, 2, 2, 8, tzinfo=UTC)

    assert (before.shipped.boards, before.closing.boards) == (0, 1)
    assert (after.shipped.boards, after.closing.boards) == (1, 0)
    assert after.out_mg == 1_040_000
    assert balance_of(supplied.shop, 2027).sheets == ()


def test_a_board_leaves_by_its_own_shipment_in_a_year_without_an_entry(
    supplied: Loft,
) -> None:
    """What is told of it is the entry that planned it, and it leaves once."""
    lot = supplied.receive()
    supplied.number(lot, NECK)
    supplied.document()
    planned = replace(PLANNED, boards=(f"{lot}-01",), moves_on="2027-02-01")
    index = supplied.say(planned).index
    supplied.clock.moment = datetime(2028, 2, 1, 8, tzinfo=UTC)
    before, after = (spruce(balance_of(supplied.shop, y)) for y in (2026, 2027))

    assert (before.closing.boards, after.opening.boards) == (1, 1)
    assert (after.shipped.boards, after.closing.boards) == (1, 0)
    assert after.entries == {index}
    assert balance_of(supplied.shop, 2028).sheets == ()


def test_what_other_wood_weighed_as_a_part_is_nothing_of_a_board_s(road: Loft) -> None:
    """A neck that took the place of a spoiled one is not finished before its scale."""
    neck = PartWeighed(part="neck", mass_mg=600_000)
    roadside.done(road, FIRST, CARVE, weighed=[neck])
    assert spruce(balance_of(road.shop, 2026)).finished == 1
    rework.scrap(
        road.shop, serial=FIRST, part="neck", reason="a knot", hands=road.hands()
    )
    road.allot(FIRST, "neck", "L26-001-03")
    roadside.done(road, FIRST, CARVE)
    found = spruce(balance_of(road.shop, 2026))

    assert (found.built_in.boards, found.scrapped.boards) == (1, 1)
    assert (found.finished, found.worked_mg) == (0, 0)
