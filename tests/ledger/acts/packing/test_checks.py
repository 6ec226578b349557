"""What cannot be so is caught, and what is only rare is not."""

from fractions import Fraction

import pytest

from ledger.acts.packing.checks import (
    Solid,
    density_fault,
    length_fault,
    moisture_fault,
    proportion_fault,
    volume_fault,
)


def solid(length: int, width: int, thickness: int, unit: str = "mm") -> Solid:
    """Return sizes given in micrometres."""
    return Solid(
        length_um=length,
        width_um=width,
        thickness_um=thickness,
        column="length",
        unit=unit,
    )


TOP = solid(559_000, 203_000, 4_200)


def test_a_guitar_top_raises_no_doubt() -> None:
    """412 g in two halves of 559 x 203 x 4.2 mm is spruce."""
    assert proportion_fault(TOP) is None
    assert length_fault(TOP) is None
    assert density_fault(TOP, 412_000, pieces=2) is None
    assert moisture_fault(82_000) is None


@pytest.mark.parametrize(
    ("mass_mg", "pieces", "is_doubtful"),
    [
        (38_129, 1, False),
        (38_128, 1, True),  # just below 80 kg/m3
        (714_905, 1, False),
        (714_906, 1, True),  # just above 1500 kg/m3
        (953_207, 2, False),  # 1000 kg/m3 of two halves, though 2000 of one
        (75_000, 2, False),  # 79 kg/m3 of two, but 157 of one as wide as both
        (38_128, 2, True),
    ],
)
def test_density_is_judged_at_its_limits(
    mass_mg: int, pieces: int, is_doubtful: bool
) -> None:
    """A set may be listed by the size of a half or of both."""
    assert bool(density_fault(TOP, mass_mg, pieces=pieces)) is is_doubtful


def test_inches_typed_as_millimetres_are_told_with_both_densities() -> None:
    """And the other way round."""
    inches = density_fault(solid(22_000, 8_000, 165), 412_000, pieces=2)
    metric = density_fault(
        solid(559 * 25_400, 203 * 25_400, 106_680, "in"), 412_000, pieces=2
    )

    assert inches and "is 7\u2009093\u2009664\u2009kg/m³" in inches
    assert "inches typed as millimetres, which would be 433\u2009kg/m³" in inches
    assert "--unit length=in, and so for width and thickness" in inches
    assert metric and "millimetres typed as inches, which would be 432" in metric


def test_a_mass_that_fits_no_unit_is_told_with_the_limits() -> None:
    """Kilograms typed as grams."""
    fault = density_fault(TOP, 412, pieces=2)

    assert fault and "wood has 80 to 1500 kg/m³" in fault


@pytest.mark.parametrize(
    ("sizes", "said"),
    [
        (solid(22_000, 8_000, 165), "inches typed as millimetres"),
        (solid(559 * 25_400, 203 * 25_400, 4_200, "in"), "millimetres typed as inches"),
        (solid(7_000_000, 203_000, 4_200), "longer than 6000\u2009mm"),
    ],
)
def test_a_length_that_nobody_saws_is_doubted(sizes: Solid, said: str) -> None:
    """Without a mass the length alone tells."""
    fault = length_fault(sizes)

    assert fault and said in fault


def test_a_small_part_is_not_doubted() -> None:
    """A heel cap of 60 mm is sawn."""
    assert length_fault(solid(60_000, 45_000, 4_000)) is None


def test_a_thickness_above_another_size_is_doubted() -> None:
    """A square stick is not."""
    assert proportion_fault(solid(559_000, 4_200, 203_000))
    assert proportion_fault(solid(20_000, 203_000, 25_000))
    assert proportion_fault(solid(700_000, 80_000, 80_000)) is None


@pytest.mark.parametrize(
    ("mm3", "slack", "fits"),
    [
        (953_207, 0, True),
        (860_000, 0, True),
        (850_000, 0, False),
        (850_000, 10_000, True),
        (476_603, 0, True),
        (4_766_034, 0, False),
    ],
)
def test_a_volume_fits_one_of_the_counts_it_may_speak_of(
    mm3: int, slack: int, fits: bool
) -> None:
    """Of one half or of both, within a tenth and what rounding hid."""
    fault = volume_fault(TOP, mm3, counts=[1, 2], slack_mm3=Fraction(slack))

    assert (fault is None) is fits


def test_a_share_typed_for_a_percentage_is_doubted() -> None:
    """0.08 % is drier than any oven leaves it; green wood is not too wet."""
    assert moisture_fault(800)
    assert moisture_fault(1_200_000) is None
