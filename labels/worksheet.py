"""A worksheet: what to write on an official form, box by box, and what to ask first.

It is no form and does not look like one. It leads with what must be asked; boxes that
an office fills in are said to be the office's, and are no blanks.
"""

from collections.abc import Sequence
from typing import Literal

from labels import archive, faces, qr, worksheet_rows
from labels.materials_foot import (
    ASIDE,
    CHECKPOINT,
    CODE,
    DECIDED_AT,
    MODULE,
)
from labels.materials_table import WIDTH
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
from labels.species_sheet import NUMBER, SHEETS, Sheet, next_head, page_foot
from labels.statement import band
from labels.worksheet_rows import ASK_FIRST, TO_GET, Piece, together
from ledger import quantities
from ledger.codes import check_character
from ledger.errors import RefusedError
from ledger.trade.forms.sharing import mass_of
from ledger.trade.forms.worksheet import Box, Worksheet
from ledger.words import ten_words

FIRST_ROW, NEXT_ROW = 58.5, 33.6  # from the band's upper edge
COPIED_AT = 118.0
SMALL_MASS = 10_000  # mg: below, three decimals would lose a tenth of it
END_HEIGHT = 44.0
MOST_ASKED = 8  # things to get and to ask before the form

TITLE = Style(face=faces.TEXT_SEMIBOLD, size=29, floor=18)
ABOUT = Style(face=faces.TEXT, size=10.4, colour=WALNUT, floor=8)
DATE = Style(face=faces.DATA_MEDIUM, size=9.6, floor=7)
FIGURE = Style(face=faces.DATA_HEAVY, size=19, floor=13)
WORDS = Style(face=faces.TEXT, size=10.2, floor=8)
HEADING = Style(face=faces.CAPS, size=9.4, colour=WALNUT, tracking=0.07)
SMALL = Style(face=faces.TEXT, size=8.8, floor=7.6)


def payload(worksheet: Worksheet, host: str) -> str:
    """Return what the symbol says; without a host, the number alone."""
    place = f"HTTPS://{host.upper()}/" if host else ""
    return f"{place}X/{worksheet.number}{check_character(worksheet.number)}"


def glance(worksheet: Worksheet) -> list[tuple[str, str]]:
    """Return the line read first: what to ask, forms, rows, and their mass."""
    papers, asks, forms = len(worksheet.papers), len(worksheet.asks), worksheet.forms
    copies = sum(form.copies for form in forms)
    rows = sum(len(form.specimens) for form in forms)
    said = [(str(asks), "to ask first") if asks else ("", "nothing to ask first")]
    if papers:
        said.append((str(papers), "paper to get" if papers == 1 else "papers to get"))
    said.append((str(copies), "form" if copies == 1 else "forms"))
    said.append((str(rows), "row" if rows == 1 else "rows"))
    if len(forms) == 1:
        mass = mass_of(item for row in forms[0].specimens for item in row.items)
        places = 3 if mass >= SMALL_MASS else None
        said.append((quantities.kilograms(mass, places=places), "net"))
    return said


def _head(page: Page, sheet: Sheet, worksheet: Worksheet) -> None:
    """Set title and number, the form's edition and the date, and the first line."""
    left, right = sheet.sides
    y = sheet.top + 32
    number = worksheet.number
    write(page, (left, y), worksheet.title, TITLE, within=WIDTH - 42, field="title")
    end = (right, y)
    write(page, end, number, NUMBER, align="right", within=40, field="number")
    y += 6
    write(page, (left, y), worksheet.about, ABOUT, within=WIDTH - 26, field="about")
    printed = worksheet.printed_on.isoformat()
    write(page, (right, y), printed, DATE, align="right")
    oxford(page, sheet.sides, y + 3.4)
    x, y = left, sheet.top + 52.4
    for figure, words in glance(worksheet):
        if figure:
            x += write(page, (x, y), figure, FIGURE) + 1.6
        x += write(page, (x, y), words, WORDS) + 8
    rule(page, sheet.sides, y + 3.4)


