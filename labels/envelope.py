"""The slip on a sealed envelope with a spare key: which key, whose, and what to do.

It bears the name of the key and no secret: neither a PIN nor a pass-phrase nor a
symbol, for nothing scans it. Two lines across the flap show that it was opened.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple

from labels import archive, faces, rack_parts
from labels.page import (
    WALNUT,
    Page,
    Style,
    open_document,
    rule,
    turn_over,
    wrap,
    write,
    write_lines,
)
from labels.rack_parts import Fact
from labels.tongue import Tongue, tongue

Paper = Literal["A6", "DL"]
TITLE = Style(face=faces.TEXT_SEMIBOLD, size=21, floor=12, may_shorten=True)
KEY = Style(face=faces.DATA_HEAVY, size=24, floor=14)
STEP = Style(face=faces.TEXT, size=9.4)
STEP_HEAD = Style(face=faces.CAPS, size=9, colour=WALNUT, tracking=0.07)
ACROSS = Style(face=faces.TEXT_ITALIC, size=8.4, colour=WALNUT, floor=6.8)
GROUP = 4
STEP_LEADING = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """What the slip says of the key inside; sealed is YYYY-MM-DD.

    what is such as "Root key"; key is its id, 16 letters and digits. whose and decides
    say whose it is and what it may decide, file is how the key file is called. opened
    and lost are what to do, a sentence or two each.
    """

    shop: str
    what: str
    key: str
    whose: str
    decides: str
    file: str
    sealed: str
    sealed_by: str
    opened: str
    lost: str
    language: str = "en"


class Frame(NamedTuple):
    """A slip and where its two columns lie: what is inside, what to do [mm]."""

    size: tuple[float, float]
    left: float
    second: float
    right: float


FRAMES: dict[Paper, Frame] = {
    "A6": Frame(size=(148.0, 105.0), left=8, second=79, right=140),
    "DL": Frame(size=(220.0, 110.0), left=12, second=118, right=208),
}


def grouped(key: str) -> str:
    """Return a key's id in groups of four, to be read out and compared."""
    return " ".join(key[at : at + GROUP] for at in range(0, len(key), GROUP))


def draw(envelope: Envelope, *, paper: Paper = "A6") -> bytes:
    """Draw the slip, to be glued on or printed on the envelope."""
    frame = FRAMES[paper]
    sides = (frame.left, frame.right)
    say = tongue(envelope.language)
    title = say("{what}, sealed {day}")
    title = title.format(what=envelope.what, day=envelope.sealed)
    page = open_document(frame.size, title, envelope.language)
    rack_parts.head(page, say("Sealed: spare key"), envelope.shop, sides)
    wide = frame.right - frame.left
    write(page, (frame.left, 25), envelope.what, TITLE, within=wide)
    key = grouped(envelope.key)
    write(page, (frame.left, 37), key, KEY, within=wide, field="key id")
    rule(page, sides, 42)
    inside = (frame.left, frame.second - 6)
    rack_parts.facts(page, inside, 48, _facts(envelope, say), 17)
    _to_do(page, frame, envelope, say)
    _across(page, frame, say)
    turn_over(page)
    return archive.keep(page, day=envelope.sealed)


def notices(envelope: Envelope) -> tuple[str, ...]:
    """Say which characters the slip could not print."""
    said = rack_parts.texts_of(_facts(envelope, tongue(envelope.language)))
    return faces.missing_notices([envelope.shop, envelope.what, *said])


def _facts(envelope: Envelope, say: Tongue) -> list[Fact]:
    return [
        Fact(say("whose"), envelope.whose, rack_parts.NAME),
        Fact(say("decides"), envelope.decides),
        Fact(say("file"), envelope.file, rack_parts.DATA, 1),
        Fact(say("sealed on"), envelope.sealed, rack_parts.DATA, 1),
        Fact(say("by"), envelope.sealed_by, rack_parts.NAME),
    ]


def _to_do(page: Page, frame: Frame, envelope: Envelope, say: Tongue) -> None:
    """Set what to do in the right column, the open envelope before the lost one."""
    x, y = frame.second, 48.0
    opened = (say("If opened"), envelope.opened)
    for words, told in (opened, (say("If lost"), envelope.lost)):
        write(page, (x, y), words, STEP_HEAD)
        lines = wrap(told, STEP, frame.right - x)
        y = write_lines(page, (x, y + 4.6), lines, STEP, STEP_LEADING) + 2.2


def _across(page: Page, frame: Frame, say: Tongue) -> None:
    """Leave two lines to sign on, across the flap, so that an opening shows."""
    level = frame.size[1] - 11.0
    middle = (frame.left + frame.right) / 2
    lines = ((frame.left, middle - 4), (middle + 4, frame.right))
    for line in lines:
        rule(page, line, level)
    flap = say("signed across the flap, over paper and envelope")
    second = say("signed by a second person")
    for (start, end), said in zip(lines, (flap, second), strict=True):
        write(page, (start, level + 4), said, ACROSS, within=end - start)
