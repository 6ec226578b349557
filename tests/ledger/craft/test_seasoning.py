"""Rest: a board is ready, or every reason is told and a day that can be kept."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.policy import HousePolicy, first_house_policy, house_policy
from ledger.craft.room import Air
from ledger.craft.seasoning import (
    Rested,
    Verdict,
    is_ready,
    is_steady,
    last_steady,
    ready_words,
    spread_ppm,
    when_words,
)

FIRST = house_policy(first_house_policy())
GOOD_AIR = Air(day="2026-06-01", humidity_ppm=450_000, emc_ppm=85_000)
# Came in half a year ago, weighed on the last three Mondays.
READY = Rested(
    woods=(("Picea abies", "2025-12-01"),),
    weighings=(
        ("2026-05-18", 205_000),
        ("2026-05-25", 205_100),
        ("2026-06-01", 205_200),
    ),
    moisture_ppm=82_000,
    air=GOOD_AIR,
)
TODAY = "2026-06-01"


def judged(board: Rested = READY, today: str = TODAY, **limits: Any) -> Verdict:
    """Judge a board on a day under the first limits, or some that differ."""
    return is_ready(board, today=today, policy=replace(FIRST, **limits))


def after(day: str, span: int) -> str:
    """Return the day so many days later."""
    return (date.fromisoformat(day) + timedelta(days=span)).isoformat()


def masses(*grams: int, first: str = "2026-05-18", apart: int = 7) -> Any:
    """Return weighings [mg] so many days apart."""
    return tuple((after(first, n * apart), g * 1000) for n, g in enumerate(grams))


def test_wood_that_rested_and_is_steady_is_ready() -> None:
    """The answer is yes, and says since when it would have been better still."""
    verdict = judged()

    assert verdict
    assert verdict.reasons == ()
    assert (verdict.earliest, verdict.preferred) == (TODAY, "2026-05-30")


@pytest.mark.parametrize(
    ("species", "since", "least", "better"),
    [
        # Worked by hand on a calendar; 2028 and 2000 have a 29 February, 2100 not.
        ("Picea abies", "2026-11-24", "2027-02-22", "2027-05-23"),
        ("Picea abies", "2027-12-01", "2028-02-29", "2028-05-29"),
        ("Picea abies", "2028-02-29", "2028-05-29", "2028-08-27"),
        ("Acer rubrum", "2027-03-01", "2028-02-29", "2029-02-28"),
        ("Acer rubrum", "2028-02-29", "2029-02-28", "2030-02-28"),
        ("Ebony unknown", "2099-03-01", "2100-03-01", "2101-03-01"),
        ("Diospyros crassiflora", "1999-02-28", "2001-02-27", "2002-02-27"),
    ],
)
def test_days_of_rest_are_counted_on_the_calendar(
    species: str, since: str, least: str, better: str
) -> None:
    """Over leap days and turns of the century; the last day is inclusive."""
    board = replace(READY, woods=((species, since),), weighings=())
    last = judged(board, after(least, -1), weighings=0, fresh_days=0)
    then = judged(board, least, weighings=0, fresh_days=0)

    assert (last.earliest, last.preferred) == (least, better)
    assert not last and then
    assert last.reasons[0].startswith("rested ")


def test_the_first_monday_s_question_is_answered() -> None:
    """When ready? The day, the better day, and how many weighings are to come."""
    board = Rested(
        woods=(("Picea abies", "2025-11-24"),),
        weighings=(),
        moisture_ppm=None,
        air=Air(day="2025-11-24", humidity_ppm=450_000, emc_ppm=85_000),
    )
    verdict = judged(board, "2025-11-24")

    assert verdict.reasons == (
        "rested 0 of 90\u2009days",
        "3 of 3 steady weighings still to come, 7\u2009days apart",
    )
    assert (verdict.earliest, verdict.preferred) == ("2026-02-22", "2026-05-23")


def test_wood_glued_of_two_rests_as_both() -> None:
    """Ebony that lay for years is not made young by spruce that came in today."""
    old_ebony = ("Diospyros crassiflora", "2023-01-01")
    new_spruce = ("Picea abies", "2026-05-01")
    both = judged(replace(READY, woods=(old_ebony, new_spruce)))
    other = judged(replace(READY, woods=(("Diospyros crassiflora", "2026-01-01"),)))

    assert both.reasons == ("Picea abies rested 31 of 90\u2009days",)
    assert both.earliest == "2026-07-30"
    assert other.earliest == "2028-01-01"


def test_a_clock_that_stands_back_makes_no_days_below_none() -> None:
    """Wood cannot have rested less than not at all."""
    verdict = judged(replace(READY, woods=(("Picea abies", "2026-06-02"),)))

    assert verdict.reasons == ("rested 0 of 90\u2009days",)


@pytest.mark.parametrize(
    ("weighed", "missing", "earliest"),
    [
        ((), 3, "2026-06-15"),
        (masses(205), 2, "2026-06-08"),
        (masses(205, 205), 1, "2026-06-01"),
        (masses(205, first=TODAY), 2, "2026-06-15"),
        # The first two differ, so that only the last one is a beginning.
        (masses(215, 205), 2, "2026-06-08"),
        # Three times on a day is once.
        (masses(205, 205, 205, first=TODAY, apart=0), 2, "2026-06-15"),
        # One weighing too many on the 31st does not put off what the 25th promised.
        ((*masses(205, 205), ("2026-05-31", 205_000)), 1, "2026-06-01"),
    ],
)
def test_weighings_still_to_come_are_counted(
    weighed: Any, missing: int, earliest: str
) -> None:
    """With the day of the last one, if the scale shows the same from now on."""
    verdict = judged(replace(READY, weighings=weighed))

    assert verdict.reasons == (
        f"{missing} of 3 steady weighings still to come, 7\u2009days apart",
    )
    assert verdict.earliest == earliest


@pytest.mark.parametrize(
    ("weighed", "said", "earliest"),
    [
        (masses(205, 206, 206), "0.49", "2026-06-08"),
        (masses(205, 205, 206), "0.49", "2026-06-15"),
        (masses(206, 205, 204), "0.99", "2026-06-15"),
        # Down and up again is no rest either.
        (masses(205, 204, 205), "0.5", "2026-06-15"),
        # Old ones do not count against it once there are enough new ones.
        (masses(300, 205, 205, 206, first="2026-05-11"), "0.49", "2026-06-15"),
    ],
)
def test_a_mass_that_goes_up_or_down_is_not_steady(
    weighed: Any, said: str, earliest: str
) -> None:
    """How much is said, and the day by which the old masses can be outweighed."""
    verdict = judged(replace(READY, weighings=weighed))

    assert verdict.reasons == (
        f"the last 3 weighings differ by {said}\u2009%, more than 0.2\u2009%",
    )
    assert verdict.earliest == earliest


@pytest.mark.parametrize(
    ("lightest", "heaviest", "is_yes"),
    [(500_000, 501_000, True), (500_000, 501_001, False), (499_999, 501_000, False)],
)
def test_the_limit_itself_is_allowed_and_no_milligram_more(
    lightest: int, heaviest: int, is_yes: bool
) -> None:
    """0.2 % of half a kilogram is one gram."""
    weighed = (
        ("2026-05-18", lightest),
        ("2026-05-25", heaviest),
        ("2026-06-01", 500_500),
    )

    assert bool(judged(replace(READY, weighings=weighed))) is is_yes


def test_a_difference_above_the_limit_never_reads_as_the_limit() -> None:
    """One milligram too much is not told as 0.2 % being more than 0.2 %."""
    weighed = (
        ("2026-05-18", 500_000),
        ("2026-05-25", 501_001),
        ("2026-06-01", 500_500),
    )

    (reason,) = judged(replace(READY, weighings=weighed)).reasons
    assert "0.21\u2009%, more than 0.2\u2009%" in reason


@pytest.mark.parametrize(
    ("wanted", "weighed", "is_yes"),
    [
        (0, (), True),
        (0, masses(205, 300), True),
        (1, (), False),
        (1, masses(300, 205), True),
        (2, masses(205, 205), True),
        (2, masses(205, 300), False),
    ],
)
def test_a_house_may_want_fewer_weighings(
    wanted: int, weighed: Any, is_yes: bool
) -> None:
    """None at all, or one that shows that the board was on the scale."""
    verdict = judged(replace(READY, weighings=weighed), weighings=wanted)

    assert bool(verdict) is is_yes


def test_weighings_may_lie_on_one_day_where_the_house_says_so() -> None:
    """Apart by nothing, each of them counts."""
    weighed = masses(205, 205, 205, first=TODAY, apart=0)

    assert judged(replace(READY, weighings=weighed), apart_days=0)
    assert not judged(replace(READY, weighings=weighed[:2]), apart_days=0)


@pytest.mark.parametrize(
    ("moisture", "said"),
    [
        (None, ""),
        (100_000, ""),
        (70_000, ""),
        (100_001, "moisture 10.0\u2009% is 1.5\u2009% above the 8.5\u2009%"),
        (62_000, "moisture 6.2\u2009% is 2.3\u2009% below the 8.5\u2009%"),
    ],
)
def test_wood_rests_near_the_moisture_of_its_air(
    moisture: int | None, said: str
) -> None:
    """Above or below by no more than the house allows."""
    verdict = judged(replace(READY, moisture_ppm=moisture))

    assert bool(verdict) is (not said)
    assert "; ".join(verdict.reasons).startswith(said)


def test_where_no_air_tells_a_moisture_none_is_compared() -> None:
    """In frost no equation holds; the room's own limits still do."""
    frost = Air(day=TODAY, humidity_ppm=450_000, emc_ppm=None)

    assert judged(replace(READY, air=frost))
    assert judged(replace(READY, air=None), fresh_days=0)


