"""The tag of a hold as a strong one with an eyelet, for wood that no card hangs on.

It is 60 mm wide and 120 mm high, and drawn twice, side by side: folded along the
middle it is doubled, both holes lie over each other, and it reads from either side.
"""

from labels import archive, faces, hold_tag, marks, rack_parts
from labels.hold_tag import HoldTag
from labels.page import (
    BARK,
    Page,
    Style,
    open_document,
    rule,
    turn_over,
    write,
)
from labels.tongue import Tongue, tongue

WIDTH, HEIGHT, MARGIN = 60.0, 120.0, 4.0
TICK = 3.0
PLATE = (18.0, 20.0)  # its upper edge and its height
NUMBER = Style(face=faces.DATA_HEAVY, size=27, floor=16)
DOTS = 13  # of a module, at 600 dpi
OFFSET = 15.0
SYMBOL_AT = 43.0
FACTS_AT = 66.2
FOOT_LEVEL = 116.0


def draw(tag: HoldTag) -> bytes:
    """Draw the tag, twice on one leaf to be folded."""
    say = tongue(tag.language)
    title = say("Tag of hold {hold}").format(hold=tag.code)
    page = open_document((2 * WIDTH, HEIGHT), title, tag.language)
    for left in (0.0, WIDTH):
        _side(page, tag, say, left)
    for ends in ((0.0, TICK), (HEIGHT - TICK, HEIGHT)):
        marks.stroke(page, [(WIDTH, y) for y in ends], 0.5, colour=BARK)
    turn_over(page)
    return archive.keep(page, day=tag.printed_at[:10])


def _side(page: Page, tag: HoldTag, say: Tongue, left: float) -> None:
    """Set one side with its left edge at x."""
    start, end = left + MARGIN, left + WIDTH - MARGIN
    rack_parts.hole(page, left + WIDTH / 2)
    marks.plate(page, (start, PLATE[0], end - start, PLATE[1]), "sawn", say("HOLD"))
    payload, at = hold_tag.payload(tag), (end - 16.0, SYMBOL_AT)
    side = rack_parts.symbol(page, payload, at, DOTS)
    within = end - start - side - 3
    write(page, (start, 52.4), tag.code, NUMBER, within=within, field="hold")
    count = hold_tag.count_words(tag, say)
    write(page, (start, 58.4), count, rack_parts.MORE, within=within)
    rule(page, (start, end), 61.6)
    facts = [fact._replace(most=3) for fact in hold_tag.facts(tag, say)]
    rack_parts.facts(page, (start, end), FACTS_AT, facts, OFFSET)
    said = (hold_tag.until(say), rack_parts.printed_words(tag.printed_at, say))
    rack_parts.foot(page, FOOT_LEVEL, " ".join(said), (start, end))
