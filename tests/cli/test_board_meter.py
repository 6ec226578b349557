"""flitchbook board meter, thickness: a meter's reading, and how thick to work wood."""

import pytest

from tests import ringing
from tests.cli.bench import Bench

BOARD = "L26-001-02"
METER = f"board meter {BOARD} '8.4 %' --meter 'pin meter 2' --setting SPRUCE --by 02"
THICKNESS = (
    f"board thickness {BOARD} --length '500 mm' --width '380 mm' --frequency '75 Hz'"
)


@pytest.fixture
def racked(bench: Bench) -> Bench:
    """Give a bench with a spare board of spruce."""
    bench.does(
        "board number L26-001 --by 02 --for top --length '550 mm' --width '200 mm' "
        "--thickness '4 mm' --mass '176 g'"
    )
    return bench


def test_a_reading_is_kept_raw_and_corrected_beside(racked: Bench) -> None:
    """Cold wood reads low; which rule says so is told."""
    said = racked.does(f"{METER} --wood '5 C'").replace("\u2009", " ")
    told = racked.data(f"{METER} --wood '41 F'")

    assert said == (
        f"{BOARD}: 8.4 % read, 9.8 % by resistance-temperature/1, entry "
        f"{told['entry'] - 1}.\n"
    )
    assert (told["reading_ppm"], told["rule"]) == (84_000, "resistance-temperature/1")
    assert told["moisture_ppm"] == pytest.approx(97_600, abs=100)
    shown = racked.does(f"board show {BOARD}")
    assert "with pin meter 2, set to SPRUCE" in shown


def test_a_meter_that_compensates_is_taken_at_its_word(racked: Bench) -> None:
    """And a doubt about low readings is told beside the answer."""
    told = racked.data(f"{METER} --wood '5 C' --compensated")
    low = racked.does(f"{METER.replace('8.4', '6.1')} --wood '20 C'")

    assert (told["moisture_ppm"], told["rule"]) == (84_000, "as-read/1")
    assert "note: a meter with pins tells little below 7 %" in low


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"{METER} --wood '68 C'", "and 68 °C lies outside"),
        (f"{METER.replace('8.4 %', '0 %')} --wood '20 C'", "is no reading of a meter"),
        (f"{METER.replace('8.4 %', '8.4 g')} --wood '20 C'", "8.4 g"),
        (f"{METER.replace('8.4 %', '45 %')} --wood '20 C'", "wood is green"),
        (f"{METER.replace(BOARD, 'L26-001-09')} --wood '20 C'", "there is no board"),
        (f"{METER.replace(BOARD, 'L26-001-01')} --wood '20 C'", "is a set"),
        (METER.replace("SPRUCE", "''") + " --wood '20 C'", "the setting has 1 to"),
        (THICKNESS, "was never tapped as a plate"),
    ],
)
def test_what_cannot_be_is_refused(racked: Bench, command: str, why: str) -> None:
    """In one sentence, and nothing is recorded."""
    racked.refuses(command, why)


def test_a_tapped_board_says_how_thick_to_work_it(racked: Bench) -> None:
    """For the number that the shop states; there is no usual one."""
    ringing.plate(racked.folder / "top.wav")
    racked.does(
        f"board tap {BOARD} top.wav --along '71 Hz' --across '150 Hz' --twist '52 Hz' "
        f"--by 03"
    )
    said, told = racked.does(THICKNESS), racked.data(THICKNESS)

    assert said.startswith(f"{BOARD}: 2.88")
    assert "nothing of what is heard" in said
    assert told["thickness_um"] == pytest.approx(2_887, rel=0.005)
    assert racked.run(THICKNESS.partition(" --frequency")[0]).code == 2
    racked.refuses(THICKNESS.replace("380", "80"), "is none that the rule was made for")
