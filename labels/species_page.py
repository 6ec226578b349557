"""The pages of a species paper: band, head, glance line, rows, foot.

What a paper has of its own comes as an `Outline`; here it is set, on as many pages as
it takes, in the form that all species papers share. No ornament, so that nobody takes
one for an official form.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from labels import archive, faces, qr, species_columns
from labels.facts import shown_name
from labels.materials_table import WIDTH, Block, Words
from labels.page import (
    WALNUT,
    Page,
    Style,
    bookmark,
    measure,
    open_document,
    oxford,
    rule,
    turn_over,
    wrap,
    write,
    write_lines,
)
from labels.species_columns import Column
from labels.species_facts import Imprint
from labels.species_sheet import NUMBER, SHEETS, Sheet, named, next_head, page_foot
from labels.statement import WORDINGS, Dated, band
from ledger.errors import RefusedError
from ledger.trade.consignment import Consignment, Party
from ledger.trade.movement import purpose_words
from ledger.trade.ways import country_line, way_line

Size = Literal["A4", "Letter"]


FIRST_ROW, NEXT_ROW = 85.2, 40.2  # from the band's upper edge
HEADS = 6.0  # that those of the columns take
MODULE = 24 * qr.INCH / qr.DOTS_PER_INCH
BESIDE_AT, SIGNED_AT = 38.0, 124.0
SIGN_HEIGHT = 42.0
BESIDE_LINES = 7
SIGNED = "Signed"

TITLE = Style(face=faces.TEXT_SEMIBOLD, size=29, floor=20)
DATE = Style(face=faces.DATA_MEDIUM, size=9.6, floor=7)
ABOUT = Style(face=faces.TEXT, size=10.4, colour=WALNUT, floor=8)
HEADING = Style(face=faces.CAPS, size=9.4, colour=WALNUT, tracking=0.07)
NAME = Style(face=faces.TEXT_SEMIBOLD, size=10.2, floor=8, may_shorten=True)
BODY = Style(face=faces.TEXT, size=9.8, floor=7.6)
SMALL = Style(face=faces.TEXT, size=8.8, floor=7.6)
FIGURE = Style(face=faces.DATA_HEAVY, size=19, floor=13)
WORDS = Style(face=faces.TEXT, size=10.2, floor=8)
ASIDE = Style(face=faces.TEXT_ITALIC, size=8.6, colour=WALNUT)
CODE = Style(face=faces.DATA_MEDIUM, size=8.2, floor=6.8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """What a species paper has of its own; heads draws those of its rows' columns."""

    title: str
    about: str
    number: str
    date: str
    place: str
    columns: tuple[Column, Column, Column]
    glance: tuple[tuple[str, str], ...]  # figure and words, first what is to be asked
    rows: Sequence[Block]
    ends: Sequence[Block]  # on one page, if one holds them: no signature without sums
    tail: Sequence[Block]
    heads: Words
    whom_to_ask: str


def draw(outline: Outline, *, size: Size) -> bytes:
    """Set a paper on as many pages as it takes."""
    sheet = SHEETS[size]
    page = open_document(sheet.size, f"{outline.title} {outline.number}")
    columns = species_columns.planned(outline.columns)
    grown = columns.grown
    pages = _plan(sheet, outline, grown)
    for number, blocks in enumerate(pages, start=1):
        band(page, sheet.left, sheet.top)
        if number == 1:
            bookmark(page, outline.title)
            _head(page, sheet, outline)
            species_columns.draw(page, sheet.left, sheet.top, columns)
            _glance(page, sheet, outline.glance, grown)
        else:
            title = f"{outline.title}, continued"
            next_head(page, sheet, outline.number, title)
        y = sheet.top + (FIRST_ROW + grown if number == 1 else NEXT_ROW)
        if blocks and blocks[0].is_row:
            outline.heads(page, sheet.left, y - 2.2)
        elif number > 1:
            y -= HEADS
        for block in blocks:
            block.draw(page, sheet.left, y)
            y += block.height
        said, turned = outline.whom_to_ask, f"page {number} of {len(pages)}"
        page_foot(page, sheet, said, turned, "whom to ask")
        turn_over(page)
    return archive.keep(page, day=outline.date)


