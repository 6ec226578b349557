"""Shops as fixtures, each in a folder of its own; a conftest names those it needs."""

import shutil
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import make_url

from ledger.acts.settings import read_settings, write_settings
from tests import postgres, skerrymoor
from tests.skerrymoor import Loft

LOG = "ledger.sqlite3"


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Staffed:
    """A staffed shop that was closed: its folder, its log, and what time it was."""

    folder: Path
    database: str
    moment: datetime


@pytest.fixture(scope="session")
def staffed_on_sqlite(tmp_path_factory: pytest.TempPathFactory) -> Staffed:
    """Give a staffed shop whose log is a file that its settings name."""
    folder = tmp_path_factory.mktemp("on-sqlite")
    return _staffed(folder, f"sqlite:///{folder / LOG}")


@pytest.fixture(scope="session")
def staffed_on_postgresql(
    tmp_path_factory: pytest.TempPathFactory, postgres_server: str
) -> Iterator[Staffed]:
    """Give a staffed shop whose log is on a server."""
    with postgres.database(postgres_server) as url:
        yield _staffed(tmp_path_factory.mktemp("on-postgresql"), url)


@pytest.fixture(params=["sqlite", "postgresql"])
def loft_on_each(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Loft]:
    """Give a staffed shop on SQLite, and one on PostgreSQL."""
    staffed: Staffed = request.getfixturevalue(f"staffed_on_{request.param}")
    folder = tmp_path / "loft"
    shutil.copytree(staffed.folder, folder)
    with ExitStack() as lent:
        url = f"sqlite:///{folder / LOG}"
        if request.param == "postgresql":
            dsn = request.getfixturevalue("postgres_server")
            template = str(make_url(staffed.database).database)
            url = lent.enter_context(postgres.database(dsn, template))
        settings = read_settings(folder / "shop")
        write_settings(folder / "shop", replace(settings, database=url))
        made = skerrymoor.reopened(folder, request.node.name, staffed.moment)
        yield made
        made.shop.close()


def _staffed(folder: Path, url: str) -> Staffed:
    loft = skerrymoor.opened(folder, database=url)
    loft.shop.close()
    return Staffed(folder=folder, database=url, moment=loft.clock.moment)
