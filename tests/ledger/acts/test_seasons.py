"""How boards came to rest: the chosen one, the stubborn one, the masses at rest."""

from dataclasses import replace
from datetime import date, timedelta
from math import exp

import pytest

from ledger.acts.forecast import Forecast
from ledger.acts.seasons import Seasons, seasons
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardMetered, BoardMoved, BoardWeighed, RoomMeasured
from tests.skerrymoor import NECK, Loft

CAME = date(2026, 1, 5)
WEEKLY = range(0, 64, 7)
# Code, time constant [days]: the third has most to lose for longest.
BOARDS = (("L26-001-01", 12.0), ("L26-001-02", 15.0), ("L26-001-03", 60.0))


@pytest.fixture
def racked(loft: Loft) -> Loft:
    """Give a shop with three boards of spruce that were weighed for nine weeks."""
    loft.supplier()
    loft.number(loft.receive(), *[replace(NECK, masses_mg=())] * 3)
    loft.adopt()
    loft.clock.moment += timedelta(days=64)
    loft.shop = replace(loft.shop, pause_confirmed=True)
    for code, constant in BOARDS:
        loft.say(BoardMoved(board=code, place="crib, shelf B"), "02")
        for day in WEEKLY:
            mass = round((1_000 + 60 * exp(-day / constant)) * 10) * 100
            moment = f"{(CAME + timedelta(days=day)).isoformat()}T09:00:00Z"
            event = BoardWeighed(board=code, mass_mg=mass)
            loft.say(event, "02", happened_at=moment)
    return loft


def told(loft: Loft, *codes: str, chosen: str | None = None) -> Seasons:
    """Return the seasons of some boards."""
    with loft.shop.store.reading() as session:
        return seasons(
            session, codes or ["L26-001"], today=loft.shop.today(), chosen=chosen
        )


def test_the_one_with_most_to_lose_is_looked_at_closer(racked: Loft) -> None:
    """If nobody chose another; then it is named as the stubborn one."""
    found, other = told(racked), told(racked, chosen="L26-001-01")

    assert [each.board.code for each in found.boards] == [code for code, _ in BOARDS]
    assert (found.chosen.board.code, found.stubborn) == ("L26-001-03", None)
    assert isinstance(found.chosen.ahead, Forecast) and found.chosen.ahead.curve
    assert other.chosen.board.code == "L26-001-01"
    assert other.stubborn and other.stubborn.board.code == "L26-001-03"
    # 60 g exp(-63 / 60) of a thousand are left of it.
    assert other.stubborn.left_ppm == pytest.approx(21_000, rel=0.1)
    assert (found.limits.least_days, found.limits.preferred_days) == (90, 180)


def test_each_board_has_its_days_in_the_rack(racked: Loft) -> None:
    """Counted from the day on which it came in."""
    first = told(racked, "L26-001-01").boards[0]

    assert [first.rest_days(day) for day, _ in first.weighings] == list(WEEKLY)
    assert first.verdict.reasons[0].startswith("rested 64 of 90")


def metered(loft: Loft) -> None:
    """Put a meter to the first board on the day of its last weighing."""
    event = BoardMetered(
        board="L26-001-01",
        meter="pin meter 2",
        setting="SPRUCE",
        reading_ppm=90_000,
        temperature_millikelvin=293_150,
        moisture_ppm=90_000,
        rule="as-read/1",
    )
    loft.say(event, "02", happened_at="2026-03-09T10:00:00Z")


def test_masses_at_rest_are_known_where_moisture_and_air_are(racked: Loft) -> None:
    """Dry it weighs 1000.3 / 1.09 g; at 8.5 % with 1.5 % to each side, by hand."""
    without = told(racked, chosen="L26-001-01").rest
    racked.say(
        RoomMeasured(room="crib", temperature_millikelvin=294_150, humidity_ppm=450_000)
    )
    no_meter = told(racked, chosen="L26-001-01").rest
    metered(racked)
    rest = told(racked, chosen="L26-001-01").rest

    assert (without, no_meter) == (None, None)
    assert rest is not None
    dry = 1_000_300 / 1.09
    assert rest.low_mg == pytest.approx(dry * (1.0847 - 0.015), abs=300)
    assert rest.high_mg == pytest.approx(dry * (1.0847 + 0.015), abs=300)
    assert (rest.around_ppm, rest.air.room) == (15_000, "crib")


def test_without_a_forecast_the_last_weighings_tell_what_is_left(racked: Loft) -> None:
    """Of two there is no more to be told; of one nothing."""
    racked.number(racked.receive(received_on=racked.shop.today()), NECK)
    alone = told(racked, "L26-002-01")

    assert str(alone.boards[0].ahead).startswith("too few weighings to foretell: 1 of")
    assert (alone.boards[0].left_ppm, alone.stubborn) == (None, None)


def test_only_what_lies_there_is_shown(racked: Loft) -> None:
    """And the chosen one is among it."""
    with pytest.raises(RefusedError, match="L26-001-02 is none of these"):
        told(racked, "L26-001-01", chosen="L26-001-02")
    with pytest.raises(NotFoundError):
        told(racked, "L26-009")
