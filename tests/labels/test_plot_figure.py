"""Tests of the heading, the inks and the words of a figure."""

import pytest

from labels.page import BARK, HAIR, INK, WHITE, close_document, open_document
from labels.plot_figure import (
    PLAIN,
    Figure,
    Heading,
    begin,
    counted,
    entries_said,
    fill,
    head,
    ink,
    line,
    say,
    say_nothing,
)
from ledger.errors import RefusedError
from tests.labels import reading
from tests.labels.plot_trials import LONG


def figure(*, one_colour: bool = False) -> Figure:
    """Return an empty figure on a sheet of its own."""
    page = open_document((210, 148), "figure")
    return begin(page, (10, 10, 190, 128), one_colour=one_colour)


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ((), ""),
        ((7,), "entry 7"),
        ((7, 7), "entry 7"),
        ((86_131, 86_120), "entries 86\u2009120, 86\u2009131"),
        ((3, 4, 5, 9), "entries 3 to 5, 9"),
        ((1, 3, 5, 7, 9), "5 entries, 1 to 9"),
    ],
)
def test_the_entries_behind_a_figure_are_named(
    entries: tuple[int, ...], said: str
) -> None:
    """Runs are written as ranges, and very many as how many there are."""
    assert entries_said(entries) == said


def test_a_long_title_takes_two_lines_and_then_ends() -> None:
    """What has no room shows that it goes on, and the drawing begins lower."""
    short, long = figure(), figure()
    room = head(short, Heading(title="Set 11 came to rest", where="rack"))
    lower = head(long, Heading(title=f"{LONG} " * 9, where=LONG, entries=(4,)))

    assert lower[1] == pytest.approx(room[1] + 5.6)
    assert sum(label.words.endswith("…") for label in long.labels) == 1
    assert all(label.left >= 10 - 0.01 for label in long.labels)
    assert all(label.right <= 200.01 for label in long.labels)


def test_in_one_colour_nothing_is_lighter_than_ink() -> None:
    """Every tone becomes ink; white stays white, for it covers what is under it."""
    assert [ink(figure(one_colour=True), c) for c in (BARK, HAIR, INK)] == [INK] * 3
    assert ink(figure(one_colour=True), WHITE) == WHITE
    assert ink(figure(), BARK) == BARK


def test_in_one_colour_a_tint_is_left_out() -> None:
    """A tinted box leaves no mark on the paper in one colour."""
    drawn = []
    for one_colour in (False, True):
        tinted = figure(one_colour=one_colour)
        fill(tinted, (20, 20, 30, 30), BARK)
        tinted.page.canvas.showPage()
        drawn.append(close_document(tinted.page))

    assert len(drawn[0]) > len(drawn[1])


def test_words_are_kept_with_their_box() -> None:
    """The box of words says where they stand, to the tenth of a millimetre."""
    drawn = figure()
    label = say(drawn, (50, 60), "spruce", PLAIN, align="right")

    assert drawn.labels == [label]
    assert label.right == pytest.approx(50) and label.top < 60 < label.foot


def test_no_words_leave_no_box() -> None:
    """Nothing is kept where nothing is said."""
    drawn = figure()
    say(drawn, (50, 60), "", PLAIN)

    assert drawn.labels == []


def test_a_line_of_one_point_is_none() -> None:
    """Nothing is drawn, and nothing fails."""
    drawn = figure()
    line(drawn, [(20, 20)], 1.0)
    line(drawn, [], 1.0)
    drawn.page.canvas.showPage()

    assert reading.text(close_document(drawn.page)) == ""


def test_where_there_is_nothing_a_sentence_says_so() -> None:
    """An empty figure says why it is empty."""
    drawn = figure()
    room = head(drawn, Heading(title="Set 11", where="rack"))
    say_nothing(drawn, room, "No board of these has been weighed yet.")
    drawn.page.canvas.showPage()

    assert "No board of these" in reading.text(close_document(drawn.page))


def test_too_small_a_place_is_refused() -> None:
    """The refusal names both sizes and what to do."""
    page = open_document((210, 148), "figure")
    with pytest.raises(RefusedError, match="40 by 40 mm cannot be read; it needs 96"):
        begin(page, (10, 10, 40, 40), one_colour=False)


def test_one_is_not_many() -> None:
    """One board, two boards; large numbers as the house writes them."""
    assert counted(1, "board") == "1 board"
    assert counted(0, "board") == "0 boards"
    assert counted(2, "entry", "entries") == "2 entries"
    assert counted(12_000, "board") == "12\u2009000 boards"
