"""Tests of reckoning with time: the end of drying, and a logger's file."""

import json
from collections.abc import Callable
from datetime import date, timedelta
from math import exp, pi
from pathlib import Path

import pytest

from cli import calc
from ledger.errors import LedgerError

Lines = Callable[..., list[str]]
SERIES = (
    *("2026-01-03=210.0g", "2026-02-02=206.4g", "2026-03-04=204.2g"),
    *("2026-04-03=202.9g", "2026-05-03=202.1g"),
)


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]) -> Lines:
    """Give a way to run a command and return its lines."""

    def say(*words: str) -> list[str]:
        calc.app(list(words), standalone_mode=False)
        return capsys.readouterr().out.splitlines()

    return say


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """Return the file of a logger that hung in the crib for forty days."""
    rows = (
        f"{date(2026, 3, 1) + timedelta(days=n // 24)} {n % 24:02}:00;20,0;45"
        for n in range(40 * 24)
    )
    file = tmp_path / "crib.csv"
    file.write_text("\n".join(["Zeit;Temp. °C;Feuchte %", *rows]), encoding="utf-8")
    return file


def test_five_weighings_tell_the_end_and_the_day(said: Lines) -> None:
    """A board at its pace: the end mass, what is left, and the day between two."""
    lines = said("season", *SERIES)

    assert lines == [
        "end mass          200.89 ± 0.26 g",
        "time constant     59.5 ± 4.3 days",
        "still to lose     0.60\u2009%, 0.44\u2009% to 0.82\u2009%",
        "0.2 % left        2026-07-08, between 2026-06-14 and 2026-08-08",
        "note: 5 weighings cannot show whether the first lies on the curve: where it "
        "was made as the wood came into this air, say so",
    ]


def test_a_program_gets_the_same(said: Lines) -> None:
    """Days, shares and masses under their own names, and the method."""
    found = json.loads(said("season", *SERIES, "--json")[0])

    assert found["end_mass_g"]["value"] == pytest.approx(200.89, abs=0.01)
    assert found["ready"] == {
        "earliest": "2026-06-14",
        "likely": "2026-07-08",
        "latest": "2026-08-08",
    }
    assert found["remaining_ppm"]["likely"] == pytest.approx(5980, abs=60)
    assert found["method"] == "exponential approach, least squares"


def test_an_unlikely_pace_is_doubted(said: Lines) -> None:
    """Two months for a top of 3 mm is the room's pace, not the wood's."""
    lines = said("season", *SERIES, "--thickness", "3 mm")
    billet = said("season", *SERIES, "--thickness", "25 mm")

    assert "the room's air may be what changes" in lines[-1]
    assert len(billet) == 5


def test_wood_that_was_fresh_ends_elsewhere(said: Lines) -> None:
    """A slab by the series, 400 g with 8 g to lose, weighed from its first hour on."""
    odd = range(1, 999, 2)
    left = [
        sum(exp(-k * k * day / 30) / k**2 for k in odd) * 8 / pi**2
        for day in range(0, 90, 15)
    ]
    series = [
        f"{date(2026, 1, 3) + timedelta(days=15 * n)}={400 + 8 * share:.1f}g"
        for n, share in enumerate(left)
    ]
    fresh = json.loads(said("season", *series, "--fresh", "--json")[0])
    plain = json.loads(said("season", *series, "--json")[0])

    assert fresh["method"] == "slab from its first day, least squares"
    assert fresh["warnings"] == []
    assert fresh["end_mass_g"]["value"] == pytest.approx(400, abs=0.2)
    assert "the first weighing is left out" in plain["warnings"][0]
    with pytest.raises(LedgerError, match=r"scatter .* keep the air steady"):
        said("season", *SERIES, "--fresh")


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("2026-01-03=210g",), "1 weighing of at least 3"),
        (("3.1.2026=210g",), "write it like 2026-01-03=210.0g"),
        (("2026-01-03",), "write it like 2026-01-03=210.0g"),
        (
            ("2026-01-03=210g", "2026-02-03=211g", "2026-03-03=212g"),
            "it gains: 2 g more after 59 days",
        ),
    ],
)
def test_what_tells_no_end_is_refused(words: tuple[str, ...], why: str) -> None:
    """Each with its reason."""
    with pytest.raises(LedgerError, match=why):
        calc.app(["season", *words], standalone_mode=False)


def test_a_log_is_told_day_by_day(said: Lines, log: Path) -> None:
    """The last fourteen of forty days, and the mean over thirty."""
    lines = said("air", str(log))

    assert lines[0] == "the last 14 of 40 days"
    assert lines[1].startswith("2026-03-27")
    assert "45\u2009%RH (45 to 45)  wood 8.5\u2009%  24 readings" in lines[14]
    assert lines[15] == "wood comes to 8.5 ± 1.0 % over the last 30 days"
    assert lines[16].startswith("note: the file is UTF-8")


def test_a_program_gets_every_day_of_a_log(said: Lines, log: Path) -> None:
    """All forty, with their integers; a longer span than the log has is a note."""
    found = json.loads(said("air", str(log), "--over", "365 days", "--json")[0])

    assert len(found["days"]) == 40
    assert found["days"][0]["humidity_ppm"] == 450_000
    assert found["trailing"] is None
    assert "40.0 of the last 365 days" in found["warnings"][-1]


def test_a_log_that_leaves_something_open_can_be_helped(
    said: Lines, tmp_path: Path
) -> None:
    """Headers, the unit and the order of dates are given where they are asked for."""
    file = tmp_path / "odd.csv"
    file.write_text("A,B,C\n03/04/2026 08:00,20,45\n", encoding="utf-8")
    words = ("--column", "moment=A", "--column", "temperature=B")
    lines = said(
        *("air", str(file), *words, "--column", "humidity=C"),
        *("--unit", "temperature=C", "--dates", "day-first"),
    )

    assert lines[0].startswith("2026-04-03")
    with pytest.raises(LedgerError, match="says nothing of a log"):
        calc.app(["air", str(file), "--column", "B"], standalone_mode=False)
    with pytest.raises(LedgerError, match="there is no file"):
        calc.app(["air", str(tmp_path / "none.csv")], standalone_mode=False)


def test_weighings_on_a_true_curve_are_given_back(said: Lines) -> None:
    """400 g, 8 g to lose, 30 days: the day lies where the curve says."""
    first = date(2026, 1, 3)
    series = [
        f"{first + timedelta(days=n)}={400 + 8 * exp(-n / 30):.2f}g"
        for n in range(0, 90, 10)
    ]
    found = json.loads(said("season", *series, "--resolution", "0.01g", "--json")[0])

    assert found["end_mass_g"]["value"] == pytest.approx(400, abs=0.02)
    assert found["ready"]["likely"] in ("2026-03-13", "2026-03-14")
