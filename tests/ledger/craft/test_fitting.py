"""Wood for a part: of the species that the model names, and large enough."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.fitting import Wanted, Wood, fits, is_of

TOP = Wanted(
    part="top",
    species=("Picea", "Thuja plicata"),
    length_um=500_000,
    width_um=200_000,
    thickness_um=2_800,
)
SIZES = {"length_um": 559_000, "width_um": 203_000, "thickness_um": 4_200}


@pytest.mark.parametrize(
    ("species", "wanted", "is_it"),
    [
        ("Picea abies", "Picea", True),
        ("Picea abies (L.) H.Karst.", "picea", True),
        ("Picea abies", "Picea abies", True),
        ("Picea abies", "Picea sitchensis", False),
        ("Pinus strobus", "Picea", False),
        ("unknown", "Picea", False),
    ],
)
def test_a_genus_stands_for_all_of_its_species(
    species: str, wanted: str, is_it: bool
) -> None:
    """A species named stands for itself alone, whoever described it."""
    assert is_of(species, wanted) is is_it


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({}, ()),
        ({"species": ("Thuja plicata",)}, ()),
        (
            {"species": ("Thuja occidentalis",)},
            ("of Thuja occidentalis, and the top is made of Picea or Thuja plicata",),
        ),
        ({"length_um": 499_999}, ("long, and the top is 500",)),
        ({"width_um": 199_000, "thickness_um": 2_700}, ("wide, and", "thick, and")),
        ({"length_um": None, "width_um": None, "thickness_um": None}, ()),
    ],
)
def test_every_reason_is_told(
    changes: dict[str, object], said: tuple[str, ...]
) -> None:
    """Both sides are named; a size that nobody took says nothing against wood."""
    wood = Wood(**({"species": ("Picea abies",)} | SIZES | changes))  # type: ignore[arg-type]
    reasons = fits(wood, TOP).reasons

    assert len(reasons) == len(said)
    for words, reason in zip(said, reasons, strict=True):
        assert words in reason


def test_of_glued_wood_each_species_must_be_allowed() -> None:
    """The one that is not allowed is named."""
    glued = Wood(species=("Picea abies", "Acer rubrum"))

    assert "it is of Acer rubrum, and" in fits(glued, TOP).reasons[0]


@given(st.integers(1, 10**6), st.integers(1, 10**6))
def test_what_is_large_enough_stays_so_when_it_is_larger(size: int, more: int) -> None:
    """And a part that asks for nothing takes any wood."""
    wanted = Wanted(part="brace", length_um=size)

    assert fits(Wood(species=("Picea abies",), length_um=size), wanted)
    assert fits(Wood(species=("Picea abies",), length_um=size + more), wanted)
    assert not fits(Wood(species=("Picea abies",), length_um=size - 1), wanted)
    assert fits(Wood(species=("Picea abies",), length_um=1), Wanted(part="brace"))