def _dates(worksheet: Worksheet) -> str:
    """Say when the tables were compiled, and the newest source of each."""
    oldest, newest = worksheet.newest_source, worksheet.boxes_newest_source
    seen = f"sources of {oldest} or later" if oldest else "no source seen"
    boxes = f"newest source of {newest}" if newest else "no source seen"
    return (
        f"Listing table compiled {worksheet.table_date}, {seen}; boxes of this form "
        f"compiled {worksheet.boxes_checked_on}, {boxes}. A "
        f"maker’s worksheet, no form and no advice: ask the office that takes the form "
        f"before anything moves."
    )


def _end(worksheet: Worksheet, host: str) -> Piece:
    """Plan the symbol, what the sheet rests on, and who copied it onto the form."""
    symbol = qr.board_symbol(payload(worksheet, host))
    said = (
        f"Form: {worksheet.edition}. Shipment {worksheet.number}, moves "
        f"{worksheet.moves_on}. Written from the record as of {worksheet.printed_on}; "
        f"the tables that answered have the digest {worksheet.tables[:16]}. On another "
        f"day a box may ask for something else."
    )
    lines = wrap(said, SMALL, COPIED_AT - DECIDED_AT - 6)

    def draw(page: Page, left: float, y: float) -> None:
        oxford(page, (left, left + WIDTH), y + 0.6)
        x, top = (qr.snap(place, qr.DOTS_PER_INCH) for place in (left, y + 5))
        qr.draw(page, symbol, x, top, MODULE)
        at = left + DECIDED_AT
        write(page, (at, y + 6.4), "What it rests on", HEADING)
        write_lines(page, (at, y + 10.8), lines, SMALL, 3.7)
        _copied(page, left, y)
        _checkpoint(page, worksheet, left, top + symbol.side * MODULE + 7)

    return Piece(END_HEIGHT, draw, "what it rests on")


def _copied(page: Page, left: float, y: float) -> None:
    """Set the line on which whoever copied it onto the form signs."""
    x, end = left + COPIED_AT, left + WIDTH
    write(page, (x, y + 6.4), "Copied onto the form", HEADING)
    rule(page, (x, end), y + 22)
    write(page, (x, y + 25.6), "name and date", ASIDE)


def _checkpoint(page: Page, worksheet: Worksheet, left: float, level: float) -> None:
    """Set the number, and the checkpoint as it is typed."""
    write(page, (left, level), worksheet.number, CODE, within=34, field="number")
    x = left + DECIDED_AT
    write(page, (x, level), CHECKPOINT, ASIDE)
    x += measure(CHECKPOINT, ASIDE) + 2
    words = ten_words(bytes.fromhex(worksheet.root))
    said = " ".join((str(worksheet.size), *words))
    write(page, (x, level), said, CODE, within=left + WIDTH - x, field="ten words")


def _pieces(worksheet: Worksheet, host: str, room: float) -> list[Piece]:
    """Plan everything under the head, in its order; room is that of the first page."""
    forms = [
        piece for form in worksheet.forms for piece in worksheet_rows.form_pieces(form)
    ]
    first, later = _asked_pieces(worksheet, room - (forms[0].height if forms else 0))
    ends = [_end(worksheet, host)]
    if worksheet.notes:
        notes = [worksheet_rows.note_piece(words) for words in worksheet.notes]
        ends = [worksheet_rows.heading("To mind"), *notes, worksheet_rows.gap(), *ends]
    return [*first, *forms, *later, together(ends)]


