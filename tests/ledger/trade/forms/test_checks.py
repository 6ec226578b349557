"""Tests of what no form takes."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.errors import RefusedError
from ledger.trade.forms.checks import component, refuse_unfit, refuse_unfit_way
from tests.ledger.trade.forms.samples import OLD, ROSEWOOD, SALE


def test_a_known_item_passes() -> None:
    """Also a hybrid, a variety, and a special designation."""
    for taxon in ("Picea abies", "Populus × canadensis", "Acer saccharum var. nigrum"):
        refuse_unfit([replace(ROSEWOOD, taxon=taxon)])
    refuse_unfit([replace(ROSEWOOD, taxon="SPECIAL COMPOSITE"), OLD])


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"taxon": ""}, "back of 26-0147-3 has no scientific name, and a form asks"),
        ({"taxon": "rosewood"}, "is called 'rosewood', and a form asks for genus"),
        ({"taxon": "Dalbergia spp."}, "is called 'Dalbergia spp.'"),
        ({"taxon": "Unknown wood"}, "is called 'Unknown wood'"),
        ({"taxon": "Dalbergia"}, "find out which it is, and record it"),
        ({"kind": "unknown"}, "whether Dalbergia latifolia is a plant or an animal"),
        ({"origin": None}, "has no country of origin: ask whoever sold it"),
        ({"origin": "EU"}, "comes from the Union, and a form asks for a country"),
        ({"origin": "XX"}, "has the country of origin 'XX', which is no country"),
        ({"origin": "in"}, "'in', which is no country: write its two capital letters"),
        ({"mass_mg": None}, "back of 26-0147-3 (Dalbergia latifolia) has no mass"),
        ({"mass_mg": 0}, "both must be more than nought"),
        ({"pieces": 0}, "has 0 pieces and 746000 mg"),
        ({"source": "Q"}, "has the source 'Q', which is none of W, X, R"),
    ],
)
def test_what_nobody_knows_is_refused_by_component(
    change: dict[str, Any], words: str
) -> None:
    """The sentence names the part, and says what to do."""
    with pytest.raises(RefusedError) as refused:
        refuse_unfit([OLD, replace(ROSEWOOD, **change)])

    assert words in str(refused.value)


def test_the_refusal_says_where_a_tree_grows() -> None:
    """Nothing is guessed: a country from the table of names is a hint."""
    with pytest.raises(RefusedError, match="the table has it growing in BR"):
        refuse_unfit([replace(OLD, origin=None)])


@pytest.mark.parametrize(
    ("legs", "words"),
    [
        ((), "X26-0001 names no country"),
        (("US", "ZZ"), "by way of 'ZZ', which is no country"),
        (("us", "FR"), "by way of 'us'"),
    ],
)
def test_a_way_through_no_country_is_refused(legs: tuple[str, ...], words: str) -> None:
    """Every leg is a country or the Union."""
    refuse_unfit_way(replace(SALE, legs=("US", "EU")))
    with pytest.raises(RefusedError) as refused:
        refuse_unfit_way(replace(SALE, legs=legs))

    assert words in str(refused.value)


def test_a_component_has_a_name_whatever_is_missing() -> None:
    """Part, trade name, species, or just a part."""
    nameless = replace(ROSEWOOD, part="", trade_name="", taxon="")

    assert component(ROSEWOOD) == "back of 26-0147-3"
    assert component(replace(ROSEWOOD, part="")) == "East Indian rosewood of 26-0147-3"
    assert component(nameless) == "a part of 26-0147-3"
