"""The story, played once for all tests of it."""

import pytest

from demo import scenario
from ledger.log.keyfile import Stretching

CHEAP = Stretching(memory_kib=64, iterations=1, lanes=1)


@pytest.fixture(scope="session")
def story(tmp_path_factory: pytest.TempPathFactory) -> scenario.Story:
    """Give the story, played with keys that open at once; nobody writes in it."""
    return scenario.play(tmp_path_factory.mktemp("story"), stretching=CHEAP)
