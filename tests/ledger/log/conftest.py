"""What the tests of the log share: published data that stays outside the project."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.log.vault import Vault

PROJECT = Path(__file__).parents[3]


@pytest.fixture(scope="session")
def standards() -> Callable[[str], Any]:
    """Give the published data of a standard, where it lies beside the project."""

    def load(name: str) -> Any:
        path = PROJECT.parent / "shared/reference/record-standards" / name
        if not path.is_file():
            pytest.skip(f"{name} is not beside the project: nothing is compared")
        return json.loads(path.read_text(encoding="utf-8"))

    return load


@pytest.fixture
def vault(tmp_path: Path) -> Iterator[Vault]:
    """Return an empty vault in a folder of its own."""
    with Vault.create(tmp_path / "vault.sqlite3") as vault:
        yield vault
