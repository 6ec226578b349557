"""flitchbook board show, ready and override: on one screen, and when it is ready."""

import json

import pytest
from PIL import Image

from ledger.craft.policy import first_house_policy
from tests import ringing
from tests.cli.bench import SERIAL, Bench

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


def test_a_board_of_which_little_is_known_is_shown_too(bench: Bench) -> None:
    """What is missing is said to be missing."""
    bench.does(f"{NUMBER.partition(' --mass')[0]} --mark 'Nr. 7' --supplier-grade AAA")
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


def test_a_board_that_rests_says_why_and_until_when(resting: Bench) -> None:
    """Every reason, the earliest day and the better one; and it is no failure."""
    said = resting.does(f"board ready {SPARE}").replace("\u2009", " ")

    assert said.splitlines() == [
        "L26-001-02  NOT YET: earliest 2026-04-05, preferred 2026-07-04",
        "    rested 0 of 90 days",
        "    2 of 3 steady weighings still to come, 7 days apart",
        "    nobody has measured the room's air yet",
    ]


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
    override = f"board override {SPARE} {serial} --reason 'an old crib of 1988' --by"
    resting.refuses(f"{override} 02", "override.given is for a lead")
    resting.refuses(f"{override} 01 --reason ''", "has 1 to 200 characters")
    resting.refuses(f"board override {SPARE} 26-0139-3 --reason x --by 01", "26-0139-3")
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
        f"board override {SPARE} {serial} --reason x --by 01", "nothing stands against"
    )
