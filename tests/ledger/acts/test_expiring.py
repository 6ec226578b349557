"""What ends is told by its day: papers, batches, calibrations, skills."""

from typing import Any

import pytest

from ledger.acts.expiring import Ending, ending
from ledger.errors import RefusedError
from ledger.events import (
    GaugeCalibrated,
    GaugeListed,
    MaterialFinished,
    MaterialReceived,
    QualificationWithdrawn,
    SkillChecked,
)
from tests.skerrymoor import Loft


def ends(loft: Loft, within_days: int = 90, asker: str = "01") -> list[Ending]:
    """Return what ends within so many days, as it is told to a badge."""
    with loft.shop.store.reading() as session:
        key = loft.keys.get(asker)
        return ending(loft.shop, session, within_days=within_days, asker=key)


def checked(loft: Loft, until: str, **said: Any) -> None:
    """Say that Jakub's bracing was looked at, and counts until a day."""
    told = {"subject": loft.person("03").subject, "qualification": "brace"} | said
    loft.say(SkillChecked(until=until, **told))


def test_each_kind_is_told_with_its_entry_and_the_soonest_comes_first(
    supplied: Loft,
) -> None:
    """A paper with the lots that rest on it."""
    permit = supplied.document("P 77", paper="export permit", expires_on="2026-02-01")
    lot = supplied.receive(documents=(permit,))
    batch = MaterialReceived(
        batch="M26-001",
        what="hide glue",
        use="glue",
        received_on="2026-01-05",
        expires_on="2026-01-20",
    )
    supplied.say(batch)
    supplied.say(GaugeListed(gauge="G26-001", what="caliper", measures="length"))
    supplied.say(
        GaugeCalibrated(
            gauge="G26-001", on="2025-01-01", until="2026-01-01", outcome="good"
        )
    )
    checked(supplied, "2026-03-01")
    found = ends(supplied)

    assert [(each.kind, each.ends_on) for each in found] == [
        ("calibration", "2026-01-01"),
        ("batch", "2026-01-20"),
        ("paper", "2026-02-01"),
        ("skill", "2026-03-01"),
    ]
    assert found[2].rests == (str(lot),)
    assert found[3].said == "Jakub Wolański, brace"


@pytest.mark.parametrize(("within", "count"), [(30, 0), (31, 1)])
def test_the_last_day_itself_counts(supplied: Loft, within: int, count: int) -> None:
    """Thirty-one days after 5 January is 5 February."""
    supplied.document("P 77", expires_on="2026-02-05")

    assert len(ends(supplied, within)) == count


def test_what_nothing_rests_on_any_more_is_left_out(supplied: Loft) -> None:
    """A batch that is used up, a skill looked at again, one that was withdrawn."""
    batch = MaterialReceived(
        batch="M26-001",
        what="glue",
        use="glue",
        received_on="2026-01-05",
        expires_on="2026-01-20",
    )
    supplied.say(batch)
    supplied.say(MaterialFinished(batch="M26-001"))
    checked(supplied, "2026-01-20")
    checked(supplied, "2027-01-20")
    checked(supplied, "2026-01-20", qualification="plates")
    assert [each.said for each in ends(supplied)] == ["Jakub Wolański, plates"]
    gone = QualificationWithdrawn(
        subject=supplied.person("03").subject, qualification="plates"
    )
    supplied.say(gone)

    assert ends(supplied) == []


@pytest.mark.parametrize(("asker", "count"), [("03", 1), ("02", 0), ("", 0)])
def test_a_skill_is_told_to_its_owner_and_a_lead(
    supplied: Loft, asker: str, count: int
) -> None:
    """Nobody else learns whose skill ends."""
    checked(supplied, "2026-01-20")

    assert len(ends(supplied)) == 1
    assert len(ends(supplied, asker=asker)) == count


def test_more_days_than_a_calendar_has_are_refused(loft: Loft) -> None:
    """A hundred years are enough."""
    with pytest.raises(RefusedError, match="36501 days are more than 36500"):
        ends(loft, 36_501)
