"""Tests of moments: how loggers write them, and which figure is the day."""

from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts.airlog.times import DAY, EPOCH, clock_of, days_of
from ledger.errors import RefusedError

FORMS = [
    *("%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S", "%Y/%m/%d %H:%M:%S"),
    *("%d.%m.%Y %H:%M:%S", "%d.%m.%y %H:%M:%S", "%d-%b-%Y %H:%M:%S"),
    *("%d %B %Y %I:%M:%S %p", "%b %d, %Y %I:%M:%S %p", "%Y-%m-%d, %I:%M:%S%p"),
]


@given(st.datetimes(datetime(1990, 1, 1), datetime(2068, 12, 31)))  # noqa: DTZ001
def test_a_moment_is_read_in_each_form(moment: datetime) -> None:
    """Nine forms of one moment give the same day and the same second."""
    whole = moment.replace(microsecond=0)
    if whole.year >= 2000:
        forms = FORMS
    else:
        forms = [form for form in FORMS if "%y" not in form]
    for form in forms:
        found = clock_of(whole.strftime(form))

        assert found is not None
        day = days_of([found.day])[found.day]
        assert day == whole.date().toordinal() - EPOCH
        assert found.seconds == whole.hour * 3600 + whole.minute * 60 + whole.second


@pytest.mark.parametrize(
    ("text", "offset"),
    [
        ("2026-03-01T08:00Z", 0),
        ("2026-03-01 08:00 UTC", 0),
        ("2026-03-01T08:00+01:00", 3600),
        ("2026-03-01T08:00:00.123-0530", -19_800),
        ("2026-03-01 08:00", None),
    ],
)
def test_the_offset_is_kept_where_it_is_told(text: str, offset: int | None) -> None:
    """And it is absent where it is not, never nought."""
    found = clock_of(text)

    assert found is not None
    assert (found.day, found.seconds) == ("2026-03-01", 8 * 3600)
    assert found.offset_seconds == offset


def test_seconds_since_1970_are_universal_time() -> None:
    """1772352000 is 2026-03-01 08:00 UTC, with or without thousandths."""
    for text in ("1772352000", "1772352000123", "1772352000.5"):
        found = clock_of(text)

        assert found is not None
        assert (found.day, found.seconds) == ("2026-03-01", 8 * 3600)
        assert found.offset_seconds == 0


def test_midnight_and_noon_are_twelve() -> None:
    """12:30 am is half past midnight."""
    found = [clock_of(f"2026-03-01 12:30 {half}") for half in ("am", "PM", "a.m.")]

    assert [each and each.seconds for each in found] == [1800, 45_000, 1800]


@pytest.mark.parametrize("text", ["2026-03-01 25:00", "2026-03-01 8:61", "13:00 PM"])
def test_no_clock_shows_that(text: str) -> None:
    """A time of day that does not exist is none."""
    assert clock_of(text) is None


@pytest.mark.parametrize(
    ("texts", "first"),
    [
        (["03/04/2026", "13/04/2026"], date(2026, 4, 3)),
        (["03/04/2026", "03/13/2026"], date(2026, 3, 4)),
        (["03.04.2026"], date(2026, 4, 3)),
        (["03/04/2026", "04/04/2026", "05/04/2026"], date(2026, 4, 3)),
        (["03/04/2026", "03/05/2026", "03/06/2026"], date(2026, 3, 4)),
        (["99/99/2026", "03/04/2026", "04/04/2026"], date(2026, 4, 3)),
    ],
)
def test_the_whole_log_tells_which_figure_is_the_day(
    texts: list[str], first: date
) -> None:
    """A figure above 12 tells it, points do, and so do days that follow each other."""
    days = days_of(texts)
    text = next(text for text in texts if text in days)

    assert days[text] == first.toordinal() - EPOCH


def test_where_the_log_leaves_it_open_it_is_asked_about() -> None:
    """One day of it could be in March or in April."""
    with pytest.raises(RefusedError, match="two ways"):
        days_of(["03/04/2026"])
    assert days_of(["03/04/2026"], order="month-first") == {
        "03/04/2026": date(2026, 3, 4).toordinal() - EPOCH
    }
    with pytest.raises(RefusedError, match="no order of dates"):
        days_of(["03/04/2026"], order="year-first")


@pytest.mark.parametrize("text", ["30.02.2026", "2026-13-01", "1.1.1970", "1 foo 2026"])
def test_what_is_no_day_is_absent(text: str) -> None:
    """The 30th of February and a clock that was never set are no days."""
    assert days_of([text]) == {}
    assert DAY == 86_400
