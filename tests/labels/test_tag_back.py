"""Tests of the back of a build tag."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels import tag
from labels.page import measure
from labels.tag_back import INK_LINES, LEFT, RIGHT, ink_lines, set_note
from ledger.errors import RefusedError
from tests.labels import reading
from tests.labels.samples import TAG


def with_witnesses(count: int) -> str:
    """Return the checkpoint with so many cosignatures."""
    lines = (f"— witness-{n}.example/w {'Ab3+' * 26}\n" for n in range(count))
    return TAG.checkpoint_note + "".join(lines)


@pytest.mark.parametrize("witnesses", [0, 1, 4, 6])
def test_every_letter_of_the_checkpoint_is_on_the_tag(witnesses: int) -> None:
    """Joined again where it was broken, the note is whole."""
    note = with_witnesses(witnesses)
    said = "".join(reading.text(tag.draw(replace(TAG, checkpoint_note=note))).split())
    whole = "".join(note.split())

    assert whole in said


@given(st.text(st.characters(codec="ascii", categories=["L", "N", "P"]), max_size=400))
def test_breaking_a_line_loses_no_letter_and_none_runs_over(line: str) -> None:
    """Whatever is in a note, its lines fit and together they are the note."""
    note = set_note(line)

    assert "".join(part for _, part in note.lines) == line
    for indent, part in note.lines:
        assert indent + measure(part, note.style) <= RIGHT - LEFT


def test_the_ten_words_and_the_count_of_entries_stand_beside_it() -> None:
    """What is compared by eye is text too."""
    said = " ".join(reading.text(tag.draw(TAG)).split())

    assert "71391 " + " ".join(TAG.ten_words) in said
    assert "of all 71 391 entries" in said


def test_a_reprint_says_the_same_on_its_back() -> None:
    """Its checkpoint is the one of that print, and not of the first."""
    again = tag.draw(replace(TAG, print_number=2))
    first, second = (
        " ".join(reading.text(drawn).split()) for drawn in (tag.draw(TAG), again)
    )

    assert "of all 71 391 entries, when this tag was printed" in first
    assert "of all 71 391 entries, when print 2 was drawn" in second


def test_cosignatures_take_the_room_of_ink_lines() -> None:
    """A plain note leaves all eight lines; each witness may cost some, not most."""
    left = [ink_lines(set_note(with_witnesses(n))) for n in (0, 1, 4, 6)]

    assert left[0] == INK_LINES
    assert left == sorted(left, reverse=True)
    assert left[-1] >= INK_LINES // 2


def test_a_note_that_leaves_no_room_to_write_is_refused() -> None:
    """A tag nobody can write on when the power is out is no tag."""
    note = with_witnesses(30)
    with pytest.raises(RefusedError, match=r"^checkpoint note does not fit the paper"):
        tag.draw(replace(TAG, checkpoint_note=note))


def test_what_is_to_be_typed_has_quotes_that_a_shell_knows() -> None:
    """Curly ones it takes as letters, and looks for a file."""
    said = " ".join(reading.text(tag.draw(TAG)).split())

    assert 'record audit --against "…"' in said
