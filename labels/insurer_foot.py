"""The foot of a statement for an insurer: how to check it, and what to fill in."""

from collections.abc import Iterable
from dataclasses import replace

from labels import faces, qr, to_check
from labels.facts import OwnerCertificate
from labels.page import (
    HAIR,
    WALNUT,
    Page,
    Style,
    measure,
    rule,
    thousands,
    wrap,
    write,
    write_lines,
)
from labels.sections import DATA, HEADING, SMALL, Frame
from labels.tongue import Tongue

HEAD = replace(HEADING, floor=7.6)
CHECK = Style(face=faces.TEXT, size=9)
BLANK = Style(face=faces.TEXT_ITALIC, size=8.4, colour=WALNUT, floor=6.8)
MODULES = 85  # of the card's symbol
LEAST_HEIGHT = 36.0
BESIDE, CHECKED, FILLED = 42.0, 55.0, 102.5
SIZES, LEADING = (9.0, 8.6, 8.2, 7.8, 7.4), 0.433  # [pt]; of the size [mm]
TEXT_HEIGHT = 24.2  # from the first line to the last
BLANKS, BLANK_PITCH = 8.8, 8.4  # from the top to the first line; between two


def top(frame: Frame) -> float:
    """Return where the foot begins, on a whole dot [mm]."""
    side = MODULES * frame.module_dots * qr.INCH / qr.DOTS_PER_INCH
    return qr.snap(frame.foot - 3 - max(side, LEAST_HEIGHT), qr.DOTS_PER_INCH)


def draw(
    page: Page, frame: Frame, shown: OwnerCertificate, say: Tongue, *, day: str
) -> None:
    """Draw the symbol, how to check it, and the lines to fill in by hand."""
    y, module = top(frame), frame.module_dots * qr.INCH / qr.DOTS_PER_INCH
    x = qr.snap(frame.left, qr.DOTS_PER_INCH)
    qr.draw(page, qr.card_symbol(shown.card_text), x, y, module)
    _to_check(page, frame, shown, say)
    _to_fill_in(page, frame, say, day)


def _to_check(page: Page, frame: Frame, shown: OwnerCertificate, say: Tongue) -> None:
    x, y = frame.left + BESIDE, top(frame)
    write(page, (x, y + 2.4), say("To check"), HEAD, within=CHECKED, field="head")
    vouched = say("The square vouches for the certificate, not for this page.")
    style, lines = _fitted((to_check.words(say), vouched))
    write_lines(page, (x, y + 7.4), lines, style, style.size * LEADING)
    entry = say("entry {entry}").format(entry=thousands(shown.entry))
    key = say("card key {key}").format(key=shown.key_id)
    said = f"{shown.number}, {entry}, {key}"
    if measure(said, replace(DATA, size=DATA.floor)) > CHECKED:
        # The key's own digits are told apart from a number and an entry without a word.
        said = f"{shown.number}, {entry}, {shown.key_id}"
    write(page, (x, y + 35.6), said, DATA, within=CHECKED, field="certificate")


def _fitted(texts: Iterable[str]) -> tuple[Style, list[str]]:
    """Return texts in lines that fit beside the symbol, smaller where they must be."""
    for size in SIZES:
        style = replace(CHECK, size=size)
        lines = [line for text in texts for line in wrap(text, style, CHECKED)]
        if (len(lines) - 1) * size * LEADING <= TEXT_HEIGHT:
            break
    return style, lines


def _to_fill_in(page: Page, frame: Frame, say: Tongue, day: str) -> None:
    """Leave lines for what the maker does not say."""
    x, y = frame.left + FILLED, top(frame)
    free = frame.right - x
    said = say("To be filled in by hand")
    write(page, (x, y + 2.4), said, HEAD, within=free, field="head")
    blanks = (
        say("owner, by the owner"),
        say("value and currency, by an appraiser"),
        say("appraiser, and the day"),
        say("for the maker, {day}").format(day=day),
    )
    for number, words in enumerate(blanks):
        level = y + BLANKS + BLANK_PITCH * number
        rule(page, (x, frame.right), level)
        write(page, (x, level + 3), words, BLANK, within=free, field="line")


def caution(page: Page, frame: Frame, said: str) -> None:
    """Set the small print under the last rule."""
    rule(page, frame.sides, frame.foot, 0.22, HAIR)
    lines = wrap(said, SMALL, frame.right - frame.left)
    write_lines(page, (frame.left, frame.foot + 4.2), lines, SMALL, 3.5)
