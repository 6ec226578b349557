"""A policy's text is read strictly, whatever rubbish stands in it."""

from collections.abc import Callable
from typing import Any

import pytest

from ledger.craft import reading
from ledger.errors import RefusedError


@pytest.mark.parametrize(
    ("read", "said"),
    [
        (lambda: reading.members(3, ("id",), of="a grade"), "3 is no such thing"),
        (lambda: reading.members({}, ("id",), of="a grade"), "a grade lacks id"),
        (lambda: reading.members({"x": 1}, (), of="a grade"), "a grade has no 'x'"),
        (lambda: reading.whole(True, "n"), "not True"),
        (lambda: reading.whole(1.0, "n"), "not 1.0"),
        (lambda: reading.whole(-1, "n"), "from 0 to 1000000, not -1"),
        (lambda: reading.whole(10**400, "n"), "a number as large as that"),
        (lambda: reading.identifier("First one"), "no name such as first"),
        (lambda: reading.identifier(None), "no name such as first"),
        (lambda: reading.entries("abc", "grades"), "a list with at least 1"),
        (lambda: reading.entries([], "grades"), "a list with at least 1"),
        (lambda: reading.words(["a "], "words"), "no plain word"),
        (lambda: reading.words([""], "words"), "no plain word"),
        (lambda: reading.words([3], "words"), "no plain word"),
        (lambda: reading.words(["a", "a"], "words"), "stands twice"),
        (lambda: reading.words(["a" * 41], "words"), "has 41 letters"),
        (lambda: reading.woods(["spruce"], "species"), "no genus or species"),
    ],
)
def test_rubbish_is_refused_in_one_sentence(read: Callable[[], Any], said: str) -> None:
    """Each refusal names what does not fit and stays on one line."""
    with pytest.raises(RefusedError, match=said) as fault:
        read()

    assert "\n" not in str(fault.value)
    assert len(str(fault.value)) < 250


def test_what_fits_is_given_back() -> None:
    """Members, numbers and names come out as they stand."""
    assert reading.members({"a": 1}, ("a",), may=("b",), of="it") == {"a": 1}
    assert reading.whole(7, "n", least=7, most=7) == 7
    assert reading.identifier("spring-2026") == "spring-2026"
    assert reading.words(["pin knot", "wane"], "kinds") == ("pin knot", "wane")
    assert reading.woods(["Picea", "Thuja plicata"], "w") == ("Picea", "Thuja plicata")
