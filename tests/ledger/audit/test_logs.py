"""Meters and room logs are worked out again; what differs is told, and is no damage."""

from typing import Any

import pytest

from ledger.acts import metering, roomlogs
from ledger.acts.copies import rebuild
from ledger.acts.roomlogs import HowRead
from ledger.audit import audit
from ledger.audit.findings import Finding
from ledger.audit.walk import ROLES
from ledger.log import attachments
from ledger.log.entry import parse_record
from tests.ledger.audit.tampering import appended
from tests.skerrymoor import Loft

HALF = "L26-001-01.A"
LOG = b"T2;Wann;rF\n" + b"".join(
    b"20,%d;0%d/01/2026 %02d:00;4%d,5\n" % (n % 10, 1 + n // 24, n % 24, n % 7)
    for n in range(72)
)
HOW = HowRead(
    columns={"temperature": "T2", "moment": "Wann"},
    units={"temperature": "C"},
    dates="day-first",
)


@pytest.fixture
def metered(loft: Loft) -> Loft:
    """Give a shop in which one half was metered in the cold."""
    loft.supplier()
    loft.number(loft.receive())
    metering.meter(
        loft.shop,
        HALF,
        reading_ppm=100_000,
        temperature_millikelvin=278_150,
        meter="pin meter 2",
        setting="SPRUCE",
        hands=loft.hands("02"),
    )
    return loft


@pytest.fixture
def logged(loft: Loft) -> Loft:
    """Give a shop with a room log of which somebody had to say how it is read."""
    roomlogs.log_room(loft.shop, room="crib", data=LOG, how=HOW, hands=loft.hands("02"))
    return loft


def retold(loft: Loft, change: dict[str, Any], day: dict[str, Any]) -> list[Finding]:
    """Say the newest entry again with something changed, and audit it."""
    newest = loft.shop.store.head().size - 1
    event = parse_record(loft.shop.store.record(newest)).entry.event | change
    if day:
        event["days"] = [event["days"][0] | day, *event["days"][1:]]
    appended(loft, event)
    rebuild(loft.shop)
    return readings(loft)


def readings(loft: Loft) -> list[Finding]:
    """Return what was found, all of which is open and about readings."""
    found = list(audit(loft.shop).findings)
    assert {finding.cause for finding in found} <= {"reading"}
    assert all(finding.is_open for finding in found)
    return found


def test_what_comes_out_the_same_is_no_finding(metered: Loft) -> None:
    """The same reading by the same rule."""
    assert readings(metered) == []


def test_a_log_is_read_again_as_it_was_read_that_day(logged: Loft) -> None:
    """Its headers, unit and dates are told by the entry."""
    assert readings(logged) == []


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"moisture_ppm": 100_000}, "was said to be 10\u2009% by resistance-temp"),
        ({"reading_ppm": 120_000}, "12\u2009% on pin meter 2 was said to be"),
        ({"temperature_millikelvin": 300_000}, "and now comes to"),
        ({"rule": "as-read/1"}, "and now comes to 10\u2009%"),
        ({"rule": "our own/3"}, "metered by our own/3, a rule not known here"),
        ({"reading_ppm": 2_000_000}, "is not corrected any more (200 % is no reading"),
    ],
)
def test_a_reading_that_comes_out_otherwise_is_told(
    metered: Loft, change: dict[str, Any], why: str
) -> None:
    """With both numbers, and at its entry."""
    (finding,) = retold(metered, change, {})

    assert (finding.index, finding.detail.startswith(HALF)) == (
        metered.shop.store.head().size - 1,
        True,
    )
    assert why in finding.detail


@pytest.mark.parametrize(
    ("change", "day", "why"),
    [
        ({}, {"humidity_ppm": 470_000}, "2026-01-01 was read as 24 readings, 20.4"),
        ({}, {"temperature_millikelvin": 300_000}, "26.85\u2009°C"),
        ({}, {"least_humidity_ppm": 0}, "0\u2009%RH to"),
        ({}, {"most_humidity_ppm": 900_000}, "to 90\u2009%RH"),
        ({}, {"number": 23}, "was read as 23 readings"),
        ({}, {"gap_seconds": 60}, "60 s without one"),
        ({}, {"day": "2025-12-01"}, "2025-12-01 is not in the file"),
        ({"method": "by eye"}, {}, "it was read by by eye, which is not known here"),
        (
            {"method": roomlogs.METHOD},
            {},
            "the file is not read any more (no line names a time",
        ),
    ],
)
def test_a_day_that_comes_out_otherwise_is_told(
    logged: Loft, change: dict[str, Any], day: dict[str, Any], why: str
) -> None:
    """One altered number among all of its days."""
    (finding,) = retold(logged, change, day)

    assert finding.index == logged.shop.store.head().size - 1
    assert finding.detail.startswith("log of room crib: ") and why in finding.detail


def test_a_file_that_is_gone_is_found_by_its_digest_alone(logged: Loft) -> None:
    """One fault has one finding, and one cause."""
    for digest in attachments.digests(logged.shop.attachments):
        (logged.shop.attachments / digest).write_bytes(LOG + b"\n")

    assert {f.cause for f in audit(logged.shop).findings} == {"attachment"}


def test_only_the_whole_audit_works_it_out_again(metered: Loft) -> None:
    """The lower levels look at no reading."""
    assert len(retold(metered, {"moisture_ppm": 1}, {})) == 1
    assert audit(metered.shop, level=ROLES).findings == ()
