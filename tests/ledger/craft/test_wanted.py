"""What a part asks: every reason why a board does not do, and how many have it."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.craft.wanted import Wanted, faults_of, tally
from ledger.errors import RefusedError
from tests.ledger.craft.racks import TOP, half

BOARD = half("L26-001-07.A")
WAITS = "rested 12 of 90 days"


def words(wanted: Wanted = TOP, **changes: Any) -> list[str]:
    """Return why a board that was changed does not do."""
    faults = faults_of(replace(BOARD, **changes), wanted)
    return [fault.words.replace("\u2009", " ") for fault in faults]


def test_a_board_that_does_has_no_fault() -> None:
    """Large enough to the last micrometre, of any wood, ready: nothing is amiss."""
    assert words() == []
    assert words(length_um=550_000, width_um=203_000, thickness_um=4_000) == []


@pytest.mark.parametrize(
    ("wanted", "change", "said"),
    [
        (
            {},
            {"width_um": 202_999},
            "width 202.999 mm is below the 203 mm that top needs",
        ),
        ({}, {"thickness_um": None}, "nobody measured its thickness"),
        ({}, {"waits": (WAITS,)}, WAITS),
        ({"species": ("Thuja plicata",)}, {}, "Picea abies is not Thuja plicata"),
        (
            {"species": ("Thuja", "Cedrus")},
            {},
            "Picea abies is not Thuja or Cedrus",
        ),
        (
            {"grades": ("first", "second")},
            {"grade": "third"},
            "graded third, and first or second is wanted",
        ),
        (
            {"grades": ("first",)},
            {"grade": None},
            "not graded for top, and first is wanted",
        ),
    ],
)
def test_a_fault_is_told_with_both_sides(
    wanted: dict[str, Any], change: dict[str, Any], said: str
) -> None:
    """What the board has, and what the part needs."""
    assert words(replace(TOP, **wanted), **change) == [said]


def test_all_faults_are_told_not_the_first_alone() -> None:
    """A board that is short, thin and wet is told all three."""
    found = words(length_um=1, thickness_um=1, waits=(WAITS, "no air"))

    assert len(found) == 4


@pytest.mark.parametrize(
    "species", [("Picea",), ("Picea abies",), ("picea abies (L.) H.Karst.",)]
)
def test_a_genus_or_a_species_may_be_wanted(species: tuple[str, ...]) -> None:
    """However the name is written."""
    assert words(replace(TOP, species=species)) == []


def test_unready_wood_may_be_looked_at() -> None:
    """Who plans ahead may ask for wood that still rests."""
    assert words(replace(TOP, must_be_ready=False), waits=(WAITS,)) == []


def test_faults_are_counted_by_board() -> None:
    """A board that waits for two reasons is one board that is not ready."""
    waits = replace(BOARD, waits=("a", "b"))
    narrow = replace(BOARD, width_um=1)
    faults = [faults_of(board, TOP) for board in (waits, narrow, narrow)]

    assert tally(faults) == "2 too narrow, 1 not ready"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"pieces": 3}, "top of 3 pieces cannot be matched"),
        ({"length_um": 0}, "the length of top is 0 µm"),
        ({"width_um": -5}, "the width of top is -5 µm"),
    ],
)
def test_a_part_that_cannot_be_is_refused(change: dict[str, Any], said: str) -> None:
    """A wish for nothing would be met by anything."""
    with pytest.raises(RefusedError, match=said):
        replace(TOP, **change)
