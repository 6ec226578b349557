"""The witness slip: a checkpoint as a picture, words and rings, to keep elsewhere.

A7 on its side, for eyes and for a drawer in another house: no symbol, no hash in
letters. Whoever keeps it can tell later that the record was quietly rewritten.
"""

from dataclasses import dataclass, replace

from labels import archive, faces
from labels.ornament_ink import CoreSize, draw_core, draw_end_grain
from labels.page import (
    WALNUT,
    Page,
    Style,
    least,
    measure,
    open_document,
    oxford,
    rule,
    thousands,
    turn_over,
    wrap,
    write,
    write_lines,
)
from labels.tongue import Tongue, tongue

SIZE = (105.0, 74.0)
LEFT, COLUMN, RIGHT = 6.0, 52.0, 99.0
TREE_AT, TREE = (27.0, 29.0), 20.5
CORE_AT, CORE = (LEFT, 59.2), CoreSize(row=3.2, gap=0.9)
WORDS_AT, WORDS_PITCH, WORDS_APART = 31.6, 5.1, 25.0
USE_AT, USE_WIDTH, USE_LOWEST = 59.9, 40.0, 71.6

HEAD = Style(
    face=faces.CAPS, size=9, colour=WALNUT, tracking=0.07, floor=7, may_shorten=True
)
COUNT = Style(face=faces.DATA_HEAVY, size=25, floor=13)
NOUN = Style(face=faces.TEXT, size=10)
DATE = Style(face=faces.DATA_MEDIUM, size=8.6)
WORD = Style(face=faces.DATA_MEDIUM, size=11.5)
ORDINAL = Style(face=faces.DATA, size=7.6, colour=WALNUT)
USE = Style(face=faces.TEXT, size=7.8)
USE_SIZES = ((7.8, 2.9), (7.3, 2.7), (6.8, 2.3))  # and their leading [mm]
ORIGIN = Style(face=faces.DATA, size=6.8, floor=6, may_shorten=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class WitnessSlip:
    """What a slip shows: of which log, how many entries its head vouches for, and when.

    root is the hash of them all, 32 bytes, and ten_words stand for it; the note it
    stands in rides inside the file. date is YYYY-MM-DD.
    """

    place: str
    origin: str
    size: int
    date: str
    root: bytes
    ten_words: tuple[str, ...]
    checkpoint_note: str
    language: str = "en"


def draw(slip: WitnessSlip) -> bytes:
    """Draw a slip; it is cut out of whatever sheet the printer takes."""
    say = tongue(slip.language)
    title = say("Witness slip, {number} entries").format(number=slip.size)
    page = open_document(SIZE, title, slip.language)
    draw_end_grain(page, TREE_AT, slip.root, TREE)
    _head(page, slip, say)
    _words(page, slip.ten_words)
    rule(page, (LEFT, RIGHT), 55.6)
    draw_core(page, CORE_AT, slip.root, CORE)
    below = CORE_AT[1] + CORE.height + 2.6
    within = RIGHT - USE_WIDTH - 2 - LEFT
    write(page, (LEFT, below), slip.origin, ORIGIN, within=within, field="log")
    _how_to_use(page, say)
    turn_over(page)
    note = archive.checkpoint_file(slip.checkpoint_note)
    return archive.keep(page, day=slip.date, files=(note,))


def notices(slip: WitnessSlip) -> tuple[str, ...]:
    """Say which characters the slip could not print."""
    return faces.missing_notices([slip.place, slip.origin])


def _how_to_use(page: Page, say: Tongue) -> None:
    """Say beside the core how the slip is used, as large as there is room for it."""
    told = say(
        "Same number of entries: then the same words, rings and picture. Fewer on the "
        "screen than here? That record is old, or was put back. Stop, and say so."
    )
    for size, leading in USE_SIZES:
        style = replace(USE, size=size)
        lines = wrap(told, style, USE_WIDTH)
        if USE_AT + leading * (len(lines) - 1) <= USE_LOWEST:
            break
    used = max(measure(line, style) for line in lines)
    write_lines(page, (RIGHT - used, USE_AT), lines, style, leading)


def _head(page: Page, slip: WitnessSlip, say: Tongue) -> None:
    words, wide = say("Witness slip"), RIGHT - COLUMN
    beside = wide - measure(words, HEAD) - 3
    if least(slip.place, HEAD) <= beside:
        write(page, (COLUMN, 9.6), words, HEAD)
        write(page, (RIGHT, 9.6), slip.place, HEAD, align="right", within=beside)
    else:
        write(page, (COLUMN, 5.8), words, HEAD)
        write(page, (COLUMN, 9.6), slip.place, HEAD, within=wide, field="place")
    oxford(page, (COLUMN, RIGHT), 11.8, "small")
    noun = say.many(slip.size, "entry", "entries")
    write(page, (RIGHT, 18.2), noun, NOUN, align="right")
    dated = write(page, (RIGHT, 22.4), slip.date, DATE, align="right")
    free = RIGHT - COLUMN - dated - 3
    count = thousands(slip.size)
    write(page, (COLUMN, 22.4), count, COUNT, within=free, field="entries")
    rule(page, (COLUMN, RIGHT), 25.8)


def _words(page: Page, words: tuple[str, ...]) -> None:
    """Set the ten words in two columns of five, numbered."""
    for index, word in enumerate(words):
        column, row = divmod(index, 5)
        x, y = COLUMN + WORDS_APART * column, WORDS_AT + WORDS_PITCH * row
        write(page, (x + 3.0, y), str(index + 1), ORDINAL, align="right")
        write(page, (x + 4.6, y), word, WORD)
