"""Tests of the modes of free plates, against published and computed frequencies."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.wood.ritz import (
    ACROSS,
    ALL,
    ALONG,
    EVEN_BOTH,
    ODD_BOTH,
    TWIST,
    Moduli,
    hertz,
    solved,
)

SPRUCE = Moduli(along=11e9, across=0.85e9, shear=0.75e9, poisson=0.37)
GPA = st.floats(0.2, 20)


def lowest(moduli: Moduli, *, length: float, width: float) -> list[float]:
    """Return the stiffness of all lowest modes, by rising order."""
    return sorted(
        float(each)
        for parity in ALL
        for each in solved(moduli, length=length, width=width, parity=parity).stiffness
    )


def test_a_free_square_plate_has_the_published_frequencies() -> None:
    """Leissa, J. Sound Vib. 31 (1973) 257, nu 0.3: six numbers, from memory."""
    nu = 0.3
    steel = Moduli(along=1, across=1, shear=1 / (2 * (1 + nu)), poisson=nu)
    found = [math.sqrt(each * (1 - nu**2)) for each in lowest(steel, length=1, width=1)]

    assert found[:6] == pytest.approx(
        [13.4682, 19.5961, 24.2702, 34.8009, 34.8009, 61.0932], abs=1e-4
    )


@pytest.mark.parametrize(
    ("width", "thickness", "tones"),
    [
        (0.2, 0.004, {TWIST: 52.319, ALONG: 71.291, (2, 1): 127.827, ACROSS: 150.511}),
        (0.4, 0.003, {TWIST: 19.641, ACROSS: 28.095, (1, 2): 48.709, ALONG: 53.709}),
    ],
)
def test_a_spruce_plate_has_the_computed_frequencies(
    width: float, thickness: float, tones: dict[tuple[int, int], float]
) -> None:
    """Half set and joined top, from check_values.csv: computed, met by elements."""
    found = {
        mode.name: hertz(mode.stiffness, thickness=thickness, density=400)
        for parity in ALL
        for mode in solved(SPRUCE, length=0.55, width=width, parity=parity).named(3)
    }

    for name, tone in tones.items():
        assert found[name] == pytest.approx(tone, abs=0.001)


def test_a_long_strip_bends_like_a_bar() -> None:
    """Without a Poisson ratio it is one: 22.3733 and 120.903 for its even modes."""
    strip = Moduli(along=1, across=1, shear=0.5, poisson=1e-9)
    found = solved(strip, length=1, width=0.25, parity=EVEN_BOTH).stiffness

    assert math.sqrt(found[0]) == pytest.approx(22.3733, abs=1e-4)
    assert math.sqrt(found[1]) == pytest.approx(120.903, abs=1e-3)


@given(GPA, GPA, st.floats(0.3, 3))
def test_a_plate_may_be_turned_round(along: float, across: float, width: float) -> None:
    """Length and width, and what goes with them, may be exchanged.

    The functions are fewer across the grain: the eighth mode still agrees to 0.01 %.
    """
    nu = 0.3 * math.sqrt(min(1.0, along / across))
    one = Moduli(along=along, across=across, shear=1, poisson=nu)
    other = Moduli(along=across, across=along, shear=1, poisson=nu * across / along)

    assert lowest(one, length=1, width=width)[:8] == pytest.approx(
        lowest(other, length=width, width=1)[:8], rel=1e-4
    )


@given(st.floats(1.01, 3))
def test_a_plate_twice_as_stiff_is_so_in_every_mode(factor: float) -> None:
    """Each mode's stiffness is in proportion to the moduli together."""
    stiffer = Moduli(
        along=factor * SPRUCE.along,
        across=factor * SPRUCE.across,
        shear=factor * SPRUCE.shear,
        poisson=SPRUCE.poisson,
    )
    before = solved(SPRUCE, length=0.55, width=0.2, parity=ODD_BOTH).stiffness
    after = solved(stiffer, length=0.55, width=0.2, parity=ODD_BOTH).stiffness

    assert after == pytest.approx(factor * before)


def test_every_mode_has_a_name_of_its_own_even_where_two_mix() -> None:
    """At the critical ratio each is half the long and half the cross mode."""
    even = Moduli(along=4e9, across=4e9, shear=1.5e9, poisson=0.3)
    found = solved(even, length=1, width=1.0000001, parity=EVEN_BOTH).named(2)

    assert {mode.name for mode in found} == {ALONG, ACROSS}
    assert [mode.share for mode in found] == pytest.approx([0.5, 0.5], abs=0.01)


def test_the_shares_of_stiffness_add_up() -> None:
    """Bending both ways, coupling and twisting are all that there is."""
    mode = solved(SPRUCE, length=0.55, width=0.2, parity=EVEN_BOTH).mode(0)
    total = mode.bends + mode.curls + mode.couples + mode.twists

    assert mode.name == ALONG
    assert mode.bends > 0.98
    assert total == pytest.approx(1)


def test_a_plate_that_cannot_be_is_refused() -> None:
    """Stiffer across by far and a large Poisson ratio: it would gain by bending."""
    turned = Moduli(along=0.85e9, across=11e9, shear=0.75e9, poisson=0.37)

    with pytest.raises(RefusedError, match="length and width were not exchanged"):
        solved(turned, length=0.55, width=0.2, parity=EVEN_BOTH)
