"""The materials list that travels with a shipment: every wood by scientific name.

A maker's statement and no permit, and the first thing on each page says so in four
languages. It leads with what must be asked. No ornament, so that nobody takes it for
an official form.
"""

from collections.abc import Sequence
from typing import Literal

from labels import archive, faces, materials_foot, materials_table, qr, species_columns
from labels.materials_facts import (
    Counts,
    MaterialRow,
    MaterialsPaper,
    RuleRow,
    WithThisPage,
)
from labels.materials_table import WIDTH, Block
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
from labels.species_facts import HOLD
from labels.species_sheet import NUMBER, SHEETS, Sheet, named, next_head, page_foot
from labels.statement import band
from ledger import quantities
from ledger.errors import RefusedError
from ledger.scales import in_a_row

__all__ = [
    "Counts",
    "MaterialRow",
    "MaterialsPaper",
    "RuleRow",
    "WithThisPage",
    "draw",
    "notices",
]


FIRST_ROW, NEXT_ROW = 85.2, 40.2  # from the band's upper edge
RULES = "Rules and sources, row by row"
BESIDE, BESIDE_LEADING = 81.6, 4.2
UNCOUNTED = "a paper that is marked HOLD is not counted as on file."

TITLE = Style(face=faces.TEXT_SEMIBOLD, size=29)
DATE = Style(face=faces.DATA_MEDIUM, size=9.6, floor=7)
ABOUT = Style(face=faces.TEXT, size=10.4, colour=WALNUT)
HEADING = Style(face=faces.CAPS, size=9.4, colour=WALNUT, tracking=0.07)
NAME = Style(face=faces.TEXT_SEMIBOLD, size=10.2, floor=8)
BODY = Style(face=faces.TEXT, size=9.8, floor=7.6)
FIGURE = Style(face=faces.DATA_HEAVY, size=19, floor=13)
WORDS = Style(face=faces.TEXT, size=10.2, floor=8)


def _head(page: Page, sheet: Sheet, paper: MaterialsPaper) -> None:
    """Set title and number, and the date."""
    left, right = sheet.sides
    y = sheet.top + 32
    write(page, (left, y), "Materials list", TITLE)
    number = paper.number
    end = (right, y)
    write(page, end, number, NUMBER, align="right", within=80, field="number")
    y += 6
    write(page, (left, y), "Every material in this shipment, by scientific name", ABOUT)
    said = ", ".join(filter(None, (paper.date, paper.place)))
    end = (right, y)
    write(page, end, said, DATE, align="right", within=80, field="place")
    oxford(page, sheet.sides, y + 3.6)


def _columns(paper: MaterialsPaper) -> species_columns.Set:
    """Break From, To and What into lines."""
    sent_from = ", ".join(filter(None, (paper.address, paper.sent_from)))
    name, _, line = paper.recipient.partition("\n")
    sent_to = ", ".join(filter(None, (line, paper.sent_to)))
    what = species_columns.what(paper.what, paper.movement, paper.purpose)
    if species_columns.is_too_long(what):
        # The purpose stands at the foot too, with how it was decided.
        what = species_columns.what(paper.what, paper.movement, "")
    return species_columns.planned(
        (
            species_columns.party("From", paper.shop, sent_from, "--sender"),
            species_columns.party("To", name, sent_to, "--recipient"),
            what,
        )
    )


def glance(counts: Counts) -> list[tuple[str, str]]:
    """Return the twenty-second line, what must be asked first: figure and words.

    Nothing found is said without a figure: "0 permits needed" would be quoted back.
    """
    ask, needed, listed, listed_mass_mg, species, is_whole = counts
    said = [(str(ask), "to ask about")] if ask else []
    if needed:
        permits = "permit needed" if needed == 1 else "permits needed"
        said.append((str(needed), permits))
    else:
        said.append(("", "permits: none found needed"))
    if listed:
        said.append((str(listed), "on a CITES list"))
        # Shell and bone may be listed where no wood is.
        said += _listed_wood(listed_mass_mg, is_whole=is_whole)
    else:
        said.append(("", "CITES lists: none found"))
    return [*said, (str(species), "species")]


