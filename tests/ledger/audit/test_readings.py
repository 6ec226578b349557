"""Every recording is heard again; what is read otherwise is told, and is no damage."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ledger.acts import tapping
from ledger.acts.copies import rebuild
from ledger.audit import Report, audit
from ledger.audit.findings import Finding
from ledger.audit.walk import ROLES
from ledger.log import attachments
from ledger.log.entry import parse_record
from tests import ringing
from tests.ledger.audit.tampering import appended
from tests.skerrymoor import Loft

NEARLY = {"frequency_millihertz": 71_330, "q_milli": 114_000}


@pytest.fixture
def tapped(loft: Loft, tmp_path: Path) -> Loft:
    """Give a shop in which one half was tapped."""
    loft.supplier()
    loft.number(loft.receive())
    tapping.tap(
        loft.shop,
        "L26-001-01.A",
        ringing.plate(tmp_path / "half.wav", taps=2),
        held_as="plate",
        expected={"along": 71_000, "twist": 52_000},
        hands=loft.hands("03"),
    )
    return loft


def retold(loft: Loft, change: Callable[[dict[str, Any]], object]) -> Report:
    """Say the newest tap again with something changed, and audit it."""
    newest = loft.shop.store.head().size - 1
    event = parse_record(loft.shop.store.record(newest)).entry.event
    change(event)
    appended(loft, event)
    rebuild(loft.shop)
    return audit(loft.shop)


def found(report: Report) -> list[Finding]:
    """Return what was found about readings."""
    return [finding for finding in report.findings if finding.cause == "reading"]


def test_what_is_read_the_same_is_no_finding(tapped: Loft) -> None:
    """The same bytes in the same band give the same numbers."""
    assert audit(tapped.shop).findings == ()


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (
            lambda e: e["readings"][0].update(frequency_millihertz=52_400),
            "twist was read at 52.40 Hz, and the nearest mode is now 52.32 Hz",
        ),
        (
            lambda e: e["readings"][1].update(q_milli=140_000),
            "along was read at 71.29 Hz with Q 140.0, and is now read with Q 110",
        ),
        (
            lambda e: e.update(low_millihertz=200_000, high_millihertz=300_000),
            "the recording is not heard any more (none of 2 taps can be used",
        ),
        (
            lambda e: e.update(high_millihertz=9_000_000_000),
            "the recording is not heard any more (a band from",
        ),
    ],
)
def test_what_is_read_otherwise_is_told_with_both_numbers(
    tapped: Loft, change: Callable[[dict[str, Any]], object], why: str
) -> None:
    """It leaves the log sound: nobody changed a byte."""
    report = retold(tapped, change)

    assert report
    assert [finding.is_open for finding in found(report)] == [True]
    assert why in found(report)[0].detail
    assert str(tapped.shop.folder) not in found(report)[0].detail


@pytest.mark.parametrize("name", ["frequency_millihertz", "q_milli"])
def test_a_hair_s_breadth_is_no_difference(tapped: Loft, name: str) -> None:
    """Less than 0.05 Hz and less than 5 % of Q are the same reading."""
    report = retold(tapped, lambda e: e["readings"][1].update({name: NEARLY[name]}))

    assert found(report) == []


def test_a_recording_that_is_gone_is_found_by_its_digest_alone(tapped: Loft) -> None:
    """One fault has one finding, and one cause."""
    for digest in attachments.digests(tapped.shop.attachments):
        (tapped.shop.attachments / digest).write_bytes(b"RIFF")
    changed = audit(tapped.shop)
    for digest in attachments.digests(tapped.shop.attachments):
        attachments.remove(tapped.shop.attachments, digest)
    gone = audit(tapped.shop)

    assert {f.cause for f in changed.findings} == {"attachment"}
    assert {f.cause for f in gone.findings} == {"attachment"}


def test_only_the_whole_audit_listens(tapped: Loft) -> None:
    """The lower levels look at no file."""
    report = retold(tapped, lambda e: e["readings"][1].update(q_milli=140_000))

    assert found(report)
    assert audit(tapped.shop, level=ROLES).findings == ()
