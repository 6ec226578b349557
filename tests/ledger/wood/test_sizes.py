"""Tests of the sizes and the mass of a board."""

import pytest

from ledger.errors import RefusedError
from ledger.wood.sizes import Sizes, require_board
from tests.ledger.wood.boards import exact


def board(length: float, width: float, thickness: float, mass: float) -> Sizes:
    """Return a board in millimetres and grams."""
    return Sizes(
        length=exact(length / 1000),
        width=exact(width / 1000),
        thickness=exact(thickness / 1000),
        mass=exact(mass / 1000),
    )


def test_a_half_set_is_a_board() -> None:
    """550 by 200 by 4 mm and 176 g: 400 kg/m3, 2.75 times as long as wide."""
    half = board(550, 200, 4, 176)
    require_board(half)

    assert half.density.value == pytest.approx(400)
    assert half.aspect == pytest.approx(2.75)
    assert half.turned.aspect == pytest.approx(1 / 2.75)
    assert half.turned.density.value == pytest.approx(400)


@pytest.mark.parametrize(
    ("sizes", "why"),
    [
        ((550, 200, 4, 176_000), "would have 400000 kg/m³, and no wood lies outside"),
        ((550, 200, 4, 1.76), "would have 4 kg/m³"),
        ((550, 4, 200, 176), "4 mm wide and 200 mm thick is no plate"),
        ((550, 200, 0, 176), "0 is not above zero"),
    ],
)
def test_what_is_no_board_is_refused(
    sizes: tuple[float, float, float, float], why: str
) -> None:
    """One sentence with both numbers, and what to look at."""
    with pytest.raises(RefusedError, match=why):
        require_board(board(*sizes))
