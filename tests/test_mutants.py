"""The small mistakes that tests are tried on, and those that change no answer."""

from pathlib import Path

import pytest

from tests.mutants import known
from tests.mutants.making import mutants_of

ROOT = Path(__file__).parent.parent
SOURCE = '''"""A module."""
LARGEST = 5
FORM = re.compile("ab")

def f(a, b):
    """Tell something."""
    if a < b and not b:
        raise ValueError("this is told to people")
    return g(a) + 1
'''


def test_a_module_is_mistaken_in_every_small_way() -> None:
    """Bounds, conditions, steps, numbers and patterns; words for people stay."""
    names = [mutant.name for mutant in mutants_of(SOURCE)]

    assert len(names) == len(set(names))
    assert set(names) == {
        "LARGEST: 5 -> 6",
        "LARGEST: 5 -> 4",
        "FORM: re.compile('ab') -> re.compile('b')",
        "FORM: re.compile('ab') -> re.compile('a')",
        "FORM: 'ab' -> 'abx'",
        "f: if a < b and (not b): -> if True:",
        "f: if a < b and (not b): -> if False:",
        "f: a < b and (not b) -> not b",
        "f: a < b and (not b) -> a < b",
        "f: a < b and (not b) -> a < b or not b",
        "f: a < b -> a <= b",
        "f: not b -> b",
        "f: raise ValueError('this is told to people') -> pass",
        "f: return g(a) + 1 -> return None",
        "f: g(a) + 1 -> g(a) - 1",
        "f: 1 -> 2",
        "f: 1 -> 0",
    }


@pytest.mark.parametrize("path", known.EQUIVALENT)
def test_what_is_said_to_change_nothing_is_still_there(path: str) -> None:
    """A reason that outlives its code would one day excuse another mistake."""
    names = {m.name for m in mutants_of((ROOT / path).read_text(encoding="utf-8"))}
    gone = known.EQUIVALENT[path].keys() - names

    assert path in known.MODULES
    assert not gone
    assert all(known.EQUIVALENT[path].values())


def test_every_module_that_must_last_has_its_tests() -> None:
    """Each is tried by files that are there."""
    for path in known.MODULES:
        assert (ROOT / path).is_file()
        assert all((ROOT / test).exists() for test in known.tests_of(path))
