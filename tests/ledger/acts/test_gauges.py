"""Gauges are listed, compared with better ones, and tell what they touched."""

from typing import Any

import pytest

from ledger.acts import gauges, measuring, metering
from ledger.audit import audit
from ledger.craft.wares import Measures
from ledger.errors import LedgerError
from ledger.events import GaugeCalibrated, StepSigned
from tests.skerrymoor import Loft

SERIAL = "26-0001-8"
HALF = "L26-001-01.A"


def added(
    loft: Loft,
    what: str = "dial caliper",
    measures: Measures = "length",
    mark: str | None = "SN 4471",
    badge: str = "03",
) -> str:
    """Put a gauge on the list."""
    return gauges.add_gauge(
        loft.shop, what=what, measures=measures, mark=mark, hands=loft.hands(badge)
    )


def calibrated(loft: Loft, code: str = "G26-001", **facts: Any) -> int:
    """Record a calibration; return its entry."""
    told = {"on": "2026-01-05", "outcome": "good"} | facts
    event = GaugeCalibrated(gauge=code, **told)
    return gauges.calibrate(loft.shop, event, loft.hands("03")).index


def test_a_gauge_is_listed_once_with_its_mark(loft: Loft) -> None:
    """Two of a name are told apart by what stands on them."""
    assert added(loft) == "G26-001"
    assert added(loft, mark="SN 4472") == "G26-002"
    with pytest.raises(LedgerError, match="is gauge G26-001 already"):
        added(loft)
    with pytest.raises(LedgerError, match=r"listing a gauge needs the role lead or"):
        added(loft, mark="SN 9", badge="12")


@pytest.mark.parametrize(
    ("facts", "why"),
    [
        ({"code": "G26-009"}, "there is no gauge G26-009"),
        ({"on": "2026-01-06"}, "still to come, and today is 2026-01-05"),
        ({"until": "2026-01-04"}, "2026-01-05 cannot hold until 2026-01-04"),
        (
            {"outcome": "failed", "until": "2026-02-04"},
            "failed on 2026-01-05, so that it holds until no day",
        ),
        ({"document": "D26-0009"}, "there is no document D26-0009"),
    ],
)
def test_a_calibration_that_cannot_be_is_refused(
    loft: Loft, facts: dict[str, Any], why: str
) -> None:
    """In one sentence, and nothing is recorded."""
    added(loft)
    size = loft.shop.store.head().size
    with pytest.raises(LedgerError, match=why):
        calibrated(loft, **facts)

    assert loft.shop.store.head().size == size


@pytest.mark.parametrize(
    ("outcomes", "since"),
    [
        ([], None),
        (["good"], None),
        (["failed"], ""),
        (["good", "adjusted", "failed"], "2026-01-02"),
        (["good", "failed", "failed"], "2026-01-01"),
        (["good", "failed", "adjusted"], None),
    ],
)
def test_what_failed_may_be_wrong_since_it_was_last_right(
    loft: Loft, outcomes: list[str], since: str | None
) -> None:
    """Until somebody finds it right again."""
    added(loft)
    for day, outcome in enumerate(outcomes, start=1):
        calibrated(loft, on=f"2026-01-{day:02d}", outcome=outcome)
    with loft.shop.store.reading() as session:
        told = gauges.tell(session, "G26-001")

    assert told.wrong_since == since
    assert len(told.calibrations) == len(outcomes)


def test_a_gauge_tells_the_steps_it_measured(certified: Loft) -> None:
    """Since a day, if one is said."""
    code = added(certified)
    step = StepSigned(serial=SERIAL, step="brace", meaning="assisted", gauges=(code,))
    index = certified.say(step, "03").index
    with certified.shop.store.reading() as session:
        told = gauges.tell(session, code)
        later = gauges.tell(session, code, since="2026-01-06")
        with pytest.raises(LedgerError, match="'soon' is no day"):
            gauges.tell(session, code, since="soon")

    assert [(use.serial, use.idx) for use in told.steps] == [(SERIAL, index)]
    assert later.steps == ()


@pytest.mark.parametrize("name", ["G26-001", "bench scale", "SN 4471"])
def test_a_scale_tells_the_boards_it_weighed_by_code_name_or_mark(
    supplied: Loft, name: str
) -> None:
    """And none that lay on another."""
    supplied.number(supplied.receive())
    code = added(supplied, "bench scale", "mass")
    for scale in (name, "another scale"):
        measuring.weigh(
            supplied.shop,
            HALF,
            mass_mg=205_000,
            scale=scale,
            hands=supplied.hands("03"),
        )
    with supplied.shop.store.reading() as session:
        told = gauges.tell(session, code)

    (row,) = told.weighings
    assert row.board == HALF
    assert audit(supplied.shop).findings == ()


def test_a_meter_tells_the_boards_it_was_put_to(supplied: Loft) -> None:
    """By the name that was written with the reading."""
    supplied.number(supplied.receive())
    code = added(supplied, "pin meter", "moisture")
    for meter in ("pin meter", "another meter"):
        metering.meter(
            supplied.shop,
            HALF,
            reading_ppm=82_000,
            temperature_millikelvin=294_150,
            meter=meter,
            setting="spruce",
            hands=supplied.hands("03"),
        )
    with supplied.shop.store.reading() as session:
        (row,) = gauges.tell(session, code).meterings

    assert (row.board, row.meter) == (HALF, "pin meter")


def test_what_is_due_is_told_with_its_reason(loft: Loft) -> None:
    """Never compared, failed, ended, or ending soon; the rest is left out."""
    for number in range(1, 6):
        added(loft, mark=f"SN {number}")
    calibrated(loft, "G26-002", outcome="failed")
    calibrated(loft, "G26-003", on="2025-01-05", until="2026-01-04")
    calibrated(loft, "G26-004", until="2026-02-04")
    calibrated(loft, "G26-005", until="2026-02-05")
    with loft.shop.store.reading() as session:
        rows = gauges.due(session, today="2026-01-05", within_days=30)

    assert {row.gauge.gauge: row.why for row in rows} == {
        "G26-001": "never compared with a better one",
        "G26-002": "failed on 2026-01-05",
        "G26-003": "ended on 2026-01-04",
        "G26-004": "ends on 2026-02-04",
    }


def test_a_calibration_is_of_this_age(loft: Loft) -> None:
    """It may be older than the shop, and not older than anybody in it."""
    code = added(loft)
    with pytest.raises(LedgerError, match="1850-01-01 is before 1900, and no gauge"):
        calibrated(loft, code, on="1850-01-01")

    assert calibrated(loft, code, on="2025-12-01")
