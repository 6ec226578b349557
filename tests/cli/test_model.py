"""flitchbook model: parts and steps, each with a name."""

import pytest

from tests.cli.bench import Bench

DEFINE = "model define --by 01 --instrument mandolin --part top --step brace=brace"


def test_a_model_is_set_down_and_then_changed(bench: Bench) -> None:
    """Its versions count up; one is one and two are two."""
    assert bench.does(f"{DEFINE} Slipway") == "Slipway, version 1: 1 part, 1 step.\n"
    assert bench.data(f"{DEFINE} --part neck Slipway") == {
        "model": "Slipway",
        "version": 2,
    }


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("''", "the model's name has 1 to 32 characters"),
        ("x" * 10_240, "the model's name has 1 to 32 characters"),
        ("S --instrument ''", "the instrument has 1 to 38 characters"),
        ("S --step carve", "write such as 'brace the top=brace'"),
        ("S --step =brace", "names no qualification"),
        ("S --part top", "the part 'top' is named twice"),
        ("S --step brace=brace", "the step 'brace' is named twice"),
        ("S --part ''", "a part has a name"),
        ("S --by 03", "model.defined needs the role lead"),
    ],
)
def test_a_model_that_makes_no_sense_is_refused(
    bench: Bench, rest: str, why: str
) -> None:
    """Empty, endless or doubled names, and steps that ask for nothing."""
    bench.refuses(f"{DEFINE} {rest}", why)