@pytest.mark.parametrize(
    ("air", "said"),
    [
        (None, "nobody has measured the room's air yet"),
        (replace(GOOD_AIR, day="2026-05-25"), ""),
        (replace(GOOD_AIR, day="2026-05-24"), "last measured on 2026-05-24, more than"),
        (replace(GOOD_AIR, day="1999-01-01"), "last measured on 1999-01-01, more than"),
        (replace(GOOD_AIR, humidity_ppm=400_000), ""),
        (replace(GOOD_AIR, humidity_ppm=500_000), ""),
        (replace(GOOD_AIR, humidity_ppm=399_999), "outside 40\u2009% to 50\u2009%RH"),
        (replace(GOOD_AIR, humidity_ppm=740_000), "was at 74\u2009%RH on 2026-06-01"),
    ],
)
def test_the_room_was_looked_at_and_was_dry_enough(air: Air | None, said: str) -> None:
    """A week ago at most; where no day is fresh, nobody asks."""
    verdict = judged(replace(READY, air=air))

    assert bool(verdict) is (not said)
    assert said in "; ".join(verdict.reasons)
    assert judged(replace(READY, air=air), fresh_days=0)


def test_every_reason_is_told_at_once() -> None:
    """Whoever waits for one of them meets no other one afterwards."""
    board = Rested(
        woods=(("Picea abies", "2026-05-31"),),
        weighings=(),
        moisture_ppm=150_000,
        air=replace(GOOD_AIR, humidity_ppm=700_000),
    )

    assert len(judged(board).reasons) == 4


