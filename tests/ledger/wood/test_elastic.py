"""Tests of what a wood usually is."""

import pytest

from ledger.errors import RefusedError
from ledger.wood.elastic import (
    GUESSED_POISSON,
    printed,
    require_poisson,
    usual_stiffness,
)
from ledger.wood.species import species


def test_a_species_has_what_is_printed_of_it() -> None:
    """Sitka spruce: 10.8 GPa in bending, .078, .064 and .372; from memory."""
    sitka = usual_stiffness("picea sitchensis")

    assert sitka.name == "Picea sitchensis"
    assert sitka.e_along == pytest.approx(1.1 * 10.8e9)
    assert (sitka.across_ratio, sitka.shear_ratio) == pytest.approx((0.078, 0.064))
    assert sitka.poisson.value == pytest.approx(0.372)
    assert "Wood Handbook" in sitka.sources[0]


def test_what_lacks_is_taken_from_the_genus_and_then_from_any_wood() -> None:
    """European spruce lends the ratios of spruces; rosewood those of any wood."""
    abies, nigra = usual_stiffness("Picea abies"), usual_stiffness("Dalbergia nigra")

    assert abies.e_along == pytest.approx(1.1 * 9.7e9)
    assert 0.372 < abies.poisson.value < 0.422
    assert 0.078 < abies.across_ratio < 0.128
    assert nigra.poisson == GUESSED_POISSON
    assert nigra.across_ratio == 0.09


def test_an_unknown_wood_is_any_wood() -> None:
    """A genus stands for its species, and nothing for everything."""
    assert usual_stiffness("Khaya ivorensis").name == "Khaya"
    assert usual_stiffness("Fantasia fictilis").name == "any wood"
    assert usual_stiffness().name == "any wood"
    assert usual_stiffness().spreads > usual_stiffness("Picea abies").spreads


def test_the_table_names_woods_as_that_of_densities_does() -> None:
    """Whoever has a density has a stiffness, but for woods nobody printed one of."""
    known = {row.name for row in printed()}
    weighed = {row.name for row in species()}

    assert weighed - known == {"Dalbergia retusa", "Dalbergia stevensonii"}
    assert known - weighed == {"Thuja occidentalis"}
    assert [row.name for row in printed()] == sorted(known)
    assert all(row.source and row.confidence for row in printed())


def test_a_ratio_that_no_wood_has_is_refused() -> None:
    """Above nothing and below 0.9, and nothing else."""
    require_poisson(0.35)
    for ratio in (0.0, -0.3, 0.9, 35.0):
        with pytest.raises(RefusedError, match="is none of wood's"):
            require_poisson(ratio)
