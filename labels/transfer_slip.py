"""The transfer slip: what hands an instrument on, with its code under a fold.

A third of a sheet on its side. The right leaf is folded over the middle one and closed
there, so that serial and words stay outside and the code lies inside. What lies on the
code is dark with end grain, so that neither leaf shows it against the light. It names
no owner, and every shop can tell from its number whether it still works.

Its back bears the whole checkpoint, behind the middle leaf, whichever edge it is turned
over: it is read without opening the slip, and convicts an older ledger years later.
"""

from dataclasses import dataclass

from labels import archive, faces, qr
from labels.checkpoint import COMPARE, note_lines
from labels.marks import Box
from labels.ornament_ink import CoreSize, draw_core, draw_end_grain
from labels.page import (
    INK,
    MM,
    WALNUT,
    WHITE,
    Page,
    Style,
    box,
    in_two,
    least,
    open_document,
    oxford,
    rule,
    thousands,
    turn_over,
    wrap_small,
    write,
    write_lines,
)
from labels.tongue import Tongue, term, tongue
from ledger.errors import RefusedError

# A third of an A4 and of a Letter sheet alike, whichever it is cut from.
SIZE = (210.0, 93.0)
LEAF, MARGIN = 70.0, 6.0
OUTSIDE, MIDDLE, INSIDE = (
    (LEAF * number + MARGIN, LEAF * (number + 1) - MARGIN) for number in range(3)
)
FOLD = 2 * LEAF
CORE_TOP, CORE = 80.2, CoreSize(row=2.4, gap=0.7)
MODULE = 14 * qr.INCH / qr.DOTS_PER_INCH
SYMBOL_AT = (INSIDE[1] - 29 * MODULE - 2.5, 19.0)
CODE_TOP, CODE_PITCH = 23.0, 7.0
LINES_TOP, LINES_PITCH = 62.5, 9.0
LEADING, GAP = 3.5, 1.6
# What the folded leaf lays on the code and its square, with room for a crooked fold.
COVER: Box = (MIDDLE[0] - 3, 14.8, LEAF - MARGIN, 32.4)
USE_TOP = 52.8
GRAIN = 0.4  # of a ring of end grain there [pt]
# Of the back: the checkpoint from its top downwards, the ten words from its foot up.
HELD_TOP, HELD_PITCH = 22.0, 3.5
FOOT = 87.0
TREE = 8.0  # radius of the end grain beside the words
WORDS_IN_LINE, WORDS_PITCH, COMPARE_ABOVE = 3, 3.9, 5.2

HEAD = Style(face=faces.CAPS, size=9, colour=WALNUT, tracking=0.07, floor=7)
NUMBER = Style(face=faces.DATA_MEDIUM, size=8.6, floor=6.8)
SERIAL = Style(face=faces.DATA_HEAVY, size=27, floor=10)
MODEL = Style(face=faces.TEXT_SEMIBOLD, size=14, floor=9, may_shorten=True)
BESIDE = Style(face=faces.TEXT_ITALIC, size=9, colour=WALNUT, floor=7, may_shorten=True)
SHOP = Style(face=faces.TEXT, size=9.4, floor=7, may_shorten=True)
CLOSED = Style(face=faces.TEXT_SEMIBOLD, size=9.4, floor=8)
BODY = Style(face=faces.TEXT, size=8.4, floor=6.8)
CODE = Style(face=faces.DATA_HEAVY, size=16, floor=12)
LABEL = Style(face=faces.TEXT_ITALIC, size=8, colour=WALNUT, floor=6.8)
# A note and its leading [mm]; smaller where two keys signed or the log's name is long.
NOTES = (
    (Style(face=faces.DATA, size=7.3), 3.0),
    (Style(face=faces.DATA, size=6.2), 2.5),
    (Style(face=faces.DATA, size=5.2), 2.1),
)
WORDS = Style(face=faces.DATA_MEDIUM, size=7.6, floor=6.4)

