"""Tests of the seasoning curve."""

from dataclasses import replace

from labels import plot_seasoning
from labels.page import Page, open_document
from labels.plot_figure import Label
from labels.plot_seasoning import Ready, RestBand, Seasoning, Series, Weight
from tests.labels.plot_samples import seasoning

BOX = (11.0, 11.0, 188.0, 126.0)


def page() -> Page:
    """Return an empty sheet."""
    return open_document((210, 148), "seasoning")


def labels(plot: Seasoning) -> tuple[Label, ...]:
    """Return the words of a seasoning curve."""
    return plot_seasoning.draw(page(), BOX, plot)


def said(plot: Seasoning) -> list[str]:
    """Return what a seasoning curve says."""
    return [label.words for label in labels(plot)]


def test_a_seasoning_curve_says_what_the_shop_needs() -> None:
    """Who is at rest, who is not, when ready, by which limits, from how many."""
    words = said(seasoning())

    for expected in (
        "Set 11 came to rest; set 19 has not",
        "L26-004-11",
        "L26-004-19: still 2.4 g a month",
        "at rest about day 142, 131 to 158 (k = 2)",
        "hatched: at rest, 408 to 416\u2009g; room at 8.2 to 8.8 % EMC",
        "least 90",
        "preferred 180",
        "13 weighed, 117 weights",
        "g, of each pair",
        "days in the rack",
    ):
        assert expected in words


def test_the_days_of_rest_do_not_run_through_the_limits() -> None:
    """Their dotted lines stand before the words are set: to the right of the tick."""
    ready = Ready(first_days=70, likely_days=76, last_days=82)
    set_ = {each.words: each for each in labels(replace(seasoning(), ready=ready))}
    tick = set_["90"]

    assert set_["least 90"].left > (tick.left + tick.right) / 2


def test_the_ticks_of_the_lot() -> None:
    """Masses by ten grams and days by months. Worked out by hand."""
    words = said(seasoning())

    assert [w for w in words if w.isdigit()] == [
        *map(str, range(0, 211, 30)),
        *map(str, range(400, 471, 10)),
    ]


def test_the_last_three_weights_are_compared() -> None:
    """Their spread is said to a tenth of a gram. 412.7, 412.1 and 412.4 g: 0.6 g."""
    masses = (430_000, 420_000, 412_700, 412_100, 412_400)
    weights = tuple(
        Weight(rest_days=30 * n, mass_mg=mass) for n, mass in enumerate(masses)
    )
    plot = replace(seasoning(), chosen=Series(name="07", weights=weights))

    assert "last three within 0.6\u2009g" in said(plot)


def test_of_three_weights_nothing_is_said_of_the_last_three() -> None:
    """All there are cannot be the last of many."""
    weights = tuple(Weight(rest_days=n, mass_mg=400_000) for n in range(3))
    plot = replace(seasoning(), chosen=Series(name="07", weights=weights))

    assert not any("last three" in words for words in said(plot))


def test_a_band_far_from_the_weights_is_still_shown() -> None:
    """Masses and days that matter are never outside the axes."""
    far = replace(
        seasoning(),
        rest=RestBand(low_mg=300_000, high_mg=310_000),
        ready=Ready(likely_days=900, first_days=600, last_days=1400),
    )
    found = {label.words: label for label in labels(far)}

    assert "300" in found and "1440" in found
    assert found["hatched: at rest, 300 to 310\u2009g"].foot < 130


def test_without_weights_a_sentence_says_so() -> None:
    """Boards that were never weighed are no reason to fail."""
    bare = replace(
        seasoning(),
        chosen=Series(name="07", weights=()),
        stubborn=(),
        siblings=(),
        ready=None,
    )

    assert "No pair of these has been weighed yet." in said(bare)
