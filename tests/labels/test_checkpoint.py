"""A checkpoint as it is set: narrow or wide, none of its letters is lost."""

import pytest

from labels import faces
from labels.checkpoint import INDENT, note_lines
from labels.page import Style, measure
from tests.labels.samples import TAG

STYLE = Style(face=faces.DATA, size=7.3)


@pytest.mark.parametrize("within", [20.0, 58.0, 93.0, 300.0])
def test_a_note_is_broken_where_its_lines_are_full(within: float) -> None:
    """What goes on is set in, and each line stays within its room."""
    set_out = note_lines(TAG.checkpoint_note, STYLE, within)
    written = "".join(f"\n{part}" if not indent else part for indent, part in set_out)

    assert written.split("\n")[1:] == [x for x in TAG.checkpoint_note.split("\n") if x]
    assert {indent for indent, _ in set_out} <= {0.0, INDENT}
    assert all(indent + measure(part, STYLE) <= within for indent, part in set_out)
