"""When a board will be at rest: from its own weighings, or the reason why not."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from math import exp, pi

import pytest

from ledger.acts import corrections, sawing
from ledger.acts.forecast import (
    Forecast,
    balance_step_mg,
    forecast,
    forecast_words,
)
from ledger.events import BoardMeasured, BoardWeighed
from ledger.views.boards import Board
from ledger.wood.drying import METHOD, METHOD_FRESH
from tests.ledger.wood.three_weighings import end_mass_of_three
from tests.skerrymoor import TOP, Loft

BOARD = "L26-001-01.A"
CAME = date(2026, 1, 5)
WEEKLY = (0, 7, 14, 21, 28, 35, 42)
Fall = Callable[[float], float]


def slab(day: float) -> float:
    """Return the share that a slab open on both faces still holds (Crank, series)."""
    terms = (exp(-(k**2) * day / 20) / k**2 for k in range(1, 400, 2))
    return 8 / pi**2 * sum(terms)


def plain(day: float) -> float:
    """Return the share that is left of a plain exponential approach."""
    return exp(-day / 20)


# 40 g to lose and 0.8 g left, which is 0.2 % of 400 g: 20 ln 50, and 20 ln (50 8/pi^2).
REST_OF: dict[Fall, float] = {plain: 78.2, slab: 74.0}


@pytest.fixture
def racked(loft: Loft) -> Loft:
    """Give a shop with a set whose halves nobody has weighed, ninety days later."""
    loft.supplier()
    loft.number(loft.receive(), replace(TOP, masses_mg=(), is_set=True))
    loft.adopt()
    loft.clock.moment += timedelta(days=90)
    loft.shop = replace(loft.shop, pause_confirmed=True)
    return loft


def at(day: int) -> str:
    """Return a moment so many days after the set came in."""
    return f"{(CAME + timedelta(days=day)).isoformat()}T10:00:00Z"


def weigh(loft: Loft, mass_mg: int, day: int) -> int:
    """Put the half on the scale so many days after it came in."""
    event = BoardWeighed(board=BOARD, mass_mg=mass_mg)
    return loft.say(event, "02", happened_at=at(day)).index


def series(loft: Loft, days: tuple[int, ...] = WEEKLY, *, fall: Fall = plain) -> None:
    """Weigh a half that goes from 440 g to 400 g, on a balance of 0.1 g."""
    for day in days:
        weigh(loft, round((400 + 40 * fall(day)) * 10) * 100, day)


def ahead(loft: Loft, code: str = BOARD, *, with_curve: bool = False) -> Forecast | str:
    """Ask when a board will be at rest."""
    with loft.shop.store.reading() as session:
        board = session.get_one(Board, code)
        return forecast(session, board, with_curve=with_curve)


def found(loft: Loft) -> Forecast:
    """Return the forecast, which there is."""
    told = ahead(loft)
    assert isinstance(told, Forecast), told
    return told


def days_after(day: str | None) -> int:
    """Return how many days after it came in a day is."""
    return (date.fromisoformat(str(day)) - CAME).days


@pytest.mark.parametrize(("fall", "method"), [(plain, METHOD), (slab, METHOD_FRESH)])
def test_the_day_of_rest_is_foretold_within_its_interval(
    racked: Loft, fall: Fall, method: str
) -> None:
    """Both for wood that came into new air and for wood that came from a like one."""
    series(racked, fall=fall)
    told = found(racked)

    assert days_after(told.earliest) - 1 <= REST_OF[fall] <= days_after(told.latest)
    assert days_after(told.likely) == pytest.approx(REST_OF[fall], abs=3)
    assert told.end_mass_mg == pytest.approx(400_000, abs=2 * told.u_end_mass_mg + 50)
    assert told.time_constant_seconds == pytest.approx(20 * 86_400, rel=0.05)
    assert told.left_ppm == pytest.approx(100_000 * fall(42), rel=0.05)
    assert (told.method, told.within_ppm, len(told.weighed)) == (method, 2_000, 7)


def test_three_weighings_tell_what_the_closed_formula_tells(racked: Loft) -> None:
    """Source: Aitken's formula, re-derived; weighed since the third day only."""
    series(racked, (3, 17, 31))
    told = found(racked)
    masses = [mass / 1e6 for _, mass in told.weighed]

    assert told.end_mass_mg == pytest.approx(end_mass_of_three(masses)[0] * 1e6, abs=20)
    assert len(told.warnings) == 1


@pytest.mark.parametrize("fall", [plain, slab])
def test_of_four_weighings_the_very_first_day_is_left_out(
    racked: Loft, fall: Fall
) -> None:
    """Whichever way the first days went, the others lead to the same end."""
    series(racked, (0, 10, 24, 38), fall=fall)
    told = found(racked)

    assert [days_after(day) for day, _ in told.weighed] == [10, 24, 38]
    assert days_after(told.earliest) - 1 <= REST_OF[fall] <= days_after(told.latest)


