"""Rows of a worksheet: each box with what to write, and the heads between them."""

from collections.abc import Iterable
from typing import NamedTuple

from labels import faces, marks
from labels.marks import State
from labels.materials_table import WIDTH, Words, lines_of
from labels.page import (
    HAIR,
    WALNUT,
    Page,
    Style,
    rule,
    wrap,
    write,
    write_lines,
)
from labels.squares import square
from ledger.trade.forms.worksheet import Box, Form, Specimen

NUMBER_AT, LABEL_AT, VALUE_AT, FROM_AT = 0.0, 11.0, 53.0, 119.0
LABEL_WIDTH, VALUE_WIDTH, FROM_WIDTH = 40.0, 63.0, 59.0
PLATE_WIDTH, PLATE_HEIGHT = 15.0, 5.2
FIRST = 4.6  # from a row's upper edge to its first baseline
BELOW = 1.9  # from its last baseline to its rule
LEADING, SMALL_LEADING = 4.2, 3.6
CONTINUED = 7.4
AMOUNT_WIDTH = 32.0
SIDE = 2.7

NUMBER = Style(face=faces.DATA_BOLD, size=10, floor=8)
LABEL = Style(face=faces.TEXT_ITALIC, size=9, colour=WALNUT, floor=7.6)
VALUE = Style(face=faces.DATA_MEDIUM, size=9.8, floor=7.6)
SPECIES = Style(face=faces.TEXT_SEMIBOLD_ITALIC, size=12, floor=9)
FROM = Style(face=faces.TEXT, size=8.2, colour=WALNUT, floor=7)
ASKED = Style(face=faces.TEXT, size=9, floor=7.6)
QUIET = Style(face=faces.TEXT_ITALIC, size=9, colour=WALNUT, floor=7)
KIND = Style(face=faces.TEXT_SEMIBOLD, size=15.5, floor=11)
COUNT = Style(face=faces.DATA_MEDIUM, size=9.2, floor=7.6)
ROW = Style(face=faces.DATA_HEAVY, size=11.5, floor=8)
HEAD = Style(face=faces.TEXT_ITALIC, size=8.6, colour=WALNUT)
HEADING = Style(face=faces.CAPS, size=9.4, colour=WALNUT, tracking=0.07)
TOTAL = Style(face=faces.TEXT_SEMIBOLD, size=10.2)
SUM = Style(face=faces.DATA_BOLD, size=9.8, floor=7.6)
NOTE = Style(face=faces.TEXT, size=8.4, colour=WALNUT)
BODY = Style(face=faces.TEXT, size=9.8, floor=8)

TO_GET, ASK_FIRST = "Papers to get", "Ask first"
MORE_HEIGHT = 5.8
KEPT = 3  # boxes that stand on one page with their head
SAME = "The same in every row"
BELOW_ROWS = "Below the rows"
WORDS = {"for the office": "for the office", "not for this": "leave empty"}
SCIENTIFIC = ("Scientific name", "Genus", "Species")


class Piece(NamedTuple):
    """Something of a height [mm] that is drawn from its upper edge, on one page.

    section is said again where the piece begins a page, unless it opens it.
    """

    height: float
    draw: Words
    field: str
    section: str = ""
    opens: bool = False


def together(pieces: list[Piece]) -> Piece:
    """Return pieces as one, so that no page comes between them."""

    def draw(page: Page, left: float, y: float) -> None:
        for piece in pieces:
            piece.draw(page, left, y)
            y += piece.height

    first, height = pieces[0], sum(piece.height for piece in pieces)
    return Piece(height, draw, pieces[-1].field, first.section, first.opens)


def _value_lines(box: Box) -> tuple[list[str], Style, float]:
    """Return what to write in lines, its face, and the width it has."""
    style = SPECIES if box.label.startswith(SCIENTIFIC) else VALUE
    free = VALUE_WIDTH - (PLATE_WIDTH + 2 if box.state == "ask" else 0)
    return (lines_of(box.value, style, free) if box.value else []), style, free


