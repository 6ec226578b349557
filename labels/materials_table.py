"""Rows of a materials list: each species with its answer, and the rules behind them."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from labels import faces, marks
from labels.binomials import runs_of, write_named, write_named_lines
from labels.materials_facts import MaterialRow, MaterialsPaper, RuleRow
from labels.page import (
    HAIR,
    WALNUT,
    Page,
    Style,
    least,
    measure,
    rule,
    wrap,
    write,
    write_lines,
)
from labels.squares import square
from ledger import quantities
from ledger.errors import RefusedError
from ledger.scales import shared

WIDTH = 178.0
SPECIES_AT, PART_AT, HARVEST_AT, KG_AT, DM3_AT = 0.0, 50.0, 91.0, 116.0, 131.0
LISTING_AT, ANSWER_AT = 134.0, 151.0
PART_WIDTH, HARVEST_WIDTH, LISTING_WIDTH = 39.0, 13.5, 15.5
LISTING_LINES = 3
LEADING, WORDS_LEADING = 4.2, 3.8
FIRST = 5.2  # from a row's upper edge to its first baseline
SMALL = 10_000  # mg or mm³: below, three decimals would lose a tenth of it
MOST_FIGURES = 8  # of a volume, that its column holds
SIDE = 2.7

SPECIES = Style(face=faces.TEXT_SEMIBOLD_ITALIC, size=12.5, floor=9.5)
TRADE = Style(face=faces.TEXT, size=9, floor=7.6, may_shorten=True)
BODY = Style(face=faces.TEXT, size=9.6, floor=8)
SMALL_BODY = replace(BODY, size=8)
FORM = Style(face=faces.TEXT, size=9, colour=WALNUT, floor=7.6)
CODE = Style(face=faces.DATA_MEDIUM, size=9.2, floor=7.6)
WORDS = Style(face=faces.TEXT, size=8.4, colour=WALNUT)
NUMBER = Style(face=faces.DATA_MEDIUM, size=9.6, floor=7.6)
SUM = Style(face=faces.DATA_BOLD, size=9.8, floor=7.6)
ANSWER = Style(face=faces.TEXT_SEMIBOLD, size=10.2, floor=8)
HEAD = Style(face=faces.TEXT_ITALIC, size=8.6, colour=WALNUT)
LABEL = Style(face=faces.TEXT_SEMIBOLD, size=10.2, floor=8)
REASON = Style(face=faces.TEXT_SEMIBOLD, size=9.6)
NOTE = Style(face=faces.TEXT, size=8.4, colour=WALNUT, floor=7.6)

SMALL_PLATE = 15.0
AGED = "Open only because the tables are old:"
PLATES: dict[str, marks.State] = {"needed": "sawn", "ask": "broken"}
ATTACHED = "attached: "


Words = Callable[[Page, float, float], None]  # draws at an x and a y


class Cell(NamedTuple):
    """Lines in a column: where it begins and how wide it is [mm]."""

    offset: float
    width: float
    lines: list[str]
    style: Style


class Volumes(NamedTuple):
    """The volumes of rows as they are printed, and that of all together."""

    rows: tuple[str, ...]
    whole: str


class Block(NamedTuple):
    """Something of a height [mm] that is drawn from its upper edge, on one page."""

    height: float
    draw: Words
    field: str  # what to shorten when it is too tall for any page
    is_row: bool = False  # that stands under the heads of the columns


def refuse_unknown_answer(row: MaterialRow) -> None:
    """Refuse an answer that has no edge to print."""
    known = (*PLATES, "not needed")
    if row.answer not in known and not row.answer.startswith(ATTACHED):
        raise RefusedError(
            f"answer {row.answer!r} of {row.species} is not one of "
            f"{', '.join(known)}, or {ATTACHED}and the paper's number; correct it"
        )


def number(value: int, printed: Callable[..., str]) -> str:
    """Print a mass or a volume without its unit: three decimals, and all if small."""
    words = printed(value, places=3 if value >= SMALL else None)
    return words.rpartition(faces.THIN_SPACE)[0]


def heads(page: Page, left: float, y: float, *, volumes: bool = True) -> None:
    """Set the heads of the columns; y is their baseline."""
    for offset, words in (
        (SPECIES_AT, "species"),
        (PART_AT, "part and form"),
        (HARVEST_AT, "harvest"),
        (LISTING_AT, "listing"),
        (ANSWER_AT, "CITES paper"),
    ):
        write(page, (left + offset, y), words, HEAD)
    sum_heads(page, left, y, volumes=volumes)
    rule(page, (left, left + WIDTH), y + 2.2)


def sum_heads(page: Page, left: float, y: float, *, volumes: bool) -> None:
    """Set the units over the sums; y is their baseline."""
    write(page, (left + KG_AT, y), "kg", HEAD, align="right")
    if volumes:
        write(page, (left + DM3_AT, y), "dm³", HEAD, align="right")


def lines_of(text: str, style: Style, within: float) -> list[str]:
    """Break a text into lines; a long word is narrowed before it is broken."""
    widest = max(measure(word, style) for word in text.split(" "))
    return wrap(text, style, min(max(within, widest), _widest(style, within)))


def _widest(style: Style, within: float) -> float:
    """Return how wide a text may be that is narrowed into a width [mm]."""
    return within / style.narrow * style.size / (style.floor or style.size)


def listing_lines(text: str) -> tuple[list[str], Style]:
    """Break a listing into lines and say in which face; smaller before too many."""
    lines = lines_of(text, BODY, LISTING_WIDTH)
    if len(lines) <= LISTING_LINES:
        return lines, BODY
    return wrap(text, BODY, _widest(BODY, LISTING_WIDTH)), SMALL_BODY


def _cells(row: MaterialRow) -> list[Cell]:
    """Return the texts of a row that may take several lines."""
    part = lines_of(row.part, BODY, PART_WIDTH)
    form = lines_of(row.form, FORM, PART_WIDTH)
    harvest = lines_of(row.harvest, CODE, HARVEST_WIDTH)
    listing, face = listing_lines(row.listing)
    return [
        Cell(PART_AT, PART_WIDTH, part, BODY),
        Cell(PART_AT, PART_WIDTH, [""] * len(part) + form, FORM),
        Cell(HARVEST_AT, HARVEST_WIDTH, harvest, CODE),
        Cell(LISTING_AT, LISTING_WIDTH, listing, face),
    ]


def _set_cells(page: Page, left: float, y: float, cells: list[Cell]) -> None:
    """Set lines side by side; y is the first baseline."""
    for cell in cells:
        for index, runs in enumerate(runs_of(cell.lines)):
            at = (left + cell.offset, y + LEADING * index)
            write_named(page, at, runs, cell.style, within=cell.width)


def _answer_lines(row: MaterialRow) -> list[str]:
    if not row.answer.startswith(ATTACHED):
        return [row.answer]
    return lines_of(row.answer, ANSWER, WIDTH - ANSWER_AT - SIDE - 1.5)


def _answer(page: Page, left: float, y: float, row: MaterialRow) -> None:
    """Set the answer: a plate where somebody must act, a word where nobody must.

    The plate is small where the head above the row says why.
    """
    x, lines = left + ANSWER_AT, _answer_lines(row)
    if state := PLATES.get(row.answer):
        size = (SMALL_PLATE, 5.0) if row.aged else (WIDTH - ANSWER_AT, 8.0)
        marks.plate(page, (x, y + 2.0, *size), state, row.answer.upper())
        return
    if row.answer.startswith(ATTACHED):
        square(page, x, y + FIRST - 2.0, SIDE, "solid")
        x += SIDE + 1.5
    for line in lines:
        write(
            page, (x, y + FIRST), line, ANSWER, within=left + WIDTH - x, field="answer"
        )
        y += LEADING


def _name_lines(row: MaterialRow) -> list[tuple[str, Style]]:
    """Return the species, which is never shortened, and its trade name below it."""
    fits = least(row.species, SPECIES) <= PART_AT - 2
    lines = [row.species] if fits else lines_of(row.species, SPECIES, PART_AT - 2)
    return [*((line, SPECIES) for line in lines), (row.trade_name, TRADE)]


def row_block(row: MaterialRow, *, volume: str) -> Block:
    """Plan one species: what, whence, how much, listed where, and the answer."""
    refuse_unknown_answer(row)
    cells, words = _cells(row), wrap(row.words, WORDS, WIDTH)
    names = _name_lines(row)
    most = max(
        2, len(names), len(_answer_lines(row)), *(len(cell.lines) for cell in cells)
    )
    below = FIRST + LEADING * most
    height = below + WORDS_LEADING * (len(words) - 1) + 2.3

    def draw(page: Page, left: float, y: float) -> None:
        for index, (line, style) in enumerate(names):
            at, field = (left, y + FIRST + LEADING * index), f"name of {row.species}"
            write(page, at, line, style, within=PART_AT - 2, field=field)
        _set_cells(page, left, y + FIRST, cells)
        _amounts(page, left, y + FIRST, row.mass_mg, volume, NUMBER)
        _answer(page, left, y, row)
        at, named = (left, y + below), (row.species,)
        write_named_lines(page, at, words, WORDS, WORDS_LEADING, names=named)
        rule(page, (left, left + WIDTH), y + height, 0.22, HAIR)

    return Block(height, draw, f"row of {row.species}", is_row=True)


def row_blocks(rows: Sequence[MaterialRow]) -> list[Block]:
    """Plan all rows; those of one age stand under one head that says why, once."""
    blocks, said = [], ""
    for row, volume in zip(rows, volumes(rows).rows, strict=True):
        block = row_block(row, volume=volume)
        if row.aged and row.aged != said:
            block = _under(_age_block(row.aged), block)
        blocks.append(block)
        said = row.aged
    return blocks


def _age_block(why: str) -> Block:
    """Plan the head of rows that only the age of the tables leaves open."""
    lines = wrap(f"{AGED} {why}.", REASON, WIDTH)

    def draw(page: Page, left: float, y: float) -> None:
        write_lines(page, (left, y + FIRST), lines, REASON, LEADING)
        level = y + FIRST + LEADING * len(lines) - 1.6
        rule(page, (left, left + WIDTH), level, 0.22, HAIR)

    return Block(FIRST + LEADING * len(lines) - 1.6, draw, "age of the tables")


def _under(head: Block, row: Block) -> Block:
    """Keep a head on one page with the first row under it."""

    def draw(page: Page, left: float, y: float) -> None:
        head.draw(page, left, y)
        row.draw(page, left, y + head.height)

    return Block(head.height + row.height, draw, row.field, is_row=True)


def volumes(rows: Sequence[MaterialRow]) -> Volumes:
    """Print volumes with as many decimals each, so that they add up to their sum.

    A dash is where nobody took it; where nobody took any, the column is empty. Small
    ones ask for more decimals than three, as far as the column has room.
    """
    taken = {str(n): row.volume_mm3 for n, row in enumerate(rows)}
    known = {n: volume for n, volume in taken.items() if volume is not None}
    whole = sum(known.values())
    if not known:
        return Volumes(("",) * len(rows), "")
    smallest = min((volume for volume in known.values() if volume), default=SMALL)
    room = MOST_FIGURES - len(str(whole // 10**6))
    places = max(3, min(6, 8 - len(str(smallest)), room))
    step = 10 ** (6 - places)
    steps = (2 * whole + step) // (2 * step)
    parts = dict.fromkeys(known, 0)
    if whole:
        shares = {n: Fraction(volume, whole) for n, volume in known.items()}
        parts = shared(steps, shares)
    said = [_dm3(parts[n] * step, places) if n in parts else "—" for n in taken]
    return Volumes(tuple(said), _dm3(steps * step, places))


def _dm3(volume_mm3: int, places: int) -> str:
    words = quantities.cubic_decimetres(volume_mm3, places=places)
    return words.rpartition(faces.THIN_SPACE)[0]


def _amounts(
    page: Page, left: float, y: float, mass_mg: int | None, volume: str, style: Style
) -> None:
    """Set kilograms, or a dash where nobody weighed it, and the volume in words."""
    kg = "—" if mass_mg is None else number(mass_mg, quantities.kilograms)
    for offset, words, field in ((KG_AT, kg, "mass"), (DM3_AT, volume, "volume")):
        at = (left + offset, y)
        write(page, at, words, style, align="right", within=13, field=field)


def totals_block(paper: MaterialsPaper) -> Block:
    """Plan the sums of all rows; what nobody weighed or took is said to be missing."""
    weighed = [row.mass_mg for row in paper.rows if row.mass_mg is not None]
    known = [row.volume_mm3 for row in paper.rows if row.volume_mm3 is not None]
    all_rows = len(paper.rows)
    partly = [
        f"{unit} of {len(found)} of {all_rows} rows"
        for unit, found in (("kg", weighed), ("dm³", known))
        if found and len(found) < all_rows
    ]
    label = ", ".join(("All materials", *partly))
    mass = sum(weighed) if weighed else None
    lines = wrap(paper.totals, NOTE, WIDTH - LISTING_AT)

    def draw(page: Page, left: float, y: float) -> None:
        rule(page, (left, left + WIDTH), y, 0.8)
        write(page, (left, y + 5.2), label, LABEL, within=KG_AT - 14, field="totals")
        _amounts(page, left, y + 5.2, mass, volumes(paper.rows).whole, SUM)
        write_lines(page, (left + LISTING_AT, y + 5.2), lines, NOTE, WORDS_LEADING)

    return Block(7.4 + WORDS_LEADING * (len(lines) - 1), draw, "totals")


RULE_WIDTH, SOURCE_AT = 86.0, 92.0
RULE_HEADS = ((0.0, "row, and the rule"), (SOURCE_AT, "dates, and the sources"))


def rule_heads(page: Page, left: float, y: float) -> None:
    """Set the heads of the rules' columns; y is their baseline."""
    for offset, words in RULE_HEADS:
        write(page, (left + offset, y), words, HEAD)
    rule(page, (left, left + WIDTH), y + 2.2)


def rule_block(row: RuleRow) -> Block:
    """Plan one rule beside its sources, in as many lines as they take."""
    free = WIDTH - SOURCE_AT
    name, dates = lines_of(row.row, CODE, RULE_WIDTH), lines_of(row.dates, CODE, free)
    top = [""] * max(len(name), len(dates))
    rules = top + lines_of(row.rule, BODY, RULE_WIDTH)
    sources = top + lines_of(row.source, FORM, free)
    cells = [
        Cell(0.0, RULE_WIDTH, name, CODE),
        Cell(0.0, RULE_WIDTH, rules, BODY),
        Cell(SOURCE_AT, free, dates, CODE),
        Cell(SOURCE_AT, free, sources, FORM),
    ]
    height = LEADING * max(len(cell.lines) for cell in cells) + 3.4

    def draw(page: Page, left: float, y: float) -> None:
        _set_cells(page, left, y + 5, cells)
        rule(page, (left, left + WIDTH), y + height, 0.22, HAIR)

    return Block(height, draw, f"rule of row {row.row}")
