"""The tag of a hold, A6, to hang on what nobody may use until a doubt is cleared.

HOLD stands in the sawn plate, read from across the room; under it the number, what is
in doubt and who lifts it, and which wood of the rack the doubt covers. Why somebody
doubts is kept out of the log, and so it is kept off the tag.
"""

from dataclasses import dataclass
from typing import NamedTuple

from labels import archive, faces, marks, rack_parts
from labels.page import (
    Page,
    Style,
    open_document,
    rule,
    thousands,
    turn_over,
    write,
)
from labels.rack_parts import LEFT, RIGHT, SIDES, Fact
from labels.tongue import Tongue, tongue

PLATE = (LEFT, 18.0, RIGHT - LEFT, 27.0)
NUMBER = Style(face=faces.DATA_HEAVY, size=36, floor=20)
DOTS = 15  # of a module, at 600 dpi
SPECIES_AT = 62.0
NAMED = 2  # who lift a hold, and are not counted
RACK_AT, RACK_PITCH, RACK_LINES = 95.2, 4.4, 8
FOOT_LEVEL = 143.0


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
    language: str = "en"


def payload(tag: HoldTag) -> str:
    """Return what the tag's symbol says; without a host, the number alone."""
    return rack_parts.payload(tag.host, "H", tag.code, tag.check)


def draw(tag: HoldTag) -> bytes:
    """Draw the tag of a hold."""
    say = tongue(tag.language)
    title = say("Tag of hold {hold}").format(hold=tag.code)
    page = open_document(rack_parts.A6, title, tag.language)
    rack_parts.head(page, say("Hold tag"), tag.shop)
    rack_parts.hole(page)
    marks.plate(page, PLATE, "sawn", say("HOLD"))
    left, top = LEFT, 49.0
    side = rack_parts.symbol(page, payload(tag), (RIGHT - 18.42, top), DOTS)
    within = RIGHT - LEFT - side - 4
    write(page, (left, 61.6), tag.code, NUMBER, within=within, field="hold")
    rule(page, SIDES, 70.6)
    rack_parts.facts(page, SIDES, 75.6, facts(tag, say), 19.0)
    _rack(page, tag, say)
    said = (until(say), rack_parts.printed_words(tag.printed_at, say))
    rack_parts.foot(page, FOOT_LEVEL, " ".join(said))
    turn_over(page)
    return archive.keep(page, day=tag.printed_at[:10])


def notices(tag: HoldTag) -> tuple[str, ...]:
    """Say which characters the tag could not print."""
    said = rack_parts.texts_of(facts(tag, tongue(tag.language)))
    return faces.missing_notices([tag.shop, *said])


def until(say: Tongue) -> str:
    """Say what is forbidden as long as the tag hangs."""
    return say("Take nothing of it, saw none and glue none until the hold is lifted.")


def facts(tag: HoldTag, say: Tongue) -> list[Fact]:
    """Return what is in doubt, since when, and who lifts the hold."""
    placed = say("placed {day}, entry {entry}").format(
        day=tag.placed, entry=thousands(tag.entry)
    )
    since = f"{tag.since}, {placed}" if tag.since else placed
    lifts = ", ".join(tag.lifted_by) or say("nobody, when this was printed")
    # Of many the last names have no room; how many there are is told before them.
    many = len(tag.lifted_by)
    who = f"{tag.who} ({many})" if many > NAMED else tag.who
    return [
        Fact(say("in doubt"), tag.doubted, rack_parts.NAME),
        Fact(say("since"), since, rack_parts.DATA, 1),
        Fact(say("lifted by"), say(": ").join((who, lifts)), rack_parts.VALUE, 1),
    ]


def count_words(tag: HoldTag, say: Tongue) -> str:
    """Say how many boards of the rack were under the hold, if any was."""
    said = say.many(
        tag.count, "{number} board when printed", "{number} boards when printed"
    )
    return said.format(number=thousands(tag.count)) if tag.count else ""


def _rack(page: Page, tag: HoldTag, say: Tongue) -> None:
    """Set the wood under the hold, a lot a line; the last line counts what is left."""
    under = say("Under it in the rack")
    rack_parts.heading(page, RACK_AT, under, count_words(tag, say))
    y = RACK_AT + 6.0
    if not tag.rack:
        none = say("no board when this was printed")
        write(page, (LEFT, y), none, rack_parts.MORE)
    shown = rack_parts.room_for(len(tag.rack), RACK_LINES)
    for codes, species in tag.rack[:shown]:
        write(page, (LEFT, y), codes, rack_parts.DATA, within=SPECIES_AT - LEFT - 3)
        at, within = (SPECIES_AT, y), RIGHT - SPECIES_AT
        write(page, at, species, rack_parts.SPECIES, within=within)
        y += RACK_PITCH
    if left_over := len(tag.rack) - shown:
        said = say.many(
            left_over,
            "and {number} more lot: {command}",
            "and {number} more lots: {command}",
        )
        command = f"flitchbook hold show {tag.code}"
        said = said.format(number=left_over, command=command)
        write(page, (LEFT, y), said, rack_parts.MORE, within=RIGHT - LEFT)