def _listed_wood(mass_mg: int, *, is_whole: bool) -> list[tuple[str, str]]:
    """Return how much listed wood there is; what was never weighed is never nought."""
    if not mass_mg:
        return [] if is_whole else [("", "listed wood not weighed")]
    partly = "" if is_whole else "at least, "
    if mass_mg < materials_table.SMALL:
        return [(quantities.grams(mass_mg), f"{partly}of listed wood")]
    kg = quantities.kilograms(mass_mg, places=2 if mass_mg >= 10**6 else 3)
    return [(kg, f"{partly}of listed wood")]


def _glance(page: Page, sheet: Sheet, paper: MaterialsPaper, grown: float) -> None:
    """Set the twenty-second line between two rules."""
    y = sheet.top + 73.4 + grown
    rule(page, sheet.sides, y - 9.2)
    rule(page, sheet.sides, y + 4.0)
    said = [*((HOLD, code) for code in paper.holds[:1]), *glance(paper.counts)]
    widths = [
        (measure(figure, FIGURE) + 1.6 if figure else 0, measure(words, WORDS))
        for figure, words in said
    ]
    natural = sum(a + b for a, b in widths)
    gaps = len(said) - 1
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


def _beside_lines(paper: MaterialsPaper) -> list[str]:
    """Break doubts and what other laws ask for into lines under the first line."""
    said = paper.beside
    if paper.holds:
        said = (f"In doubt by {in_a_row(paper.holds)}: {UNCOUNTED}", *said)
    return [line for each in said for line in wrap(each, BODY, WIDTH)]


def _room(lines: Sequence[str]) -> float:
    """Return how far lines under the first one move the rows down [mm]."""
    return BESIDE_LEADING * len(lines) + 1.6 if lines else 0.0


def _share_out(
    blocks: Sequence[Block], rooms: tuple[float, float]
) -> list[list[Block]]:
    """Fill pages with blocks in order; rooms are the first page's and any other's."""
    pages: list[list[Block]] = [[]]
    free = rooms[0]
    for block in blocks:
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


def _together(blocks: list[Block], room: float) -> list[Block]:
    """Keep blocks on one page if one holds them: no signature without its sums."""
    height = sum(block.height for block in blocks)
    if height > room:
        return blocks

    def draw(page: Page, left: float, y: float) -> None:
        for block in blocks:
            block.draw(page, left, y)
            y += block.height

    return [Block(height, draw, blocks[-1].field)]


def _has_volumes(paper: MaterialsPaper) -> bool:
    return any(row.volume_mm3 is not None for row in paper.rows)


def _plan(
    sheet: Sheet, paper: MaterialsPaper, grown: float
) -> tuple[list[list[Block]], list[list[Block]]]:
    """Lay out the pages of the list, and those of the rules behind it."""
    starts = (FIRST_ROW + grown, NEXT_ROW)
    first, later = (sheet.foot - sheet.top - row - 1.5 for row in starts)
    rows = materials_table.row_blocks(paper.rows)
    ends = _together(materials_foot.blocks(paper, 0), later)
    count = len(_share_out([*rows, *ends], (first, later)))
    # The foot says on which page the rules begin, and that takes no more room.
    rules_page = count + 1 if paper.rules else 0
    ends = _together(materials_foot.blocks(paper, rules_page), later)
    rules = [materials_table.rule_block(row) for row in paper.rules]
    behind = _share_out(rules, (later, later)) if rules else []
    listed = [*rows, *named("Signed", ends)]
    return _share_out(listed, (first, later)), behind


def _set(page: Page, sheet: Sheet, y: float, blocks: Sequence[Block]) -> None:
    for block in blocks:
        block.draw(page, sheet.left, y)
        y += block.height


