"""flitchbook board ready and override: which boards, and when they are ready."""

import json
import re
from datetime import timedelta
from math import exp

import pytest

from ledger.craft.policy import first_house_policy
from tests.cli.bench import NOON, SERIAL, Bench

HALF = "L26-001-01.A"
SPARE = "L26-001-02"
NUMBER = (
    "board number L26-001 --by 02 --for top --length '559 mm' --width '203 mm' "
    "--thickness '4.2 mm' --mass '205 g'"
)


@pytest.fixture
def resting(bench: Bench) -> Bench:
    """Give a bench at a shop that lets wood rest, with a spare board of spruce."""
    policy = first_house_policy() | {"id": "bench", "version": 2}
    bench.file("house.json", json.dumps(policy))
    bench.does("shop policy house.json --by 01")
    bench.does(NUMBER)
    return bench


def test_boards_that_wait_for_the_same_are_told_once(bench: Bench) -> None:
    """A whole lot is a few lines, and each board is still there for a program."""
    bench.does(
        "lot receive --by 02 --supplier ferrante --species 'Picea abies' "
        "--boards 24 --set --for top"
    )
    said = bench.does("board ready L26-003").splitlines()

    assert said[0].startswith("48 pieces, L26-003-01.A to L26-003-24.B  ")
    assert len(said) < 5
    assert len(bench.data("board ready L26-003")["boards"]) == 48


def test_a_board_that_rests_says_why_and_until_when(resting: Bench) -> None:
    """Every reason, the earliest day and the better one; and it is no failure."""
    said = resting.does(f"board ready {SPARE}").replace("\u2009", " ")

    assert said.splitlines() == [
        "L26-001-02  NOT YET: earliest 2026-04-05, preferred 2026-07-04",
        "    rested 0 of 90 days",
        "    2 of 3 steady weighings still to come, 7 days apart",
        "    nobody has measured the room's air yet",
        "    no forecast: too few weighings to foretell: 1 of at least 4, the first of "
        "which is of the day it came in",
    ]


def weighed(bench: Bench, boards: tuple[str, ...] = (SPARE,)) -> None:
    """Weigh boards on six Mondays as they go from 210 g to 200 g."""
    for week in range(6):
        bench.at = NOON + timedelta(days=7 * week)
        for board in boards:
            mass = 200 + 10 * exp(-week / 2)
            bench.does(f"board weigh {board} '{mass:.1f} g' --by 02")


def test_a_board_that_dries_says_when_it_will_be_at_rest(resting: Bench) -> None:
    """In one line, and with all its numbers for a program."""
    weighed(resting)
    said = resting.does(f"board ready {SPARE}").splitlines()[-2]
    told = resting.data(f"board ready {SPARE}")["boards"][0]["forecast"]
    shown = resting.does(f"board show {SPARE}")

    # 10 g exp(-w / 2) are 0.4 g after 6.4 weeks.
    assert re.fullmatch(
        r"    at rest about 2026-02-\d\d, between 02-\d\d and 0[23]-\d\d "
        r"\(k = 2\), from 6 weighings, if the air stays as it is",
        said,
    )
    assert told["earliest"] <= "2026-02-19" <= told["latest"]
    assert told["end_mass_mg"] == pytest.approx(200_000, abs=400)
    assert (told["weighings"], told["within_ppm"]) == (6, 2_000)
    assert said.strip() in shown


def test_of_many_boards_the_first_and_the_last_day_are_told(resting: Bench) -> None:
    """A lot is a few lines, also where each board has a day of its own."""
    for _ in range(5):
        resting.does(NUMBER)
    boards = tuple(f"L26-001-{number:02d}" for number in range(2, 8))
    weighed(resting, boards)
    said = resting.does(f"board ready {' '.join(boards)}")
    two = resting.does(f"board ready {boards[0]} {boards[1]}")

    assert said.splitlines()[-1].startswith("    at rest from about 2026-02-")
    assert len(said.splitlines()) < 8
    assert two.splitlines()[-1].startswith("    L26-001-03 at rest about 2026-02-")


def test_a_whole_lot_is_asked_at_once(resting: Bench) -> None:
    """Those in the rack and those that are used, each once."""
    told = resting.data(f"board ready L26-001 {SPARE}")
    answers = {board["board"]: board for board in told["boards"]}

    assert list(answers) == [HALF, "L26-001-01.B", SPARE]
    assert answers[HALF]["used"].startswith(f"allotted to {SERIAL} by entry")
    assert not any(board["is_ready"] for board in told["boards"])
    assert answers[SPARE]["earliest"] == "2026-04-05"


def test_wood_that_may_be_used_is_ready(bench: Bench) -> None:
    """Where the house asks for no rest, there is none."""
    bench.does(NUMBER)

    assert bench.does(f"board ready {SPARE}") == f"{SPARE}  READY\n"
    assert bench.data(f"board ready {SPARE}")["boards"][0]["is_ready"]


def test_only_a_lead_lets_a_board_be_used_before_its_time(resting: Bench) -> None:
    """With a reason; then it may be allotted to that instrument and no other."""
    serial = resting.data("build begin Tidewarden --by 01")["serial"]
    override = f"board override {SPARE} {serial} --why 'an old crib of 1988' --by"
    resting.refuses(f"{override} 02", "overriding a rule is for a lead")
    resting.refuses(f"{override} 01 --why ''", "has 1 to 200 characters")
    resting.refuses(f"board override {SPARE} 26-0139-3 --why x --by 01", "26-0139-3")
    allot = f"build allot {serial} {SPARE} --part top --by 03"
    resting.refuses(allot, "is not ready: rested 0 of 90")
    said = resting.does(f"{override} 01").replace("\u2009", " ")
    resting.does(allot)

    assert said.startswith(f"{SPARE}: may be used in {serial}, against: rested 0 of 90")


def test_what_nothing_stands_against_is_not_overridden(bench: Bench) -> None:
    """A reason is not needed where there is no rule."""
    bench.does(NUMBER)
    serial = bench.data("build begin Tidewarden --by 01")["serial"]

    bench.refuses(
        f"board override {SPARE} {serial} --why x --by 01", "nothing stands against"
    )
