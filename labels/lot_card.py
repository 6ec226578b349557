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
WANTED = Style(face=faces.TEXT_SEMIBOLD, size=15, floor=9, may_shorten=True)
HELD = Style(face=faces.DATA_BOLD, size=9, floor=7)
BLOCK, WIDE = 44.0, RIGHT - LEFT
PAPERS_AT, PAPER_PITCH, PAPER_LINES = 97.6, 4.6, 4
REST_AT = 122.6
FOOT_LEVEL = 143.0


class HeldPaper(NamedTuple):
    """A paper on file for the lot: its code, what it is with its number, its hold."""

    code: str
    words: str
    hold: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotCard:
    """What the card says; days are YYYY-MM-DD.

    sawyer is as it may be shown. grown is where it was harvested, or may have been, in
    words. count and grades are in words. missing counts what must be shown and is not.
    earliest and preferred are empty where no piece of it rests here, and where days
    alone make none ready; rest says why, or how many are ready, and wanted what is to
    be done. holds are the numbers of those that stand on any of it. printed_at is
    YYYY-MM-DD HH:MM with its zone.
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
    wanted: str = ""
    holds: tuple[str, ...] = ()


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
        _held_paper(page, y, paper, say)
        y += PAPER_PITCH
    if left_over := len(card.papers) - shown:
        said = say("and {number} more: {command}")
        command = f"flitchbook lot show {card.code}"
        said = said.format(number=left_over, command=command)
        write(page, (LEFT + 5, y), said, rack_parts.MORE, within=WIDE - 5)


def _held_paper(page: Page, y: float, paper: HeldPaper, say: Tongue) -> None:
    """Set a paper in its line; one in doubt with its hold, and a notched square."""
    squares.square(page, LEFT, y - 2.5, 2.5, "sawn" if paper.hold else "solid")
    x, end = LEFT + 5, RIGHT
    x += write(page, (x, y), paper.code, rack_parts.DATA, within=20) + 3
    if paper.hold:
        said, at = f"{say('HOLD')} {paper.hold}", (RIGHT, y)
        end -= write(page, at, said, HELD, align="right", within=30) + 2
    write(page, (x, y), paper.words, rack_parts.VALUE, within=end - x)


def _rest(page: Page, card: LotCard, say: Tongue) -> None:
    """Set in two halves what matters most: a hold, what is to be done, the days."""
    rack_parts.heading(page, REST_AT, say("Rest"), card.rest)
    y, half = REST_AT + 8.8, WIDE / 2
    places = iter((LEFT, LEFT + half))
    if card.holds:
        more = f" +{len(card.holds) - 1}" if len(card.holds) > 1 else ""
        box = (next(places), REST_AT + 3.2, half - 2, 8.0)
        marks.plate(page, box, "sawn", f"{say('HOLD')} {card.holds[0]}{more}")
    if card.wanted:
        write(page, (next(places), y), card.wanted, WANTED, within=half - 2)
    days = ((say("earliest"), card.earliest), (say("better"), card.preferred))
    for (label, day), x in zip(
        [each for each in days if each[1]], places, strict=False
    ):
        taken = write(page, (x, y), label, rack_parts.LABEL) + 2
        at, within = (x + taken, y), half - taken - 2
        write(page, at, day, DAY, within=within, field=f"{label} day")
