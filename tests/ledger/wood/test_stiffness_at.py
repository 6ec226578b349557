"""Tests of stiffness at another moisture: printed factors, and three rules agreeing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.wood.stiffness_at import BY_LINE, BY_SPECIES, stiffness_at
from ledger.wood.uncertainty import Estimate


def at_12(moisture: float, species: str = "", u: float = 0.0) -> float:
    """Return the factor that brings a modulus to 12 %."""
    found = stiffness_at(
        modulus=Estimate(value=1e10, u=0.0),
        moisture=Estimate(value=moisture, u=u),
        species=species,
    )
    return found.modulus.value / 1e10


@pytest.mark.parametrize(
    ("species", "factor"),
    [("Picea sitchensis", 0.938), ("Acer saccharum", 0.951), ("", 0.9375)],
)
def test_known_factors_from_eight_percent_are_met(species: str, factor: float) -> None:
    """Equation 5-3 for Sitka and sugar maple and D2915 for any, reckoned separately."""
    assert at_12(8, species) == pytest.approx(factor, abs=6e-4)


def test_three_printed_rules_agree() -> None:
    """D1990, (1.857 - 0.0237 M), lies within 0.6 % of both; constants from memory."""
    line = (1.857 - 0.0237 * 12) / (1.857 - 0.0237 * 8)

    assert at_12(8) == pytest.approx(line, rel=0.006)
    assert at_12(8, "Picea sitchensis") == pytest.approx(line, rel=0.006)


def test_oily_wood_gets_the_straight_line_and_is_told_so() -> None:
    """The printed ratio of Indian rosewood, 0.883 from 8 %, is implausible."""
    found = stiffness_at(
        modulus=Estimate(value=1.2e10, u=0.0),
        moisture=Estimate(value=8.0, u=0.0),
        species="Dalbergia latifolia",
    )

    assert found.modulus.value == pytest.approx(1.2e10 * 0.9375)
    assert found.method == BY_LINE
    assert "Dalbergia latifolia" in found.warnings[0]


@given(st.floats(4, 22), st.floats(4, 22))
def test_there_and_back_is_the_same(moisture: float, at: float) -> None:
    """Both rules have a way back."""
    for species in ("", "Picea sitchensis"):
        there = stiffness_at(
            modulus=Estimate(value=1e10, u=0.0),
            moisture=Estimate(value=moisture, u=0.0),
            at=at,
            species=species,
        )
        back = stiffness_at(
            modulus=there.modulus,
            moisture=Estimate(value=at, u=0.0),
            at=moisture,
            species=species,
        )
        assert back.modulus.value == pytest.approx(1e10)
        assert back.method == (BY_SPECIES if species else BY_LINE)


@pytest.mark.parametrize("species", ["", "Picea sitchensis"])
def test_an_unsure_moisture_makes_an_unsure_modulus(species: str) -> None:
    """One percent of moisture is 1.6 %, by the slope between two moistures."""
    found = stiffness_at(
        modulus=Estimate(value=1e10, u=0.0),
        moisture=Estimate(value=12.0, u=1.0),
        species=species,
    )
    slope = (at_12(12.01, species) - at_12(11.99, species)) / 0.02

    assert found.modulus.u / 1e10 == pytest.approx(abs(slope), rel=0.02)


@pytest.mark.parametrize(
    ("moisture", "species", "limit"),
    [(3.0, "", "3 %"), (23.0, "", "22 %"), (28.0, "Picea sitchensis", "27 %")],
)
def test_outside_its_limits_the_rule_is_refused(
    moisture: float, species: str, limit: str
) -> None:
    """Bone-dry and green wood follow other laws."""
    with pytest.raises(RefusedError, match=limit):
        at_12(moisture, species)
