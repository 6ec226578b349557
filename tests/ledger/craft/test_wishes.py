"""What an order wishes: points by hand, hard bounds, words with both numbers."""

from typing import Any

import pytest

from ledger.craft.pairs import best_pairs
from ledger.craft.wanted import Wanted
from ledger.craft.wishes import (
    Band,
    Near,
    Unit,
    Wish,
    points_of,
    unit_faults,
    units_of,
    wish_words,
)
from ledger.errors import RefusedError
from tests.ledger.craft.racks import FIRST, TOP, half

PAIR = Unit(
    boards=(half("L26-001-07.A", 410), half("L26-001-07.B", 414)), points_milli=3_900
)


def wish(**changes: Any) -> Wish:
    """Return the wish of an order for a top."""
    told: dict[str, Any] = {"order": "26-0147-3", "due": "2026-11-01", "wanted": TOP}
    return Wish(**told | changes)


def plain(words: tuple[str, ...]) -> list[str]:
    """Return words with common spaces."""
    return [each.replace("\u2009", " ") for each in words]


def test_a_pair_without_wishes_costs_what_its_halves_are_apart() -> None:
    """Nothing wished, nothing added."""
    assert points_of(wish(), PAIR, FIRST) == 3_900
    assert plain(wish_words(wish(), PAIR)) == ["its halves are 3.9 points apart"]


def test_a_wish_costs_by_how_far_the_mean_is_off() -> None:
    """412 beside 420 is 1.923 % at four points: 7.692 points."""
    near = wish(near=(Near(trait="density", value=420_000),))

    assert points_of(near, PAIR, FIRST) == 3_900 + 7_692
    assert plain(wish_words(near, PAIR))[1] == (
        "density 412 kg/m³, 1.9 % off the 420 kg/m³ wished"
    )


def test_a_wish_that_the_policy_does_not_weigh_still_counts() -> None:
    """Stiffness along has no points of its own: one for each per cent."""
    board = Unit(boards=(half("L26-001-07", along_pa=10_100_000_000),))
    near = wish(near=(Near(trait="along", value=9_900_000_000),))

    assert points_of(near, board, FIRST) == 2_000
    assert plain(wish_words(near, board)) == [
        "stiffness along 10.10 GPa, 2.0 % off the 9.90 GPa wished"
    ]


def test_what_nobody_measured_costs_as_the_policy_says() -> None:
    """The unknown costs 20 points by the first policy, 10 where it has no word."""
    bare = Unit(boards=(half("L26-001-07", density_gram_per_m3=None),))
    density = wish(near=(Near(trait="density", value=420_000),))
    along = wish(near=(Near(trait="along", value=10**10),))

    assert points_of(density, bare, FIRST) == 20_000
    assert points_of(along, bare, FIRST) == 10_000
    assert plain(wish_words(density, bare)) == [
        "nobody measured the density, wished near 420 kg/m³"
    ]


def test_the_grade_named_first_is_preferred() -> None:
    """A better board than preferred costs as well; of two halves the later counts."""
    wanted = Wanted(
        part="top",
        length_um=1,
        width_um=1,
        thickness_um=1,
        grades=("second", "first"),
    )
    mixed = Unit(boards=(half("L26-001-07.A", grade="second"), half("L26-001-07.B")))
    second = Unit(boards=(half("L26-001-07.A", grade="second"),))

    assert points_of(wish(wanted=wanted), mixed, FIRST) == 10_000
    assert wish_words(wish(wanted=wanted), mixed)[-1] == "graded first"
    assert points_of(wish(wanted=wanted), second, FIRST) == 0
    assert wish_words(wish(wanted=wanted), second) == ("graded second as preferred",)


@pytest.mark.parametrize(
    ("bands", "kind", "words"),
    [
        (
            (Band(trait="density", most=411_000),),
            "above in density",
            "density 412 kg/m³ is above 411 kg/m³",
        ),
        (
            (Band(trait="density", least=413_000),),
            "below in density",
            "density 412 kg/m³ is below 413 kg/m³",
        ),
        (
            (Band(trait="along", least=1),),
            "not measured",
            "nobody measured the stiffness along",
        ),
    ],
)
def test_a_band_is_kept_or_told(bands: tuple[Band, ...], kind: str, words: str) -> None:
    """The mean of both halves counts, and what nobody measured is in no band."""
    (fault,) = unit_faults(wish(bands=bands), PAIR)

    assert (fault.kind, fault.words.replace("\u2009", " ")) == (kind, words)


def test_a_band_is_kept_on_its_bounds() -> None:
    """The bounds themselves are good."""
    band = Band(trait="density", least=412_000, most=412_000)

    assert unit_faults(wish(bands=(band,)), PAIR) == ()


def test_one_board_is_no_pair() -> None:
    """A part of two halves takes a pair, and a part of one takes no pair."""
    single = Unit(boards=(half("L26-001-07"),))
    (fault,) = unit_faults(wish(), single)

    assert fault.words == "L26-001-07 is not a pair"


def test_pairs_become_units_with_their_points() -> None:
    """What was paired can be offered to orders as it is."""
    boards = [half("L26-001-07.B", 414), half("L26-001-07.A", 410)]
    (unit,) = units_of(best_pairs(boards, TOP, FIRST), boards)

    assert unit.words == "L26-001-07.A and L26-001-07.B"
    assert unit.mean("density") == 412_000
    assert unit.points_milli == 3_883


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Band(trait="figure"), "'figure' is none of the traits"),
        (lambda: Near(trait="tone", value=3), "'tone' is none of the traits"),
        (lambda: Near(trait="density", value=0), "density near 0 is no wish"),
    ],
)
def test_a_wish_for_nothing_measured_is_refused(make: Any, said: str) -> None:
    """Only what is measured in numbers can be wished near a number."""
    with pytest.raises(RefusedError, match=said):
        make()
