"""Batches and gauges tell the steps they had a part in, as far as these count."""

from dataclasses import replace

from ledger.events import BoardMetered, Event, MaterialReceived, StepSigned
from ledger.views.usage import (
    batches_in,
    meterings_by,
    uses_of_batch,
    uses_of_gauge,
)
from tests.ledger.views.forests import begun, board, grown, lot, strike

SERIAL = "26-0001-8"
STEP = StepSigned(
    serial=SERIAL,
    step="brace",
    meaning="did",
    materials=("M26-001", "M26-002"),
    gauges=("G26-001",),
)


def metered(meter: str) -> BoardMetered:
    """Return the saying that a meter was put to the first board."""
    return BoardMetered(
        board=board(1, 1),
        meter=meter,
        setting="spruce",
        reading_ppm=80_000,
        temperature_millikelvin=294_150,
        moisture_ppm=80_000,
        rule="as read",
    )


def test_a_step_is_told_of_each_batch_and_gauge_until_it_is_struck() -> None:
    """Two batches of one step are told one by one."""
    events: list[Event] = [begun(), STEP]
    for said, count in ((events, 1), ([*events, strike(1)], 0)):
        with grown(said) as session:
            for batch in ("M26-001", "M26-002"):
                assert len(uses_of_batch(session, batch)) == count
            assert len(uses_of_gauge(session, "G26-001")) == count
            assert uses_of_batch(session, "M26-003") == []


def test_a_batch_is_in_an_instrument_once_a_step_took_of_it() -> None:
    """Not from the day on which it came; struck later it was in it before."""
    shell = MaterialReceived(
        batch="M26-001", what="shell", use="shell", received_on="2026-01-05"
    )
    step = replace(STEP, materials=("M26-001",))
    with grown([shell, begun(), step, strike(2)]) as session:
        found = [batches_in(session, [SERIAL], ["shell"], at=at) for at in (1, 2, 3)]

        assert [[row.batch for row in rows] for rows in found] == [[], ["M26-001"], []]
        assert batches_in(session, [SERIAL], ["shell"]) == []


def test_what_a_gauge_measured_before_a_day_is_left_out() -> None:
    """The day itself counts."""
    with grown([begun(), STEP]) as session:
        assert len(uses_of_gauge(session, "G26-001", since="2026-01-05")) == 1
        assert uses_of_gauge(session, "G26-001", since="2026-01-06") == []


def test_meters_are_found_by_the_names_they_were_written_with() -> None:
    """Each name that is asked for, and no other."""
    events: list[Event] = [*lot(1, 1), metered("pin"), metered("G26-001")]
    events += [metered("other")]
    with grown(events) as session:
        rows = meterings_by(session, ["pin", "G26-001"])

        assert [row.meter for row in rows] == ["pin", "G26-001"]
        assert meterings_by(session, ["pin"], since="2026-01-06") == []
