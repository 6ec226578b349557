"""flitchbook lot map: the boards of lots by density and stiffness, told and drawn."""

import pytest

from tests import ringing
from tests.cli.bench import Bench
from tests.labels import reading

HALF, SET = "L26-001-01.A", "L26-001-01"


@pytest.fixture
def tapped(bench: Bench) -> Bench:
    """Give a bench at which both halves of a set were tapped."""
    for number, half in enumerate("AB"):
        path = bench.folder / f"{half}.wav"
        ringing.record(path, ringing.PLATE, taps=2, seed=number)
        bench.does(f"board tap {SET}.{half} {path} --along '71 Hz' --by 03")
    return bench


def test_a_lot_is_told_board_by_board(tapped: Bench) -> None:
    """Density and E along with their uncertainties: 205 g in 559 x 203 x 4.2 mm."""
    said = tapped.does(f"lot map L26-001 --chosen {HALF}").replace("\u2009", " ")
    told = tapped.data("lot map L26-001")

    assert said.startswith("2 boards, as measured\n")
    assert f"  {HALF}   430.1 ± " in said
    assert said.count("  chosen") == 2
    assert "  method: " in said
    assert [each["board"] for each in told["boards"]] == [HALF, f"{SET}.B"]
    assert told["boards"][0]["density_gram_per_m3"] == 430_127
    assert (told["chosen"], told["moisture_ppm"]) == ([], None)


def test_a_map_is_drawn_with_the_chosen_ringed(tapped: Bench) -> None:
    """The halves are one piece, named for their set."""
    out = tapped.folder / "map.pdf"
    tapped.does(f"lot map L26-001 --chosen {SET} --out {out}")
    page = " ".join(reading.text(out.read_bytes()).split())

    for words in (
        f"{SET} was chosen from 1 piece of L26-001",
        f"{SET}, chosen",
        "E along the grain, GPa, as measured",
        "1 piece, 1 pair joined by a line",
    ):
        assert words in page, words


def test_one_moisture_is_stated(tapped: Bench) -> None:
    """Whose moisture nobody read is left out, and named."""
    tapped.does(f"board measure {HALF} --moisture '8 %' --by 02")
    path = ringing.record(tapped.folder / "c.wav", ringing.PLATE, taps=2, seed=9)
    tapped.does(f"board tap {HALF} {path} --along '71 Hz' --by 03")
    said = tapped.does("lot map L26-001 --at-moisture '12 %' --out map.pdf")
    page = reading.text((tapped.folder / "map.pdf").read_bytes())

    assert said.replace("\u2009", " ").startswith("1 board, at 12 % MC\n")
    assert f"note: no moisture of {SET}.B was read before the tap" in said
    assert "12\u2009% MC" in page or "12 % MC" in page


def test_where_nothing_was_tapped_it_says_so(bench: Bench) -> None:
    """In a line, and on an empty page."""
    said = bench.does("lot map L26-001 --out map.png")

    assert "none of these boards was tapped as a plate yet" in said
    assert "2 of 2 boards were not tapped" in said


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("L26-099", "there is no lot L26-099"),
        ("L26-001 --chosen L26-001-01", "is not on this map"),
        ("L26-001 --at-moisture wet", "moisture"),
        ("L26-001 --out map.jpg", "ends in neither .pdf nor .png"),
        ("HTTPS://OTHER.EXAMPLE/L/L26-001X", "not of this shop"),
    ],
)
def test_what_is_not_there_is_refused(bench: Bench, rest: str, why: str) -> None:
    """Nothing is written then."""
    bench.refuses(f"lot map {rest}", why)
