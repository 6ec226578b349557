"""A letter in draft: one plain page, marked so that nobody takes it for one sent.

It draws what it is given. What has no room is counted; the text beside the page has it
all.
"""

from dataclasses import dataclass

from labels import archive, faces, letterhead, sections
from labels.letterhead import Letterhead
from labels.page import (
    HAIR,
    WALNUT,
    Page,
    Style,
    open_document,
    rule,
    thousands,
    turn_over,
    wrap,
    write,
    write_lines,
)
from labels.sections import FRAMES, Frame

DRAFT = "Draft, not sent"
MARK = Style(face=faces.TEXT_SEMIBOLD, size=22, floor=13, may_shorten=True)
TO = Style(face=faces.TEXT, size=12, floor=9, may_shorten=True)
ABOUT = Style(face=faces.TEXT, size=11, colour=WALNUT, floor=9, may_shorten=True)
LINE = Style(face=faces.TEXT, size=10.4)
NOTE = Style(face=faces.TEXT, size=8, colour=WALNUT)
LEADING, GAP, NOTE_LEADING = 5.0, 2.4, 3.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A heading, where there is one, and paragraphs under it."""

    heading: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterPage:
    """What the page shows; `note` stands small at its foot."""

    head: Letterhead
    day: str
    to: str
    about: str
    parts: tuple[Part, ...]
    closing: str
    note: str
    as_of_entry: int


def draw(letter: LetterPage, *, paper: str = "A4") -> bytes:
    """Return the page as a PDF to keep."""
    frame = FRAMES[paper]
    page = open_document(frame.size, f"{DRAFT}: {letter.about}")
    drop = letterhead.draw(page, frame, letter.head, letter.day)
    y = _top(page, frame, letter, frame.head + drop)
    foot = frame.foot - NOTE_LEADING * len(_note(frame, letter)) - 4
    _parts(page, frame, y, foot, letter)
    _foot(page, frame, letter)
    turn_over(page)
    return archive.keep(page, day=letter.day)


def text(letter: LetterPage) -> str:
    """Return the whole letter as plain text, marked as the page is."""
    blocks = [
        f"{DRAFT.upper()}",
        ", ".join(filter(None, (letter.head.shop, letter.head.place, letter.day))),
        *filter(None, ("\n".join(letter.head.lines),)),
        f"To: {letter.to}",
        f"About: {letter.about}",
    ]
    for part in letter.parts:
        blocks += [part.heading] if part.heading else []
        blocks += part.paragraphs
    blocks += [letter.closing, letter.note, _as_of(letter)]
    return "\n\n".join(blocks) + "\n"


def notices(letter: LetterPage) -> tuple[str, ...]:
    """Say which characters the page could not print."""
    said = [letter.to, letter.about, letter.closing, *letterhead.texts(letter.head)]
    said += [line for part in letter.parts for line in part.paragraphs]
    return faces.missing_notices([*said, letter.note])


def _width(frame: Frame) -> float:
    return frame.right - frame.left


def _top(page: Page, frame: Frame, letter: LetterPage, y: float) -> float:
    x, within = frame.left, _width(frame)
    write(page, (x, y + 20), DRAFT, MARK, within=within)
    write(page, (x, y + 30), f"To: {letter.to}", TO, within=within)
    write(page, (x, y + 36.5), letter.about, ABOUT, within=within)
    return y + 46


def _parts(page: Page, frame: Frame, y: float, foot: float, letter: LetterPage) -> None:
    """Set the paragraphs down to a level, and count the lines that have no room."""
    left_out = 0
    for part in letter.parts:
        if part.heading and y + 8 + LEADING < foot:
            sections.heading(page, frame, y + 3, part.heading)
            y += 10
        for paragraph in part.paragraphs:
            lines = wrap(paragraph, LINE, _width(frame))
            room = max(int((foot - 2 * LEADING - y) / LEADING), 0)
            y = write_lines(page, (frame.left, y), lines[:room], LINE, LEADING)
            left_out += len(lines[room:])
            y += GAP if lines[:room] else 0
    if left_out:
        said = f"and {thousands(left_out)} lines more, in the text beside this page"
        write(page, (frame.left, y), said, NOTE)
        return
    lines = wrap(letter.closing, LINE, _width(frame))
    write_lines(page, (frame.left, y), lines, LINE, LEADING)


def _note(frame: Frame, letter: LetterPage) -> list[str]:
    return wrap(letter.note, NOTE, _width(frame))


def _as_of(letter: LetterPage) -> str:
    return f"drafted from the shop’s record as of entry {thousands(letter.as_of_entry)}"


def _foot(page: Page, frame: Frame, letter: LetterPage) -> None:
    """Set the note above the rule, and under it which state of the record this is."""
    lines = _note(frame, letter)
    level = frame.foot - 2 - NOTE_LEADING * (len(lines) - 1)
    write_lines(page, (frame.left, level), lines, NOTE, NOTE_LEADING)
    rule(page, frame.sides, frame.foot, 0.25, HAIR)
    write(page, (frame.left, frame.foot + 4.4), _as_of(letter), NOTE)
