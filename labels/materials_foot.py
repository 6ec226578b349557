"""What ends a materials list: sums, animal parts, papers, and how it was decided."""

from labels import faces, qr
from labels.binomials import write_named_lines
from labels.facts import shown_name
from labels.marks import stroke
from labels.materials_facts import MaterialsPaper
from labels.materials_table import LABEL, WIDTH, Block, Words, totals_block
from labels.page import (
    BARK,
    HAIR,
    WALNUT,
    Page,
    Style,
    measure,
    oxford,
    rule,
    wrap,
    write,
    write_lines,
)
from labels.squares import square
from ledger.errors import RefusedError

MODULE = 24 * qr.INCH / qr.DOTS_PER_INCH
LABELS = 32.0  # where the words of a labelled line begin
SIDE = 2.7
PITCH = 4.6
DECIDED_AT, SIGNED_AT, STAMPS_AT = 38.0, 89.0, 136.0
SIGN_HEIGHT = 42.6
DECIDED_LINES = 9

BODY = Style(face=faces.TEXT, size=9.6, floor=8)
SMALL = Style(face=faces.TEXT, size=8.8, floor=7.6)
HEADING = Style(face=faces.CAPS, size=9.4, colour=WALNUT, tracking=0.07)
NAME = Style(face=faces.TEXT_SEMIBOLD, size=10.2, floor=8, may_shorten=True)
CODE = Style(face=faces.DATA_MEDIUM, size=8.2, floor=6.8)
ASIDE = Style(face=faces.TEXT_ITALIC, size=8.6, colour=WALNUT)
CHECKPOINT = "checkpoint"
NOT_HERE = " (to be added)"


def payload(paper: MaterialsPaper) -> str:
    """Return what the paper's symbol says; without a host, the number alone."""
    place = f"HTTPS://{paper.host.upper()}/" if paper.host else ""
    return f"{place}X/{paper.number}{paper.check}"


def _labelled(label: str, lines: int, field: str, draw_words: Words) -> Block:
    """Plan a label with words of some lines beside it, under a hair rule."""
    height = PITCH * lines + 2.8

    def draw(page: Page, left: float, y: float) -> None:
        rule(page, (left, left + WIDTH), y, 0.22, HAIR)
        write(page, (left, y + 5.2), label, LABEL)
        draw_words(page, left + LABELS, y + 5.2)

    return Block(height, draw, field)


def _animal_parts(paper: MaterialsPaper) -> Block:
    """Plan the animal parts; that there are none is said too."""
    said = "; ".join(paper.animal_parts) or "none"
    lines = wrap(said, BODY, WIDTH - LABELS)
    return _labelled(
        "Animal parts",
        len(lines),
        "animal parts",
        lambda page, x, y: _write_lines(page, x, y, lines),
    )


def _write_lines(page: Page, x: float, y: float, lines: list[str]) -> None:
    write_named_lines(page, (x, y), lines, BODY, PITCH)


def _papers(paper: MaterialsPaper) -> Block:
    """Plan the papers of the shipment, each with the square of its state."""
    free = WIDTH - LABELS
    places: list[tuple[float, int, str, bool]] = []
    x, line = 0.0, 0
    for text, has in paper.papers:
        said = text if has else text + NOT_HERE
        taken = min(measure(said, BODY), free - SIDE - 1.4) + SIDE + 1.4
        if x and x + taken > free:
            x, line = 0.0, line + 1
        places.append((x, line, said, has))
        x += taken + 5

    def draw_words(page: Page, left: float, y: float) -> None:
        if not places:
            write(page, (left, y), "no other paper", BODY)
        for offset, line, said, has in places:
            at, level = left + offset, y + PITCH * line
            square(page, at, level - 2.5, SIDE, "solid" if has else "hollow")
            at += SIDE + 1.4
            within = free - SIDE - 1.4
            write(page, (at, level), said, BODY, within=within, field="papers")

    return _labelled("With this page", line + 1, "papers", draw_words)