KEEP_CLOSED = term("Keep it closed. Open it only when you sell.")
HANDED_ON = term(
    "Hand this to the next owner, closed. Whoever holds it can have the instrument "
    "entered in their name. The maker’s record: no title, no permit."
)
STEPS = (
    term(
        "Keep it apart from the instrument. When you sell the instrument or give it "
        "away, hand this over with it. The code works once: the shop enters the next "
        "owner, and makes the next slip."
    ),
    term(
        "If it was open when you got it, ask the shop before you pay. If it is lost, "
        "write to the shop: thirty days after it entered that it sent notice to the "
        "owner it knows, it makes a new slip. Until then this one works."
    ),
)
TO_THE_SHOP = term(
    "Send the shop the code, the serial and the new owner’s name, or this whole leaf. "
    "The code has no 0, 1, 8 or 9; small letters will do."
)
HELD_AGAINST = term(
    "Held against the maker’s record, even years later, it shows whether anything "
    "entered until then was changed or taken away."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TransferSlip:
    """What a slip shows; `leaf` is the hash of its `entry`, of which the core is drawn.

    code is printed, in groups; scan is the same for the square. day is YYYY-MM-DD. size
    counts the entries that the checkpoint vouches for, root is their hash, 32 bytes.
    """

    shop: str
    model: str
    serial: str
    certificate: str
    number: str
    code: str
    scan: str
    entry: int
    leaf: bytes
    day: str
    size: int
    root: bytes
    ten_words: tuple[str, ...]
    checkpoint_note: str
    language: str = "en"


def draw(slip: TransferSlip) -> bytes:
    """Draw a slip; it is cut out of whatever sheet the printer takes."""
    say = tongue(slip.language)
    title = say("Transfer slip {number}, {serial}")
    title = title.format(number=slip.number, serial=slip.serial)
    page = open_document(SIZE, title, slip.language)
    _outside(page, slip, say)
    _use(page, slip, say)
    _fold(page)
    _inside(page, slip, say)
    turn_over(page)
    _back(page, slip, say)
    turn_over(page)
    note = archive.checkpoint_file(slip.checkpoint_note)
    return archive.keep(page, day=slip.day, files=(note,))


def notices(slip: TransferSlip) -> tuple[str, ...]:
    """Say which characters the slip could not print."""
    return faces.missing_notices([slip.shop, slip.model, slip.serial])


def _outside(page: Page, slip: TransferSlip, say: Tongue) -> None:
    """Set what stays in sight: which instrument, which slip, what it is."""
    (left, right), words = OUTSIDE, say("Transfer slip")
    wide = right - left
    taken = write(page, (left, 9.6), words, HEAD, within=wide * 0.6, field="head")
    free = wide - taken - 2
    at = (right, 9.6)
    write(page, at, slip.number, NUMBER, align="right", within=free, field="number")
    oxford(page, OUTSIDE, 11.8, "small")
    write(page, (left, 23.6), slip.serial, SERIAL, within=wide, field="serial")
    y = _model(page, slip.model, left, wide)
    told = say("with certificate {number}").format(number=slip.certificate)
    write(page, (left, y), told, BESIDE, within=wide, field="certificate")
    write(page, (left, y + 4.6), slip.shop, SHOP, within=wide, field="shop")
    rule(page, OUTSIDE, 48.6)
    style, lines = wrap_small(say(KEEP_CLOSED), CLOSED, wide, 1)
    y = write_lines(page, (left, 53.4), lines, style, 4.0) + 0.6
    style, lines = wrap_small(say(HANDED_ON), BODY, wide, 5)
    write_lines(page, (left, y), lines, style, 3.7)
    draw_core(page, (left, CORE_TOP), slip.leaf, CORE)
    below = CORE_TOP + CORE.height + 2.8
    drawn = say("core of entry {entry}").format(entry=thousands(slip.entry))
    write(page, (left, below), drawn, LABEL, within=wide, field="entry")


def _model(page: Page, model: str, left: float, wide: float) -> float:
    """Set the model on one line, or a long one on two; return the next level."""
    lines = [model] if least(model, MODEL) <= wide else in_two(model, MODEL, wide)
    y = 31.4
    for line in lines:
        write(page, (left, y), line, MODEL, within=wide, field="model")
        y += 5.2
    return y


def _use(page: Page, slip: TransferSlip, say: Tongue) -> None:
    """Set how it is used, and what lies on the code, which the folded leaf covers."""
    left, right = MIDDLE
    write(page, (left, 9.6), say("How it is used"), HEAD, within=right - left)
    oxford(page, MIDDLE, 11.8, "small")
    _cover(page, slip.leaf)
    y = USE_TOP
    for words in STEPS:
        style, lines = wrap_small(say(words), BODY, right - left, 5)
        y = write_lines(page, (left, y), lines, style, LEADING) + GAP


def _cover(page: Page, leaf: bytes) -> None:
    """Darken what lies on the code: the slip's end grain twice, white on ink."""
    x, y, w, h = COVER
    canvas = page.canvas
    canvas.saveState()
    path = canvas.beginPath()
    path.rect(x * MM, (page.height - y - h) * MM, w * MM, h * MM)
    canvas.clipPath(path, stroke=0, fill=0)
    box(page, x, y, w, h, INK)
    for digest, across in ((leaf, 0.3), (leaf[::-1], 0.7)):
        middle = (x + across * w, y + h / 2)
        draw_end_grain(
            page, middle, digest, w * 0.8, weight=GRAIN, ink=WHITE, with_check=False
        )
    canvas.restoreState()


def _fold(page: Page) -> None:
    """Draw where it is folded."""
    canvas = page.canvas
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.6)
    canvas.setDash(1.2, 2.4)
    canvas.line(FOLD * MM, 0, FOLD * MM, page.height * MM)
    canvas.setDash()


