"""Tests of the air over weeks: means by time, gaps, and the moisture it gives."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.wood.air import (
    DAY,
    AirSeries,
    air_series,
    daily,
    longest_step,
    moistures,
    trailing_mean,
    usual_step,
    weights,
)
from ledger.wood.moisture import equilibrium_moisture

HOUR = 3600.0


def series(seconds: list[float], warm: list[float], damp: list[float]) -> AirSeries:
    """Return readings of days that begin at nought."""
    days = [int(each // DAY) for each in seconds]
    return air_series(seconds=seconds, day=days, temperature=warm, humidity=damp)


def test_readings_count_for_the_time_they_stand_for() -> None:
    """Ten dry minutes by the minute weigh no more than one damp reading of an hour."""
    seconds = [60.0 * n for n in range(11)] + [4200.0, 7800.0]
    found = weights(np.array(seconds))

    assert found[:10] == pytest.approx([60.0] * 10)
    assert found[10:] == pytest.approx([30 + 1800, 3600, 1800 + 30])


def test_a_gap_counts_for_nothing() -> None:
    """A logger that slept two days stands for its own hour at both ends."""
    seconds = np.array([0, 1, 2, 50, 51, 52]) * HOUR

    assert usual_step(seconds) == HOUR
    assert longest_step(HOUR) == 3 * HOUR
    assert weights(seconds) == pytest.approx([HOUR] * 6)


@given(
    st.lists(st.tuples(st.floats(0, 40), st.floats(0, 0.95)), min_size=1, max_size=60)
)
def test_many_readings_are_each_worked_out_like_one(
    air: list[tuple[float, float]],
) -> None:
    """The equation gives the same for a whole log and reading by reading."""
    warm, damp = [each[0] for each in air], [each[1] for each in air]
    found = moistures(series([HOUR * n for n in range(len(air))], warm, damp))

    assert found == pytest.approx(
        [equilibrium_moisture(temperature=t, humidity=h) for t, h in air]
    )


def test_a_day_is_told_with_its_extremes_and_its_longest_gap() -> None:
    """Two days by the hour, the second of them with a hole of five hours."""
    hours = [n for n in range(48) if not 30 <= n < 34]
    found = daily(
        series(
            [HOUR * n for n in hours],
            [20.0 if n < 24 else 22.0 for n in hours],
            [0.40 + 0.10 * (n % 24 == 12) for n in hours],
        )
    )

    assert [day.readings for day in found] == [24, 20]
    assert [day.temperature for day in found] == pytest.approx([20, 22])
    assert found[0].humidity == pytest.approx(0.40 + 0.10 / 24)
    assert (found[0].driest, found[0].dampest) == (0.40, 0.50)
    assert [day.longest_gap for day in found] == [HOUR, 5 * HOUR]
    assert found[0].moisture == pytest.approx(
        (
            23 * equilibrium_moisture(temperature=20, humidity=0.4)
            + equilibrium_moisture(temperature=20, humidity=0.5)
        )
        / 24
    )


def test_frost_and_fog_have_no_moisture() -> None:
    """Where the equation does not hold a day says nothing, and others are not moved."""
    found = daily(series([0, DAY, DAY + HOUR], [-10.0, 20.0, 20.0], [0.5, 0.45, 0.99]))

    assert found[0].moisture is None
    assert found[1].moisture == pytest.approx(8.485, abs=1e-3)
    assert found[1].humidity > 0.45


def test_thin_wood_follows_the_hour_and_thick_wood_the_mean() -> None:
    """After a month at 40 % and a day at 60 %, the spans tell different moistures."""
    hours = range(31 * 24)
    damp = [0.40 if n < 30 * 24 else 0.60 for n in hours]
    log = series([HOUR * n for n in hours], [20.0] * len(damp), damp)
    end = HOUR * (31 * 24 - 1)
    thin = trailing_mean(log, span=HOUR * 12, until=end)
    thick = trailing_mean(log, span=30 * DAY, until=end)
    dry, wet = (
        equilibrium_moisture(temperature=20, humidity=each) for each in (0.40, 0.60)
    )

    assert thin.moisture.value == pytest.approx(wet)
    assert thick.moisture.value == pytest.approx(dry + (wet - dry) / 30)
    assert thick.moisture.u == 1.0
    assert thick.covered == pytest.approx(1)


def test_a_log_too_short_for_a_span_tells_no_mean_of_it() -> None:
    """Two days are no month."""
    log = series([HOUR * n for n in range(48)], [20.0] * 48, [0.45] * 48)

    with pytest.raises(RefusedError, match=r"holds 2\.0 of the last 30 days"):
        trailing_mean(log, span=30 * DAY, until=HOUR * 47)


@pytest.mark.parametrize("seconds", [[], [0.0, 0.0], [1.0, 0.0]])
def test_readings_must_be_there_and_in_order(seconds: list[float]) -> None:
    """Nothing, the same moment twice, and time that runs back are refused."""
    with pytest.raises(RefusedError, match="of the air"):
        series(seconds, [20.0] * len(seconds), [0.45] * len(seconds))
