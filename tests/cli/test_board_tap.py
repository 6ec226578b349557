"""flitchbook board tap: heard, named by the person who held the board, and filed."""

import re

import pytest

from cli import board_tap
from tests import ringing
from tests.cli.bench import Bench

HALF = "L26-001-01.A"
TAP = f"board tap {HALF} half.wav --by 03"
MODES = "--along '71 Hz' --across '150 Hz' --twist '52 Hz'"


@pytest.fixture
def heard(bench: Bench) -> Bench:
    """Give a bench with a recording of a half on it."""
    ringing.plate(bench.folder / "half.wav", taps=2)
    return bench


def test_a_tap_tells_what_the_board_comes_to(heard: Bench) -> None:
    """Each figure with its unit and its uncertainty."""
    said = heard.does(f"{TAP} {MODES}")

    assert f"{HALF}: entry " in said
    along = (
        r"along            71\.290 ± 0\.001 Hz, Q 110\.\d ± 0\.\d, 2 taps, scatter 0\.0"
    )
    assert re.search(along, said)
    for figure in ("E along", "E across", "GPa", "m/s", "m⁴/(kg s)", " ± "):
        assert figure in said
    assert "note: 2 of at least 5 taps" in said


def test_a_tap_answers_a_program_in_small_units(heard: Bench) -> None:
    """Readings as the log holds them, figures as the calculator names them."""
    told = heard.data(f"{TAP} {MODES}")

    assert [r["mode"] for r in told["readings"]] == ["twist", "along", "across"]
    assert told["readings"][1]["frequency_millihertz"] == 71_290
    assert told["figures"]["density_kg_m3"]["value"] == pytest.approx(430.1, abs=0.1)
    assert set(told["figures"]["e_along_gpa"]) == {"value", "u"}


def test_a_dry_run_only_listens(heard: Bench) -> None:
    """Nothing is recorded or kept, and no PIN is asked for."""
    before = heard.all_that_is_kept()
    said = heard.does(f"board tap {HALF} half.wav --dry-run")
    told = heard.data(f"board tap {HALF} half.wav --dry-run --low '60 Hz'")

    assert "71.290 ± 0.001 Hz, Q 110" in said
    assert "2 of 2 taps" in said
    assert [r["frequency_millihertz"] for r in told["readings"]] == [71_290, 150_510]
    assert heard.all_that_is_kept() == before


@pytest.mark.parametrize(
    ("code", "why"),
    [("L26-001", "but of a lot"), ("L26-001-01", "is a set: scan the half")],
)
def test_a_dry_run_looks_at_the_board_too(heard: Bench, code: str, why: str) -> None:
    """What would be refused in earnest is refused in a trial."""
    heard.refuses(f"board tap {code} half.wav --dry-run", why)


def test_every_command_tells_a_tap_by_the_same_names(heard: Bench) -> None:
    """Heard, filed, shown, or reckoned without a shop: units stand in the names."""
    dry = heard.data(f"board tap {HALF} half.wav --dry-run --low '60 Hz'")
    filed = heard.data(f"{TAP} --along '71 Hz' --across '150 Hz'")
    (shown,) = heard.data(f"board show {HALF}")["taps"]
    reckoned = heard.data("calc tap half.wav --low '60 Hz'")

    assert filed["readings"] == shown["readings"]
    assert filed["figures"] == shown["figures"]
    told = [reading | {"mode": None} for reading in filed["readings"]]
    assert [list(r) for r in dry["readings"]] == [list(r) for r in told]
    for mine, other in zip(dry["readings"], reckoned["readings"], strict=True):
        assert other == mine | {"expected_millihertz": None}


def test_one_tap_is_told_without_a_scatter(bench: Bench) -> None:
    """Nobody knows how a second one would differ."""
    ringing.plate(bench.folder / "half.wav", taps=1)
    said = bench.does(f"{TAP} --along '71 Hz'")
    told = bench.data(f"board show {HALF}")["taps"][0]["readings"][0]

    assert ", 1 tap\n" in said
    assert told["scatter_ppm"] is None
    assert told["q_uncertainty_milli"] > 0


@pytest.mark.parametrize(
    ("value", "u", "most", "told"),
    [
        (71.2904, 0.0004, 3, "71.290 ± 0.001 Hz"),
        (0.05012, 0.0004, 6, "0.05012 ± 0.00040 Hz"),
        (5245.3, 68.2, 6, "5245 ± 68 Hz"),
        (71.29, 0.0, 6, "71.290 ± 0.001 Hz"),
    ],
)
def test_a_number_is_told_to_the_second_digit_of_its_uncertainty(
    value: float, u: float, most: int, told: str
) -> None:
    """More digits would be a pretence, and so would an uncertainty of nought."""
    assert board_tap.plus_minus(value, u, "Hz", most=most) == told


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("", "say with --along, --across, --twist roughly where each mode lies"),
        ("--bar", "say with --at roughly where each mode lies"),
        ("--along '90 Hz'", "no mode is heard within 15% of 90 Hz for along; heard"),
        ("--along 71", "71 has no unit: write 71 Hz"),
        ("--at '71 Hz'", "a plate has the modes along, across, twist, and no bar"),
        (f"{MODES} --low '300 Hz'", "give the lower edge first"),
        ("--along '150 Hz'", "E along of board L26-001-01.A would be"),
    ],
)
def test_a_mode_is_never_guessed(heard: Bench, rest: str, why: str) -> None:
    """What was heard is told, and nothing is recorded or kept."""
    heard.refuses(f"{TAP} {rest}", why)


def test_what_is_no_recording_is_refused(bench: Bench) -> None:
    """A text, and a file that is not there."""
    bench.refuses(TAP, "there is no file half.wav")
    bench.refuses(TAP.replace("half.wav", "pins"), "is no recording that can be read")
