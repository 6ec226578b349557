"""The air that wood lies in: a logger's mean where there is one, else one reading."""

from datetime import date, timedelta

import pytest

from ledger.acts import resting, surroundings
from ledger.acts.surroundings import History, mean_air, own_air, room_air, room_of
from ledger.craft.seasoning import Verdict
from ledger.events import BoardMoved, BoardWeighed, RoomLogged, RoomMeasured
from ledger.events.board import BoardMetered
from ledger.events.house import RoomDay
from ledger.views.boards import Board
from tests.skerrymoor import NECK, Loft

TODAY = date(2026, 1, 26)
BOARD = "L26-001-01"
SHORT = {
    "rest": [],
    "rest_of_others": {"least_days": 21, "preferred_days": 42},
}
PLAIN = {
    "gap_seconds": 3600,
    "least_humidity_ppm": 400_000,
    "most_humidity_ppm": 500_000,
    "number": 24,
    "temperature_millikelvin": 294_150,
}


def kept(loft: Loft, *humidities: int, last: date = TODAY, room: str = "crib") -> None:
    """Enter a logger's days of a room, the last one on a day; nought is no day."""
    days = [
        RoomDay(
            day=(last - timedelta(days=len(humidities) - 1 - n)).isoformat(),
            humidity_ppm=ppm,
            **PLAIN,
        )
        for n, ppm in enumerate(humidities)
        if ppm
    ]
    loft.say(RoomLogged(room=room, sha256="ab" * 32, method="a log", days=tuple(days)))


def history(loft: Loft, room: str = "crib") -> History:
    """Return what is known of a room's air."""
    with loft.shop.store.reading() as session:
        return surroundings.histories(session, [room])[room]


@pytest.fixture
def rested(loft: Loft) -> Loft:
    """Give a shop with one steady board in the crib, on the day it may be ready."""
    loft.supplier()
    loft.number(loft.receive(), NECK)
    loft.adopt(**SHORT)
    loft.clock.moment += timedelta(days=21)
    loft.say(BoardMoved(board=BOARD, place="crib, shelf B"), "02")
    for day in ("2026-01-12", "2026-01-19", "2026-01-26"):
        loft.say(
            BoardWeighed(board=BOARD, mass_mg=1_040_000),
            "02",
            happened_at=f"{day}T10:00:00Z",
        )
    return loft


def judged(loft: Loft) -> Verdict:
    """Judge the board today."""
    with loft.shop.store.reading() as session:
        board = session.get_one(Board, BOARD)
        return resting.readiness(session, board, today=loft.shop.today())


def said(loft: Loft) -> str:
    """Return why the board is not ready, in plain spaces."""
    return "; ".join(judged(loft).reasons).replace("\u2009", " ")


def test_a_room_is_judged_by_its_mean_where_a_logger_hung(rested: Loft) -> None:
    """One damp day does not spoil a week, and one good reading does not save it."""
    kept(rested, 440_000, 440_000, 440_000, 440_000, 440_000, 440_000, 540_000)
    assert judged(rested)
    kept(rested, *[560_000] * 7)
    rested.say(
        RoomMeasured(room="crib", temperature_millikelvin=294_150, humidity_ppm=450_000)
    )

    assert said(rested) == (
        "the crib averaged 56 %RH over 7 days to 2026-01-26, outside 40 % to 50 %RH"
    )


def test_days_that_nobody_measured_are_told(rested: Loft) -> None:
    """A mean of four days of seven says so."""
    kept(rested, 560_000, 0, 560_000, 0, 560_000, 0, 560_000)

    assert said(rested).startswith("the crib averaged 56 %RH over 4 of 7 days to")


def test_of_less_than_half_of_the_days_the_newest_reading_counts(rested: Loft) -> None:
    """Three days of seven are no mean of them."""
    kept(rested, 440_000, 440_000, 0, 0, 0, 0, 560_000)

    assert said(rested).startswith("the crib was at 56 %RH on 2026-01-26, outside")