def columns_of(
    consignment: Consignment, letterhead: Sequence[str] = ()
) -> tuple[Column, Column, Column]:
    """Return From, To and What of a consignment; a letterhead keeps its lines."""
    legs, day = consignment.legs, consignment.moves_on
    end = way_line(consignment.recipient.country, legs, day)
    start = country_line(consignment.sender.country or legs[0], legs, day)
    sender = _party("From", consignment.sender, start, "--sender")
    if letterhead:
        name = consignment.sender.name
        sender = species_columns.letterhead("From", name, letterhead, start)
    return (
        sender,
        _party("To", consignment.recipient, end, "--recipient"),
        species_columns.what(
            _what(consignment),
            consignment.moves_on.isoformat(),
            purpose_words(consignment.purpose),
        ),
    )


def require_room(consignment: Consignment) -> None:
    """Refuse a sender or a recipient that no paper has room for."""
    sender, recipient, _ = columns_of(consignment)
    nothing = Column(heading="", bold="", plain="", said_by="")
    species_columns.planned((sender, recipient, nothing))


def dated(consignment: Consignment) -> Dated:
    """Return as of when a paper of a consignment speaks."""
    newest = consignment.newest_source
    return Dated(
        day=consignment.printed_on.isoformat(),
        entry=consignment.size - 1,
        compiled=consignment.table_date.isoformat(),
        newest_source=newest.isoformat() if newest else "",
    )


def payload(consignment: Consignment, imprint: Imprint) -> str:
    """Return what a paper's symbol says; without a host, the number alone."""
    place = f"HTTPS://{imprint.host.upper()}/" if imprint.host else ""
    return f"{place}X/{consignment.number}{imprint.check}"


def signature(
    consignment: Consignment, imprint: Imprint, *, heading: str, beside: str
) -> Block:
    """Plan the symbol, the checkpoint, some words of the paper's own, and the name."""
    lines = wrap(beside, SMALL, SIGNED_AT - BESIDE_AT - 5)
    if len(lines) > BESIDE_LINES:
        raise RefusedError(
            f"{heading.lower()} does not fit the paper: it takes {len(lines)} lines, "
            f"and {BESIDE_LINES} are free; shorten it"
        )

    def draw(page: Page, left: float, y: float) -> None:
        oxford(page, (left, left + WIDTH), y + 0.6)
        _symbol(page, consignment, imprint, left, y)
        write(page, (left + BESIDE_AT, y + 6.4), heading, HEADING)
        write_lines(page, (left + BESIDE_AT, y + 10.8), lines, SMALL, 3.7)
        _signed(page, consignment, imprint, left, y)

    return Block(SIGN_HEIGHT, draw, "signature")


def notices(consignment: Consignment, imprint: Imprint) -> tuple[str, ...]:
    """Say what of a consignment a paper could not print at its best."""
    weaker = qr.board_symbol(payload(consignment, imprint)).notice
    texts = [imprint.place, imprint.whom_to_ask, imprint.signer_rank]
    texts += [imprint.signer_name or "", consignment.purpose]
    for party in (consignment.sender, consignment.recipient):
        texts += [party.name, *party.address]
    for thing in consignment.things:
        texts += [thing.what, thing.model, *thing.marks]
    for item in consignment.items:
        texts += [item.taxon, item.trade_name, item.part]
    return (*((weaker,) if weaker else ()), *faces.missing_notices(texts))


def together(blocks: Sequence[Block], *, is_row: bool = False) -> Block:
    """Make one block of several, so that no page parts them."""

    def draw(page: Page, left: float, y: float) -> None:
        for block in blocks:
            block.draw(page, left, y)
            y += block.height

    height = sum(block.height for block in blocks)
    return Block(height, draw, blocks[-1].field, is_row)


def _what(consignment: Consignment) -> str:
    things = consignment.things
    if len(things) == 1:
        # What was not made here goes by its description, which is said once.
        said = dict.fromkeys(filter(None, (things[0].what, things[0].code)))
        return ", ".join(said)
    return f"{len(things)} things, {things[0].code} and {len(things) - 1} more"


def _party(heading: str, party: Party, country: str, said_by: str) -> Column:
    said = ", ".join((*party.address, country))
    return species_columns.party(heading, party.name, said, said_by)


