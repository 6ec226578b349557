"""The card of a place in the rack: what lies there, a line each, and when it is ready.

A place has a name and no code, so the card bears no symbol. A card is as old as its
print: the day stands at the foot, and whoever takes wood asks the record.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from labels import archive, faces, rack_parts, squares
from labels.marks import State
from labels.page import (
    A4,
    HAIR,
    LETTER,
    WALNUT,
    Page,
    Style,
    bookmark,
    open_document,
    rule,
    turn_over,
    write,
)
from labels.tongue import Tongue, tongue

Paper = Literal["A5", "A4", "Letter"]
PLACE = Style(face=faces.TEXT_SEMIBOLD, size=27, floor=13, may_shorten=True)
COUNT = Style(face=faces.TEXT, size=10.4, floor=8)
COLUMN = Style(face=faces.TEXT_ITALIC, size=8.8, colour=WALNUT)
CODE = Style(face=faces.DATA_BOLD, size=9.6, floor=6.8)
SPECIES = Style(face=faces.TEXT_ITALIC, size=10.2, floor=7.6, may_shorten=True)
PART = Style(face=faces.TEXT, size=10.2, floor=7.6, may_shorten=True)
WHEN = Style(face=faces.DATA_MEDIUM, size=9, floor=6.8, may_shorten=True)
LOUD = Style(face=faces.DATA_BOLD, size=9, floor=6.8, may_shorten=True)
FIRST_ROW, FOOT = 45.0, 12.0  # below the upper edge, above the lower one [mm]
# Shares of a row's width at which species, part and state begin, after the square.
SHARES = (0.225, 0.60, 0.79)


class Shelved(NamedTuple):
    """A board or a set that lies in a place: what it is, and how it stands.

    when is a word or a day, such as "ready", "2026-04-05" or "HOLD H26-001".
    """

    code: str
    species: str
    part: str
    when: str
    edge: State


@dataclass(frozen=True, slots=True, kw_only=True)
class RackCard:
    """What the card says; printed_at is YYYY-MM-DD HH:MM with its zone."""

    shop: str
    place: str
    rows: tuple[Shelved, ...]
    printed_at: str
    language: str = "en"


class Frame(NamedTuple):
    """A sheet, its margin, the height of a row, and how much larger its type is."""

    size: tuple[float, float]
    margin: float
    pitch: float
    scale: float

    @property
    def sides(self) -> tuple[float, float]:
        """The left and the right edge of what is printed [mm]."""
        return self.margin, self.size[0] - self.margin

    @property
    def rows(self) -> int:
        """How many rows a sheet holds."""
        return int((self.size[1] - FIRST_ROW - FOOT - 4) / self.pitch)


FRAMES: dict[Paper, Frame] = {
    "A5": Frame(size=(148.0, 210.0), margin=8, pitch=5.6, scale=1.0),
    # Read from further away.
    "A4": Frame(size=A4, margin=12, pitch=7.6, scale=1.35),
    "Letter": Frame(size=LETTER, margin=14.95, pitch=7.6, scale=1.35),
}


def draw(card: RackCard, *, paper: Paper = "A5") -> bytes:
    """Draw the card of a place, on as many sheets as it needs."""
    frame, say = FRAMES[paper], tongue(card.language)
    title = say("Rack card, {place}").format(place=card.place)
    page = open_document(frame.size, title, card.language)
    starts = range(0, max(len(card.rows), 1), frame.rows)
    for number, start in enumerate(starts, start=1):
        sheet = say("sheet {number} of {whole}")
        sheet = sheet.format(number=number, whole=len(starts))
        bookmark(page, sheet)
        _head(page, frame, card, sheet if len(starts) > 1 else "")
        _rows(page, frame, card.rows[start : start + frame.rows], say)
        said = say(
            "Printed {time}. The ledger may know more: ask it before you take wood."
        ).format(time=card.printed_at)
        rack_parts.foot(page, frame.size[1] - 7, said, frame.sides)
        turn_over(page)
    return archive.keep(page, day=card.printed_at[:10])


def notices(card: RackCard) -> tuple[str, ...]:
    """Say which characters the card could not print."""
    texts = [text for row in card.rows for text in (row.species, row.part)]
    return faces.missing_notices([card.shop, card.place, *texts])


def _head(page: Page, frame: Frame, card: RackCard, sheet: str) -> None:
    """Set the place, the one big thing, how much lies there, and the columns' names."""
    (left, right), say = frame.sides, tongue(card.language)
    rack_parts.head(page, say("Rack card"), card.shop, frame.sides)
    write(page, (left, 27.4), card.place, PLACE, within=right - left)
    count = say.many(
        len(card.rows),
        "{number} piece here when printed",
        "{number} boards or sets here when printed",
    ).format(number=len(card.rows))
    said = ", ".join(filter(None, (count, sheet)))
    write(page, (left, 34.4), said, COUNT, within=right - left)
    names = (say("board"), say("species"), say("for"))
    for x, words in zip(_columns(frame), names, strict=False):
        write(page, (x, FIRST_ROW - 3.4), words, COLUMN)
    write(page, (right, FIRST_ROW - 3.4), say("ready from"), COLUMN, align="right")
    rule(page, frame.sides, FIRST_ROW - 1.6)


def _columns(frame: Frame) -> list[float]:
    """Return where code, species, part and state begin [mm]."""
    left, right = frame.sides
    first = left + 5.0 * frame.scale
    return [first, *(left + share * (right - left) for share in SHARES)]


def _rows(page: Page, frame: Frame, rows: Sequence[Shelved], say: Tongue) -> None:
    left, right = frame.sides
    code, species, part, when = _columns(frame)
    side, y = 2.6 * frame.scale, FIRST_ROW + frame.pitch - 2.6 * frame.scale
    if not rows:
        write(page, (left, FIRST_ROW + 4), say("nothing lies here"), rack_parts.MORE)
    for row in rows:
        squares.square(page, left, y - side + 0.1, side, row.edge)
        loud = LOUD if row.edge in ("solid", "sawn") else WHEN
        cells = (
            (code, row.code, CODE, species - 2, "code"),
            (species, row.species, SPECIES, part - 2, "species"),
            (part, say(row.part), PART, when - 2, "part"),
        )
        for x, words, style, end, field in cells:
            shown = _scaled(style, frame)
            write(page, (x, y), words, shown, within=end - x, field=field)
        at, shown = (right, y), _scaled(loud, frame)
        write(page, at, row.when, shown, align="right", within=right - when)
        rule(page, frame.sides, y + 1.5 * frame.scale, 0.22, HAIR)
        y += frame.pitch


def _scaled(style: Style, frame: Frame) -> Style:
    return replace(style, size=style.size * frame.scale)
