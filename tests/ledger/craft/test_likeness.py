"""How alike two boards are: worked by hand, the same both ways, told with numbers."""

from itertools import combinations
from typing import Any

import pytest
from hypothesis import given

from ledger.craft.likeness import (
    Candidate,
    colour_milli,
    costs_between,
    kin_of,
    likeness,
    likeness_words,
    ratio_ppm,
    trait_words,
)
from ledger.craft.matching_policy import first_matching_policy, matching_policy
from ledger.errors import RefusedError
from ledger.ids import BoardId
from tests.ledger.craft.racks import FIRST, RACKS, half

ONE = "L26-001-07.A"


@pytest.mark.parametrize(
    ("other", "kin"),
    [
        ("L26-001-07.B", "one_board"),
        ("L26-001-07.C2", "one_board"),
        ("L26-001-08.A", "neighbours"),
        ("L26-001-06", "neighbours"),
        ("L26-001-09.A", "one_lot"),
        ("L26-002-07.B", "strangers"),
        ("L25-001-07.B", "strangers"),
    ],
)
def test_kin_is_read_off_the_codes(other: str, kin: str) -> None:
    """Halves of one board, neighbours in the billet, one lot, two lots; either way."""
    boards = BoardId.parse(ONE), BoardId.parse(other)

    assert kin_of(*boards) == kin_of(*boards[::-1]) == kin


def test_points_are_those_worked_by_hand() -> None:
    """Neighbours 10, density 2 % at 4 points, colour 5 units at 2: 28 in all."""
    one = half(ONE, 396)
    other = half("L26-001-08.A", 404, lab_milli=(83_000, 8_000, 22_000))
    like = likeness(one, other, FIRST)
    told = [each.replace("\u2009", " ") for each in likeness_words(one, other, like)]

    assert ratio_ppm(396_000, 404_000) == 20_000
    assert like.points_milli == 28_000
    assert like.against == ()
    assert told == [
        "neighbours in the billet",
        "density 396 kg/m³ and 404 kg/m³, 2.0 % apart",
        "radiation ratio 12.80 and 12.80, 0.0 % apart",
        "stiffness across 0.850 GPa and 0.850 GPa, 0.0 % apart",
        "ring width 1.40 mm and 1.40 mm, 0.0 % apart",
        "figure none",
        "colour 5.0 apart (CIE 1976)",
    ]


def test_a_step_of_figure_is_told_and_costs() -> None:
    """Slight beside clear is one step at ten points."""
    one, other = half(ONE, figure="slight"), half("L26-001-07.B", figure="clear")
    like = likeness(one, other, FIRST)

    assert like.points_milli == 10_000
    assert "figure slight and clear" in likeness_words(one, other, like)


@pytest.mark.parametrize(
    ("change", "points", "words"),
    [
        ({"density_gram_per_m3": None}, 20_000, "the density of L26-001-07.B"),
        ({"across_pa": None}, 10_000, "the stiffness across of L26-001-07.B"),
        ({"figure": None}, 10_000, "the figure of L26-001-07.B"),
        ({"lab_milli": None}, 10_000, "the colour of L26-001-07.B"),
    ],
)
def test_what_nobody_measured_costs_and_is_told(
    change: dict[str, Any], points: int, words: str
) -> None:
    """The unknown is neither free nor forbidden."""
    one, other = half(ONE), half("L26-001-07.B", **change)
    like = likeness(one, other, FIRST)

    assert like.points_milli == points
    assert f"nobody measured {words}" in likeness_words(one, other, like)


@pytest.mark.parametrize(
    ("other", "change", "against"),
    [
        ("L26-002-07.B", {}, "boards of two lots are no pair by first 1"),
        (
            "L26-001-07.B",
            {"density_gram_per_m3": 457_000},
            "density 8.4378 % apart, more than 8 %",
        ),
        (
            "L26-001-07.B",
            {"figure": "clear"},
            "figure 2 steps apart, more than 1 step",
        ),
    ],
)
def test_what_is_too_far_apart_is_told(
    other: str, change: dict[str, Any], against: str
) -> None:
    """Boards that are no pair say why, with both numbers."""
    like = likeness(half(ONE), half(other, **change), FIRST)

    assert [each.replace("\u2009", " ") for each in like.against] == [against]


@given(RACKS)
def test_many_cost_what_each_would(boards: tuple[Candidate, ...]) -> None:
    """The fast way and the one that tells its reasons say the same of every pair."""
    text = first_matching_policy()
    text["kin"]["strangers"] = 50
    for policy in (FIRST, matching_policy(text)):
        edges = list(combinations(range(len(boards)), 2))
        costs = costs_between(boards, edges, policy)

        for a, b in edges:
            there, back = (
                likeness(boards[x], boards[y], policy) for x, y in ((a, b), (b, a))
            )
            assert there.points_milli == back.points_milli
            assert costs.get((a, b)) == (None if there.against else there.points_milli)


def test_colours_differ_by_the_rule_of_three_squares() -> None:
    """Three and four make five."""
    assert colour_milli((50_000, 3_000, 4_000), (50_000, 0, 0)) == 5_000


@pytest.mark.parametrize(
    ("trait", "value", "told"),
    [
        ("density", 412_400, "412 kg/m³"),
        ("along", 11_240_000_000, "11.24 GPa"),
        ("across", 850_000_000, "0.850 GPa"),
        ("radiation ratio", 12_806, "12.81"),
        ("ring width", 1_693, "1.69 mm"),
    ],
)
def test_traits_are_printed_in_their_units(trait: str, value: int, told: str) -> None:
    """Each number has its unit and no more digits than a bench can read."""
    assert trait_words(trait, value).replace("\u2009", " ") == told


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"density_gram_per_m3": 0}, "density of board L26-001-07.A is 0"),
        ({"along_pa": -1}, "along of board L26-001-07.A is -1"),
        ({"ring_width_um": 10**13}, "which no wood has: measure it again"),
        ({"figure": "wild"}, "figure 'wild' of board L26-001-07.A is not one of none"),
    ],
)
def test_what_no_wood_has_is_refused(change: dict[str, Any], said: str) -> None:
    """A number that cannot be is not compared with anything."""
    with pytest.raises(RefusedError, match=said):
        half(ONE, **change)