def test_a_log_that_ended_long_ago_is_no_air_of_today(rested: Loft) -> None:
    """However good it was."""
    kept(rested, *[440_000] * 30, last=TODAY - timedelta(days=8))

    assert said(rested).startswith("the room's air was last measured on 2026-01-18")


def test_of_two_logs_of_one_day_the_later_entry_counts(rested: Loft) -> None:
    """It was taken over although it differed."""
    kept(rested, *[560_000] * 7)
    kept(rested, *[440_000] * 7)

    assert judged(rested)


def test_another_room_s_log_says_nothing_of_the_crib(rested: Loft) -> None:
    """Unless the crib was never measured at all."""
    kept(rested, *[560_000] * 7, room="spray room")
    assert said(rested).startswith("the spray room averaged 56 %RH")
    kept(rested, *[440_000] * 7)

    assert judged(rested)


def metered(loft: Loft, ppm: int, day: str) -> None:
    """Put the meter to the board on a day."""
    event = BoardMetered(
        board=BOARD,
        meter="pin meter 2",
        setting="SPRUCE",
        reading_ppm=ppm,
        temperature_millikelvin=293_150,
        moisture_ppm=ppm,
        rule="as-read/1",
    )
    loft.say(event, "02", happened_at=f"{day}T10:00:00Z")


def test_moisture_is_compared_with_the_air_it_had_followed(rested: Loft) -> None:
    """Of 24 mm of spruce that is the mean of the week before it was metered."""
    kept(rested, *[650_000] * 7, *[450_000] * 7)
    metered(rested, 120_000, "2026-01-19")
    before = said(rested)
    metered(rested, 120_000, "2026-01-26")

    assert before == ""
    assert said(rested) == (
        "moisture 12.0 % is 3.5 % above the 8.5 % that the crib's air gave over 7 days "
        "to 2026-01-26"
    )


# Days at 65 %RH and then one at 45 %RH, at which wood rests at 11.9 and 8.5 %.
DROP = (*[650_000] * 60, 450_000)


@pytest.mark.parametrize(
    ("thickness_um", "species", "span", "ppm"),
    [
        # By h^2 / (pi^2 D), reference values of a table: 4 mm 0.19 d, 25 mm 7.3 d at
        # 1e-10 m2/s and 73 d at 1e-11.
        (4_000, "Picea abies", 1, 84_700),
        (8_000, "Picea abies", 7, 114_500),
        (25_000, "Picea abies", 7, 114_500),
        (50_000, "Picea abies", 29, 118_200),
        (15_000, "Dalbergia nigra", 26, 118_000),
        (None, "Picea abies", 7, 114_500),
    ],
)
def test_thick_wood_follows_the_mean_and_thin_wood_the_day(
    loft: Loft, thickness_um: int | None, species: str, span: int, ppm: int
) -> None:
    """Over its time constant, and never over less than the house's days."""
    kept(loft, *DROP, last=date(2026, 1, 5))
    found = own_air(
        history(loft),
        species=[species],
        thickness_um=thickness_um,
        metered_on="2026-01-05",
        fresh_days=7,
    )

    assert found is not None
    assert (found.over_days, found.kept_days) == (span, span)
    assert found.emc_ppm == pytest.approx(ppm, abs=1_000)


def test_a_house_that_asks_for_no_air_has_its_newest_reading(loft: Loft) -> None:
    """A mean over no day is none; nor is one of days before the log began."""
    kept(loft, 450_000, 460_000, last=date(2026, 1, 5))
    known = history(loft)

    assert room_air(known, fresh_days=0) == known.newest
    assert mean_air(known, 7, "2025-12-01") is None
    assert mean_air(known, 1, "2026-01-04") is not None


def test_a_shop_without_air_has_no_surroundings(loft: Loft) -> None:
    """Nobody has measured any room yet."""
    with loft.shop.store.reading() as session:
        assert surroundings.histories(session, ["crib", ""]) == {}


@pytest.mark.parametrize(
    ("place", "room"), [("crib, shelf B", "crib"), (None, ""), (" attic ", "attic")]
)
def test_a_place_begins_with_its_room(place: str | None, room: str) -> None:
    """Up to the first comma."""
    assert room_of(place) == room