def _decided(paper: MaterialsPaper, rules_page: int) -> list[str]:
    """Return how the answers were found, in lines."""
    behind = f" Rules and sources, row by row: page {rules_page}." if rules_page else ""
    moved = "; ".join(filter(None, (paper.movement, paper.purpose)))
    seen = "no source seen"
    if paper.newest_source != "none":
        seen = f"sources of {paper.newest_source} or later"
    said = (
        f"Listing table compiled {paper.table_compiled}, {seen}. "
        f"Movement {moved}.{behind} "
        f"On another day the answer may differ."
    )
    lines = wrap(said, SMALL, SIGNED_AT - DECIDED_AT - 4)
    if len(lines) > DECIDED_LINES:
        raise RefusedError(
            f"purpose does not fit the paper: how it was decided takes {len(lines)} "
            f"lines, and {DECIDED_LINES} are free; shorten it"
        )
    return lines


def _symbol(page: Page, paper: MaterialsPaper, left: float, y: float) -> None:
    """Draw the symbol and the number, and beside it the checkpoint as it is typed."""
    symbol = qr.board_symbol(payload(paper))
    x, top = (qr.snap(place, qr.DOTS_PER_INCH) for place in (left, y + 5))
    qr.draw(page, symbol, x, top, MODULE)
    side = symbol.side * MODULE
    at, code = (left, top + side + 7), paper.number
    write(page, at, code, CODE, within=side + 4, field="number")
    x, level = left + DECIDED_AT, at[1]
    write(page, (x, level), CHECKPOINT, ASIDE)
    x += measure(CHECKPOINT, ASIDE) + 2
    words = " ".join((str(paper.size), *paper.ten_words))
    within = left + WIDTH - x
    write(page, (x, level), words, CODE, within=within, field="ten words")


def _signed(page: Page, paper: MaterialsPaper, left: float, y: float) -> None:
    """Set the line to sign on, who signs, and an empty box for stamps."""
    x = left + SIGNED_AT
    free = STAMPS_AT - SIGNED_AT - 5
    write(page, (x, y + 6.4), "Signed", HEADING)
    rule(page, (x, x + free), y + 22)
    name = shown_name(paper.signer_name, paper.signer_badge)
    write(page, (x, y + 26.4), name, NAME, within=free, field="signer")
    at, rank = (x, y + 30.6), paper.signer_rank
    write(page, at, rank, SMALL, within=free, field="signer's rank")
    badge = f"badge {paper.signer_badge}, {paper.date}"
    at = (x, y + 34.6)
    write(
        page,
        at,
        badge if paper.signer_name else paper.date,
        CODE,
        within=free,
        field="signer's badge",
    )
    x, top, end, foot = left + STAMPS_AT, y + 5, left + WIDTH, y + 37
    ring = [(x, top), (end, top), (end, foot), (x, foot)]
    stroke(page, ring + ring[:2], 0.5, colour=BARK)
    write(page, (x + 1.5, top + 3.6), "for stamps", ASIDE)


def _end(paper: MaterialsPaper, rules_page: int) -> Block:
    lines = _decided(paper, rules_page)

    def draw(page: Page, left: float, y: float) -> None:
        oxford(page, (left, left + WIDTH), y + 0.6)
        _symbol(page, paper, left, y)
        at = left + DECIDED_AT
        write(page, (at, y + 6.4), "How it was decided", HEADING)
        write_lines(page, (at, y + 10.8), lines, SMALL, 3.7)
        _signed(page, paper, left, y)

    return Block(SIGN_HEIGHT, draw, "signature")


def blocks(paper: MaterialsPaper, rules_page: int) -> list[Block]:
    """Plan what follows the last row; rules_page is 0 where there are no rules."""
    return [
        totals_block(paper),
        _animal_parts(paper),
        _papers(paper),
        _end(paper, rules_page),
    ]
