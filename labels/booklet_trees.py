"""Page 2 of a booklet: from which trees it is, and what in it is of no tree.

What is no wood always has its row, and woods without room are named at least.
"""

from typing import NamedTuple

from labels import faces
from labels.booklet_facts import OwnerBooklet, Tree, trees_of
from labels.booklet_parts import (
    FIRST,
    MARGIN,
    MORE,
    NOTE,
    folio,
    foot,
    head,
    sides,
    width,
)
from labels.page import (
    HAIR,
    Page,
    Style,
    rule,
    shortened,
    thousands,
    wrap,
    write,
    write_lines,
)
from labels.terms import in_a_row
from labels.tongue import Tongue

SPECIES = Style(face=faces.TEXT_ITALIC, size=10.2, floor=7.6, may_shorten=True)
GRAMS = Style(face=faces.DATA, size=8.8)
WOOD = Style(face=faces.TEXT, size=8.6, floor=7, may_shorten=True)

APART, NO_WOOD_ROW, LEADING = 13.8, 4.6, 3.9  # from row to row
NAMED_LINES = 3  # of woods without room, in the room of one


class Told(NamedTuple):
    """The woods that have a row, how many have none, and the lines that name those."""

    shown: list[Tree]
    more: int
    lines: list[str]

    @property
    def is_all(self) -> bool:
        """Tell whether every wood is on the page, by a row or by its name."""
        return not self.more or bool(self.lines)


def names_all(page: Page, booklet: OwnerBooklet, say: Tongue) -> bool:
    """Tell whether page 2 has the scientific name of everything that is on record."""
    return _told(page, booklet, say).is_all


def _told(page: Page, booklet: OwnerBooklet, say: Tongue) -> Told:
    woods = trees_of(booklet.certificate.materials)
    room = _until(page, booklet) - FIRST
    most = max(int(room / APART), 1)
    if len(woods) <= most:
        return Told(woods, 0, [])
    shown = woods[: most - 1]
    rest = dict.fromkeys(tree.species for tree in woods[most - 1 :])
    named = [name for name in rest if name not in {tree.species for tree in shown}]
    more = len(woods) - len(shown)
    said = say("and {number} more, on the certificate").format(number=more)
    words = say(": ").join((said, ", ".join(named))) if named else said
    lines = wrap(words, MORE, width(page))
    return Told(shown, more, lines if len(lines) <= NAMED_LINES else [])


def _until(page: Page, booklet: OwnerBooklet) -> float:
    """Return the lowest level of woods: under them is what is no wood."""
    rows = len(booklet.not_wood)
    return foot(page) - 4 - (NO_WOOD_ROW * rows + 2 if rows else 0)


def trees(page: Page, booklet: OwnerBooklet, say: Tongue) -> None:
    """Set page 2: each wood, who sawed it, where it grew, how long it rested."""
    head(page, say("From these trees"))
    shown, more, lines = _told(page, booklet, say)
    y = FIRST
    for tree in shown:
        _tree(page, y, tree, say)
        y += APART
    if more and not lines:
        said = say("and {number} more, on the certificate").format(number=more)
        write(page, (MARGIN, y), said, MORE, within=width(page))
    y = write_lines(page, (MARGIN, y), lines, MORE, LEADING)
    _not_wood(page, y, booklet, say)
    note = say("Months: in our racks before use. g: finished mass, as weighed.")
    write(page, (MARGIN, foot(page)), note, NOTE, within=width(page), field="note")
    folio(page, 2, booklet.certificate.serial)


def _not_wood(page: Page, y: float, booklet: OwnerBooklet, say: Tongue) -> None:
    """Set what is of no tree, a row each, right below the woods."""
    left, right = sides(page)
    y += 1 if booklet.not_wood else 0
    for species, what in booklet.not_wood:
        said = say("no wood: {what}").format(what=say(what))
        taken = write(page, (right, y), said, WOOD, align="right", within=34)
        free = width(page) - taken - 3
        write(page, (left, y), species, SPECIES, within=free, field="species")
        y += NO_WOOD_ROW


def _tree(page: Page, y: float, tree: Tree, say: Tongue) -> None:
    """Set one wood in three lines: its name, its parts, where it came from."""
    left, right = sides(page)
    mass = f"{thousands(tree.grams)}{faces.THIN_SPACE}g"
    taken = write(page, (right, y), mass, GRAMS, align="right")
    free = width(page) - taken - 3
    write(page, (left, y), tree.species, SPECIES, within=free, field="species")
    parts = ", ".join(say(part) for part in tree.parts)
    said = say(": ").join(filter(None, (tree.trade_name, parts)))
    write(page, (left, y + 4), said, WOOD, within=width(page), field="parts")
    months = _months(tree, say)
    whence = ", ".join(filter(None, (in_a_row(tree.sawyers, say), tree.place)))
    grown = f"{whence}. {months}" if whence else months
    grown = shortened(grown, WOOD, width(page), tail=f". {months}")
    write(page, (left, y + 8), grown, WOOD, within=width(page), field="sawyer")
    rule(page, (left, right), y + 9.7, 0.22, HAIR)


def _months(tree: Tree, say: Tongue) -> str:
    if tree.least_months == tree.most_months:
        return say.many(tree.most_months, "{number} month", "{number} months").format(
            number=tree.most_months
        )
    return say("{least} to {most} months").format(
        least=tree.least_months, most=tree.most_months
    )
