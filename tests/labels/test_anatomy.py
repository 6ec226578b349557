"""Tests of which drawing a wood gets."""

import pytest

from labels.anatomy import ALIKE, ANATOMIES, GENERA, OWN, UNKNOWN, Anatomy, anatomy_of
from labels.hatches import WAYS, WEIGHTS


@pytest.mark.parametrize(
    ("species", "drawn"),
    [
        ("Picea abies", ("straight", "#F3E6C4", "#8A6A22")),
        ("Dalbergia latifolia", ("waves", "#A77A6E", "#2E1517")),
        ("Swietenia macrophylla", ("dashes", "#D9A98A", "#6B3218")),
        ("Diospyros crassiflora", ("solid", "#1F1A18", "#1F1A18")),
        ("Juglans nigra", ("slanted", "#A58560", "#3D2610")),
        ("Acer macrophyllum", ("flame", "#EFE4CF", "#7E6A44")),
        ("Ilex aquifolium", ("blank", "#FBFAF3", "#7A6A58")),
        ("Quercus robur (bog oak)", ("crossed", "#77706A", "#1C1A18")),
    ],
)
def test_the_woods_of_the_style_sheet_look_as_it_says(
    species: str, drawn: tuple[str, str, str]
) -> None:
    """Pattern, tint and line, row by row."""
    assert anatomy_of(species) == Anatomy(*drawn)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("species", "like"),
    [
        ("Picea sitchensis", "spruce"),
        ("Thuja plicata", "red conifer"),
        ("Dalbergia nigra", "rosewood"),
        ("Dalbergia melanoxylon", "ebony"),
        ("Khaya spp.", "mahogany"),
        ("Quercus robur", "pale ring-porous"),
        ("fraxinus excelsior", "pale ring-porous"),
        ("Acer saccharum", "maple"),
    ],
)
def test_a_species_without_a_row_is_drawn_as_its_genus(species: str, like: str) -> None:
    """Oak is ring-porous, and only where it lay in the bog is it black."""
    assert anatomy_of(species) == ANATOMIES[like]


def test_a_genus_without_a_row_is_drawn_as_most_hardwoods_are() -> None:
    """Scattered vessels, in long lines."""
    assert anatomy_of("Nowhere arbor").pattern == "dashes"


@pytest.mark.parametrize("species", ["", "  ", "unknown", "Unknown", "?"])
def test_what_nobody_named_is_not_guessed(species: str) -> None:
    """It is white, and bears a question mark."""
    assert anatomy_of(species) == UNKNOWN


def test_every_genus_stands_in_one_row() -> None:
    """The rows name drawings that there are, and no genus twice."""
    named = [genus for genera in ALIKE.values() for genus in genera.split()]

    assert len(named) == len(set(named)) == len(GENERA)
    assert {*ALIKE, *OWN.values()} <= set(ANATOMIES)


def test_every_pattern_can_be_turned_and_has_a_weight() -> None:
    """What is not known has no lines."""
    patterns = {anatomy.pattern for anatomy in ANATOMIES.values()}

    assert patterns == set(WEIGHTS)
    assert all(len(WAYS[pattern]) >= 3 for pattern in patterns)
