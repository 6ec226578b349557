"""The air of rooms as a hygrometer shows it: entered, or refused as none of a room."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import rooms
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.events.codec import Beside
from tests.skerrymoor import Loft


def measure(loft: Loft, **facts: Any) -> None:
    """Enter the air of the crib."""
    told: dict[str, Any] = {
        "room": "crib",
        "temperature_millikelvin": 294_150,
        "humidity_ppm": 450_000,
        "hands": loft.hands("02"),
    }
    rooms.measure_room(loft.shop, **(told | facts))


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"room": ""}, "the room has 1 to 200 characters"),
        ({"room": "a\nb"}, "the room has 1 to 200 characters"),
        ({"room": "crib\u202e"}, "cannot be written"),
        ({"temperature_millikelvin": 253_149}, "is no air of a room: look whether"),
        ({"temperature_millikelvin": 341_150}, "Celsius or Fahrenheit"),
        ({"temperature_millikelvin": -1}, "is no air of a room"),
        ({"humidity_ppm": 0}, "read the hygrometer again"),
        ({"humidity_ppm": 44_000}, r"^4\.4.%RH is no air of a room: read the hyg"),
        ({"humidity_ppm": 1_000_000}, "read the hygrometer again"),
        ({"humidity_ppm": -1}, "read the hygrometer again"),
        ({"humidity_ppm": 960_000}, "holds up to 95 %RH, and 96 %RH lies outside"),
        ({"temperature_millikelvin": 268_150}, "and -5 °C lies outside"),
    ],
)
def test_air_that_no_room_has_is_not_entered(
    loft: Loft, facts: dict[str, Any], said: str
) -> None:
    """68 °F read as Celsius would be one; nor air that says nothing about wood."""
    size = loft.shop.store.head().size
    with pytest.raises(LedgerError, match=said):
        measure(loft, **facts)

    assert loft.shop.store.head().size == size


def test_air_is_measured_by_whoever_works_in_it(loft: Loft) -> None:
    """The office is not asked."""
    for badge in ("01", "02", "03", "10"):
        measure(loft, hands=loft.hands(badge))
    with pytest.raises(RefusedError, match=r"entering the air of a room needs"):
        measure(loft, hands=loft.hands("12"))

    assert audit(loft.shop).findings == ()


@pytest.mark.parametrize(
    ("fahrenheit", "humidity", "percent"),
    [(70, 45, 8.5), (70, 50, 9.2), (70, 65, 12.0), (50, 50, 9.5), (90, 30, 5.9)],
)
def test_the_moisture_of_air_is_the_handbook_s(
    fahrenheit: int, humidity: int, percent: float
) -> None:
    """Source: Wood Handbook, FPL-GTR-190, table 4-2, to its tenth of a percent."""
    found = rooms.emc_ppm(
        temperature_millikelvin=round((fahrenheit - 32) * 5000 / 9 + 273_150),
        humidity_ppm=humidity * 10_000,
    )

    assert found / 10_000 == pytest.approx(percent, abs=0.1)


def test_nothing_late_changes_what_was_read_before(loft: Loft) -> None:
    """A claim of when something happened stands beside the day it was entered."""
    shop = replace(loft.shop, beside=Beside(happened_at="2026-01-04T10:00:00Z"))
    air = rooms.measure_room(
        shop,
        room="crib",
        temperature_millikelvin=294_150,
        humidity_ppm=450_000,
        hands=loft.hands(),
    )

    assert air.entry.event["happened_at"] == "2026-01-04T10:00:00Z"
    assert air.entry.at.startswith("2026-01-05")
    assert air.emc_ppm == pytest.approx(84_700, abs=200)
