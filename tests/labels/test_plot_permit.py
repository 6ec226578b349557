"""Tests of the stack under a permit or a lot."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels import plot_permit
from labels.page import open_document
from labels.plot_figure import Label
from labels.plot_permit import PermitStack, folded, places_for, slabs, whole_mg
from ledger.errors import RefusedError
from tests.labels.book_samples import many_shares, share, stack


def labels(plot: PermitStack, width: float = 188.0) -> tuple[Label, ...]:
    """Return the words of a stack."""
    page = open_document((210, 148), "stack")
    return plot_permit.draw(page, (11, 11, width, 126), plot)


def test_a_stack_says_what_is_left_and_who_drew() -> None:
    """Each share with its kilograms, and what is left at its level."""
    words = [label.words.replace("\u2009", " ") for label in labels(stack())]

    for expected in ("35.8 kg left", "26-0147-3", "3.2 kg", "8.2 kg", "for 26-0162"):
        assert expected in words
    assert "Diospyros crassiflora" in words and "7 boards left" in words
    assert "kg of permit P" in words and "60" in words


def test_what_was_drawn_stands_over_what_is_left() -> None:
    """From above to below as they lie, and what is left under all of them."""
    found = {label.words.replace("\u2009", " "): label.top for label in labels(stack())}
    order = [
        found[name]
        for name in ("kerf, dust and drying", "26-0031-7", "26-0147-3", "for 26-0162")
    ]

    assert order == sorted(order)
    assert order[-1] < found["35.8 kg left"]


@given(st.lists(st.integers(1, 10**7), max_size=300), st.floats(1e-6, 1e-3))
def test_slabs_hold_every_board(masses: list[int], mm_per_mg: float) -> None:
    """Nothing of the mass is lost where boards are laid together."""
    together, thick = slabs(masses, mm_per_mg)

    assert sum(thick) == sum(masses)
    assert len(thick) == -(-len(masses) // together)


def test_few_boards_are_a_slab_each() -> None:
    """And of many thin ones several are one. Worked out by hand."""
    assert slabs((5_000_000, 3_000_000), 2e-6) == (1, [5_000_000, 3_000_000])
    assert slabs((250_000,) * 8, 2e-6) == (4, [1_000_000, 1_000_000])


def test_the_least_instruments_are_folded_into_one() -> None:
    """What is kept or lost keeps its own line, and no gram is lost."""
    shares = (
        share("kept", 10, "kept"),
        *many_shares().shares,
        share("dust", 5, "lost"),
    )
    few = folded(shares, 6)

    assert len(few) == 6
    assert [each.name for each in few if each.kind != "instrument"] == ["kept", "dust"]
    assert "57 more instruments" in {each.name for each in few}
    assert sum(e.mass_mg for e in few) == sum(e.mass_mg for e in shares)


def test_instruments_too_thin_to_be_seen_are_folded() -> None:
    """One of them alone stays, for it would be hidden for nothing."""
    shares = (share("a", 100), share("b", 1), share("c", 2))

    assert [each.name for each in folded(shares, 9, 50_000)] == [
        "a",
        "2 more instruments",
    ]
    assert folded(shares[:2], 9, 50_000) == shares[:2]


@pytest.mark.parametrize(
    ("mass_mg", "places"), [(60_000_000, 1), (2_252_000, 2), (1_480_000, 3), (0, 3)]
)
def test_a_light_stack_is_told_to_the_gram(mass_mg: int, places: int) -> None:
    """A heavy one is told to a hundred grams."""
    assert places_for(mass_mg) == places


def test_all_shares_and_boards_make_the_whole() -> None:
    """The worked example adds up to the 60 kg of the permit, by hand."""
    assert whole_mg(stack()) == 60_000_000


def test_a_share_below_nothing_is_refused() -> None:
    """A stack cannot weigh less than what lies in it."""
    bad = replace(stack(), shares=(share("26-0147-3", -1),))
    with pytest.raises(RefusedError, match=r"26-0147-3 would be −0\.001"):
        labels(bad)


def test_what_nobody_weighed_is_said() -> None:
    """A lot that was never on the scale is no reason to fail."""
    bare = replace(stack(), left_mg=(), shares=(), issued_mg=None)

    assert "Nobody has weighed any wood of it yet." in [e.words for e in labels(bare)]