@pytest.mark.parametrize(
    ("days", "why"),
    [
        ((0, 10, 20), "3 of at least 4, the first of which is of the day it came in"),
        ((), "too few weighings to foretell: 0 of at least 3"),
        ((3, 10), "too few weighings to foretell: 2 of at least 3"),
        ((3, 4, 5), "also lie on a straight line"),
        ((120,), "too few weighings to foretell: 0 of at least 3"),
    ],
)
def test_too_little_foretells_nothing(
    racked: Loft, days: tuple[int, ...], why: str
) -> None:
    """The reason says what to do next, or how much is missing."""
    series(racked, tuple(day for day in days if day <= 90))

    assert why in str(ahead(racked))


def test_wood_that_takes_up_water_has_no_day(racked: Loft) -> None:
    """Its slope is the other way round: look at the air."""
    for n, day in enumerate(WEEKLY):
        weigh(racked, 400_000 + 1_500 * n, day)

    assert str(ahead(racked)).startswith("it gains: 9 g more after 42 days")


def test_wood_that_lost_and_gained_again_has_no_day(racked: Loft) -> None:
    """The air changed meanwhile."""
    for grams, day in ((440.3, 0), (430.1, 5), (420.2, 10), (410.4, 20), (416.1, 30)):
        weigh(racked, round(grams * 1000), day)

    assert "it lost and then gained" in str(ahead(racked))


def test_what_the_sawyer_weighed_is_not_of_this_air(racked: Loft) -> None:
    """Nor what was struck, nor the earlier of two weighings of one day."""
    weigh(racked, 900_000, -5)
    wrong = weigh(racked, 600_000, 50)
    series(racked)
    weigh(racked, 470_000, 0)
    corrections.correct(racked.shop, wrong, reason="another", hands=racked.hands("02"))
    last = weigh(racked, 440_000, 0)

    assert last and [day for day, _ in found(racked).weighed] == [
        (CAME + timedelta(days=day)).isoformat() for day in WEEKLY
    ]
    assert found(racked).weighed[0][1] == 440_000


def test_wood_that_was_planed_begins_again(racked: Loft) -> None:
    """What the plane took did not dry away."""
    series(racked, (0, 7, 14))
    racked.say(BoardMeasured(board=BOARD, thickness_um=3_000), "02", happened_at=at(15))
    worked = ahead(racked)
    for day in (20, 27, 34, 41):
        weigh(racked, round((300 + 30 * plain(day)) * 10) * 100, day)

    assert str(worked).startswith("it was worked since it was weighed last")
    assert found(racked).end_mass_mg == pytest.approx(300_000, abs=1_000)
    assert len(found(racked).weighed) == 4


def test_a_piece_is_foretold_by_its_own_weighings(racked: Loft) -> None:
    """What its board weighed is another mass."""
    series(racked)
    last = round((400 + 40 * plain(42)) * 10) * 100
    (piece,) = sawing.split(
        racked.shop,
        codes=[BOARD],
        pieces=[sawing.PieceDraft(meant_for="brace", mass_mg=200_000)],
        waste_mg=last - 200_000,
        hands=racked.hands("03"),
    )

    assert ahead(racked, piece) == "too few weighings to foretell: 1 of at least 3"


def test_the_curve_is_drawn_through_the_weighings(racked: Loft) -> None:
    """And on, as far as the likely day; asked for only where it is drawn."""
    series(racked)
    told = ahead(racked, with_curve=True)

    assert isinstance(told, Forecast) and found(racked).curve == ()
    days = [days_after(day) for day, _ in told.curve]
    assert days[0] == 0 and days[-1] >= days_after(told.likely)
    for day, mass in told.curve:
        truth = 400_000 + 40_000 * plain(days_after(day))
        assert mass == pytest.approx(truth, abs=400)


def words(latest: str | None = "2026-02-25") -> str:
    """Say a forecast on a day of February."""
    told = Forecast(
        likely="2026-02-14",
        earliest="2026-02-09",
        latest=latest,
        within_ppm=2_000,
        left_ppm=3_000,
        end_mass_mg=400_000,
        u_end_mass_mg=100,
        time_constant_seconds=86_400,
        u_time_constant_seconds=8_640,
        weighed=(("2026-01-05", 1),) * 6,
        curve=(),
        method=METHOD,
        warnings=(),
    )
    return forecast_words(told, today="2026-02-20")


def test_a_forecast_is_said_in_one_line() -> None:
    """With its interval, and on how many weighings it rests."""
    assert words() == (
        "at rest about 2026-02-14, between 02-09 and 02-25 (k = 2), from 6 weighings, "
        "if the air stays as it is"
    )
    assert words(latest="2026-02-19").startswith("at rest since about 2026-02-14, betw")
    assert "between 02-09 and 2027-01-02 (k" in words(latest="2027-01-02")
    assert words(latest=None).startswith(
        "at rest about 2026-02-14, not before 2026-02-09, and how much later nobody can"
    )


@pytest.mark.parametrize(
    ("masses", "step"),
    [
        ((440_000, 425_000, 410_000), 5_000),
        ((440_100, 425_300), 100),
        ((440_150, 425_300), 50),
        ((440_123, 425_300), 1),
        ((440_000, 430_000), 10_000),
    ],
)
def test_the_masses_show_the_step_of_their_balance(
    masses: tuple[int, ...], step: int
) -> None:
    """The coarsest that all of them are multiples of."""
    assert balance_step_mg(masses) == step
