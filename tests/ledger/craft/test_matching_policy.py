"""The house's points for pairs: read whole, or refused in one sentence."""

import json
from copy import deepcopy
from typing import Any

import pytest

from ledger.craft.matching_policy import (
    first_matching_policy,
    is_matching_policy,
    matching_policy,
)
from ledger.errors import RefusedError
from ledger.log.encoding import canonical


def changed(*path: str | int, to: object) -> dict[str, Any]:
    """Return the first policy with one value in it changed."""
    text = deepcopy(first_matching_policy())
    inner: Any = text
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = to
    return text


def test_the_first_points_prefer_sisters() -> None:
    """Halves of one board cost nothing, neighbours little, two lots are no pair."""
    policy = matching_policy(json.loads(canonical(first_matching_policy())))
    density = policy.weight_of("density")

    assert policy.kin == {"one_board": 0, "neighbours": 10, "one_lot": 40}
    assert policy.name == "first 1"
    assert density is not None
    assert (density.points, density.most) == (4, 80_000)
    assert policy.weight_of("along") is None
    assert is_matching_policy(first_matching_policy())
    assert not is_matching_policy({"format": "flitchbook-house/1"})


@pytest.mark.parametrize(
    ("path", "to", "said"),
    [
        (("format",), "flitchbook-grading/1", "has the format flitchbook-matching/1"),
        (("kin",), [], "no such thing"),
        (("kin", "cousins"), 3, "kin has no 'cousins'"),
        (("kin", "neighbours"), 41, "nearer kin cost more than farther"),
        (("kin", "strangers"), 39, "nearer kin cost more than farther"),
        (("kin", "one_board"), -1, "from 0 to 1000"),
        (("traits",), [], "at least 1"),
        (("traits", 0), 7, "no such thing"),
        (("traits", 0, "trait"), "sweetness", "none of the traits"),
        (("traits", 0, "trait"), "across", "across stands twice"),
        (("traits", 0, "trait"), ["density"], "none of the traits"),
        (("traits", 0, "points"), 1.5, "points is a whole number"),
        (("traits", 0, "most_steps"), 1, "the limit of density is written most_ppm"),
        (("traits", 0, "most_ppm"), -1, "most_ppm is a whole number"),
        (("version",), "1", "version is a whole number"),
        (("id",), "", "no name such as first"),
    ],
)
def test_a_text_that_does_not_fit_is_refused(
    path: tuple[str | int, ...], to: object, said: str
) -> None:
    """Each refusal names the member that is wrong."""
    with pytest.raises(RefusedError, match=said):
        matching_policy(changed(*path, to=to))


def test_a_member_that_is_missing_is_named() -> None:
    """A trait without points is not guessed."""
    with pytest.raises(RefusedError, match="a trait lacks points, unknown_points"):
        matching_policy(changed("traits", 0, to={"trait": "density"}))
