"""Tests of modes that were named for one another."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.wood.elastic import usual_stiffness
from ledger.wood.mistaken import another_naming, require_possible
from ledger.wood.ritz import Moduli
from ledger.wood.sizes import Sizes
from ledger.wood.uncertainty import Estimate
from tests.ledger.wood.boards import HALF, SIDE, exact, measured

SPRUCE = usual_stiffness("Picea abies")
NAMES = ("along", "across", "twist")
WOOD = Moduli(along=11e9, across=0.85e9, shear=0.75e9, poisson=0.37)


def rung(sizes: dict[str, float], wood: Moduli = WOOD) -> tuple[Sizes, list[Estimate]]:
    """Return a spruce board, and its tones in the order of the names."""
    told = measured(wood, 400, sizes)
    tones = [told.pop(name) for name in NAMES]
    return Sizes(**told), tones


@given(st.floats(7e9, 18e9), st.floats(0.04, 0.2), st.floats(0.05, 0.14))
def test_a_usual_spruce_is_never_doubted(
    along: float, across: float, shear: float
) -> None:
    """Soft and stiff ones, on and off the quarter, as they were named."""
    wood = Moduli(along=along, across=across * along, shear=shear * along, poisson=0.37)
    sizes, tones = rung(HALF, wood)
    modes = dict(zip(NAMES, tones, strict=True))

    require_possible(sizes, modes, SPRUCE)
    assert another_naming(sizes, modes, SPRUCE) is None


@pytest.mark.parametrize("order", list(permutations(range(3)))[1:])
@pytest.mark.parametrize("shape", [HALF, SIDE], ids=["half", "side"])
def test_every_wrong_naming_is_noticed_and_the_right_one_offered(
    order: tuple[int, int, int], shape: dict[str, float]
) -> None:
    """Of a half or a side; but for a twist and a long mode that are much alike."""
    sizes, tones = rung(shape)
    modes = {name: tones[at] for name, at in zip(NAMES, order, strict=True)}
    try:
        require_possible(sizes, modes, SPRUCE)
        said = another_naming(sizes, modes, SPRUCE)
    except RefusedError as fault:
        said = str(fault)

    if shape is HALF and order == (2, 1, 0):
        assert said is None
    else:
        assert said
        assert "hold and tap again, and see which is which" in said
        assert "E along 11, E across 0.85" in said


def test_length_and_width_exchanged_are_noticed() -> None:
    """The sizes typed the wrong way round make E across 49 GPa."""
    sizes, tones = rung(HALF)

    with pytest.raises(RefusedError, match="length and width exchanged would make"):
        require_possible(sizes.turned, dict(zip(NAMES, tones, strict=True)), SPRUCE)


def test_one_tone_alone_has_no_other_naming() -> None:
    """What cannot be is refused, and what is odd is left alone."""
    sizes, _ = rung(HALF)

    assert another_naming(sizes, {"along": exact(150.5)}, SPRUCE) is None
    assert another_naming(sizes, {}, SPRUCE) is None
    with pytest.raises(RefusedError, match="no wood has more than 60; see the decimal"):
        require_possible(sizes, {"along": exact(715.0)}, SPRUCE)
    with pytest.raises(RefusedError, match="no wood has less than 0"):
        require_possible(sizes, {"across": exact(7.0)}, SPRUCE)
