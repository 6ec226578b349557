"""The tag of a hold, A6, to hang on what nobody may use until a doubt is cleared.

HOLD stands in the sawn plate, read from across the room; under it the number, what is
in doubt and who lifts it, and which wood of the rack the doubt covers. Why somebody
doubts is kept out of the log, and so it is kept off the tag.
"""

from dataclasses import dataclass
from typing import NamedTuple

from labels import faces, marks, rack_parts
from labels.page import (
    Page,
    Style,
    close_document,
    open_document,
    rule,
    thousands,
    turn_over,
    write,
)
from labels.rack_parts import LEFT, RIGHT, SIDES, Fact

PLATE = (LEFT, 18.0, RIGHT - LEFT, 27.0)
NUMBER = Style(face=faces.DATA_HEAVY, size=36, floor=20)
DOTS = 15  # of a module, at 600 dpi
SPECIES_AT = 62.0
RACK_AT, RACK_PITCH, RACK_LINES = 95.2, 4.4, 8
FOOT_LEVEL = 143.0
UNTIL = "Take nothing of it, saw none and glue none until the hold is lifted. "


class UnderHold(NamedTuple):
    """Wood of one lot that lies in the rack under a hold: its codes in short."""

    codes: str
    species: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldTag:
    """What the tag says; days are YYYY-MM-DD.

    doubted is what is in doubt, in words without a name. since is empty where all of it
    is. lifted_by are the people who may lift it, by name or badge, and who names what
    they are. count is how many boards of the rack are on hold.
    """

    shop: str
    host: str
    code: str
    check: str
    doubted: str
    since: str
    placed: str
    entry: int
    who: str
    lifted_by: tuple[str, ...]
    rack: tuple[UnderHold, ...]
    count: int
    printed_at: str


def payload(tag: HoldTag) -> str:
    """Return what the tag's symbol says; without a host, the number alone."""
    return rack_parts.payload(tag.host, "H", tag.code, tag.check)


def draw(tag: HoldTag) -> bytes:
    """Draw the tag of a hold."""
    page = open_document(rack_parts.A6, f"Tag of hold {tag.code}")
    rack_parts.head(page, "Hold tag", tag.shop)
    rack_parts.hole(page)
    marks.plate(page, PLATE, "sawn", "HOLD")
    left, top = LEFT, 49.0
    side = rack_parts.symbol(page, payload(tag), (RIGHT - 18.42, top), DOTS)
    within = RIGHT - LEFT - side - 4
    write(page, (left, 61.6), tag.code, NUMBER, within=within, field="hold")
    rule(page, SIDES, 70.6)
    rack_parts.facts(page, SIDES, 75.6, _facts(tag), 19.0)
    _rack(page, tag)
    said = UNTIL + rack_parts.printed_words(tag.printed_at)
    rack_parts.foot(page, FOOT_LEVEL, said)
    turn_over(page)
    return close_document(page)


def notices(tag: HoldTag) -> tuple[str, ...]:
    """Say which characters the tag could not print."""
    return faces.missing_notices([tag.shop, *rack_parts.texts_of(_facts(tag))])


def _facts(tag: HoldTag) -> list[Fact]:
    placed = f"{tag.placed}, entry {thousands(tag.entry)}"
    since = f"{tag.since}, placed {placed}" if tag.since else f"placed {placed}"
    lifts = ", ".join(tag.lifted_by) or "nobody, when this was printed"
    return [
        Fact("in doubt", tag.doubted, rack_parts.NAME),
        Fact("since", since, rack_parts.DATA, 1),
        Fact("lifted by", f"{tag.who}: {lifts}", rack_parts.VALUE, 1),
    ]


def _rack(page: Page, tag: HoldTag) -> None:
    """Set the wood under the hold, a lot a line; the last line counts what is left."""
    noun = "board" if tag.count == 1 else "boards"
    count = f"{thousands(tag.count)} {noun} when printed" if tag.count else ""
    rack_parts.heading(page, RACK_AT, "Under it in the rack", count)
    y = RACK_AT + 6.0
    if not tag.rack:
        write(page, (LEFT, y), "no board when this was printed", rack_parts.MORE)
    shown = rack_parts.room_for(len(tag.rack), RACK_LINES)
    for codes, species in tag.rack[:shown]:
        write(page, (LEFT, y), codes, rack_parts.DATA, within=SPECIES_AT - LEFT - 3)
        at, within = (SPECIES_AT, y), RIGHT - SPECIES_AT
        write(page, at, species, rack_parts.SPECIES, within=within)
        y += RACK_PITCH
    if left_over := len(tag.rack) - shown:
        noun = "lot" if left_over == 1 else "lots"
        said = f"and {left_over} more {noun}: flitchbook hold show {tag.code}"
        write(page, (LEFT, y), said, rack_parts.MORE, within=RIGHT - LEFT)
