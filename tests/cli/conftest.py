"""A bench at the certified shop, and one in an empty folder."""

import shutil
from pathlib import Path

import pytest

from tests.cli import bench as benches
from tests.cli import rounds
from tests.cli.bench import Bench
from tests.cli.onward import onward
from tests.cli.rounds import Walk
from tests.played import demo_folder
from tests.roadside import roadside_folder
from tests.shops import certified_folder

__all__ = ["certified_folder", "demo_folder", "roadside_folder"]


@pytest.fixture
def bench(
    tmp_path: Path,
    certified_folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> Bench:
    """Give a bench at a shop with one certified instrument."""
    shutil.copytree(certified_folder, tmp_path, dirs_exist_ok=True)
    return benches.opened(tmp_path, monkeypatch, capsys)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a file's place for shops in which some work was done, to be copied."""
    return tmp_path_factory.mktemp("kept")


@pytest.fixture
def blank(bench: Bench, kept: Path) -> Bench:
    """Give that shop with a fingerboard blank planned abroad beside its invoice."""
    return onward(bench, kept / "blank", _plan_a_blank)


def _plan_a_blank(bench: Bench) -> None:
    bench.does(
        "lot receive --species 'Dalbergia latifolia' --form sawn --boards 1 "
        "--received 2026-01-05 --harvested-in IN --supplier 'Ferrante & Daughters' "
        "--document D26-0001 --by 02"
    )
    bench.does(
        "board number L26-003 --for fingerboard --length 520mm --width 70mm "
        "--thickness 9mm --mass 290g --by 02"
    )
    bench.does(
        "shipment plan L26-003-01 --from GB --to US --for sale --on 2026-11-23 --by 12"
    )


@pytest.fixture
def bare(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Bench:
    """Give a bench in a folder where there is no shop yet."""
    return benches.opened(tmp_path, monkeypatch, capsys)


@pytest.fixture(scope="session")
def stocked_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop with wood and two builds begun, closed again, to be copied."""
    folder = tmp_path_factory.mktemp("stocked")
    rounds.stocked(folder)
    return folder


@pytest.fixture
def walk(
    tmp_path: Path,
    stocked_folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> Walk:
    """Give somebody who begins a round in a shop with wood and two builds begun."""
    shutil.copytree(stocked_folder, tmp_path, dirs_exist_ok=True)
    return Walk(bench=benches.opened(tmp_path, monkeypatch, capsys))


@pytest.fixture
def roadway(
    tmp_path: Path,
    roadside_folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> Bench:
    """Give a bench at a shop whose model's steps ask for something."""
    shutil.copytree(roadside_folder, tmp_path, dirs_exist_ok=True)
    bench = benches.opened(tmp_path, monkeypatch, capsys)
    pins = (tmp_path / "pins").read_text(encoding="utf-8")
    more = "".join(f"{badge} {badge * 2}\n" for badge in ("04", "06", "08"))
    bench.file("pins", pins + more)
    return bench
