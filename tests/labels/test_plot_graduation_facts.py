"""Where a plate is thickest and thinnest, in words that anybody can find on it."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.plot_graduation_facts import (
    Place,
    Plate,
    decimals,
    digits,
    finding,
    is_inside,
    outline_of,
    outside,
)
from tests.labels.graduation_samples import flat_top

BARE = Plate(name="top", length_um=500_000)


def plate(*places: tuple[int, int, int]) -> Plate:
    """Return a plate with places of x, y [mm] and thickness [um]."""
    return replace(
        BARE,
        places=tuple(
            Place(x_um=x * 1000, y_um=y * 1000, thickness_um=um) for x, y, um in places
        ),
    )


@pytest.mark.parametrize(
    ("x", "y", "where"),
    [
        (0, 150, "on the centre line of the lower bout"),
        (60, 150, "in the lower bout"),
        (-180, 130, "at the edge of the lower bout"),
        (0, 290, "on the centre line of the waist"),
        (0, 400, "on the centre line of the upper bout"),
        (0, 490, "at the edge of the upper bout"),
        (0, 5, "at the edge of the lower bout"),
    ],
)
def test_a_place_is_told_by_the_part_of_the_plate(x: int, y: int, where: str) -> None:
    """By the outline of its kind."""
    told = finding(plate((x, y, 4_600), (40, 60, 3_000), (45, 70, 3_000)), "flat-top")

    assert told.replace("\u2009", " ") == (
        f"Thickest 4.6 mm {where}, thinnest 3.0 mm at 2\u00a0places"
    )


def test_without_an_outline_only_halves_are_told() -> None:
    """Nobody knows where the edge of a lute is."""
    told = finding(plate((0, 100, 3_000), (60, 400, 2_000), (0, 200, 2_500)), "lute")

    assert "on the centre line of the lower half" in told
    assert "in the upper half" in told


def test_a_plate_of_one_thickness_says_so() -> None:
    """With as many decimals as were read."""
    even = plate((0, 100, 3_050), (50, 400, 3_050), (0, 200, 3_050))

    assert finding(even, "flat-top") == "3.05\u2009mm thick at all 3\u00a0places"


@pytest.mark.parametrize(
    ("um", "places", "said"),
    [(2_400, 1, "2.4"), (2_449, 1, "2.4"), (2_450, 1, "2.5"), (2_381, 2, "2.38")],
)
def test_a_thickness_is_rounded_half_up(um: int, places: int, said: str) -> None:
    """A 3/32 in plate has 2.38 mm."""
    assert digits(um, places) == said


def test_the_finest_reading_gives_the_decimals() -> None:
    """Tenths as long as all are tenths."""
    assert decimals([2_400, 3_000]) == 1
    assert decimals([2_400, 3_050]) == 2


def test_an_outline_is_stretched_to_the_plate() -> None:
    """To its length alone, or to its width as well."""
    natural = outline_of(BARE, "flat-top")
    wide = outline_of(replace(BARE, width_um=420_000), "flat-top")

    assert max(y for _, y in natural) == pytest.approx(500_000)
    assert 2 * max(x for x, _ in natural) == pytest.approx(386_000, rel=0.01)
    assert 2 * max(x for x, _ in wide) == pytest.approx(420_000)
    assert outline_of(BARE, "lute") == ()


def test_places_off_the_outline_are_counted() -> None:
    """Where there is none, no place is off it."""
    off = plate((0, 100, 3_000), (230, 250, 3_000), (0, 520, 3_000))

    assert outside(off, "flat-top") == 2
    assert outside(off, "lute") == 0
    assert outside(flat_top(), "flat-top") == 0
    assert not is_inside([(0, 0), (10, 0), (0, 10)], (9, 9))


@given(st.integers(0, 99), st.integers(0, 100))
def test_a_place_on_the_outline_is_on_the_plate(corner: int, percent: int) -> None:
    """As near as a whole micrometre tells, on any of its sides."""
    outline = outline_of(BARE, "flat-top")
    corner %= len(outline)
    (ax, ay), (bx, by) = outline[corner - 1], outline[corner]
    x = round(ax + (bx - ax) * percent / 100, 1)
    y = round(ay + (by - ay) * percent / 100, 1)

    assert is_inside(outline, (x, y))


def test_both_ends_of_the_centre_line_are_on_the_plate() -> None:
    """A builder begins and ends there."""
    ends = plate((0, 0, 3_000), (0, 500, 3_000), (0, 250, 3_000))

    assert outside(ends, "flat-top") == 0
    assert not is_inside([(0, 0), (10, 0), (0, 10)], (5, 6))
    assert is_inside([(0, 0), (10, 0), (0, 10)], (5, 5))
