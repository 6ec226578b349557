"""flitchbook person agreement: for the two and the lead, each with the own PIN."""

import shutil
from pathlib import Path

import pytest

from tests import racked, skerrymoor
from tests.cli import bench as benches
from tests.cli.bench import Bench
from tests.racked import LOT
from tests.skerrymoor import TOP

PAIRS = 15


@pytest.fixture(scope="module")
def graded_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop where two people graded thirty halves, to be copied."""
    folder = tmp_path_factory.mktemp("graded")
    loft = skerrymoor.opened(folder)
    loft.supplier()
    loft.number(loft.receive(), *[TOP] * PAIRS)
    for number in range(1, PAIRS + 1):
        code = f"{LOT}-{number:02d}"
        words = ("first", "first" if number < 4 else "third")
        for badge, word in zip(("02", "03"), words, strict=True):
            racked.judge(loft, code, word=word if number > 2 else "second", badge=badge)
    loft.shop.close()
    return folder


@pytest.fixture
def graded(
    tmp_path: Path,
    graded_folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> Bench:
    """Give a bench at that shop."""
    shutil.copytree(graded_folder, tmp_path, dirs_exist_ok=True)
    return benches.opened(tmp_path, monkeypatch, capsys)


@pytest.mark.parametrize("asker", ["02", "Jakub", "01"])
def test_the_two_and_the_lead_are_told(graded: Bench, asker: str) -> None:
    """In words and numbers, with the policy and its version; nothing is recorded."""
    before = graded.all_that_is_kept()
    said = graded.does(f"person agreement 02 Wolański --by {asker}")
    told = graded.data(f"person agreement 02 03 --by {asker}")

    assert said.startswith("Maura Kiely and Jakub Wolański: of 30 boards 6 were graded")
    assert "most often first against third (24 boards), Maura Kiely first\n" in said
    assert "by first, version 2; Cohen's kappa/1, which says nothing of who" in said
    assert told["apart"] == [{"first": "first", "second": "third", "boards": 24}]
    assert (told["boards"], told["alike"], told["versions"]) == (30, 6, [2])
    assert told["badges"] == ["02", "03"]
    assert graded.all_that_is_kept() == before


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("02 03 --by 10", "is for those two and the lead, and not for Ines Carvalhal"),
        ("02 03", "say who signs: give --by"),
        ("02 02 --by 02", "always agrees with Maura Kiely: name two people"),
        ("02 12 --by 02", "the two graded 0 boards in common"),
        ("02 nobody --by 02", "nobody here is called 'nobody'"),
    ],
)
def test_others_and_too_little_are_refused(
    graded: Bench, command: str, why: str
) -> None:
    """In one sentence."""
    graded.refuses(f"person agreement {command}", why)


def test_without_the_pin_nobody_is_told(graded: Bench) -> None:
    """To say that one is somebody is not enough."""
    graded.file("pins", "02 9999\n")
    said = graded.run("person agreement 02 03 --by 02")

    assert (said.code, said.out) == (1, "")
