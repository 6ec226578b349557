"""Tests of the thickness that a shop's own frequency asks for."""

import json

import pytest

from cli import calc

PLATE = (
    *("--body-length", "500mm", "--lower-bout", "380mm", "--density", "400kg/m3"),
    *("--e-along", "11GPa", "--e-across", "0.85GPa", "--g", "0.75GPa"),
)


def test_the_worked_example_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    """2.887 mm for 75 Hz; what the thickness of the test did to it counts once."""
    words = ["thickness", "--frequency", "75Hz", *PLATE, "--measured-at", "4mm"]
    calc.app(words, standalone_mode=False)
    lines = capsys.readouterr().out.splitlines()
    calc.app([*words, "--json"], standalone_mode=False)
    found = json.loads(capsys.readouterr().out)

    assert lines == [
        "thickness         2.887 ± 0.041 mm",
        "method            clamped rectangle, one term of Rayleigh (Gore)",
    ]
    assert found["thickness_mm"]["value"] == pytest.approx(2.887, abs=1e-3)
    assert found["warnings"] == []


def test_without_the_shops_number_there_is_no_answer(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """There is no usual frequency to fall back on."""
    with pytest.raises(SystemExit, match="2"):
        calc.app(["thickness", *PLATE])

    assert "--frequency" in capsys.readouterr().err


def test_an_unusual_answer_is_doubted(capsys: pytest.CaptureFixture[str]) -> None:
    """20 Hz asks for a veneer."""
    calc.app(["thickness", "--frequency", "20Hz", *PLATE], standalone_mode=False)

    assert "note: 0.77 mm is no usual thickness" in capsys.readouterr().out