def _asked_pieces(worksheet: Worksheet, room: float) -> tuple[list[Piece], list[Piece]]:
    """Plan what to get and to ask: what stands before the form, and what after it.

    What its own box asks again is only counted where it has no place at the front.
    """
    lines = [(TO_GET, words) for words in worksheet.papers]
    lines += [(ASK_FIRST, words) for words in worksheet.asks]
    free = room - worksheet_rows.MORE_HEIGHT
    shown = 0
    for count in range(1, min(len(lines), MOST_ASKED) + 1):
        if sum(piece.height for piece in _under_heads(lines[:count])) > free:
            break
        shown = count
    rest = lines[shown:]
    late = [line for line in rest if line[1] not in worksheet.by_row]
    first = _under_heads(lines[:shown])
    if rest:
        where = ["by row"] if len(late) < len(rest) else []
        where += ["after the last form"] if late else []
        said = f"and {len(rest)} more, {' and '.join(where)}"
        first.append(worksheet_rows.more_piece(said))
    return first, _under_heads(late)


def _under_heads(lines: Sequence[tuple[str, str]]) -> list[Piece]:
    """Plan lines, each with its heading above the first of its kind."""
    pieces: list[Piece] = []
    head = ""
    for name, words in lines:
        piece = worksheet_rows.ask_piece(words, name)
        if name != head:
            piece = together([worksheet_rows.heading(name), piece])
        pieces.append(piece)
        head = name
    return pieces


def _share_out(
    pieces: Sequence[Piece], rooms: tuple[float, float]
) -> list[list[Piece]]:
    """Fill pages in order; a page that begins inside a section says which."""
    pages: list[list[Piece]] = [[]]
    free = rooms[0]
    for piece in pieces:
        again = worksheet_rows.CONTINUED if piece.section else 0
        if piece.height + again > rooms[1]:
            raise RefusedError(
                f"{piece.field} does not fit the paper: it needs {piece.height:.0f} "
                f"mm, and a page has {rooms[1] - again:.0f} mm; shorten it"
            )
        if piece.height > free:
            pages.append([])
            free = rooms[1]
            if piece.section and not piece.opens:
                pages[-1].append(worksheet_rows.continued(piece.section))
                free -= again
        pages[-1].append(piece)
        free -= piece.height
    return pages


def draw(
    worksheet: Worksheet, *, host: str = "", size: Literal["A4", "Letter"] = "A4"
) -> bytes:
    """Draw a worksheet: what to ask, then each form box by box."""
    sheet = SHEETS[size]
    first, later = (sheet.foot - sheet.top - row - 1.5 for row in (FIRST_ROW, NEXT_ROW))
    pages = _share_out(_pieces(worksheet, host, first), (first, later))
    title = f"{worksheet.title} {worksheet.number}"
    page = open_document(sheet.size, title)
    for number, pieces in enumerate(pages, start=1):
        band(page, sheet.left, sheet.top)
        if number == 1:
            bookmark(page, worksheet.title)
            _head(page, sheet, worksheet)
        else:
            following = f"{worksheet.title}, continued"
            next_head(page, sheet, worksheet.number, following)
        y = sheet.top + (FIRST_ROW if number == 1 else NEXT_ROW)
        for piece in pieces:
            if piece.opens:
                bookmark(page, piece.section, y, level=1)
            piece.draw(page, sheet.left, y)
            y += piece.height
        turned = f"page {number} of {len(pages)}"
        page_foot(page, sheet, _dates(worksheet), turned, "dates")
        turn_over(page)
    return archive.keep(page, day=worksheet.printed_on.isoformat())


def notices(worksheet: Worksheet, *, host: str = "") -> tuple[str, ...]:
    """Say what the paper could not print at its best."""
    weaker = qr.board_symbol(payload(worksheet, host)).notice
    texts = [*worksheet.papers, *worksheet.asks, *worksheet.notes]
    for form in worksheet.forms:
        rows = (form.boxes, form.closing, *(row.boxes for row in form.specimens))
        texts += [said for boxes in rows for box in boxes for said in _said(box)]
    return (*((weaker,) if weaker else ()), *faces.missing_notices(texts))


def _said(box: Box) -> tuple[str, str]:
    return box.value, box.comes_from
