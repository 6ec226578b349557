"""Tests of the air that moves with a plate."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.wood.air_load import ASPECTS, SHEETS, in_vacuum
from ledger.wood.sizes import Sizes
from ledger.wood.uncertainty import Estimate
from tests.ledger.wood.boards import exact

TONE = Estimate(value=100.0, u=0.2)


def board(length: float, width: float, thickness: float, density: float) -> Sizes:
    """Return a board of known sizes [m] and density."""
    return Sizes(
        length=exact(length),
        width=exact(width),
        thickness=exact(thickness),
        mass=exact(density * length * width * thickness),
    )


# What moduli read low by, uncorrected; own vortex-ring panels, computed.
@pytest.mark.parametrize(
    ("sizes", "low"),
    [
        ((0.55, 0.20, 0.004, 400), {"along": 5.5, "across": 3.4, "twist": 3.6}),
        ((0.55, 0.40, 0.003, 400), {"along": 9.3, "across": 7.7, "twist": 7.5}),
    ],
)
def test_moduli_read_low_by_as_much_as_was_computed(
    sizes: tuple[float, float, float, float], low: dict[str, float]
) -> None:
    """A spruce half of 4 mm and a joined top of 3 mm."""
    for mode, percent in low.items():
        ratio = (100 / in_vacuum(mode, TONE, board(*sizes)).value) ** 2
        assert 100 * (1 - ratio) == pytest.approx(percent, abs=0.1)


def test_the_table_is_met_at_its_own_steps() -> None:
    """At a step there is nothing to interpolate."""
    for at, aspect in enumerate(ASPECTS):
        plate = board(aspect, 1, 0.01, 400)
        for mode, sheets in SHEETS.items():
            share = 1.2 * sheets[at] * aspect**0.5 / (400 * 0.01)
            found = in_vacuum(mode, TONE, plate)
            assert found.value == pytest.approx(100 * (1 + share) ** 0.5)
            assert found.u > TONE.u


@given(st.floats(1 / 6.5, 6.5))
def test_a_plate_may_be_turned_round(aspect: float) -> None:
    """What was along is across, and the twist stays."""
    one, other = board(aspect, 1, 0.01, 400), board(1, aspect, 0.01, 400)

    assert in_vacuum("along", TONE, one).value == pytest.approx(
        in_vacuum("across", TONE, other).value, rel=0.002
    )
    assert in_vacuum("twist", TONE, one).value == pytest.approx(
        in_vacuum("twist", TONE, other).value
    )


def test_what_was_never_reckoned_is_refused() -> None:
    """A strip of 11 to 1 lies beyond the table."""
    with pytest.raises(RefusedError, match="this board is 11 times"):
        in_vacuum("along", TONE, board(0.55, 0.05, 0.004, 400))
