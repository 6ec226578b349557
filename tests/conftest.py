"""What many tests share: a database of each kind, a fixed clock, known randomness."""

import gc
import hashlib
import itertools
import os
from collections.abc import Callable, Generator, Iterator
from datetime import UTC, datetime
from pathlib import Path

import hypothesis
import pytest
from playwright.sync_api import Browser

from tests import browser as browsers
from tests import postgres, thrift

# Single tests of these take as long as hundreds of others.
LONG = {"test_shop_power_cut.py", "test_printing_cut.py", "test_power_cut.py"}

# Two cores that other work shares are no judge of a single example's speed.
hypothesis.settings.register_profile(
    "house", deadline=None, derandomize="CI" in os.environ
)
hypothesis.settings.load_profile("house")
ACCOUNTS = itertools.count()


@pytest.fixture(scope="session", autouse=True)
def _no_account(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Let nothing remember a log in the account of whoever runs the tests."""
    os.environ["FLITCHBOOK_STATE"] = str(tmp_path_factory.getbasetemp() / "state")


@pytest.fixture(autouse=True)
def _own_account(
    monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Let each test begin with an account that has seen no log."""
    name = f"state-{next(ACCOUNTS)}"
    monkeypatch.setenv("FLITCHBOOK_STATE", str(tmp_path_factory.getbasetemp() / name))


def pytest_configure() -> None:
    """Look for no rubbish while everything is imported: there is none yet."""
    gc.disable()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what takes longest, so that no worker waits for it at the end."""
    items.sort(key=lambda item: item.path.name not in LONG)


def pytest_collection_finish() -> None:
    """Leave what was imported out of every later search: it stays to the end."""
    gc.freeze()
    gc.enable()


@pytest.fixture(scope="session", autouse=True)
def thrifty() -> Iterator[None]:
    """Let a worker work out once what is the same for every shop that it opens."""
    with thrift.kept():
        yield


@pytest.fixture
def entropy(request: pytest.FixtureRequest) -> Callable[[int], bytes]:
    """Give bytes that look random, and are the same whenever this test runs."""
    return entropy_from(request.node.name)


@pytest.fixture
def clock() -> Callable[[], datetime]:
    """Give a clock that stands still on a Monday morning."""
    return lambda: datetime(2026, 3, 2, 8, 30, tzinfo=UTC)


def entropy_from(label: str) -> Callable[[int], bytes]:
    """Return a source of bytes: SHA-256 over the label and a counter, end to end."""
    pool, counter = bytearray(), 0

    def take(size: int) -> bytes:
        nonlocal counter
        while len(pool) < size:
            pool.extend(hashlib.sha256(f"{label}/{counter}".encode()).digest())
            counter += 1
        taken = bytes(pool[:size])
        del pool[:size]
        return taken

    return take


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """Give one server for the whole run of a worker, started when first asked for."""
    with postgres.server() as dsn:
        yield dsn


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Give one Chromium for the whole run of a worker, started when first asked for."""
    with browsers.started() as found:
        yield found


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Give an empty database of each kind, as an address that SQLAlchemy opens."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'ledger.sqlite3'}"
    else:
        with postgres.database(request.getfixturevalue("postgres_server")) as url:
            yield url


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[
    None, pytest.TestReport, pytest.TestReport
]:
    """Let no test skip itself where FLITCHBOOK_NO_SKIP is set."""
    report = yield
    if not hasattr(report, "wasxfail"):
        _refuse_skip(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[
    None, pytest.CollectReport, pytest.CollectReport
]:
    """Let no file skip itself either."""
    report = yield
    _refuse_skip(report)
    return report


def _refuse_skip(report: pytest.TestReport | pytest.CollectReport) -> None:
    if report.skipped and os.environ.get("FLITCHBOOK_NO_SKIP"):
        place = report.longrepr
        reason = place[2] if isinstance(place, tuple) else str(place)
        report.outcome = "failed"
        report.longrepr = f"{reason} (FLITCHBOOK_NO_SKIP is set: no test may skip)"
