"""At a border: which species are in an instrument, and what the tables answer of them.

It is a maker's worksheet as of a day. Only what is needed and what is open bears a
square; what is not needed is the word alone, for a square beside it would look ticked.
What only the age of the tables leaves open is not to be asked of an authority at once,
but to be looked up again.
"""

from dataclasses import replace

from labels import faces
from labels.blocks import Block, space, together
from labels.evidence_facts import Border, BorderRow
from labels.evidence_time import BEFORE, UNDER_HEADING, head
from labels.marks import State
from labels.page import (
    HAIR,
    Page,
    Style,
    least,
    rule,
    wrap,
    wrap_small,
    write,
    write_lines,
)
from labels.sections import ASIDE, BODY, COLUMN_HEAD, NOTE, SPECIES, Frame
from labels.squares import square
from labels.tongue import Tongue, term

ROW = 5.9
MOST_TOGETHER = 20  # rows that stay on one page
HEADS = 5.2
LISTED, PARTS, ANSWER = 40.0, 88.0, 132.0  # where columns begin [mm]
SIDE = 2.5  # of a square
NOTE_LEADING = 3.7
HEAD_STYLE = replace(COLUMN_HEAD, floor=7.6, may_shorten=True)
SMALL_SPECIES = replace(SPECIES, size=7.2)
OPEN = Style(face=faces.TEXT_SEMIBOLD, size=10, floor=6.8)
FREE = Style(face=faces.TEXT, size=10, floor=6.8)
WORDS = {
    "needed": term("documents needed"),
    "ask": term("ask the authority"),
    "not needed": term("not needed"),
}
AGED = term("look it up again")


def blocks(frame: Frame, border: Border | None, say: Tongue) -> list[Block]:
    """Plan the table, a row a block, and under it what it rests on."""
    if border is None or not border.rows:
        return []
    rows = [_row(frame, row, say) for row in border.rows]
    said = _rests_on(border, say)
    style, texts = wrap_small(said, NOTE, frame.right - frame.left, 2)
    lines = [_line(frame, words, style) for words in texts]
    # What it rests on stays with the last row, and says what the answers mean.
    end = together([rows[-1], space(0.8), *lines])
    table = [_head(frame, border, say), *rows[:-1], end]
    if len(rows) <= MOST_TOGETHER:
        return [together(table)]
    return [together(table[:2]), *table[2:]]


def _head(frame: Frame, border: Border, say: Tongue) -> Block:
    def draw(page: Page, y: float) -> None:
        level = y + BEFORE
        title = say("At a border, as of {day}").format(day=border.day)
        head(page, frame.sides, level, title)
        listing = say("CITES listing, table of {day}").format(day=border.compiled)
        heads = (
            (0.0, say("species"), LISTED),
            (LISTED, listing, PARTS - LISTED),
            (PARTS, say("in this instrument"), ANSWER - PARTS),
            (ANSWER, say("our answer"), frame.right - frame.left - ANSWER),
        )
        for offset, words, free in heads:
            at = (frame.left + offset, level + UNDER_HEADING + 3.4)
            write(page, at, words, HEAD_STYLE, within=free - 2, field="head")
        rule(page, frame.sides, level + UNDER_HEADING + HEADS, 0.22, HAIR)

    return Block(BEFORE + UNDER_HEADING + HEADS, draw)


def _row(frame: Frame, row: BorderRow, say: Tongue) -> Block:
    """Plan one species: its listing, where it is in the instrument, the answer."""
    parts = ", ".join(say(part) for part in row.parts)

    def draw(page: Page, y: float) -> None:
        level = y + ROW * 0.68
        listing, style = listing_words(row, say), BODY if row.appendix else ASIDE
        _species(page, (frame.left, level), row.species)
        cells = (
            (LISTED, listing, style, PARTS - LISTED),
            (PARTS, parts, BODY, ANSWER - PARTS),
        )
        for offset, words, face, free in cells:
            at, field = (frame.left + offset, level), f"border, {row.species}"
            write(page, at, words, face, within=free - 2, field=field)
        _answer(page, (frame.left + ANSWER, level), row, say, frame.right)
        rule(page, frame.sides, y + ROW, 0.22, HAIR)

    return Block(ROW, draw)


def _species(page: Page, at: tuple[float, float], species: str) -> None:
    """Set a species whole: on one line, or where it is too long on two small ones."""
    (x, level), free = at, LISTED - 2
    if least(species, SPECIES) <= free:
        write(page, at, species, SPECIES, within=free, field=f"border, {species}")
        return
    lines = wrap(species, SMALL_SPECIES, free)
    write_lines(page, (x, level - 1.5), lines, SMALL_SPECIES, 2.6)


def _answer(
    page: Page, at: tuple[float, float], row: BorderRow, say: Tongue, right: float
) -> None:
    x, level = at
    style = FREE if row.answer == "not needed" or row.is_aged else OPEN
    if row.answer != "not needed":
        edge: State = "sawn" if row.answer == "needed" else "broken"
        square(page, x, level - SIDE + 0.15, SIDE, edge)
    start = (x + SIDE + 1.5, level)
    word = say(AGED if row.is_aged else WORDS[row.answer])
    write(page, start, word, style, within=right - start[0], field="answer")


def listing_words(row: BorderRow, say: Tongue) -> str:
    """Return a listing in its shortest form: App. II #15, and where alone it holds."""
    if not row.appendix:
        return say("no listing found") if row.is_looked_up else say("not looked up")
    said = say("App. {number}").format(number=row.appendix)
    if row.annotation:
        said += f" #{row.annotation}"
    return ", ".join([said, *(say(place) for place in row.where.split(", ") if place)])


def _line(frame: Frame, words: str, style: Style) -> Block:
    def draw(page: Page, y: float) -> None:
        write(page, (frame.left, y + NOTE_LEADING), words, style)

    return Block(NOTE_LEADING, draw)


def _rests_on(border: Border, say: Tongue) -> str:
    """Say what was asked, of which tables, and whom to ask before it moves."""
    asked = say(
        "Asked for the finished instrument, sold or on its owner’s own trip, {way}; "
        "the strictest answer stands here."
    ).format(way=_way(border, say))
    told = [
        asked,
        _oldest(border, say),
        say(
            "Not a permit: ask your CITES Management Authority or a customs broker "
            "before it crosses a border."
        ),
    ]
    return " ".join(filter(None, told))


def _oldest(border: Border, say: Tongue) -> str:
    """Say how old the sources are, and that some are too old to rely on."""
    if not border.oldest_source:
        return ""
    said = say("The oldest source is of {day}.")
    if any(row.is_aged for row in border.rows):
        said = say(
            "For those to look up again no listing was found, in sources as old as "
            "{day}."
        )
    return said.format(day=border.oldest_source)


def _way(border: Border, say: Tongue) -> str:
    """Name the ways that were asked about by the codes of their ends."""
    ends = ", ".join(border.ends)
    if border.start:
        return say("from {start} to {ends}").format(start=border.start, ends=ends)
    return say("between {ends}").format(ends=ends)
