"""The card of a lot, A6, to hang at the head of its rack.

The code is the one big thing; beside the symbol stands what came in, below it the
papers held and how long the wood rests. What a scan tells better is not printed.
"""

from dataclasses import dataclass
from typing import NamedTuple

from labels import archive, faces, marks, rack_parts, squares
from labels.page import (
    Page,
    Style,
    open_document,
    rule,
    turn_over,
    write,
)
from labels.rack_parts import LEFT, RIGHT, SIDES, Fact
from labels.tongue import Tongue, tongue

SPECIES = Style(face=faces.TEXT_SEMIBOLD_ITALIC, size=17, floor=11, may_shorten=True)
TRADE_NAME = Style(face=faces.TEXT, size=10.4, floor=8, may_shorten=True)
CHECK = Style(face=faces.DATA_HEAVY, size=17, floor=12)
DAY = Style(face=faces.DATA_HEAVY, size=17, floor=12)
BLOCK, WIDE = 44.0, RIGHT - LEFT
PAPERS_AT, PAPER_PITCH, PAPER_LINES = 97.6, 4.6, 4
REST_AT = 122.6
FOOT_LEVEL = 143.0


class HeldPaper(NamedTuple):
    """A paper on file for the lot: its code, and what it is with its number."""

    code: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotCard:
    """What the card says; days are YYYY-MM-DD.

    sawyer is as it may be shown. grown is where it was harvested, or may have been, in
    words. count and grades are in words. missing counts what must be shown and is not.
    earliest and preferred are empty where no piece of it rests here; rest says why, or
    how many are ready. printed_at is YYYY-MM-DD HH:MM with its zone.
    """

    shop: str
    host: str
    code: str
    check: str
    species: str
    trade_name: str
    origin_unknown: bool
    sawyer: str
    received: str
    count: str
    grades: str
    grown: str
    papers: tuple[HeldPaper, ...]
    missing: int
    earliest: str
    preferred: str
    rest: str
    printed_at: str
    language: str = "en"


def payload(card: LotCard) -> str:
    """Return what the card's symbol says; without a host, the code alone."""
    return rack_parts.payload(card.host, "L", card.code, card.check)


def draw(card: LotCard) -> bytes:
    """Draw the card of a lot."""
    say = tongue(card.language)
    title = say("Card of lot {lot}").format(lot=card.code)
    page = open_document(rack_parts.A6, title, card.language)
    rack_parts.head(page, say("Lot card"), card.shop)
    rack_parts.hole(page)
    write(page, (LEFT, 31.5), card.code, rack_parts.NUMBER, within=WIDE, field="code")
    _wood(page, card, say)
    rule(page, SIDES, 51)
    rack_parts.symbol(page, payload(card), (LEFT, 55.0), 26)
    rack_parts.facts(page, (BLOCK, RIGHT), 57.2, _facts(card, say), 14.5)
    _papers(page, card, say)
    _rest(page, card, say)
    rack_parts.foot(page, FOOT_LEVEL, rack_parts.printed_words(card.printed_at, say))
    turn_over(page)
    return archive.keep(page, day=card.printed_at[:10])


def notices(card: LotCard) -> tuple[str, ...]:
    """Say which characters the card could not print."""
    texts = [
        card.shop,
        card.species,
        card.trade_name,
        *rack_parts.texts_of(_facts(card, tongue(card.language))),
    ]
    return faces.missing_notices([*texts, *(paper.words for paper in card.papers)])


def _wood(page: Page, card: LotCard, say: Tongue) -> None:
    """Set the species and its trade name, or the plate of wood that nobody can name."""
    if card.origin_unknown:
        plate = (LEFT, 36.4, WIDE, 11.4)
        marks.plate(page, plate, "broken", say("ORIGIN UNKNOWN"))
        return
    write(page, (LEFT, 41.4), card.species, SPECIES, within=WIDE, field="species")
    write(page, (LEFT, 47.4), card.trade_name, TRADE_NAME, within=WIDE)


def _facts(card: LotCard, say: Tongue) -> list[Fact]:
    return [
        Fact(say("sawyer"), card.sawyer, rack_parts.NAME),
        Fact(say("came in"), card.received, rack_parts.DATA, 1),
        Fact(say("pieces"), card.count, rack_parts.VALUE),
        Fact(say("grade"), card.grades, rack_parts.VALUE),
        Fact(say("grew in"), card.grown, rack_parts.VALUE),
    ]


def _papers(page: Page, card: LotCard, say: Tongue) -> None:
    """Set the papers held, a line each, and how much that is asked for is missing."""
    missing = say("{number} missing: see lot evidence").format(number=card.missing)
    gap = missing if card.missing else ""
    rack_parts.heading(page, PAPERS_AT, say("Papers held"), gap)
    y = PAPERS_AT + 6.0
    if not card.papers:
        squares.square(page, LEFT, y - 2.5, 2.5, "hollow")
        write(page, (LEFT + 5, y), say("none on file"), rack_parts.MORE)
    shown = rack_parts.room_for(len(card.papers), PAPER_LINES)
    for paper in card.papers[:shown]:
        squares.square(page, LEFT, y - 2.5, 2.5, "solid")
        x = LEFT + 5
        x += write(page, (x, y), paper.code, rack_parts.DATA, within=20) + 3
        words, within = paper.words, RIGHT - x
        write(page, (x, y), words, rack_parts.VALUE, within=within)
        y += PAPER_PITCH
    if left_over := len(card.papers) - shown:
        said = say("and {number} more: {command}")
        command = f"flitchbook lot show {card.code}"
        said = said.format(number=left_over, command=command)
        write(page, (LEFT + 5, y), said, rack_parts.MORE, within=WIDE - 5)


def _rest(page: Page, card: LotCard, say: Tongue) -> None:
    """Set the earliest and the better day, and how many pieces are ready by now."""
    rack_parts.heading(page, REST_AT, say("Rest"), card.rest)
    y, half = REST_AT + 8.8, WIDE / 2
    for x, label, day in (
        (LEFT, say("earliest"), card.earliest),
        (LEFT + half, say("better"), card.preferred),
    ):
        if day:
            taken = write(page, (x, y), label, rack_parts.LABEL) + 2
            at, within = (x + taken, y), half - taken - 2
            write(page, at, day, DAY, within=within, field=f"{label} day")
