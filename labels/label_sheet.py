"""Board labels on sheets to be cut, begun at any place, so that a sheet is used up.

A sheet that was in the printer before has its head, its bar and the lines around its
first rows already. Printed again they would stand over the old ones, out of register;
so they are left out of it, and the next sheet, which is new, has them again.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple

from reportlab.lib.colors import HexColor

from labels import archive, faces, marks
from labels.label import (
    HEIGHT,
    MARGIN,
    SHEET_PRINTER,
    WIDTH,
    BoardLabel,
    Heading,
    draw,
    refuse_none,
)
from labels.page import (
    A4,
    BARK,
    LETTER,
    MM,
    WALNUT,
    Page,
    Style,
    open_document,
    shortened,
    turn_over,
    write,
)
from labels.tongue import tongue
from ledger.errors import RefusedError

Paper = Literal["A4", "Letter"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Geometry:
    """A sheet [mm], and how many labels it holds: centred, 3 mm below the middle."""

    size: tuple[float, float]
    columns: int
    rows: int

    @property
    def places(self) -> int:
        """How many labels a whole sheet holds."""
        return self.columns * self.rows

    @property
    def corner(self) -> tuple[float, float]:
        """Where the first label begins [mm]."""
        x = (self.size[0] - self.columns * WIDTH) / 2
        return x, (self.size[1] - self.rows * HEIGHT) / 2 + 3

    def at(self, place: int) -> tuple[float, float]:
        """Return where the label of a place begins [mm]; places count from 0."""
        row, column = divmod(place, self.columns)
        return self.corner[0] + column * WIDTH, self.corner[1] + row * HEIGHT


# Twelve rows on Letter would bring the head out of a printer's reach.
SHEETS: dict[Paper, Geometry] = {
    "A4": Geometry(size=A4, columns=4, rows=12),
    "Letter": Geometry(size=LETTER, columns=4, rows=11),
}


class Place(NamedTuple):
    """A place on a sheet as people count: the row from the top, the label in it."""

    row: int = 1
    column: int = 1


FIRST = Place()
LOT = Style(face=faces.DATA_HEAVY, size=12, floor=9)
HEAD_SPECIES = Style(face=faces.TEXT_ITALIC, size=10.2, floor=8, may_shorten=True)
HEAD_TEXT = Style(face=faces.TEXT, size=10.2, floor=8, may_shorten=True)
HOW_TO_CUT = Style(face=faces.TEXT, size=8, colour=WALNUT, floor=6.8)
PROOF_BAR = 50.0
LOTS_NAMED = 4


def arrange(
    labels: list[BoardLabel], columns: int = 4, start: int = 0
) -> list[BoardLabel | None]:
    """Place labels in reading order, with every A and its B side by side.

    So many places at the start are gone. Where a pair would be torn over two rows, one
    place is left empty.
    """
    places: list[BoardLabel | None] = [None] * start
    for index, label in enumerate(labels):
        follower = labels[index + 1] if index + 1 < len(labels) else None
        if follower and _are_sisters(label, follower) and len(places) % columns % 2:
            places.append(None)
        places.append(label)
    return places


def _are_sisters(one: BoardLabel, other: BoardLabel) -> bool:
    same_board = one.code.removesuffix(".A") == other.code.removesuffix(".B")
    return same_board and (one.half, other.half) == ("A", "B")


def sheet(
    labels: list[BoardLabel],
    heading: Heading,
    paper: Paper = "A4",
    start: Place = FIRST,
) -> bytes:
    """Draw labels four to a row on sheets to be cut, for an office printer.

    start  the first free place of the first sheet; those before it are gone
    """
    refuse_none(labels)
    geometry, gone = SHEETS[paper], _gone(start, paper)
    places = arrange(labels, geometry.columns, gone)
    starts = range(0, len(places), geometry.places)
    sheets = [places[first : first + geometry.places] for first in starts]
    say, whose = tongue(heading.language), _whose(labels, heading)[0]
    title = say("Board labels of {whose}").format(whose=whose)
    page = open_document(geometry.size, title, heading.language)
    for number, chosen in enumerate(sheets, start=1):
        used = gone if number == 1 else 0
        if not used:
            said = say("sheet {number} of {whole}")
            said = said.format(number=number, whole=len(sheets))
            _head(page, heading, geometry, labels, said)
        _cut_lines(page, geometry, used, len(chosen))
        for place, label in enumerate(chosen):
            if label:
                draw(page, label, geometry.at(place), SHEET_PRINTER)
        turn_over(page)
    return archive.keep(page)


def next_free(
    labels: list[BoardLabel], paper: Paper = "A4", start: Place = FIRST
) -> Place | None:
    """Return the first place that stays free on the last sheet, or None if it is full.

    Labels that are drawn later begin there.
    """
    geometry = SHEETS[paper]
    places = len(arrange(labels, geometry.columns, _gone(start, paper)))
    row, column = divmod(places % geometry.places, geometry.columns)
    return Place(row + 1, column + 1) if row or column else None


def _gone(start: Place, paper: Paper) -> int:
    """Return how many places of a sheet are gone before the first free one."""
    geometry = SHEETS[paper]
    if not (1 <= start.row <= geometry.rows and 1 <= start.column <= geometry.columns):
        raise RefusedError(
            f"{start.row},{start.column} is no place on a {paper} sheet: it has "
            f"{geometry.rows} rows of {geometry.columns} labels, 1,1 to "
            f"{geometry.rows},{geometry.columns}; count again"
        )
    return (start.row - 1) * geometry.columns + start.column - 1


def _proof_bar(page: Page, end: float, y: float) -> None:
    """Draw 50 mm with a tick at every 10, to prove the scale with a rule."""
    marks.stroke(page, [(end - PROOF_BAR, y), (end, y)], 0.5)
    for tick in range(6):
        x = end - PROOF_BAR + 10 * tick
        marks.stroke(page, [(x, y - 1), (x, y)], 0.5)


def _whose(labels: list[BoardLabel], heading: Heading) -> tuple[str, str, list[str]]:
    """Return the lot, its species and sawyer; of several lots only which they are."""
    say = tongue(heading.language)
    every = (lot for label in labels for lot in (label.lot, *label.also))
    lots = list(dict.fromkeys(every))
    if len(lots) <= 1:
        words = say("lot {lot}").format(lot=heading.lot)
        return words, heading.species, [heading.sawyer]
    if len(lots) <= LOTS_NAMED:
        return say("lots {lots}").format(lots=", ".join(lots)), "", []
    words = say("{number} lots, {first} to {last}")
    return words.format(number=len(lots), first=min(lots), last=max(lots)), "", []


def _head(
    page: Page,
    heading: Heading,
    geometry: Geometry,
    labels: list[BoardLabel],
    sheet_words: str,
) -> None:
    """Set what stands over the labels: the lot, whose it is, and how to cut."""
    left, top = geometry.corner
    x, y = left + MARGIN, top - 5.2
    end = left + geometry.columns * WIDTH - MARGIN
    say = tongue(heading.language)
    whose, species, sawyer = _whose(labels, heading)
    lot = f"{whose[:1].upper()}{whose[1:]}"
    x += write(page, (x, y), lot, LOT, within=74, field="lot") + 3.2
    x += write(page, (x, y), species, HEAD_SPECIES, within=50, field="species")
    count = say.many(len(labels), "{number} label", "{number} labels")
    count = f"{count.format(number=len(labels))}, {sheet_words}"
    facts = f"{count} · {heading.date}, {heading.who}"
    rest = (" · " if species else "") + " · ".join([*sawyer, facts])
    tail = f" · {facts}" if sawyer else ""
    rest = shortened(rest, HEAD_TEXT, end - x, tail=tail)
    write(page, (x, y), rest, HEAD_TEXT, within=end - x, field="heading")
    how = say(
        "Cut on the dotted lines. Measure the bar: if it is not 50 mm, print at 100 %."
    )
    free = end - PROOF_BAR - 3 - left - MARGIN
    write(page, (left + MARGIN, top - 1.5), how, HOW_TO_CUT, within=free)
    _proof_bar(page, end, top - 2.2)


def _cut_lines(page: Page, geometry: Geometry, used: int, places: int) -> None:
    """Draw dotted lines between the labels, 1 mm out into the margin.

    Rows in which a place is gone have theirs from the print before.
    """
    drawn, rows = -(-used // geometry.columns), -(-places // geometry.columns)
    if rows <= drawn:
        return
    canvas = page.canvas
    canvas.setStrokeColor(HexColor(BARK))
    canvas.setLineWidth(0.15 * MM)
    canvas.setLineCap(0)
    canvas.setDash([0.8, 2.2])
    left, top = geometry.corner
    right, foot = left + geometry.columns * WIDTH + 1, top + rows * HEIGHT + 1
    # Below a row that has its lines they go on where those ended.
    begin = top + drawn * HEIGHT + (1 if drawn else -1)
    for column in range(geometry.columns + 1):
        x = (left + column * WIDTH) * MM
        canvas.line(x, (page.height - begin) * MM, x, (page.height - foot) * MM)
    for row in range(drawn + 1 if drawn else 0, rows + 1):
        y = (page.height - top - row * HEIGHT) * MM
        canvas.line((left - 1) * MM, y, right * MM, y)
    canvas.setDash()
