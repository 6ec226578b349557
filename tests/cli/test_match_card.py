"""Match cards: the two boards, their numbers, why, and why not the next best."""

import shutil
from pathlib import Path

import pytest
from PIL import Image

from tests import racked, skerrymoor
from tests.cli import bench as benches
from tests.cli.bench import Bench
from tests.labels import reading
from tests.racked import LOT, SERIALS, SETS, SIZES

LOOK = f"lot match --for top {SIZES}"


@pytest.fixture(scope="module")
def racked_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop with two dozen halves and four builds begun, to be copied."""
    folder = tmp_path_factory.mktemp("racked")
    racked.rack(skerrymoor.opened(folder)).shop.close()
    return folder


@pytest.fixture
def rack(
    tmp_path: Path,
    racked_folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> Bench:
    """Give a bench at that shop."""
    shutil.copytree(racked_folder, tmp_path, dirs_exist_ok=True)
    return benches.opened(tmp_path, monkeypatch, capsys)


def read(bench: Bench, name: str) -> str:
    """Return what all sheets of a paper say, in one line."""
    data = (bench.folder / name).read_bytes()
    pages = [reading.text(data, page) for page in range(reading.pages(data))]
    return " ".join(" ".join(pages).replace("\u2009", " ").split())


def test_a_rack_has_a_sheet_for_each_pair(rack: Bench) -> None:
    """With sizes to scale, rings as counted, points, and the next best."""
    said = rack.does(f"{LOOK} --out cards.pdf")
    words = read(rack, "cards.pdf")

    assert reading.pages((rack.folder / "cards.pdf").read_bytes()) == SETS
    assert said.endswith("picture: cards.pdf\n")
    for expected in (
        "points apart",
        "Picea abies, top, by first 1, minimum-cost maximum matching",
        "side not noted",
        "radiation ratio, m⁴/(kg s)",
        "Halves of one board",
        "Points for what was not measured of both: colour 10.0",
        "Taps by closed plate formulas/1",
        "points more in all",
    ):
        assert expected in words, expected


def test_four_orders_have_four_pictures(rack: Bench) -> None:
    """Each a file of its own, by its number; the next best is in none of the four."""
    rack.does(f"build match --for top {SIZES} --out top.png")
    rack.does(f"build match --for top {SIZES} --out top.pdf")
    words = read(rack, "top.pdf")

    for number in range(1, 5):
        with Image.open(rack.folder / f"top-{number}.png") as picture:
            assert picture.size == (1240, 874)
    assert words.count("points more in all") == len(SERIALS)
    assert all(f"top of {serial}, by first 1" in words for serial in SERIALS)
    assert "its halves are" not in words


def test_a_pair_chosen_by_hand_has_one_card(rack: Bench) -> None:
    """It names its entry, and how it was chosen; nothing is compared with it."""
    told = rack.data(f"board match {LOT}-03 --for top --by 03 --out pair.pdf")
    words = read(rack, "pair.pdf")

    assert "chosen by hand, points by first 1" in words
    assert str(told["entry"]) in words and "Runner-up" not in words


def test_a_photograph_of_the_front_is_on_the_card(rack: Bench) -> None:
    """The newest front, of the half that has one; the end grain is none."""
    for face, colour in (("front", "tan"), ("end-grain", "black")):
        Image.new("RGB", (200, 600), colour).save(rack.folder / f"{face}.png")
        rack.does(f"board photograph {LOT}-01.A {face}.png --face {face} --by 02")
    rack.does(f"{LOOK} {LOT}-01 --out one.pdf")

    assert "left from a photograph" in read(rack, "one.pdf")


def test_what_nobody_measured_is_a_dash(rack: Bench) -> None:
    """Of a board that was neither tapped nor graded only the density is known."""
    rack.does(f"lot match --for top {SIZES} {LOT}-10.A {LOT}-11 --out odd.pdf")
    words = read(rack, "odd.pdf")

    assert "\u2014" in words and "rings not counted" in words
    assert "Neighbours in the billet, 10.0 points" in words
