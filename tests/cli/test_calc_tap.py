"""Tests of what is told of a recording beside its modes: damping, read twice."""

import json
from pathlib import Path

import pytest

from cli import calc
from ledger.errors import RefusedError
from tests import ringing

FILE = Path(__file__).parents[1] / "vectors" / "wood" / "half-set.flac"
WORDS = ("tap", str(FILE), "--low", "30Hz", "--high", "400Hz", "--modes", "4")


def test_damping_is_told_as_apparent_loss_and_by_the_envelope(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """71.29 Hz with Q 110 loses 0.0091, and its envelope shows the same Q."""
    calc.app(list(WORDS), standalone_mode=False)
    lines = capsys.readouterr().out.splitlines()
    calc.app([*WORDS, "--json"], standalone_mode=False)
    damped = json.loads(capsys.readouterr().out)["damping"][1]

    assert damped["apparent_tan_delta"]["value"] == pytest.approx(1 / 110, rel=0.01)
    assert damped["envelope_q"]["value"] == pytest.approx(110, rel=0.03)
    assert lines[5].startswith("71.29 Hz: apparent tan δ 0.00909")
    assert ", by the envelope Q 1" in lines[5]


def test_a_recording_is_drawn_without_a_shop(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its modes marked by their frequencies; a picture is not written over."""
    path, out = ringing.plate(tmp_path / "half.wav", taps=3), tmp_path / "half.png"
    words = ["tap", str(path), "--near", "71 Hz", "--near", "52 Hz"]
    calc.app([*words, "--out", str(out)], standalone_mode=False)
    said = capsys.readouterr().out

    assert said.splitlines()[-1] == f"picture: {out}"
    assert out.read_bytes().startswith(b"\x89PNG")
    with pytest.raises(RefusedError, match=r"half\.png"):
        calc.app([*words, "--out", str(out)], standalone_mode=False)
