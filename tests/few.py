"""A pytest plugin for runs that look at code and not at chance: properties try little.

pytest -p tests.few …
"""

import hypothesis
import pytest


@pytest.hookimpl(tryfirst=True)
def pytest_collection() -> None:
    """Let properties try few examples, the same in every run."""
    hypothesis.settings.register_profile(
        "few", deadline=None, derandomize=True, database=None, max_examples=25
    )
    hypothesis.settings.load_profile("few")
