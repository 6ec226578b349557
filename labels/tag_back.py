"""The back of a build tag: lines for when the power is out, and the checkpoint."""

from math import ceil
from typing import NamedTuple

from labels import faces
from labels.checkpoint import COMPARE, note_lines
from labels.marks import stroke
from labels.ornament_ink import draw_end_grain
from labels.page import (
    WALNUT,
    Page,
    Style,
    oxford,
    rule,
    thousands,
    write,
)
from labels.tag_facts import BuildTag
from labels.tongue import Tongue, term, tongue
from ledger.errors import RefusedError

LEFT, RIGHT = 6.0, 99.0
SIDES = (LEFT, RIGHT)
COLUMNS = (
    (0.0, term("Date, time")),
    (20.0, term("Step")),
    (31.0, term("Did, saw")),
    (47.0, term("Measured")),
    (71.0, term("Name, badge")),
)
TABLE_TOP = 31.2
INK_LINES, FEWEST_INK_LINES, INK_PITCH = 8, 4, 8.5
NOTE_PLACE = 15.5
FOOT = 142.0  # baseline of the last line
TREE, SMALL_TREE = 9.0, 6.2  # radius of the end grain beside the checkpoint

TITLE = Style(face=faces.TEXT_SEMIBOLD, size=15.5, floor=11)
HOW = Style(face=faces.TEXT, size=9, colour=WALNUT, floor=7.6)
COLUMN = Style(face=faces.CAPS, size=7.8, colour=WALNUT, tracking=0.07, floor=6.8)
HEADING = Style(face=faces.CAPS, size=9.6, colour=WALNUT, tracking=0.07)
ASIDE = Style(face=faces.TEXT_ITALIC, size=9, colour=WALNUT, floor=7.6)
NOTE = Style(face=faces.DATA, size=7.3)
SMALL_NOTE = Style(face=faces.DATA, size=6.2)
WORDS = Style(face=faces.DATA_MEDIUM, size=8.8, floor=7.4)

HOW_TO_WRITE = (
    term("Ink, one line a job. Wrong? One stroke through it, initials, next line."),
    term("Enter it the same day; the ledger keeps both times."),
)


class Note(NamedTuple):
    """A checkpoint as it is set: style, distance and (indent, letters) of its lines.

    tree is the radius of the end grain beside it, which must not touch its letters.
    """

    style: Style
    pitch: float
    lines: list[tuple[float, str]]
    tree: float

    @property
    def height(self) -> float:
        """From the first baseline to the last, and never less than its place [mm]."""
        return max(NOTE_PLACE, self.pitch * (len(self.lines) - 1))


def _set_note(text: str, style: Style, pitch: float, tree: float) -> Note:
    beside = _beside(tree) if tree == TREE else RIGHT - LEFT
    return Note(style, pitch, note_lines(text, style, beside), tree)


def set_note(text: str) -> Note:
    """Set a checkpoint, smaller and over a small tree when it has many cosignatures."""
    note = _set_note(text, NOTE, 3.1, TREE)
    if note.height > NOTE_PLACE:
        note = _set_note(text, SMALL_NOTE, 2.6, SMALL_TREE)
    return note


def _beside(tree: float) -> float:
    """Return how wide a line is that ends before the end grain [mm]."""
    return RIGHT - LEFT - 2 * tree - 2


def ink_lines(note: Note) -> int:
    """Return how many ink lines are left above a note."""
    over = note.height - NOTE_PLACE
    left = INK_LINES - ceil(over / INK_PITCH - 1e-9)
    if left < FEWEST_INK_LINES:
        most = NOTE_PLACE + (INK_LINES - FEWEST_INK_LINES) * INK_PITCH
        raise RefusedError(
            f"checkpoint note does not fit the paper: its {len(note.lines)} lines "
            f"need {note.height:.1f} mm, and {most:.1f} mm are free; print it with "
            f"fewer cosignatures"
        )
    return left


def _table(page: Page, lines: int, say: Tongue) -> None:
    """Rule the lines to write on."""
    ends = [offset for offset, _ in COLUMNS[1:]] + [RIGHT - LEFT + 1]
    for (offset, words), end in zip(COLUMNS, ends, strict=True):
        at, within = (LEFT + offset + 0.4, TABLE_TOP - 1.7), end - offset - 1.4
        write(page, at, say(words), COLUMN, within=within, field=words)
    foot = TABLE_TOP + lines * INK_PITCH
    for number in range(lines + 1):
        rule(page, SIDES, TABLE_TOP + number * INK_PITCH)
    for offset, _ in COLUMNS[1:]:
        x = LEFT + offset - 1
        stroke(page, [(x, TABLE_TOP), (x, foot)], 0.5)


def _checkpoint(page: Page, tag: BuildTag, note: Note, say: Tongue) -> None:
    """Set the checkpoint from the foot upwards: words, note, heading."""
    half = (len(tag.ten_words) + 1) // 2
    first = FOOT - 13.2 - note.height
    x = LEFT + write(page, (LEFT, first - 7.4), say("Checkpoint"), HEADING) + 2
    whole = say("of all {number} entries, when this tag was printed")
    if tag.print_number > 1:
        whole = say("of all {number} entries, when print {print} was drawn")
    whole = whole.format(number=thousands(tag.size), print=tag.print_number)
    at = (x, first - 7.4)
    write(page, at, whole, ASIDE, within=RIGHT - x, field="size")
    oxford(page, SIDES, first - 5.4, "small")
    for number, (indent, words) in enumerate(note.lines):
        write(page, (LEFT + indent, first + note.pitch * number), words, note.style)
    middle = (RIGHT - note.tree, FOOT - note.tree + 0.4)
    draw_end_grain(page, middle, tag.root, note.tree)
    at = (LEFT, FOOT - 8.4)
    free = _beside(note.tree)
    compare = say("The same, to type: {command}").format(command=COMPARE)
    write(page, at, compare, HOW, within=free)
    first_words = (str(tag.size), *tag.ten_words[:half])
    for said, y in ((first_words, FOOT - 4), (tag.ten_words[half:], FOOT)):
        line = "  ".join(said)
        write(page, (LEFT, y), line, WORDS, within=free, field="ten words")


def draw(page: Page, tag: BuildTag) -> None:
    """Draw the back panel, left of the fold on the outside."""
    note, say, wide = set_note(tag.checkpoint_note), tongue(tag.language), RIGHT - LEFT
    title = say("When the power is out, write here")
    write(page, (LEFT, 12), title, TITLE, within=wide)
    for words, y in zip(HOW_TO_WRITE, (17.4, 21.4), strict=True):
        write(page, (LEFT, y), say(words), HOW, within=wide)
    oxford(page, SIDES, 25, "small")
    _table(page, ink_lines(note), say)
    _checkpoint(page, tag, note, say)
