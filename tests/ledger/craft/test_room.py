"""The air of a room in words: once read, or over how many days."""

from dataclasses import replace

import pytest

from ledger.craft.room import Air, air_words, giving_words

ONE = Air(day="2026-06-01", humidity_ppm=450_000, emc_ppm=85_000)
MEAN = replace(ONE, room="crib", over_days=7, kept_days=7)


@pytest.mark.parametrize(
    ("air", "said"),
    [
        (ONE, "the room was at 45 %RH on 2026-06-01"),
        (MEAN, "the crib averaged 45 %RH over 7 days to 2026-06-01"),
        (
            replace(MEAN, kept_days=4),
            "the crib averaged 45 %RH over 4 of 7 days to 2026-06-01",
        ),
        (
            replace(MEAN, over_days=1, kept_days=1, humidity_ppm=438_000),
            "the crib averaged 43.8 %RH over 1 day to 2026-06-01",
        ),
    ],
)
def test_the_air_of_a_room_says_what_it_is(air: Air, said: str) -> None:
    """One reading, or a mean and how much of its days was measured."""
    assert air_words(air).replace("\u2009", " ") == said


def test_what_gives_wood_its_moisture_is_said() -> None:
    """Today's air gives it, and that of the days before gave it."""
    assert giving_words(ONE) == "the room's air gives"
    assert giving_words(replace(MEAN, kept_days=5)).replace("\u2009", " ") == (
        "the crib's air gave over 5 of 7 days to 2026-06-01"
    )
