"""Tests of density."""

from typing import Any

import pytest

from ledger.errors import RefusedError
from ledger.wood.density import density
from ledger.wood.uncertainty import Estimate

HALF: dict[str, Any] = {
    "length": Estimate(value=0.55, u=0.0005),
    "width": Estimate(value=0.2, u=0.0005),
    "thickness": Estimate(value=0.004, u=0.00005),
    "mass": Estimate(value=0.176, u=0.0001),
}


def test_a_half_set_has_the_density_of_its_mass_and_sizes() -> None:
    """550 x 200 x 4 mm of 176 g are 400 kg/m3; thickness rules the uncertainty."""
    found = density(**HALF)

    assert found.value == pytest.approx(400)
    assert found.u == pytest.approx(5.1, abs=0.02)


@pytest.mark.parametrize("name", HALF)
def test_what_was_not_measured_is_refused(name: str) -> None:
    """A size of nothing has no density, nor has a mass of nothing."""
    with pytest.raises(RefusedError, match="0 is not above zero"):
        density(**(HALF | {name: Estimate(value=0, u=0)}))
