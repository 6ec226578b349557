"""Tests of finding a place for words."""

from hypothesis import given, settings
from hypothesis import strategies as st

from labels import plot_places
from labels.page import open_document
from labels.plot_figure import NAME, PLAIN, Figure, Label, begin, say
from tests.labels.plot_trials import LONG

BOUNDS = (10.0, 10.0, 190.0, 128.0)


def figure() -> Figure:
    """Return an empty figure."""
    page = open_document((210, 148), "places")
    return begin(page, BOUNDS, one_colour=False)


def test_words_stand_to_the_right_where_nothing_is_in_the_way() -> None:
    """The first place is beside the mark, without a leader."""
    label = plot_places.beside(figure(), [(100, 70)], "L26-004-11", NAME, BOUNDS)

    assert label is not None
    assert 1 < label.left - 100 < 3 and label.top < 70 < label.foot


def test_words_make_way_for_words() -> None:
    """Where the right is taken, the left is."""
    drawn = figure()
    say(drawn, (102, 71), "taken by others", PLAIN)
    label = plot_places.beside(drawn, [(100, 70)], "L26-004-11", NAME, BOUNDS)

    assert label is not None and label.right < 100


def test_words_make_way_for_marks() -> None:
    """Where a mark stands on the right, the words go elsewhere."""
    drawn = figure()
    plot_places.note_mark(drawn, (108, 70))
    label = plot_places.beside(drawn, [(100, 70)], "L26-004-11", NAME, BOUNDS)

    assert label is not None and not plot_places.mark_under(drawn, label)


def test_a_name_without_a_free_place_is_left_out() -> None:
    """A name that is not needed is not squeezed in."""
    drawn = figure()
    plot_places.note_band(drawn, (80, 60, 40, 20))

    assert plot_places.if_free(drawn, (100, 70), "07", NAME, BOUNDS) is None
    assert drawn.labels == []


def test_over_lines_but_not_over_marks() -> None:
    """A value may stand on a hair line; on another mark it may not."""
    lines, marks = figure(), figure()
    plot_places.note_band(lines, (80, 60, 40, 20))
    for x in range(80, 121, 2):
        for y in range(60, 81, 2):
            plot_places.note_mark(marks, (x, y))

    assert plot_places.if_near(lines, [(100, 70)], "71.3", NAME, BOUNDS)
    assert plot_places.if_near(marks, [(100, 70)], "71.3", NAME, BOUNDS) is None


def test_where_all_is_full_nothing_is_set() -> None:
    """Words that would cover words are not set at all."""
    drawn = figure()
    drawn.labels.append(Label("all of it", 0, 0, 210, 148))

    assert plot_places.beside(drawn, [(100, 70)], "07", NAME, BOUNDS) is None


def test_long_words_are_shortened_but_keep_their_tail() -> None:
    """Of a long name with a number, the number stays."""
    label = plot_places.beside(
        figure(), [(100, 70)], f"{LONG} 71.3 Hz", NAME, BOUNDS, tail=" 71.3 Hz"
    )

    assert label is not None and label.words.endswith("… 71.3 Hz")


def test_the_first_spot_is_taken_unless_it_is_inked() -> None:
    """Of given spots the first is taken, or the one with the least ink."""
    spots = [(20.0, 30.0), (20.0, 60.0)]
    free = plot_places.first_free(figure(), spots, "least 90", PLAIN, BOUNDS)
    inked = figure()
    plot_places.note_line(inked, [(10, 29), (60, 29)])
    other = plot_places.first_free(inked, spots, "least 90", PLAIN, BOUNDS)

    assert free is not None and free.foot > 30
    assert other is not None and other.foot > 60


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(st.floats(12, 198), st.floats(12, 136)), min_size=1, max_size=40)
)
def test_no_words_ever_cover_words(anchors: list[tuple[float, float]]) -> None:
    """Wherever marks crowd, what is set stays apart and inside its bounds."""
    drawn = figure()
    for at in anchors:
        plot_places.note_mark(drawn, at)
    for number, at in enumerate(anchors):
        plot_places.beside(drawn, [at], f"L26-004-{number:02d}", NAME, BOUNDS)

    for number, label in enumerate(drawn.labels):
        assert label.left >= 10 and label.right <= 200.01
        assert label.top >= 10 and label.foot <= 138.01
        for other in drawn.labels[:number]:
            apart = max(label.left, other.left) - min(label.right, other.right)
            above = max(label.top, other.top) - min(label.foot, other.foot)
            assert max(apart, above) >= 0.4


def test_the_same_marks_get_the_same_words_in_the_same_places() -> None:
    """Nothing about placing is left to chance."""
    anchors = [(20.0 + 7 * n % 150, 20.0 + 11 * n % 100) for n in range(30)]
    placed = []
    for _ in range(2):
        drawn = figure()
        for number, at in enumerate(anchors):
            plot_places.beside(drawn, [at], f"board {number}", NAME, BOUNDS)
        placed.append(drawn.labels)

    assert placed[0] == placed[1]
