"""Tests of the wood map."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from labels import plot_map, plot_places
from labels.page import open_document
from labels.plot_axes import Axis, Field, Scale
from labels.plot_figure import Figure, Label
from labels.plot_map import Half, Piece, WoodMap
from tests.labels.plot_samples import pieces, wood_map
from tests.labels.plot_trials import many_pieces

BOX = (11.0, 11.0, 188.0, 126.0)


def said(plot: WoodMap) -> list[str]:
    """Return what a wood map says."""
    page = open_document((210, 148), "map")
    return [label.words for label in plot_map.draw(page, BOX, plot)]


@pytest.mark.parametrize(
    ("density_gram_per_m3", "e_along_pa", "ratio"),
    [
        (400_000, 10_000_000_000, 12_500),  # sqrt(1e10 / 6.4e7) = 12.5
        (432_000, 13_200_000_000, 12_796),  # sqrt(1.32e10 / 8.0622e7) = 12.7956
        (1_000_000, 1_000_000_000, 1_000),
    ],
)
def test_the_radiation_ratio(
    density_gram_per_m3: int, e_along_pa: int, ratio: int
) -> None:
    """R = sqrt(E / rho^3). Worked out by hand."""
    assert plot_map.ratio_milli(density_gram_per_m3, e_along_pa) == ratio


def test_curves_are_drawn_for_round_ratios() -> None:
    """Between R 8.0 and 20.3 the curves are 10 to 20 by two. Worked out by hand."""
    x = Axis(name="", low=380_000, high=500_000, ticks=(380_000, 500_000))
    y = Axis(name="", low=8 * 10**9, high=16 * 10**9, ticks=(8 * 10**9, 16 * 10**9))
    field = Field(x=Scale(axis=x, start=0, end=100), y=Scale(axis=y, start=100, end=0))

    # sqrt(8e9 / 5e2^3) = 8.0 at the lower right, sqrt(16e9 / 380^3) = 17.1 upper left
    assert plot_map.curves_milli(field) == (10_000, 12_000, 14_000, 16_000)


def test_a_wood_map_names_what_it_shows() -> None:
    """The chosen by name, both axes with their units, the groups with their number."""
    words = said(wood_map())

    for expected in (
        "L26-004-11, chosen",
        "E along the grain, GPa, at 12 % MC",
        "density, kg/m³",
        "typical, k = 2",
        "Ferrante, 12",
        "Valdesund, 6",
        "R 12",
    ):
        assert expected in words
    assert any(w.startswith("18 pieces, 13 pairs joined by a line") for w in words)


def test_every_chosen_one_is_named_in_a_crowd() -> None:
    """Of 200 boards the three that were chosen have their names."""
    words = said(many_pieces())

    for number in ("03", "77", "150"):
        assert f"L26-004-{number}, chosen" in words
    assert any("unnamed for want of room" in each for each in words)


def test_more_groups_than_marks_are_put_together() -> None:
    """Of nine sawyers four have their own mark, and the rest are counted."""
    words = said(many_pieces())

    counts = [int(w.rsplit(", ", 1)[1]) for w in words if w.startswith("sawyer ")]
    assert len(counts) == 4
    assert f"others, {200 - sum(counts)}" in words


def test_pieces_that_were_not_tapped_are_left_out() -> None:
    """A board without numbers is neither drawn nor counted."""
    bare = Piece(name="07", halves=())
    words = said(replace(wood_map(), pieces=(*pieces(3, ()), bare)))

    assert any(each.startswith("3 pieces") for each in words)


def test_halves_far_apart_are_ringed_one_by_one() -> None:
    """A pair that does not match still has one name."""
    far = Piece(
        name="far",
        halves=(
            Half(density_gram_per_m3=380_000, e_along_pa=8_000_000_000),
            Half(density_gram_per_m3=480_000, e_along_pa=14_000_000_000),
        ),
        chosen=True,
    )
    words = said(replace(wood_map(), pieces=(far,)))

    assert words.count("far, chosen") == 1


def test_the_cross_keeps_its_words_where_the_place_beside_it_is_taken(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """They stand in one of its corners: bare, it would be taken for a board."""
    free = plot_places.first_free

    def beside_taken(
        figure: Figure,
        spots: Sequence[tuple[float, float]],
        words: str,
        *how: Any,
        **more: Any,
    ) -> Label | None:
        left = spots[1:] if words == "typical, k = 2" else spots
        return free(figure, left, words, *how, **more)

    monkeypatch.setattr(plot_places, "first_free", beside_taken)

    assert "typical, k = 2" in said(wood_map())


def test_a_map_of_nothing_says_so() -> None:
    """No tapped board is no reason to fail."""
    words = said(replace(wood_map(), pieces=()))

    assert "No board of these has been tapped and weighed yet." in words
