"""Tests of reckoning bars: by their tones, and by bending under load."""

import json
from typing import Any

import pytest

from cli import calc
from ledger.errors import RefusedError

BRACE = (
    *("bar", "--length", "300mm", "--width", "8mm", "--thickness", "15mm"),
    *("--mass", "14.4g", "--frequency", "850Hz"),
)
STRIP = ("deflection", "--span", "500mm", "--width", "200mm", "--thickness", "4mm")


@pytest.fixture
def told(capsys: pytest.CaptureFixture[str]) -> Any:
    """Give a way to run a command and return its JSON."""

    def tell(*words: str) -> Any:
        calc.app([*words, "--json"], standalone_mode=False)
        return json.loads(capsys.readouterr().out)

    return tell


def test_a_second_bending_tone_tells_the_shear(told: Any) -> None:
    """2197 Hz beside 850 Hz is what E over G of 16 makes."""
    found, given = told(*BRACE, "--second", "2197Hz"), told(*BRACE, "--shear-ratio=16")

    assert found["shear_ratio"]["value"] == pytest.approx(16, abs=0.1)
    assert found["e_gpa"]["value"] == pytest.approx(given["e_gpa"]["value"], rel=1e-3)
    assert found["g_gpa"]["value"] == pytest.approx(0.652, abs=0.002)
    assert found["node_um"] == 67_551
    assert found["method"].startswith("free bar, Timoshenko, E/G from two")
    assert given["g_gpa"] is None


def test_a_torsion_tone_tells_the_shear_modulus(told: Any) -> None:
    """In torsion the same brace rings at some 1640 Hz."""
    found = told(*BRACE, "--torsion", "1640Hz")

    assert found["g_gpa"]["value"] == pytest.approx(0.66, abs=0.01)
    assert found["shear_ratio"]["value"] == pytest.approx(15.8, abs=0.3)
    assert found["warnings"] == []


def test_a_bar_is_told_where_to_be_held(capsys: pytest.CaptureFixture[str]) -> None:
    """At its nodes, in whole millimetres."""
    calc.app([*BRACE, "--shear-ratio", "16"], standalone_mode=False)
    lines = capsys.readouterr().out.splitlines()

    assert lines[-1] == "held 68 mm from each end, tapped in the middle"
    assert lines[1].startswith("E                 10.43 ± ")


def test_a_strip_is_reckoned_from_its_loads(told: Any) -> None:
    """Four loads, in grams and in newtons; 11 GPa sinks by 1.09 mm under 500 g."""
    words = ("--load", "500 g=1.09 mm", "--load", "1 kg=2.18 mm", "--load")
    found = told(*STRIP, *words, "1.5kg=3.26mm", "--load", "5N=1.11 mm")

    assert found["e_gpa"]["value"] == pytest.approx(11.0, abs=0.1)
    assert found["stiffness_n_mm"]["value"] == pytest.approx(4.51, abs=0.03)
    assert found["method"] == "three-point bending, slender/1"
    assert found["warnings"] == []


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ((*STRIP, "--load", "500 g"), "write it like '500 g=1.85 mm'"),
        ((*STRIP, "--load", "500 g=0 mm"), "sank by 0 mm, and wood gives way"),
        ((*STRIP, "--load", "5 N=2mm", "--load", "10 N=1mm"), "instead of sinking"),
        ((*STRIP, "--load", "5 mm=2mm"), "is not a force"),
        ((*BRACE, "--second", "900Hz"), "see that both are bending tones"),
        (
            (*BRACE, "--second", "2197Hz", "--torsion", "1640Hz"),
            "E/G is told twice",
        ),
    ],
)
def test_what_cannot_be_reckoned_is_refused(words: tuple[str, ...], why: str) -> None:
    """One sentence says what, and what to do next."""
    with pytest.raises(RefusedError, match=why):
        calc.app(list(words), standalone_mode=False)
