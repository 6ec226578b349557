"""flitchbook board show: all that is known of a board, on one screen."""

import pytest
from PIL import Image

from tests import ringing
from tests.cli.bench import SERIAL, Bench

HALF = "L26-001-01.A"
SPARE = "L26-001-02"
NUMBER = (
    "board number L26-001 --by 02 --for top --length '559 mm' --width '203 mm' "
    "--thickness '4.2 mm'"
)


def test_a_board_is_shown_on_one_screen(bench: Bench) -> None:
    """Sizes, masses, place, taps with their figures, photographs, and readiness."""
    bench.does(f"board weigh {HALF} '206 g' --by 02")
    bench.does(f"board measure {HALF} --moisture '7.8 %' --by 02")
    bench.does(f"board move {HALF} --to 'crib, B' --by 02")
    Image.new("RGB", (64, 48)).save(bench.folder / "end.png")
    bench.does(f"board photograph {HALF} end.png --face end-grain --by 02")
    ringing.plate(bench.folder / "half.wav", taps=2)
    bench.does(f"board tap {HALF} half.wav --along '71 Hz' --by 03")
    said = bench.does(f"board show {HALF}").replace("\u2009", " ")
    told = bench.data(f"board show {HALF}")

    for words in (
        f"{HALF}: Picea abies, for top, of lot L26-001",
        "559 mm × 203 mm × 4.2 mm",
        "432 kg/m³: normal for Picea abies",
        "206 g on 2026-01-05, entry ",
        "\u22120.49 % beside the newest",
        "moisture     7.8 %",
        "place        crib, B",
        f"allotted     top of {SERIAL}, entry ",
        "as a plate, entry ",
        "E along",
        "photograph   end-grain, entry ",
        f"USED: allotted to {SERIAL}",
    ):
        assert words in said, words
    assert len(said.splitlines()) < 24
    assert [w["mass_mg"] for w in told["weighings"]] == [205_000, 206_000]
    assert told["taps"][0]["readings"][0]["mode"] == "along"
    assert told["moisture_ppm"] == 78_000


def test_a_board_of_which_little_is_known_is_shown_too(bench: Bench) -> None:
    """What is missing is said to be missing."""
    bench.does(f"{NUMBER} --mark 'Nr. 7' --supplier-grade AAA")
    said = bench.does(f"board show {SPARE}")

    for words in ("not weighed yet", "nobody said where it lies", "Nr. 7", "AAA"):
        assert words in said


@pytest.mark.parametrize(
    ("code", "why"),
    [
        ("L26-001-09", "there is no board L26-001-09"),
        ("L26-001-01", "is a set: scan the half, L26-001-01.A or L26-001-01.B"),
        ("L26-001", "is not the code of a board"),
        ("HTTPS://OTHER.EXAMPLE/B/L26-001-01.AX", "not of this shop"),
    ],
)
def test_what_is_no_board_is_not_shown(bench: Bench, code: str, why: str) -> None:
    """One half at a time, and only wood of this shop."""
    bench.refuses(f"board show {code}", why)
