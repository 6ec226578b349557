"""flitchbook lot rest: the masses of a lot over weeks, as a table and as a picture."""

import json
from datetime import timedelta
from math import exp

import pytest

from ledger.craft.policy import first_house_policy
from tests.cli.bench import NOON, Bench
from tests.labels import reading


@pytest.fixture(scope="module")
def weeks() -> tuple[tuple[str, float], ...]:
    """Give three boards and how many weeks each has for its time constant."""
    return (("L26-003-01", 1.5), ("L26-003-02", 1.8), ("L26-003-03", 9.0))


@pytest.fixture
def racked(bench: Bench, weeks: tuple[tuple[str, float], ...]) -> Bench:
    """Give a bench with a lot of three boards that were weighed on nine Mondays."""
    limits = first_house_policy() | {
        "id": "bench",
        "version": 2,
        "rest": [],
        "rest_of_others": {"least_days": 0, "preferred_days": 0},
        "room": {"least_humidity_ppm": 0, "most_humidity_ppm": 0, "fresh_days": 0},
    }
    bench.file("house.json", json.dumps(limits))
    bench.does("shop policy house.json --by 01")
    bench.does(
        "lot receive --by 02 --supplier ferrante --species 'Picea abies' --boards 3 "
        "--for top --size '559 x 203 x 4.2 mm'"
    )
    for week in range(9):
        bench.at = NOON + timedelta(days=7 * week)
        for board, constant in weeks:
            mass = 200 + 14 * exp(-week / constant)
            bench.does(f"board weigh {board} '{mass:.1f} g' --by 02")
    return bench


def test_a_lot_is_a_table_of_masses_and_a_few_reasons(racked: Bench) -> None:
    """First and last weighings, what is left, when it is at rest, and who waits."""
    said = racked.does("lot rest L26-003").replace("\u2009", " ").splitlines()

    assert said[0].split()[:5] == [
        "2026-01-05",
        "2026-02-09",
        "2026-02-16",
        "2026-02-23",
        "2026-03-02",
    ]
    assert said[1].startswith("L26-003-01     214.0 g     200.5 g")
    assert [line.endswith("  READY") for line in said[1:4]] == [True, True, False]
    assert said[3].endswith("  NOT YET")
    assert said[4:] == [
        "L26-003-03: the last 3 weighings differ by 0.69 %, more than 0.2 %"
    ]


def test_a_program_is_told_every_weighing_and_the_forecast(racked: Bench) -> None:
    """And which board the picture would look at."""
    told = racked.data("lot rest L26-003 --board L26-003-01")

    assert [len(board["weighings"]) for board in told["boards"]] == [9, 9, 9]
    assert told["boards"][0]["forecast"]["end_mass_mg"] == pytest.approx(
        200_000, abs=300
    )
    assert (told["chosen"], told["stubborn"]) == ("L26-003-01", "L26-003-03")
    assert (told["picture"], told["rest"]) == (None, None)


@pytest.mark.parametrize("ending", ["pdf", "png"])
def test_a_picture_is_written_where_it_was_asked_for(
    racked: Bench, ending: str
) -> None:
    """A PDF to keep, or a PNG to look at; never over another file."""
    racked.does("shop room --temperature '21 C' --humidity '45 %RH' --by 02")
    racked.does(
        "board meter L26-003-01 '8.6 %' --meter m --setting s --wood '20 C' --by 02"
    )
    command = f"lot rest L26-003 --board L26-003-01 --out rest.{ending}"
    said = racked.does(command)
    drawn = (racked.folder / f"rest.{ending}").read_bytes()

    assert said.endswith(f"picture: rest.{ending}\n")
    assert drawn.startswith(b"%PDF" if ending == "pdf" else b"\x89PNG")
    if ending == "pdf":
        words = reading.text(drawn)
        assert "L26-003-03 has most to lose" in words
        assert "hatched: at rest" in words and "at rest about day" in words
    racked.refuses(command, "is there already")


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("lot rest L26-099", "L26-099"),
        ("lot rest L26-003 --board L26-001-01.A", "is none of these"),
        ("lot rest L26-003 --out rest.jpg", "ends in neither"),
        ("lot rest 26-0001-8", "give a board, a set or a lot"),
    ],
)
def test_what_is_not_there_is_not_shown(racked: Bench, command: str, why: str) -> None:
    """In one sentence, and no picture is left behind."""
    racked.refuses(command, why)


def test_wood_that_nobody_weighed_has_an_empty_table(bench: Bench) -> None:
    """It says why nothing is foretold."""
    bench.does(
        "lot receive --by 02 --supplier ferrante --species 'Picea abies' --boards 2 "
        "--for top"
    )
    said = bench.does("lot rest L26-003 --out rest.pdf").splitlines()

    assert said[-2].startswith(
        "all 2: no forecast: the house has no limit of a steady mass"
    )
