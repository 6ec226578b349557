"""flitchbook gauge: listed, compared with better ones, and what each touched."""

from datetime import timedelta

import pytest

from tests.cli.bench import Bench


@pytest.fixture
def listed(bench: Bench) -> Bench:
    """Give a bench with a caliper and a meter."""
    bench.does("gauge add 'dial caliper' --measures length --mark 'SN 4471' --by 03")
    bench.does("gauge add 'pin meter' --measures moisture --by 03")
    return bench


def test_a_gauge_that_failed_tells_since_when_and_what_to_do(listed: Bench) -> None:
    """Its calibrations, the doubt, and the command for a hold."""
    listed.does(
        "gauge calibrate G26-001 --on 2025-12-01 --until 2026-12-01 --outcome good "
        "--paper D26-0001 --by 03"
    )
    told = listed.does("gauge calibrate G26-001 --outcome failed --by 03")
    shown = listed.does("gauge show G26-001")

    assert "flitchbook hold place G26-001" in told
    assert "2025-12-01 good, until 2026-12-01, D26-0001, entry" in shown
    assert "hold place G26-001 --since 2025-12-01" in shown
    assert listed.data("gauge show G26-001")["wrong_since"] == "2025-12-01"


def test_a_gauge_that_was_never_right_says_so(listed: Bench) -> None:
    """There is no day from which on it is in doubt."""
    listed.does("gauge calibrate G26-001 --outcome failed --by 03")

    assert "nothing says that it ever was right" in listed.does("gauge show G26-001")


def test_a_meter_shows_the_boards_it_was_put_to(listed: Bench) -> None:
    """By the name that stands with the reading."""
    listed.does(
        "lot receive --species 'Picea abies' --boards 1 --supplier Ferrante --by 02"
    )
    listed.does(
        "board number L26-003 --for brace --length 559mm --width 203mm "
        "--thickness 30mm --mass 1500g --by 02"
    )
    listed.does(
        "board meter L26-003-01 '8.2 %' --meter 'pin meter' --setting spruce "
        "--wood 21C --by 03"
    )
    rows = listed.data("gauge show G26-002")["boards"]

    assert [(row["board"], row["by"]) for row in rows] == [("L26-003-01", "meter")]
    assert "1 board weighed or metered" in listed.does("gauge show G26-002")


def test_what_is_due_and_what_is_listed_is_told(listed: Bench) -> None:
    """With the reason, or that nothing is."""
    due = listed.does("gauge due")
    assert "G26-001: dial caliper, never compared with a better one" in due
    for code in ("G26-001", "G26-002"):
        listed.does(
            f"gauge calibrate {code} --until 2026-12-01 --outcome adjusted --by 03"
        )
    listed.refuses("gauge due --within 99999999999", "more than 36500: ask for fewer")
    assert listed.does("gauge due --within 0") == "no gauge is due within 0 days\n"

    assert (
        "dial caliper (length), SN 4471, adjusted on 2026-01-05, until 2026-12-01"
        in (listed.does("gauge list"))
    )
    assert len(listed.data("gauge list")["gauges"]) == 2


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("add 'dial caliper' --measures length --mark 'SN 4471' --by 03", "already"),
        ("calibrate G26-009 --outcome good --by 03", "there is no gauge G26-009"),
        ("calibrate G26-001 --on never --outcome good --by 03", "'never' is no day"),
        ("calibrate G26-001 --until 2025-01-01 --outcome good --by 03", "cannot hold"),
        ("calibrate G26-001 --paper D26-0009 --outcome good --by 03", "no document"),
        ("show G26-009", "there is no gauge G26-009"),
        ("show G26-001 --since never", "'never' is no day"),
        ("show M26-001", "is not the code of a gauge"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(
    listed: Bench, command: str, why: str
) -> None:
    """With nothing written."""
    listed.refuses(f"gauge {command}", why)


def test_a_mark_that_stands_on_another_gauge_is_noted(listed: Bench) -> None:
    """It may be the same gauge, entered twice."""
    said = listed.does("gauge add caliper --measures length --mark 'SN 4471' --by 03")

    assert "note: the mark SN 4471 stands on G26-001 (dial caliper) too: see" in said
    other = listed.does("gauge add caliper --measures length --mark 'SN 1' --by 03")
    assert "note" not in other


def test_a_calibration_that_is_entered_late_is_of_its_day(listed: Bench) -> None:
    """The day that it happened on, and never one before the shop was there."""
    listed.at += timedelta(days=3)
    told = listed.does(
        "gauge calibrate G26-001 --outcome failed --by 03 --happened-at "
        "2026-01-06T09:00:00Z"
    )

    assert told.startswith("G26-001: failed on 2026-01-06, entry")
    listed.refuses(
        "gauge calibrate G26-001 --outcome good --by 03 --happened-at "
        "1950-01-01T00:00:00Z",
        "1950-01-01T00:00:00Z is before this shop was founded, 2026-01-05T08:01:00Z",
    )
