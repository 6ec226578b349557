"""What a gauge of a kind can read."""

from typing import get_args

import pytest

from ledger.craft.measured import UNITS
from ledger.craft.wares import READS, Measures, reads


@pytest.mark.parametrize(
    ("measures", "unit", "can"),
    [
        ("length", "length_um", True),
        ("length", "mass_mg", False),
        ("mass", "length_um", False),
        ("humidity", "temperature_millikelvin", True),
        ("angle", "length_um", True),
        ("sound", "humidity_ppm", False),
    ],
)
def test_a_gauge_reads_its_own_quantity(measures: str, unit: str, can: bool) -> None:
    """And what commonly stands on the same dial."""
    assert reads(measures, unit) is can


def test_a_gauge_of_no_kind_of_its_own_may_read_anything() -> None:
    """A multimeter, or whatever the list has no word for."""
    others = set(get_args(Measures)) - READS.keys()

    assert others == {"electrical", "other"}
    assert all(reads(other, unit) for other in others for unit in UNITS)
