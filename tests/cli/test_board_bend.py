"""flitchbook board flex, spectrum: a weight in the middle, and the picture of a tap."""

import pytest

from tests import ringing
from tests.cli.bench import Bench

HALF = "L26-001-01.A"
LOADS = "--load '500 g=3.7 mm' --load '1 kg=7.4 mm'"
FLEX = f"board flex {HALF} --by 03 --span '500 mm' {LOADS}"


def test_a_board_bends_and_comes_to_its_stiffness(bench: Bench) -> None:
    """Along or across, with its uncertainty; and it stands on the board's screen."""
    said = bench.does(FLEX)
    told = bench.data(FLEX)
    shown = bench.does(f"board show {HALF}").replace("\u2009", " ")

    assert said.startswith(f"{HALF}: entry ") and "E along" in said
    # P L^3 / (48 I w), by hand: 4.903 N, 0.5 m, 203 mm x 4.2 mm, 3.7 mm.
    assert told["figures"]["e_along_gpa"]["value"] == pytest.approx(2.755, rel=0.002)
    assert told["figures"]["stiffness_n_mm"]["value"] == pytest.approx(1.3254, rel=1e-3)
    assert told["method"] == "three-point bending, slender/1"
    assert "bent         along over 500 mm on 2026-01-05, 2 loads" in shown
    assert len(bench.data(f"board show {HALF}")["bent"]) == 2


@pytest.mark.parametrize(
    ("command", "fault"),
    [
        (FLEX.replace("500 g=3.7 mm", "500 g"), "write it like '500 g=1.85 mm'"),
        (FLEX.replace("500 g=", "5 N="), "5 N"),
        (FLEX.replace("500 g=3.7 mm", "500 g=0 mm"), "bends nothing"),
        (FLEX.replace("7.4 mm", "3.6 mm"), "instead of sinking"),
        (FLEX.replace("'500 mm'", "'600 mm'"), "cannot span 600"),
        (f"{FLEX} --way across", "cannot span 500"),
        (FLEX.replace("'500 mm'", "'80 mm'"), "no wood has less than"),
        (FLEX.replace(HALF, "L26-001-09"), "there is no board"),
    ],
)
def test_what_does_not_bend_so_is_refused(
    bench: Bench, command: str, fault: str
) -> None:
    """In a sentence, and nothing is recorded."""
    bench.refuses(command, fault)


def test_a_tap_has_its_picture(bench: Bench) -> None:
    """Its peaks are those of the entry; a picture is not written over."""
    bench.refuses(f"board spectrum {HALF}", "was not tapped yet")
    ringing.plate(bench.folder / "half.wav", taps=3)
    bench.does(f"board tap {HALF} half.wav --along '71 Hz' --twist '52 Hz' --by 03")
    told = bench.data(f"board spectrum {HALF}")
    said = bench.does(f"board spectrum {HALF} --out tap.png")

    assert said.startswith(f"{HALF} rings in twist and along.\n")
    assert (bench.folder / "tap.png").read_bytes().startswith(b"\x89PNG")
    levels = dict(zip(told["frequencies_millihertz"], told["levels_db"], strict=True))
    nearest = min(levels, key=lambda each: abs(each - 52_320))
    assert levels[nearest] > -3
    assert max(levels.values()) == 0
    bench.refuses(f"board spectrum {HALF} --out tap.png", "tap.png")
    bench.refuses(f"board spectrum {HALF} --out tap.gif", "ends in neither")