def _list_page(
    page: Page,
    sheet: Sheet,
    paper: MaterialsPaper,
    blocks: list[Block],
    columns: species_columns.Set | None,
) -> None:
    """Draw a page of the list; the first has the columns under its head."""
    band(page, sheet.left, sheet.top)
    y = sheet.top + NEXT_ROW
    if columns is not None:
        bookmark(page, "Materials list")
        beside = _beside_lines(paper)
        y = sheet.top + FIRST_ROW + columns.grown + _room(beside)
        _head(page, sheet, paper)
        species_columns.draw(page, sheet.left, sheet.top, columns)
        _glance(page, sheet, paper, columns.grown)
        at = (sheet.left, sheet.top + BESIDE + columns.grown)
        write_lines(page, at, beside, BODY, BESIDE_LEADING)
    else:
        next_head(page, sheet, paper.number, "Materials list, continued")
    volumes = _has_volumes(paper)
    if blocks[0].is_row:
        materials_table.heads(page, sheet.left, y - 2.2, volumes=volumes)
    else:
        materials_table.sum_heads(page, sheet.left, y - 2.2, volumes=volumes)
    _set(page, sheet, y, blocks)


def _refuse_contradiction(paper: MaterialsPaper) -> None:
    """Refuse a first line that says nothing found where a row says otherwise."""
    for answer, count in (("ask", paper.counts.ask), ("needed", paper.counts.needed)):
        rows = sum(row.answer == answer for row in paper.rows)
        if rows and not count:
            raise RefusedError(
                f"{rows} {'row says' if rows == 1 else 'rows say'} {answer!r}, and the "
                f"counts have {count}; count again"
            )


def draw(paper: MaterialsPaper, *, size: Literal["A4", "Letter"] = "A4") -> bytes:
    """Draw a materials list: the woods, then the rules and sources row by row."""
    if not paper.rows:
        raise RefusedError("0 rows on the materials list; name at least 1 wood")
    _refuse_contradiction(paper)
    sheet = SHEETS[size]
    page = open_document(sheet.size, f"Materials list {paper.number}")
    columns = _columns(paper)
    listed, behind = _plan(sheet, paper, columns.grown + _room(_beside_lines(paper)))
    whole = len(listed) + len(behind)
    for number, blocks in enumerate(listed, start=1):
        _list_page(page, sheet, paper, blocks, columns if number == 1 else None)
        said, turned = paper.whom_to_ask, f"page {number} of {whole}"
        page_foot(page, sheet, said, turned, "whom to ask")
        turn_over(page)
    for number, blocks in enumerate(behind, start=len(listed) + 1):
        band(page, sheet.left, sheet.top)
        if number == len(listed) + 1:
            bookmark(page, RULES)
        next_head(page, sheet, paper.number, RULES)
        y = sheet.top + NEXT_ROW
        materials_table.rule_heads(page, sheet.left, y - 2.2)
        _set(page, sheet, y, blocks)
        said, turned = paper.whom_to_ask, f"page {number} of {whole}"
        page_foot(page, sheet, said, turned, "whom to ask")
        turn_over(page)
    return archive.keep(page, day=paper.date)


def notices(paper: MaterialsPaper) -> tuple[str, ...]:
    """Say what the paper could not print at its best."""
    weaker = qr.board_symbol(materials_foot.payload(paper)).notice
    texts = [paper.shop, paper.address, paper.sent_from, paper.recipient, paper.place]
    texts += [paper.sent_to, paper.what, paper.purpose, paper.totals, paper.whom_to_ask]
    texts += [paper.signer_name or "", paper.signer_rank, *paper.animal_parts]
    texts += [*paper.beside, *(text for text, _ in paper.papers)]
    rows = (*paper.rows, *paper.rules)
    texts += [cell for row in rows for cell in row if isinstance(cell, str)]
    return (*((weaker,) if weaker else ()), *faces.missing_notices(texts))
