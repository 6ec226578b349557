"""A moisture meter put to a board: the reading stays raw, the rule works on it."""

from typing import Any

import pytest

from ledger.acts import corrections, metering
from ledger.acts.plausible import UnlikelyError
from ledger.audit import audit
from ledger.errors import LedgerError
from ledger.events import GaugeListed
from ledger.views.boards import Board
from ledger.views.measures import meterings_of
from ledger.wood.meter import AS_READ, RULE
from tests.skerrymoor import Loft

HALF = "L26-001-01.A"


@pytest.fixture
def numbered(loft: Loft) -> Loft:
    """Give a shop with one set of spruce."""
    loft.supplier()
    loft.number(loft.receive())
    return loft


def read(loft: Loft, **facts: Any) -> metering.Metered:
    """Put the meter to one half."""
    told: dict[str, Any] = {
        "code": HALF,
        "reading_ppm": 84_000,
        "temperature_millikelvin": 293_150,
        "meter": "pin meter 2",
        "setting": "SPRUCE",
        "hands": loft.hands("02"),
    } | facts
    return metering.meter(loft.shop, told.pop("code"), **told)


def test_the_reading_stays_as_it_was_read(numbered: Loft) -> None:
    """What it comes to stands beside it, with the name of the rule."""
    done = read(numbered, temperature_millikelvin=308_150, reading_ppm=140_000)
    with numbered.shop.store.reading() as session:
        (row,) = meterings_of(session, HALF)
        board = session.get_one(Board, HALF)

    assert (row.reading_ppm, row.meter, row.setting) == (
        140_000,
        "pin meter 2",
        "SPRUCE",
    )
    assert (row.temperature_millikelvin, row.rule) == (308_150, RULE)
    # (14 + 0.567 - 0.0260 * 35 + 0.000051 * 35^2) / (0.881 * 1.0056^35), by hand.
    assert row.moisture_ppm == done.moisture_ppm == board.moisture_ppm
    assert row.moisture_ppm == pytest.approx(128_100, abs=100)
    assert done.warnings == ()
    assert audit(numbered.shop).findings == ()


def test_a_meter_that_was_set_to_the_temperature_is_not_corrected_again(
    numbered: Loft,
) -> None:
    """It is recorded as read, under a rule that says so."""
    done = read(numbered, temperature_millikelvin=308_150, is_compensated=True)

    assert (done.moisture_ppm, done.rule) == (84_000, AS_READ)


def test_what_a_meter_tells_little_of_is_doubted_aloud(numbered: Loft) -> None:
    """Below seven percent weighing is better; it is recorded all the same."""
    done = read(numbered, reading_ppm=61_000)

    assert "tells little below 7 %" in done.warnings[0]
    assert done.entry.kind == "board.metered/1"


@pytest.mark.parametrize(
    ("facts", "why"),
    [
        ({"reading_ppm": 0}, "0 % is no reading of a meter"),
        ({"reading_ppm": -10_000}, "is no reading of a meter"),
        ({"reading_ppm": 1_000_001}, "is no reading of a meter"),
        ({"temperature_millikelvin": 252_000}, "lies outside: let the wood come"),
        ({"temperature_millikelvin": 341_150}, "and 68 °C lies outside"),
        ({"temperature_millikelvin": 0}, "lies outside"),
        ({"meter": " "}, "the meter has 1 to 200 characters"),
        ({"setting": "a\nb"}, "the setting has 1 to 200 characters"),
        ({"reading_ppm": 450_000}, "above 30\u2009% wood is green"),
        ({"code": "L26-001-01"}, "is a set: scan the half"),
        ({"code": "L26-001-09"}, "there is no board L26-001-09"),
    ],
)
def test_what_no_meter_shows_is_not_recorded(
    numbered: Loft, facts: dict[str, Any], why: str
) -> None:
    """In one sentence; nothing is written."""
    size = numbered.shop.store.head().size
    with pytest.raises(LedgerError, match=why):
        read(numbered, **facts)

    assert numbered.shop.store.head().size == size


def test_green_wood_is_taken_as_read(numbered: Loft) -> None:
    """Whoever read it twice says so."""
    with pytest.raises(UnlikelyError, match="as-read"):
        read(numbered, reading_ppm=450_000)

    assert read(numbered, reading_ppm=450_000, as_read=True).moisture_ppm > 300_000


def test_a_struck_reading_counts_no_more(numbered: Loft) -> None:
    """The moisture before it is the board's again."""
    first, second = read(numbered), read(numbered, reading_ppm=120_000)
    corrections.correct(
        numbered.shop,
        second.entry.index,
        reason="set to another wood",
        hands=numbered.hands("02"),
    )
    with numbered.shop.store.reading() as session:
        board = session.get_one(Board, HALF)
        rows = meterings_of(session, HALF)

    assert board.moisture_ppm == first.moisture_ppm
    assert [row.idx for row in rows] == [first.entry.index]
    assert audit(numbered.shop).findings == ()


@pytest.mark.parametrize(
    ("scale", "why"),
    [
        (
            "G26-001",
            r"G26-001 .dial caliper. measures length and is no moisture meter: give",
        ),
        ("g26-001", "gauge G26-001 .*is no moisture meter"),
        ("G26-099", "there is no gauge G26-099: put it on the list"),
        (
            "M26-001",
            "M26-001 is a batch and no moisture meter: give the code of",
        ),
        ("L26-001", "L26-001 is a lot and no moisture meter"),
    ],
)
def test_what_is_no_meter_is_put_to_no_board(
    numbered: Loft, scale: str, why: str
) -> None:
    """A code is that of a meter of the list; a name in words stays as it is."""
    numbered.say(GaugeListed(gauge="G26-001", what="dial caliper", measures="length"))
    numbered.say(GaugeListed(gauge="G26-002", what="pin meter", measures="moisture"))
    size = numbered.shop.store.head().size
    with pytest.raises(LedgerError, match=why):
        read(numbered, meter=scale)

    assert numbered.shop.store.head().size == size
    assert read(numbered, meter="G26-002").entry.event["meter"] == "G26-002"
