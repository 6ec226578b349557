"""Shops as fixtures, each in a folder of its own; a conftest names those it needs."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests import skerrymoor
from tests.skerrymoor import Loft


@pytest.fixture(scope="session")
def staffed_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a staffed shop that was closed again, to be copied."""
    folder = tmp_path_factory.mktemp("staffed")
    skerrymoor.opened(folder).shop.close()
    return folder


@pytest.fixture(scope="session")
def certified_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop with one certified instrument, closed again, to be copied."""
    folder = tmp_path_factory.mktemp("certified")
    loft = skerrymoor.opened(folder)
    loft.issue(loft.build())
    loft.shop.close()
    return folder


@pytest.fixture
def loft(
    tmp_path: Path, staffed_folder: Path, request: pytest.FixtureRequest
) -> Iterator[Loft]:
    """Give a staffed shop without wood."""
    made = skerrymoor.again(tmp_path, staffed_folder, request.node.name)
    yield made
    made.shop.close()


@pytest.fixture
def supplied(loft: Loft) -> Loft:
    """Give a staffed shop that knows one sawyer."""
    loft.supplier()
    return loft


@pytest.fixture
def certified(
    tmp_path: Path, certified_folder: Path, request: pytest.FixtureRequest
) -> Iterator[Loft]:
    """Give a staffed shop with one certified instrument, C-2026-00001."""
    made = skerrymoor.again(tmp_path, certified_folder, request.node.name)
    yield made
    made.shop.close()


@pytest.fixture
def loft_on_each(database_url: str, tmp_path: Path) -> Iterator[Loft]:
    """Give a staffed shop on SQLite, and one on PostgreSQL."""
    made = skerrymoor.opened(tmp_path / "loft", database=database_url)
    yield made
    made.shop.close()
