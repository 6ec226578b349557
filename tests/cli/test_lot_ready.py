"""flitchbook lot ready: what of the rack is ready now, or will be within a week."""

import json
from datetime import timedelta

import pytest

from cli.lot_ready import reason_lines
from ledger.craft.policy import first_house_policy
from tests.cli.bench import NOON, Bench

SIZE = "559 × 203 × 4.2 mm"


@pytest.fixture
def racked(bench: Bench) -> Bench:
    """Give a bench with spruce and maple in the rack, in a house with limits."""
    limits = first_house_policy() | {
        "id": "bench",
        "version": 2,
        "rest": [{"species": ["Picea"], "least_days": 0, "preferred_days": 90}],
        "rest_of_others": {"least_days": 30, "preferred_days": 60},
        "steady": {"weighings": 0, "apart_days": 0, "within_ppm": 0},
        "room": {"least_humidity_ppm": 0, "most_humidity_ppm": 0, "fresh_days": 0},
    }
    bench.file("house.json", json.dumps(limits))
    bench.does("shop policy house.json --by 01")
    for species, count in (("Picea abies", 7), ("Acer pseudoplatanus", 2)):
        bench.does(
            f"lot receive --by 02 --supplier ferrante --species '{species}' --boards "
            f"{count} --for top --size '559 x 203 x 4.2 mm'"
        )
    bench.does("board reject L26-003-04 --by 02 --fault knot")
    return bench


def test_what_is_ready_is_told_kind_by_kind(racked: Bench) -> None:
    """Every code can be read off; what waits is counted with its first day."""
    said = racked.does("lot ready").replace("\u2009", " ").splitlines()

    assert said == [
        "ready now: 6",
        f"  Picea abies, top, {SIZE}, not graded: L26-003-01 to 03, 05 to 07",
        "later: 2, the first of them 2026-02-04 at the earliest",
    ]


def test_what_can_be_ready_soon_says_what_it_waits_for(racked: Bench) -> None:
    """By its day, and only as far ahead as asked."""
    racked.at = NOON + timedelta(days=24)
    said = racked.does("lot ready --species Acer").replace("\u2009", " ").splitlines()

    assert said == [
        "ready now: nothing",
        "within 7 days, if mass and air allow it: 2",
        "  earliest 2026-02-04",
        f"    Acer pseudoplatanus, top, {SIZE}, not graded: L26-004-01 to 02",
        "      all 2: rested 24 of 30 days",
    ]
    assert racked.does("lot ready --species Acer --within 5").endswith("earliest\n")
    racked.refuses("lot ready --within 99999999999", "more than 36500: ask for fewer")


def test_two_halves_of_a_set_are_named_once() -> None:
    """Each half has a number of its own, and the worse of the two is told."""
    reasons = ("differ by 0.44 %", "differ by 0.39 %")

    assert list(reason_lines([("L26-001-09", reasons)], 1)) == [
        "L26-001-09: differ by 0.44 %"
    ]


def test_wood_is_asked_for_by_use_and_grade(racked: Bench) -> None:
    """A program is told everything of each."""
    racked.does("board grade L26-003-02 --grade first --by 02 --colour even")
    told = racked.data("lot ready --for Top --grade first")
    (one,) = told["ready"]

    assert (one["code"], one["grade"], one["species"]) == (
        "L26-003-02",
        "first",
        "Picea abies",
    )
    assert (one["preferred"], one["reasons"]) == ("2026-04-05", [])
    assert (told["soon"], told["later"], told["within_days"]) == ([], [], 7)
    assert racked.does("lot ready --for neck") == "no such wood lies in the rack.\n"
    assert racked.run("lot ready --within -1").code == 2