def test_a_verdict_is_said_in_one_line() -> None:
    """Each reason, and last the day; of wood that is ready only that it is."""
    wet = replace(READY, weighings=masses(205), moisture_ppm=110_000)

    assert ready_words(judged()) == "ready"
    assert ready_words(judged(wet)).replace("\u2009", " ") == (
        "2 of 3 steady weighings still to come, 7 days apart; moisture 11.0 % is 2.5 % "
        "above the 8.5 % that the room's air gives; earliest 2026-06-08"
    )
    assert when_words(judged()) == "earliest 2026-06-01"


@pytest.mark.parametrize("weighed", [(), masses(205), masses(205, 206, 207)])
def test_the_last_days_of_the_calendar_stop_nobody(weighed: Any) -> None:
    """A year mistyped as 9999 is a long wait; no day is promised beyond the last."""
    woods = (("Picea abies", "9999-12-01"),)
    board = replace(READY, woods=woods, weighings=weighed, air=None)

    for today in (TODAY, "9999-12-30"):
        verdict = judged(board, today)
        assert not verdict and verdict.earliest == verdict.preferred == "9999-12-31"


WEIGHED = st.lists(
    st.tuples(st.integers(-60, 0), st.sampled_from([205_000, 205_100, 206_000])),
    max_size=9,
).map(lambda rows: tuple((after(TODAY, day), mass) for day, mass in sorted(rows)))
POLICIES = st.builds(
    lambda wanted, apart, least: replace(
        FIRST,
        weighings=wanted,
        apart_days=apart,
        rest=(),
        others=replace(FIRST.others, least_days=least),
    ),
    st.integers(0, 5),
    st.integers(0, 30),
    st.integers(0, 120),
)


