"""What is said of a plate is of it: each place once, and none beyond its end."""

from dataclasses import replace

import pytest
from pydantic import ValidationError

from ledger.events.plate import GaugedPlace
from tests.sentences_build import GRADUATED

PLACES = GRADUATED.places


def test_a_place_may_lie_on_both_ends_of_the_plate() -> None:
    """At the lower end y is nought, at the other the length."""
    ends = (
        *PLACES,
        GaugedPlace(x_um=0, y_um=0, thickness_um=3_000),
        GaugedPlace(x_um=0, y_um=GRADUATED.length_um, thickness_um=3_000),
    )

    assert replace(GRADUATED, places=ends).places == ends


@pytest.mark.parametrize(
    ("places", "why"),
    [
        (PLACES[:2], "at least 3"),
        ((*PLACES, replace(PLACES[0], thickness_um=7_000)), "gauged once"),
        (
            (*PLACES, replace(PLACES[0], y_um=GRADUATED.length_um + 1)),
            "beyond the end of the plate",
        ),
        (
            tuple(replace(PLACES[0], x_um=number) for number in range(201)),
            "at most 200",
        ),
    ],
)
def test_places_that_no_plate_has_are_not_said(
    places: tuple[GaugedPlace, ...], why: str
) -> None:
    """Neither too few nor too many, none twice, none in the air."""
    with pytest.raises(ValidationError, match=why):
        replace(GRADUATED, places=places)
