"""The label of a board, 51 by 22 mm, on a roll or on sheets.

A symbol at each end, so that a staple or a tear costs only one; between them what a
person needs: species, the triangle, the lot and its date; below, the code to read out.
"""

from dataclasses import dataclass
from typing import Literal

from reportlab.lib.colors import HexColor

from labels import faces, marks, qr
from labels.page import (
    A4,
    BARK,
    LETTER,
    MM,
    WALNUT,
    WHITE,
    Page,
    Style,
    box,
    close_document,
    least,
    open_document,
    shortened,
    turn_over,
    write,
)
from ledger.errors import RefusedError

WIDTH, HEIGHT, MARGIN = 51.0, 22.0, 2.0
GAP = 0.9
FOOT = 18.3  # where the capitals of the bottom line begin, at the highest
OVERSHOOT = 0.12  # of round letters over the height of capitals


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardLabel:
    """What a board's label says; received is YYYY-MM-DD, what is such as "back".

    made is what a board from the saw or the glue is, such as "piece"; also are further
    lots that were glued into it.
    """

    code: str
    check: str
    genus: str
    epithet: str
    lot: str
    received: str
    what: str
    host: str
    half: Literal["A", "B"] | None = None
    replacement: int = 0
    origin_unknown: bool = False
    made: str = ""
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What stands over a sheet of labels; date is YYYY-MM-DD."""

    lot: str
    species: str
    sawyer: str
    date: str
    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Printer:
    """How fine a printer prints, and the size of a module in its dots."""

    dots_per_inch: float
    dots: int

    @property
    def module(self) -> float:
        """The side of a module [mm]."""
        return self.dots * qr.INCH / self.dots_per_inch


ROLL_PRINTERS = {
    203: Printer(dots_per_inch=203.2, dots=4),  # eight dots to the millimetre
    300: Printer(dots_per_inch=300.0, dots=6),
}
SHEET_PRINTER = Printer(dots_per_inch=600.0, dots=11)

SPECIES = Style(face=faces.DATA_ITALIC, size=8, floor=5.5, narrow=0.8, may_shorten=True)
SMALL = Style(face=faces.DATA_MEDIUM, size=6.8, narrow=0.8)
CODE = Style(face=faces.DATA_BOLD, size=10.5, floor=9, narrow=0.8)
CHECK = Style(face=faces.DATA_BOLD, size=9.5, colour=WHITE)
WHAT = Style(face=faces.DATA_MEDIUM, size=7.5, floor=6.8, narrow=0.8, may_shorten=True)
LOUD = Style(face=faces.DATA_BOLD, size=7.5, floor=6.8, narrow=0.8)
UNKNOWN = Style(face=faces.DATA_BOLD, size=6.8, narrow=0.8)


def payload(label: BoardLabel) -> str:
    """Return what a board's symbol says; without a host, the code alone.

    A replacement says its number, so that the old label is known where it is read.
    """
    place = f"HTTPS://{label.host.upper()}/" if label.host else ""
    number = f"/{label.replacement}" if label.replacement else ""
    return f"{place}B/{label.code}{label.check}{number}"


def _species(page: Page, label: BoardLabel, x: float, y: float, within: float) -> None:
    for drop, words, field in (
        (3.6, label.genus, "genus"),
        (6.4, label.epithet, "epithet"),
    ):
        write(
            page,
            (x, y + drop),
            words,
            SPECIES,
            align="centre",
            within=within,
            field=field,
        )


def _origin_unknown(page: Page, x: float, y: float, within: float) -> None:
    marks.edge(page, (x - within / 2, y + 0.6, within, 6.6), "broken")
    for drop, word in ((3.4, "ORIGIN"), (6.2, "UNKNOWN")):
        inner = within - 1.2
        write(page, (x, y + drop), word, UNKNOWN, align="centre", within=inner)


def _middle(page: Page, label: BoardLabel, at: tuple[float, float], w: float) -> None:
    """Set the column between the two symbols."""
    x, y = at
    if label.origin_unknown:
        _origin_unknown(page, x, y, w)
    else:
        _species(page, label, x, y, w)
    if label.made:
        # A whole triangle would say that nobody has sawn it.
        at = (x, y + 10.8)
        write(page, at, label.made, LOUD, align="centre", within=w, field="made")
    else:
        marks.triangle(page, x, y + 8.0, label.half)
    for drop, words, field in (
        (14.2, f"lot {label.lot}", "lot"),
        (16.7, _below_lot(label), "received"),
    ):
        write(page, (x, y + drop), words, SMALL, align="centre", within=w, field=field)


def _below_lot(label: BoardLabel) -> str:
    """Return the day a lot came in; of several, the other one or their number."""
    if not label.also:
        return label.received
    return (
        f"and {label.also[0]}" if len(label.also) == 1 else f"+ {len(label.also)} lots"
    )


def _said(label: BoardLabel) -> tuple[str, Style, str]:
    """Return what stands at the right end of the bottom line, and its end that stays.

    Which half it is stays, and which replacement, however long the words before it are.
    """
    if label.replacement:
        said = f"REPLACEMENT {label.replacement}"
        return said, LOUD, f" {label.replacement}"
    half = f", half {label.half}"
    tail = half if label.half and label.what.endswith(half) else ""
    return label.what, LOUD if label.what.isupper() else WHAT, tail


def _fitted(label: BoardLabel) -> tuple[str, Style]:
    """Return what stands at the right end, shortened where the code needs its room."""
    words, style, tail = _said(label)
    room = _room() - least(label.code, CODE)
    return shortened(words, style, room, tail=tail), style


def _side() -> float:
    """Return the side of the box behind the check character [mm]."""
    return CODE.size * marks.CAP_HEIGHT / MM + 0.2


def _room() -> float:
    """Return what the bottom line has for the code and what it is [mm]."""
    return WIDTH - 2 * MARGIN - _side() - 2 * GAP


def _foot(page: Page, label: BoardLabel, x: float, top: float) -> None:
    """Set the bottom line: code, check character reversed out, and what it is.

    The code keeps its size as long as what it is can be narrowed beside it, and is
    never shortened.
    """
    cap, side = marks.CAP_HEIGHT / MM, _side()
    baseline = top + CODE.size * cap
    words, style = _fitted(label)
    end = x + WIDTH - 2 * MARGIN
    free = _room() - least(words, style)
    corner = x + GAP
    corner += write(page, (x, baseline), label.code, CODE, within=free, field="code")
    box(page, corner, top, side, side)
    inner = top + side / 2 + CHECK.size * cap / 2
    write(page, (corner + side / 2, inner), label.check, CHECK, align="centre")
    free = end - corner - side - GAP
    at = (end, baseline)
    write(page, at, words, style, align="right", within=free + 1e-6, field="what")


def _draw(
    page: Page, label: BoardLabel, corner: tuple[float, float], printer: Printer
) -> None:
    """Draw one label with its top left corner at a place on the page."""
    symbol = qr.board_symbol(payload(label))
    dpi, module = printer.dots_per_inch, printer.module
    # Four modules of white to each edge: wood around a label is not white.
    margin = max(MARGIN, qr.QUIET_ZONE * module)
    side, quiet = symbol.side * module, qr.QUIET_ZONE * module
    left = qr.snap(corner[0] + margin, dpi)
    top = qr.snap(corner[1] + margin, dpi)
    right = qr.snap(corner[0] + WIDTH - margin - side, dpi)
    qr.draw(page, symbol, left, top, module)
    qr.draw(page, symbol, right, top, module)
    inner = (left + side + quiet, right - quiet)
    middle = (sum(inner) / 2, corner[1])
    _middle(page, label, middle, inner[1] - inner[0])
    foot = max(top + side + quiet + OVERSHOOT, corner[1] + FOOT)
    _foot(page, label, corner[0] + MARGIN, foot)


def _refuse_none(labels: list[BoardLabel]) -> None:
    if not labels:
        raise RefusedError("0 labels to print; name at least 1 board")


def roll(labels: list[BoardLabel], dpi: Literal[203, 300] = 203) -> bytes:
    """Draw labels for a roll, one to a page, on the dots of its printer."""
    _refuse_none(labels)
    printer = ROLL_PRINTERS[dpi]
    size = (
        qr.snap(WIDTH, printer.dots_per_inch),
        qr.snap(HEIGHT, printer.dots_per_inch),
    )
    page = open_document(size, f"Board labels, {len(labels)}")
    for label in labels:
        _draw(page, label, (0, 0), printer)
        turn_over(page)
    return close_document(page)


def arrange(labels: list[BoardLabel], columns: int = 4) -> list[BoardLabel | None]:
    """Place labels in reading order, with every A and its B side by side.

    Where a pair would be torn over two rows, one place is left empty.
    """
    places: list[BoardLabel | None] = []
    for index, label in enumerate(labels):
        follower = labels[index + 1] if index + 1 < len(labels) else None
        if follower and _are_sisters(label, follower) and len(places) % columns % 2:
            places.append(None)
        places.append(label)
    return places


def _are_sisters(one: BoardLabel, other: BoardLabel) -> bool:
    same_board = one.code.removesuffix(".A") == other.code.removesuffix(".B")
    return same_board and (one.half, other.half) == ("A", "B")


ROWS = {"A4": 12, "Letter": 11}
SIZES = {"A4": A4, "Letter": LETTER}
COLUMNS = 4
LOT = Style(face=faces.DATA_HEAVY, size=12, floor=9)
HEAD_SPECIES = Style(face=faces.TEXT_ITALIC, size=10.2, floor=8, may_shorten=True)
HEAD_TEXT = Style(face=faces.TEXT, size=10.2, floor=8, may_shorten=True)
HOW_TO_CUT = Style(face=faces.TEXT, size=8, colour=WALNUT)
PROOF_BAR = 50.0
LOTS_NAMED = 4


def _corner(page: Page, rows: int) -> tuple[float, float]:
    """Return where the labels begin: centred, 3 mm lower than the middle."""
    x = (page.width - COLUMNS * WIDTH) / 2
    return x, (page.height - rows * HEIGHT) / 2 + 3


def _proof_bar(page: Page, end: float, y: float) -> None:
    """Draw 50 mm with a tick at every 10, to prove the scale with a rule."""
    marks.stroke(page, [(end - PROOF_BAR, y), (end, y)], 0.5)
    for tick in range(6):
        x = end - PROOF_BAR + 10 * tick
        marks.stroke(page, [(x, y - 1), (x, y)], 0.5)


def _whose(labels: list[BoardLabel], heading: Heading) -> tuple[str, str, list[str]]:
    """Return the lot, its species and sawyer; of several lots only which they are."""
    every = (lot for label in labels for lot in (label.lot, *label.also))
    lots = list(dict.fromkeys(every))
    if len(lots) <= 1:
        return f"Lot {heading.lot}", heading.species, [heading.sawyer]
    if len(lots) <= LOTS_NAMED:
        return f"Lots {', '.join(lots)}", "", []
    return f"{len(lots)} lots, {min(lots)} to {max(lots)}", "", []


def _head(
    page: Page,
    heading: Heading,
    corner: tuple[float, float],
    labels: list[BoardLabel],
    sheet_words: str,
) -> None:
    """Set what stands over the labels: the lot, whose it is, and how to cut."""
    x, y = corner[0] + MARGIN, corner[1] - 5.2
    end = corner[0] + COLUMNS * WIDTH - MARGIN
    lot, species, sawyer = _whose(labels, heading)
    x += write(page, (x, y), lot, LOT, within=74, field="lot") + 3.2
    x += write(page, (x, y), species, HEAD_SPECIES, within=50, field="species")
    plural = "label" if len(labels) == 1 else "labels"
    count = f"{len(labels)} {plural}, {sheet_words}"
    facts = f"{count} · {heading.date}, {heading.who}"
    rest = (" · " if species else "") + " · ".join([*sawyer, facts])
    tail = f" · {facts}" if sawyer else ""
    rest = shortened(rest, HEAD_TEXT, end - x, tail=tail)
    write(page, (x, y), rest, HEAD_TEXT, within=end - x, field="heading")
    how = (
        "Cut on the dotted lines. Measure the bar: if it is not 50 mm, print at 100 %."
    )
    write(page, (corner[0] + MARGIN, corner[1] - 1.5), how, HOW_TO_CUT)
    _proof_bar(page, end, corner[1] - 2.2)


def _cut_lines(page: Page, corner: tuple[float, float], rows: int) -> None:
    """Draw dotted lines between the labels, 1 mm out into the margin."""
    canvas = page.canvas
    canvas.setStrokeColor(HexColor(BARK))
    canvas.setLineWidth(0.15 * MM)
    canvas.setLineCap(0)
    canvas.setDash([0.8, 2.2])
    right, foot = corner[0] + COLUMNS * WIDTH + 1, corner[1] + rows * HEIGHT + 1
    for column in range(COLUMNS + 1):
        x = (corner[0] + column * WIDTH) * MM
        top, bottom = ((page.height - y) * MM for y in (corner[1] - 1, foot))
        canvas.line(x, top, x, bottom)
    for row in range(rows + 1):
        y = (page.height - corner[1] - row * HEIGHT) * MM
        canvas.line((corner[0] - 1) * MM, y, right * MM, y)
    canvas.setDash()


def sheet(
    labels: list[BoardLabel],
    heading: Heading,
    paper: Literal["A4", "Letter"] = "A4",
) -> bytes:
    """Draw labels four to a row on sheets to be cut, for an office printer."""
    _refuse_none(labels)
    places = arrange(labels, COLUMNS)
    full = COLUMNS * ROWS[paper]
    sheets = [places[start : start + full] for start in range(0, len(places), full)]
    whose = _whose(labels, heading)[0]
    title = f"Board labels of {whose[:1].lower()}{whose[1:]}"
    page = open_document(SIZES[paper], title)
    corner = _corner(page, ROWS[paper])
    for number, chosen in enumerate(sheets, start=1):
        said = f"sheet {number} of {len(sheets)}"
        _head(page, heading, corner, labels, said)
        _cut_lines(page, corner, -(-len(chosen) // COLUMNS))
        for place, label in enumerate(chosen):
            row, column = divmod(place, COLUMNS)
            at = (corner[0] + column * WIDTH, corner[1] + row * HEIGHT)
            if label:
                _draw(page, label, at, SHEET_PRINTER)
        turn_over(page)
    return close_document(page)


def notices(labels: list[BoardLabel]) -> tuple[str, ...]:
    """Say what these labels could not print at its best."""
    weaker = [qr.board_symbol(payload(label)).notice for label in labels]
    texts = [
        text
        for label in labels
        for text in (label.genus, label.epithet, label.lot, label.what, label.code)
    ]
    found = [notice for notice in weaker if notice]
    for label in labels:
        words, shown = _said(label)[0], _fitted(label)[0]
        if words != shown:
            found.append(f"{label.code}: {words!r} is shortened to {shown!r}")
    return (*dict.fromkeys(found), *faces.missing_notices(texts))
