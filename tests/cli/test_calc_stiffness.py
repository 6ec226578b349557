"""flitchbook calc stiffness: what a modulus comes to at another moisture."""

import json

import pytest

from cli import calc
from ledger.errors import RefusedError


def told(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, object]:
    """Run the command and return its JSON."""
    calc.app(["stiffness", *words, "--json"], standalone_mode=False)
    answer: dict[str, object] = json.loads(capsys.readouterr().out)
    return answer


def test_spruce_at_eight_percent_is_brought_to_twelve(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Sitka at 8 % is some 6 % stiffer than at 12: times 0.938, as reckoned by hand.

    Source: Wood Handbook, FPL-GTR-190, equation (5-3), with 8.5 and 10.8 GPa and
    M_p 27, from memory.
    """
    words = ("11 GPa", "--moisture", "8 %", "--species", "Picea sitchensis")
    found = told(capsys, *words)["e_along_gpa"]

    assert isinstance(found, dict)
    assert found["value"] == pytest.approx(11 * 0.938, rel=0.002)
    assert 0.2 < found["u"] < 0.5


def test_any_wood_has_a_rule_too(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a species the straight line of a standard: 0.9375 at 8 %, from memory."""
    found = told(capsys, "11 GPa", "--moisture", "8 %")["e_along_gpa"]

    assert isinstance(found, dict)
    assert found["value"] == pytest.approx(11 * 1.20 / 1.28, rel=1e-3)
    calc.app(["stiffness", "11 GPa", "--moisture", "8 %"], standalone_mode=False)
    assert capsys.readouterr().out.startswith("E along at 12 %   10.3")


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        (("11", "--moisture", "8 %"), "11"),
        (("0 GPa", "--moisture", "8 %"), "not above zero"),
        (("11 GPa", "--moisture", "40 %"), "40 % lies outside"),
        (("11 GPa", "--moisture", "8 g"), "8 g"),
    ],
)
def test_what_is_no_stiffness_is_refused(words: tuple[str, ...], fault: str) -> None:
    """With its unit, above nothing, and drier than green."""
    with pytest.raises(RefusedError, match=fault):
        calc.app(["stiffness", *words], standalone_mode=False)
