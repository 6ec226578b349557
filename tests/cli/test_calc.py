"""Tests of reckoning without a shop: numbers, their uncertainty, and refusals."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from cli import calc
from ledger.errors import LedgerError, RefusedError

VECTORS = Path(__file__).parents[1] / "vectors" / "wood"
BOARD = (
    *("--length", "550mm", "--width", "200mm"),
    *("--thickness", "4.00mm", "--mass", "176.0g"),
)


@pytest.fixture
def told(capsys: pytest.CaptureFixture[str]) -> Any:
    """Give a way to run a command and return its JSON."""

    def tell(*words: str) -> Any:
        calc.app([*words, "--json"], standalone_mode=False)
        return json.loads(capsys.readouterr().out)

    return tell


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]) -> Any:
    """Give a way to run a command and return its lines."""

    def say(*words: str) -> list[str]:
        calc.app(list(words), standalone_mode=False)
        return capsys.readouterr().out.splitlines()

    return say


def test_moisture_at_rest_is_told_to_one_percent(told: Any, said: Any) -> None:
    """20 degrees and 45 % give 8.5 %, in either scale of temperature."""
    found = told("emc", "--temperature", "20C", "--humidity", "45%RH")
    fahrenheit = told("emc", "--temperature", "68F", "--humidity", "45%RH")

    assert found["moisture_percent"] == {
        "value": pytest.approx(8.485, abs=1e-3),
        "u": 1,
    }
    assert fahrenheit == found
    assert said("emc", "--temperature", "20 C", "--humidity", "45 %RH") == [
        "moisture content  8.5 ± 1.0 %"
    ]


def test_a_density_is_judged_by_its_species(told: Any, said: Any) -> None:
    """Normal for spruce, not for ebony, and nobody knows of fancywood."""
    normal = told("density", *BOARD, "--species", "Picea abies")
    odd = told("density", *BOARD, "--species", "diospyros ebenum")
    unknown = told("density", *BOARD, "--species", "Fantasia fictilis")
    plain = told("density", *BOARD)

    assert normal["density_kg_m3"]["value"] == pytest.approx(400)
    assert normal["species"]["is_normal"] is True
    assert normal["warnings"] == []
    assert odd["species"]["is_normal"] is False
    assert odd["species"]["name"] == "Diospyros ebenum"
    assert "NOT NORMAL" in odd["warnings"][0]
    assert unknown["species"] == {"name": "Fantasia fictilis", "is_normal": None}
    assert plain["species"] is None
    assert said("density", *BOARD, "--species", "Picea abies")[1] == (
        "That is normal for Picea abies, 328 to 547 kg/m³."
    )


def test_a_bar_is_reckoned_with_and_without_shear(told: Any) -> None:
    """A brace of 300 x 15 mm is 6 % stiffer than the slender formula says."""
    brace = ("--length", "300mm", "--width", "8mm", "--thickness", "15mm")
    words = ("bar", *brace, "--mass", "14.4g", "--frequency", "850Hz")
    slender, sheared = told(*words), told(*words, "--shear-ratio", "16")
    ratio = sheared["e_gpa"]["value"] / slender["e_gpa"]["value"]

    assert ratio == pytest.approx(1.0595, abs=0.0005)
    assert "give E/G" in slender["warnings"][0]
    assert sheared["warnings"] == []
    assert sheared["sound_speed_m_s"]["value"] > slender["sound_speed_m_s"]["value"]


def test_a_recording_is_heard(told: Any, said: Any) -> None:
    """Modes, taps and what the file is, for a program and for a person."""
    file = str(VECTORS / "one-double-hit.wav")
    words = ("tap", file, "--low", "30Hz", "--high", "400Hz", "--modes", "4")
    found, lines = told(*words), said(*words)

    hertz = [round(r["frequency_millihertz"] / 1000, 1) for r in found["readings"]]
    assert hertz == [52.3, 71.3, 127.8, 150.5]
    assert found["readings"][1]["q_milli"] == pytest.approx(110_000, rel=0.01)
    assert found["readings"][1]["taps"] == 4
    assert [tap["used"] for tap in found["taps"]].count(False) == 2
    assert found["recording"] == {
        "container": "WAV",
        "rate_hz": 8000,
        "bits": 16,
        "channels": 1,
    }
    assert lines[1].startswith("71.29")
    assert ", 4 of 6 taps, scatter 0.0" in lines[1]
    assert "double hit" in lines[8]


def test_expected_modes_set_the_band_by_themselves(told: Any) -> None:
    """Whoever looks for 187 and 194 Hz need not say where."""
    file = str(VECTORS / "close-modes.flac")
    found = told("tap", file, "--near", "187Hz", "--near", "194Hz")

    expected = [reading["expected_millihertz"] for reading in found["readings"]]
    assert expected == [187_000, 194_000]


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("emc", "--temperature", "90C", "--humidity", "45%RH"), "90 °C lies outside"),
        (
            ("emc", "--temperature", "20", "--humidity", "45%RH"),
            "20 has no unit: write 20 °C",
        ),
        (("plate", *BOARD[:-1], "0g"), "not above zero"),
        (("tap", str(VECTORS / "cut-off.wav")), "cut off"),
        (("tap", str(VECTORS / "none.wav")), "there is no file"),
    ],
)
def test_what_cannot_be_reckoned_is_refused(words: tuple[str, ...], why: str) -> None:
    """One sentence says what, and what to do next."""
    with pytest.raises(LedgerError, match=why):
        calc.app(list(words), standalone_mode=False)


def test_a_shear_ratio_of_nothing_is_refused(told: Any) -> None:
    """E over G is above zero, where it is told."""
    stick = ("--length", "300mm", "--width", "8mm", "--thickness", "3mm")
    with pytest.raises(RefusedError, match="not above zero"):
        told(
            *("bar", *stick, "--mass", "3g", "--frequency", "190Hz"),
            *("--shear-ratio", "0"),
        )


def test_help_needs_no_numbers() -> None:
    """Importing the commands imports neither numpy nor the reader of recordings."""
    code = (
        "import sys, cli.calc; "
        "print([m for m in ('numpy', 'soundfile', 'sqlmodel') if m in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=True,
    )

    assert run.stdout == "[]\n"