@given(WEIGHED, POLICIES, st.integers(-100, 0))
def test_the_day_promised_can_be_kept(
    weighed: Any, policy: HousePolicy, since: int
) -> None:
    """On it the rule says yes, if the board is weighed on the days that count."""
    board = replace(
        READY, woods=(("Picea abies", after(TODAY, since)),), weighings=weighed
    )
    promised = str(is_ready(board, today=TODAY, policy=policy).earliest)

    over = after(TODAY, since + policy.others.least_days)
    counts = sorted({after(day, policy.apart_days) for day, _ in weighed})
    mass = weighed[-1][1] if weighed else 205_000

    def is_kept(day: str) -> bool:
        """Tell whether some weighings from today on make the board ready that day.

        Where its rest ends, the last may have been earlier.
        """
        lasts = [day, *(d for d in counts if day == over and TODAY <= d < day)]
        nth = range(policy.weighings)
        ends = [[after(d, -policy.apart_days * n) for n in nth] for d in lasts]
        plans = [[d for d in e[:n] if d >= TODAY] for e in ends for n in range(6)]
        aired = replace(board, air=replace(GOOD_AIR, day=day))
        rows = [(*weighed, *((d, mass) for d in reversed(plan))) for plan in plans]
        boards = (replace(aired, weighings=each) for each in rows)
        return any(is_ready(each, today=day, policy=policy) for each in boards)

    days = (after(TODAY, n) for n in range(270))

    assert promised == next(day for day in days if is_kept(day))


@given(WEIGHED, st.integers(0, 30))
def test_the_weighings_that_count_lie_apart(weighed: Any, apart: int) -> None:
    """They are some of those given, in their order, and the newest is among them."""
    kept = last_steady(weighed, apart_days=apart)
    gaps = [after(a, apart) <= b for (a, _), (b, _) in pairwise(kept)]

    assert all(gaps)
    assert kept[-1:] == weighed[-1:]
    assert all(row in weighed for row in kept)
    assert bool(kept) is bool(weighed)
    assert last_steady(weighed, apart_days=apart, most=2) == kept[-2:]


@given(st.lists(st.integers(1, 10**9), min_size=1))
def test_a_spread_is_never_told_too_small(grams: list[int]) -> None:
    """Rounded up, by less than one part in a million."""
    spread = spread_ppm([("2026-01-05", mass) for mass in grams])
    exact = (max(grams) - min(grams)) * 1_000_000

    assert (spread - 1) * min(grams) < exact <= spread * min(grams)


def test_steadiness_is_asked_alone_as_well() -> None:
    """As of a board whose pieces rest on its weighings."""
    assert is_steady(READY.weighings, FIRST)
    assert not is_steady(READY.weighings[:2], FIRST)
    assert is_steady((), replace(FIRST, weighings=0))