def _inside(page: Page, slip: TransferSlip, say: Tongue) -> None:
    """Set what lies under the fold: the code, its square, who sends it."""
    left, right = INSIDE
    words = say("Fold here, and close it")
    write(page, (left, 9.6), words, HEAD, within=right - left)
    oxford(page, INSIDE, 11.8, "small")
    groups = slip.code.split("-")
    pairs = ["-".join(groups[at : at + 2]) for at in range(0, len(groups), 2)]
    room = SYMBOL_AT[0] - left - 2.5
    for number, pair in enumerate(pairs):
        at = (left, CODE_TOP + CODE_PITCH * number)
        write(page, at, pair, CODE, within=room, field="code")
    qr.draw(page, qr.board_symbol(slip.scan), *SYMBOL_AT, MODULE)
    style, lines = wrap_small(say(TO_THE_SHOP), BODY, right - left, 4)
    write_lines(page, (left, 50.4), lines, style, LEADING)
    asked = (say("new owner"), say("address"), say("day and signature"))
    for number, label in enumerate(asked):
        y = LINES_TOP + LINES_PITCH * number + 4
        rule(page, INSIDE, y)
        write(page, (left, y + 3.2), label, LABEL, within=right - left)


def _back(page: Page, slip: TransferSlip, say: Tongue) -> None:
    """Set the checkpoint behind the middle leaf: its use, its note, its words."""
    left, right = MIDDLE
    wide = right - left
    write(page, (left, 9.6), say("Checkpoint"), HEAD, within=wide)
    oxford(page, MIDDLE, 11.8, "small")
    whole = say("of all {number} entries, when this slip was drawn")
    told = whole.format(number=thousands(slip.size))
    write(page, (left, 16.6), told, LABEL, within=wide, field="size")
    style, lines = wrap_small(say(HELD_AGAINST), BODY, wide, 4)
    y = write_lines(page, (left, HELD_TOP), lines, style, HELD_PITCH) + 0.8
    rows = -(-(1 + len(slip.ten_words)) // WORDS_IN_LINE)
    foot = FOOT - WORDS_PITCH * (rows - 1)
    _note(page, slip.checkpoint_note, y, foot - COMPARE_ABOVE - HELD_PITCH)
    _to_type(page, slip, foot, say)


def _note(page: Page, text: str, top: float, lowest: float) -> None:
    """Set every line of a checkpoint's note, or refuse what has no room."""
    left, right = MIDDLE
    for style, pitch in NOTES:
        lines, most = note_lines(text, style, right - left), int((lowest - top) / pitch)
        if len(lines) <= most + 1:
            break
    else:
        raise RefusedError(
            f"the checkpoint does not fit a slip: it has {len(lines)} lines, and there "
            f"is room for {most + 1}; draw the slip again after the next entry"
        )
    for number, (indent, words) in enumerate(lines):
        write(page, (left + indent, top + pitch * number), words, style)


def _to_type(page: Page, slip: TransferSlip, level: float, say: Tongue) -> None:
    """Set how the checkpoint is typed, its size and ten words, and its end grain."""
    left, right = MIDDLE
    wide = right - left
    said = (str(slip.size), *slip.ten_words)
    at = (left, level - COMPARE_ABOVE)
    compare = say("The same, to type: {command}").format(command=COMPARE)
    write(page, at, compare, LABEL, within=wide, field="how to type it")
    for number, start in enumerate(range(0, len(said), WORDS_IN_LINE)):
        line = "  ".join(said[start : start + WORDS_IN_LINE])
        y = level + WORDS_PITCH * number
        free = wide - 2 * TREE - 1.6
        write(page, (left, y), line, WORDS, within=free, field="ten words")
    middle = (right - TREE, FOOT - TREE + 1.2)
    draw_end_grain(page, middle, slip.root, TREE)