def _plan(sheet: Sheet, outline: Outline, grown: float) -> list[list[Block]]:
    """Share rows and ends out over pages; a signature stands with its sums."""
    starts = (FIRST_ROW + grown, NEXT_ROW)
    rooms = tuple(sheet.foot - sheet.top - row - 1.5 for row in starts)
    ends = list(outline.ends)
    if sum(block.height for block in ends) <= rooms[1]:
        ends = [together(ends)] if ends else []
    pages: list[list[Block]] = [[]]
    free = rooms[0]
    ends, tail = named(SIGNED, ends), named(WORDINGS[0].heading, outline.tail)
    for block in (*outline.rows, *ends, *tail):
        if block.height > rooms[1]:
            raise RefusedError(
                f"{block.field} does not fit the paper: it needs {block.height:.0f} "
                f"mm, and a page has {rooms[1]:.0f} mm; shorten it"
            )
        if block.height > free:
            pages.append([])
            free = rooms[1]
        pages[-1].append(block)
        free -= block.height
    return pages


def _head(page: Page, sheet: Sheet, outline: Outline) -> None:
    """Set title and number, what it is and the date."""
    left, right = sheet.sides
    y = sheet.top + 32
    free = WIDTH - measure(outline.number, NUMBER) - 6
    write(page, (left, y), outline.title, TITLE, within=free, field="title")
    write(page, (right, y), outline.number, NUMBER, align="right", within=80)
    y += 6
    said = ", ".join(filter(None, (outline.date, outline.place)))
    taken = write(page, (right, y), said, DATE, align="right", within=80, field="place")
    free = WIDTH - taken - 6
    write(page, (left, y), outline.about, ABOUT, within=free, field="about")
    oxford(page, sheet.sides, y + 3.6)


def _glance(
    page: Page, sheet: Sheet, said: Sequence[tuple[str, str]], grown: float
) -> None:
    """Set the line that is read first between two rules."""
    y = sheet.top + 73.4 + grown
    rule(page, sheet.sides, y - 9.2)
    rule(page, sheet.sides, y + 4.0)
    widths = [
        (measure(figure, FIGURE) + 1.6 if figure else 0, measure(words, WORDS))
        for figure, words in said
    ]
    natural, gaps = sum(a + b for a, b in widths), max(1, len(said) - 1)
    gap = min(8.0, max(4.0, (WIDTH - natural) / gaps))
    share = min(1.0, (WIDTH - gap * gaps) / natural)
    x = sheet.left
    for (figure, words), (a, b) in zip(said, widths, strict=True):
        if figure:
            free = (a - 1.6) * share + 0.01
            x += write(page, (x, y), figure, FIGURE, within=free, field="counts")
            x += 1.6 * share
        free = b * share + 0.01
        x += write(page, (x, y), words, WORDS, within=free, field="counts") + gap


def _symbol(
    page: Page, consignment: Consignment, imprint: Imprint, left: float, y: float
) -> None:
    """Draw the symbol and the number, and beside it the checkpoint as it is typed."""
    symbol = qr.board_symbol(payload(consignment, imprint))
    x, top = (qr.snap(place, qr.DOTS_PER_INCH) for place in (left, y + 5))
    qr.draw(page, symbol, x, top, MODULE)
    side = symbol.side * MODULE
    level = top + side + 7
    write(page, (left, level), consignment.number, CODE, within=side + 4)
    x = left + BESIDE_AT
    write(page, (x, level), "checkpoint", ASIDE)
    x += measure("checkpoint", ASIDE) + 2
    words = " ".join((str(consignment.size), *imprint.ten_words))
    write(page, (x, level), words, CODE, within=left + WIDTH - x, field="ten words")


def _signed(
    page: Page, consignment: Consignment, imprint: Imprint, left: float, y: float
) -> None:
    """Set the line to sign on, and who signs."""
    x, free = left + SIGNED_AT, WIDTH - SIGNED_AT
    write(page, (x, y + 6.4), SIGNED, HEADING)
    rule(page, (x, x + free), y + 22)
    name = shown_name(imprint.signer_name, imprint.signer_badge)
    write(page, (x, y + 26.4), name, NAME, within=free, field="signer")
    at = (x, y + 30.6)
    write(page, at, imprint.signer_rank, SMALL, within=free, field="signer's rank")
    day = consignment.printed_on.isoformat()
    said = f"badge {imprint.signer_badge}, {day}" if imprint.signer_name else day
    write(page, (x, y + 34.6), said, CODE, within=free, field="signer's badge")