def box_piece(box: Box, section: str) -> Piece:
    """Plan one box: its number and label, what to write, and where that comes from."""
    values, style, free = _value_lines(box)
    labels = lines_of(box.label, LABEL, LABEL_WIDTH)
    said = ASKED if box.state == "ask" else FROM
    sources = lines_of(box.comes_from, said, FROM_WIDTH)
    levels = (
        LEADING * (max(1, len(values)) - 1),
        SMALL_LEADING * (len(labels) - 1),
        SMALL_LEADING * (len(sources) - 1),
    )
    height = FIRST + max(levels) + BELOW
    number = box.number if box.number[:1].isdigit() else ""

    def draw(page: Page, left: float, y: float) -> None:
        base = y + FIRST
        write(page, (left + NUMBER_AT, base), number, NUMBER, within=10)
        _set(page, (left + LABEL_AT, base), labels, LABEL, LABEL_WIDTH, SMALL_LEADING)
        _set(page, (left + VALUE_AT, base), values, style, free, LEADING)
        _state(page, left, y, box)
        _set(page, (left + FROM_AT, base), sources, said, FROM_WIDTH, SMALL_LEADING)
        rule(page, (left, left + WIDTH), y + height, 0.22, HAIR)

    return Piece(height, draw, f"box {box.number} ({box.label})", section)


def _set(
    page: Page,
    at: tuple[float, float],
    lines: list[str],
    style: Style,
    within: float,
    leading: float,
) -> None:
    x, y = at
    for line in lines:
        write(page, (x, y), line, style, within=within, field="box")
        y += leading


def _state(page: Page, left: float, y: float, box: Box) -> None:
    """Say how a box stands: a plate where somebody must ask, a quiet word else."""
    if box.state == "ask":
        x = left + VALUE_AT
        if box.value:
            x += VALUE_WIDTH - PLATE_WIDTH
        top = y + FIRST - 3.9
        marks.plate(page, (x, top, PLATE_WIDTH, PLATE_HEIGHT), "broken", "ASK")
    elif box.state in WORDS:
        write(page, (left + VALUE_AT, y + FIRST), WORDS[box.state], QUIET)


def heads(page: Page, left: float, y: float) -> None:
    """Set the heads of the columns; y is their baseline."""
    for offset, words in (
        (NUMBER_AT, "box"),
        (LABEL_AT, "what it asks for"),
        (VALUE_AT, "what to write"),
        (FROM_AT, "where that comes from"),
    ):
        write(page, (left + offset, y), words, HEAD)
    rule(page, (left, left + WIDTH), y + 2.0)


def form_head(form: Form) -> Piece:
    """Plan the head of one kind of form, with how many of it there are."""
    kind = form.kind[:1].upper() + form.kind[1:]
    count = f"{_counted(form.copies, 'form')}, {_counted(len(form.specimens), 'row')}"

    def draw(page: Page, left: float, y: float) -> None:
        end = left + WIDTH
        rule(page, (left, end), y + 3.0, 0.8)
        write(page, (left, y + 10), kind, KIND, within=WIDTH - 52, field="kind")
        write(page, (end, y + 10), count, COUNT, align="right", within=50)
        heads(page, left, y + 15.6)

    return Piece(17.8, draw, "kind", kind, opens=True)


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def row_head(name: str, species: str, amount: str, section: str) -> Piece:
    """Plan the head of a row: its letter, its species, and what it weighs."""
    free = WIDTH - VALUE_AT - AMOUNT_WIDTH - 2
    lines = lines_of(species, SPECIES, free) if species else []
    height = 8.6 + LEADING * (max(1, len(lines)) - 1)

    def draw(page: Page, left: float, y: float) -> None:
        end, base = left + WIDTH, y + 6.4
        rule(page, (left, end), y)
        write(page, (left, base), name, ROW, within=VALUE_AT - 3, field="row")
        _set(page, (left + VALUE_AT, base), lines, SPECIES, free, LEADING)
        at = (end, base)
        write(page, at, amount, SUM, align="right", within=AMOUNT_WIDTH, field="row")
        rule(page, (left, end), y + height, 0.22, HAIR)

    return Piece(height, draw, f"row {name}", section, opens=True)


def continued(section: str) -> Piece:
    """Plan the line that says on a new page what goes on there."""

    def draw(page: Page, left: float, y: float) -> None:
        words = f"{section}, continued"
        write(page, (left, y + 4.6), words, QUIET, within=WIDTH, field="row")
        rule(page, (left, left + WIDTH), y + CONTINUED, 0.22, HAIR)

    return Piece(CONTINUED, draw, "row")


def _amount(row: Specimen) -> str:
    return row.volume or row.mass


