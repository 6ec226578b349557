"""flitchbook build: the right board, the right hands, each step once."""

from datetime import timedelta
from pathlib import Path

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.cli.onward import onward

NEXT = "26-0002-6"


@pytest.fixture
def begun(bench: Bench, kept: Path) -> Bench:
    """Give a bench where a second instrument was begun."""
    return onward(bench, kept / "begun", _begin_another)


def _begin_another(bench: Bench) -> None:
    assert bench.data("build begin Tidewarden --by 01") == {"serial": NEXT}
    bench.does(
        "board number L26-001 --by 02 --for top --length '559 mm' --width '203 mm' "
        "--thickness '4.2 mm' --mass '205 g' --mass '207 g'"
    )


def test_an_instrument_is_begun_in_a_run(bench: Bench) -> None:
    """The serial is the next one, and the run shows."""
    bench.does("build begin Tidewarden --run 'Harbour Lights, 4 of 12' --by 01")

    assert "Harbour Lights 4 of 12, body B26-0002" in bench.does(f"build show {NEXT}")


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("Nothing --by 01", "set it down with flitchbook model define"),
        ("Tidewarden --by 03", "beginning an instrument needs the role lead"),
        ("Tidewarden --by 01 --run ''", "'' is no run"),
        ("Tidewarden --by 01 --run x", "write such as 'Harbour Lights, 3 of 12'"),
        ("Tidewarden --by 01 --run 'x, 5 of 3'", "5 of 3 is no place in a run"),
        ("Tidewarden --by 01 --run 'x, 0 of 3'", "0 of 3 is no place in a run"),
        ("Tidewarden --by 01 --run ', 1 of 3'", "is no run"),
    ],
)
def test_an_instrument_is_not_begun_wrongly(bench: Bench, rest: str, why: str) -> None:
    """No serial is taken."""
    bench.refuses(f"build begin {rest}", why)


@pytest.mark.parametrize(
    ("serial", "board"),
    [
        (NEXT, "L26-001-02"),
        ("26–0002–6", "l26-001-02.a"),
        (
            f"HTTPS://SKERRYMOOR.EXAMPLE/S/{NEXT}",
            "https://skerrymoor.example/b/L26-001-02.AL",
        ),
        (f"S/{NEXT}", "B/L26-001-02.AL"),
    ],
)
def test_a_board_is_allotted_typed_or_scanned(
    begun: Bench, serial: str, board: str
) -> None:
    """The answer names codes as they stand on wood, however they were read."""
    said = begun.does(f"build allot {serial} {board} --part top --by 03")

    assert said.startswith("L26-001-02.A")
    assert said.endswith(f": top of {NEXT}.\n")


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        (f"{NEXT} L26-001-01 --part top", f"already allotted to {SERIAL} as its top"),
        (f"{NEXT} L26-001-01.A --part top", "nothing was used up"),
        (f"{NEXT} L26-001-99 --part top", "scan its label again, or number it first"),
        (f"{NEXT} L26-001-02 --part lid", "has no part 'lid': it has top, neck"),
        (f"{NEXT} L26-001 --part top", "is not the code of a board"),
        (f"{NEXT} B/L26-001-02.AZ --part top", "the check character of L26-001-02.A"),
        (f"{NEXT} S/{NEXT} --part top", "was not scanned from a board"),
        (
            f"{NEXT} HTTPS://OTHER.EXAMPLE/B/L26-001-02.AL --part top",
            "not of this shop",
        ),
        ("26-0002-7 L26-001-02 --part top", "the check digit of 26-0002-7 is 6, not 7"),
        ("26-0009-1 L26-001-02 --part top", "look at the tag again"),
        (f"{SERIAL} L26-001-02 --part top", "C-2026-00001: its build is closed"),
    ],
)
def test_the_wrong_board_is_refused(begun: Bench, rest: str, why: str) -> None:
    """Taken, unknown, misread, another shop's: nothing is consumed."""
    begun.refuses(f"build allot {rest} --by 03", why)


def test_a_board_scanned_twice_is_allotted_once(begun: Bench) -> None:
    """The second scan says who has it."""
    begun.does(f"build allot {NEXT} L26-001-02 --part top --by 03")

    begun.refuses(
        f"build allot {NEXT} L26-001-02 --part top --by 03",
        f"already allotted to {NEXT} as its top",
    )


@pytest.mark.parametrize(
    ("serial", "why"),
    [
        ("26-0009-1", "there is no instrument 26-0009-1: look at the tag again"),
        ("二十六", "is not a serial of this shop; write it like 26-0001-8"),
    ],
)
def test_an_instrument_that_is_not_there_is_not_shown(
    bench: Bench, serial: str, why: str
) -> None:
    """Never begun, or no serial at all."""
    bench.refuses(f"build show {serial}", why)


def test_a_step_that_is_entered_late_is_shown_on_its_day(begun: Bench) -> None:
    """With the day on which it was entered, where that is another."""
    begun.at += timedelta(days=2)
    begun.does(f"build sign {NEXT} brace --by 03 --happened-at 2026-01-05T16:00:00Z")

    shown = begun.does(f"build show {NEXT}")
    assert "brace: did by Jakub Wolański, 2026-01-05 (entered 2026-01-07), ent" in shown
