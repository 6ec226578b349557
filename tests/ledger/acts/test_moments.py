"""A clock that can be right, and a time that something can have happened."""

from dataclasses import replace
from datetime import timedelta

import pytest

from ledger.acts import clock, moments
from ledger.acts.shop import said_at
from ledger.errors import RefusedError
from ledger.log.entry import at_text, parse_record
from tests.skerrymoor import Loft


def founded(loft: Loft) -> str:
    """Return when the shop was founded."""
    return str(parse_record(loft.shop.store.record(0)).entry.at)


@pytest.mark.parametrize(
    ("happened_at", "why"),
    [
        ("noon", "is no time such as"),
        ("2099-01-01T00:00:00Z", "is still to come"),
        ("1950-01-01T00:00:00Z", "is before this shop was founded, 2026-01-05"),
        ("2026-01-05T08:00:59Z", "is before this shop was founded, 2026-01-05"),
    ],
)
def test_nothing_happened_before_the_shop_was_there(
    loft: Loft, happened_at: str, why: str
) -> None:
    """Nor at no time, nor in the time to come."""
    with pytest.raises(RefusedError, match=why):
        said_at(loft.shop, happened_at)


def test_the_moment_of_the_founding_is_none_before_it(loft: Loft) -> None:
    """From then on everything may be said late."""
    late = said_at(loft.shop, founded(loft))

    assert late.beside.happened_at == founded(loft)


def test_a_founding_by_a_false_clock_forbids_no_time(loft: Loft) -> None:
    """Where somebody doubts it, nobody knows what was before."""
    at = founded(loft)
    clock.doubt(loft.shop, since=at, until=at, hands=loft.hands("01", "12"))

    assert said_at(loft.shop, "2026-01-04T08:00:00Z").beside.happened_at is not None


def test_a_long_pause_and_a_step_back_are_asked_about(loft: Loft) -> None:
    """Up to the limit nobody asks."""
    now = loft.clock.moment
    moments.require_no_pause(now, now + moments.LONGEST_PAUSE)
    moments.require_no_step_back(now, now - moments.SMALL_STEP_BACK)
    with pytest.raises(RefusedError, match="31 days later; look at the clock"):
        moments.require_no_pause(
            now, now + moments.LONGEST_PAUSE + timedelta(seconds=1)
        )
    with pytest.raises(
        RefusedError, match=f"before the newest entry of {at_text(now)}"
    ):
        moments.require_no_step_back(
            now, now - moments.SMALL_STEP_BACK - timedelta(seconds=1)
        )


def test_whoever_looked_at_the_clock_is_not_asked_again(loft: Loft) -> None:
    """The pause is confirmed once for the whole turn."""
    loft.clock.moment += timedelta(days=40)
    with pytest.raises(RefusedError, match="--after-pause"):
        loft.supplier()
    loft.shop = replace(loft.shop, pause_confirmed=True)

    assert loft.supplier()