def same_in_all(form: Form) -> tuple[Box, ...]:
    """Return the boxes that all rows of a form have alike; of one row none."""
    if len(form.specimens) < 2:
        return ()
    first, *rest = (row.boxes for row in form.specimens)
    return tuple(
        box for box in first if not box.differs and all(box in boxes for boxes in rest)
    )


def form_pieces(form: Form) -> list[Piece]:
    """Plan a form: its common boxes, what all rows share, each row, and the sums."""
    head = form_head(form)
    pieces = _kept(head, [box_piece(box, head.section) for box in form.boxes])
    same = same_in_all(form)
    if same:
        pieces += _block(SAME, "", _counted(len(form.specimens), "row"), same)
    for row in form.specimens:
        boxes = [box for box in row.boxes if box not in same]
        pieces += _block(_row_name(row), row.taxon, _amount(row), boxes)
    pieces.append(totals(form))
    if form.closing:
        below = [box_piece(box, BELOW_ROWS) for box in form.closing]
        pieces += _kept(row_head(BELOW_ROWS, "", "", BELOW_ROWS), below)
    return pieces


def _kept(head: Piece, boxes: list[Piece]) -> list[Piece]:
    """Keep a head on one page with its first boxes; alone it would tell nothing."""
    return [together([head, *boxes[:KEPT]]), *boxes[KEPT:]]


def _row_name(row: Specimen) -> str:
    """Return the name of a row: its letter alone would be taken for a word."""
    return f"Row {row.name}" if len(row.name.split()[0]) == 1 else row.name.capitalize()


def _block(name: str, species: str, amount: str, boxes: Iterable[Box]) -> list[Piece]:
    section = ": ".join(filter(None, (name, species)))
    pieces = [box_piece(box, section) for box in boxes]
    return _kept(row_head(name, species, amount, section), pieces)


def totals(form: Form) -> Piece:
    """Plan the sums of the rows, and how they were rounded."""
    said = form.total_mass
    if form.total_volume:
        said = f"{said}; counted by volume: {form.total_volume}"
    lines = wrap(f"net; {form.rounding}", NOTE, WIDTH - VALUE_AT)
    height = 10.4 + SMALL_LEADING * (len(lines) - 1)

    def draw(page: Page, left: float, y: float) -> None:
        rule(page, (left, left + WIDTH), y, 0.8)
        write(page, (left, y + 5.2), "All rows", TOTAL)
        x = left + VALUE_AT
        write(page, (x, y + 5.2), said, SUM, within=WIDTH - VALUE_AT, field="total")
        write_lines(page, (x, y + 9.0), lines, NOTE, SMALL_LEADING)

    return Piece(height + 1.6, draw, "total")


def ask_piece(words: str, section: str = ASK_FIRST) -> Piece:
    """Plan one thing to ask or to get, with the square of what is not there yet."""
    lines = wrap(words, BODY, WIDTH - SIDE - 2)
    height = 4.4 * len(lines) + 1.4

    def draw(page: Page, left: float, y: float) -> None:
        state: State = "hollow" if section == TO_GET else "broken"
        square(page, left, y + 1.3, SIDE, state)
        write_lines(page, (left + SIDE + 2, y + 3.8), lines, BODY, 4.4)

    return Piece(height, draw, "what to ask", section)


def more_piece(words: str) -> Piece:
    """Plan the line that says how many things to ask are not told here."""

    def draw(page: Page, left: float, y: float) -> None:
        write(page, (left + SIDE + 2, y + 3.8), words, QUIET, within=WIDTH - SIDE - 2)

    return Piece(MORE_HEIGHT, draw, "what to ask", ASK_FIRST)


def heading(words: str) -> Piece:
    """Plan a heading over lines of words."""

    def draw(page: Page, left: float, y: float) -> None:
        write(page, (left, y + 5.0), words, HEADING)

    return Piece(6.6, draw, "heading", words, opens=True)


def note_piece(words: str) -> Piece:
    """Plan one thing to mind."""
    lines = wrap(words, BODY, WIDTH)

    def draw(page: Page, left: float, y: float) -> None:
        write_lines(page, (left, y + 3.8), lines, BODY, 4.2)

    return Piece(4.2 * len(lines) + 1.6, draw, "notes", "To mind")


def gap() -> Piece:
    """Leave some white before what ends a sheet."""
    return Piece(2.4, lambda page, left, y: None, "notes")
