"""The family of one board: what saw and glue made of it, to the gram.

The board stands at the left as high as its mass; what came of it stands right of it, as
high as its share, and so on. Wood that is there today is hatched as its species, what
was sawn on is white, and what is gone, or no piece has any more, has a broken edge.
Each end has its number, its mass and its place beside it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from labels import faces
from labels.anatomy import is_known
from labels.hatches import Hatch, hatches_for
from labels.hatches_ink import draw_outline, draw_wood
from labels.marks import Box, Point
from labels.page import Page, Style, measure
from labels.plot_figure import (
    NOTE,
    PLAIN,
    Figure,
    Heading,
    Label,
    begin,
    counted,
    head,
    line,
    say,
    say_nothing,
)
from labels.plot_voice import spread
from ledger.errors import RefusedError
from ledger.quantities import grams

WIDEST, NARROWEST = 28.0, 12.0  # a generation [mm]
TREE_SHARE = 0.5  # of the width, at most
WORDS_AFTER = 7.0  # the tree [mm]
APART = 4.1  # between the words of two ends [mm]
FOOT = 7.0
BROKEN = (1.0, 0.8)
KERF = 0.25  # on each side of a piece [mm]
CODE = Style(face=faces.DATA_BOLD, size=8, floor=6.4, may_shorten=True)
IN_BOX = Style(face=faces.DATA_BOLD, size=7.6, floor=6.4)
MASS = Style(face=faces.DATA, size=8, floor=6.4)
SPECIES = Style(face=faces.TEXT_ITALIC, size=9, floor=7.6, may_shorten=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """What no piece has any more: dust, waste, what dried out, and its mass."""

    what: str
    mass_mg: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Kin:
    """A board of a family: its mass when it was made, and how much of that is ours.

    `said` tells what it is for and where it is today; of what was sawn or glued on,
    `pieces` and `losses` tell what became of it. `now_mg` is what it weighs today.
    """

    code: str
    mass_mg: int
    part_mg: int
    said: str
    now_mg: int | None = None
    is_there: bool = True
    pieces: tuple["Kin", ...] = ()
    losses: tuple[Loss, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FamilyTree:
    """What a family shows: the board it begins with, and its species."""

    heading: Heading
    species: str
    board: Kin | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _End:
    """An end of the tree: where its box is, and what is said of it."""

    box: Box
    code: str
    mass: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tree:
    """The room of the tree [mm]: how wide a generation is, how many have room."""

    left: float
    wide: float
    generations: int


def generations(kin: Kin) -> int:
    """Return how many generations a family has, itself the first."""
    deepest, ahead = 0, [(kin, 1)]
    while ahead:
        one, depth = ahead.pop()
        deepest = max(deepest, depth)
        ahead += [(piece, depth + 1) for piece in one.pieces]
        if one.losses and not one.pieces:
            deepest = max(deepest, depth + 1)
    return deepest


def ends(kin: Kin) -> Iterator[Kin]:
    """Yield the boards of a family of which nothing more was made."""
    ahead = [kin]
    while ahead:
        one = ahead.pop()
        if not one.pieces:
            yield one
        ahead += reversed(one.pieces)


def filled(kin: Kin) -> int:
    """Return what stands right of a board when all of it is told [mg]."""
    parts = sum(piece.part_mg for piece in kin.pieces)
    return parts + sum(loss.mass_mg for loss in kin.losses)


def _room_for(room: Box, kin: Kin) -> _Tree:
    x, _, w, _ = room
    wanted = generations(kin)
    most = max(int(w * TREE_SHARE / NARROWEST), 2)
    shown = min(wanted, most)
    wide = min(WIDEST, w * TREE_SHARE / shown)
    return _Tree(left=x, wide=wide, generations=shown)


def _boxes(
    tree: _Tree, root: Kin, top: float, high: float
) -> Iterator[tuple[Kin, Box]]:
    """Yield each board with its box, those that were made of it after it."""
    ahead = [(root, 0, top, high)]
    while ahead:
        kin, depth, y, h = ahead.pop()
        is_last = depth + 1 >= tree.generations
        if is_last and kin.pieces:
            said = f"made into {counted(len(kin.pieces), 'piece')}"
            kin = replace(kin, pieces=(), losses=(), said=said, is_there=False)
        yield kin, (tree.left + depth * tree.wide, y, tree.wide, h)
        whole = filled(kin) or 1
        for piece in kin.pieces:
            tall = h * piece.part_mg / whole
            ahead.append((piece, depth + 1, y, tall))
            y += tall


def _lost(tree: _Tree, kin: Kin, box: Box) -> Iterator[_End]:
    """Yield what was lost of a board, under its pieces."""
    x, y, w, h = box
    whole = filled(kin) or 1
    y += h * sum(piece.part_mg for piece in kin.pieces) / whole
    for loss in kin.losses:
        tall = h * loss.mass_mg / whole
        place = (x + w, y, tree.wide, tall)
        yield _End(box=place, code=loss.what, mass=grams(loss.mass_mg), said="")
        y += tall


def _corners(box: Box) -> list[Point]:
    x, y, w, h = box
    return [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]


def _sawn(box: Box) -> Box:
    """Return a box without the kerf around it."""
    x, y, w, h = box
    across, down = min(KERF, w / 4), min(KERF, h / 4)
    return x + across, y + down, w - 2 * across, h - 2 * down


def _broken(figure: Figure, box: Box) -> None:
    corners = _corners(_sawn(box))
    line(figure, [*corners, corners[0]], 0.5, dash=BROKEN)


def _draw_box(figure: Figure, kin: Kin, box: Box, hatch: Hatch) -> None:
    """Hatch what is there, break the edge of what is gone, name what was sawn on."""
    corners, one_colour = _corners(_sawn(box)), figure.one_colour
    if kin.is_there and not kin.pieces:
        draw_wood(figure.page, corners, hatch, one_colour=one_colour)
    if kin.is_there or kin.now_mg is None:
        draw_outline(figure.page, corners, one_colour=one_colour)
    else:
        _broken(figure, box)
    if not kin.pieces:
        return
    x, y, w, h = box
    middle, room = x + w / 2, w - 2
    if h >= 4 and measure(kin.code, IN_BOX) * IN_BOX.narrow <= room:
        level = y + h / 2 + (1.0 if h < 9 else -0.8)
        say(figure, (middle, level), kin.code, IN_BOX, align="centre", within=room)
        told = grams(kin.mass_mg)
        if h >= 9 and measure(told, MASS) * MASS.narrow <= room:
            say(figure, (middle, level + 4), told, MASS, align="centre", within=room)


def _end(kin: Kin, box: Box) -> _End:
    said = kin.said
    if kin.part_mg != kin.mass_mg:
        said += f"; {grams(kin.part_mg)} of it from here"
    if kin.now_mg is not None and kin.now_mg != kin.mass_mg:
        said += f"; {grams(kin.now_mg)} now"
    return _End(box=box, code=kin.code, mass=grams(kin.mass_mg), said=said)


def _draw_tree(
    figure: Figure, tree: _Tree, plot: FamilyTree, root: Kin, span: tuple[float, float]
) -> list[_End]:
    """Draw all boxes, and return the ends from above to below."""
    hatch = hatches_for([plot.species])[plot.species]
    found = []
    for kin, box in _boxes(tree, root, *span):
        _draw_box(figure, kin, box, hatch)
        if not kin.pieces:
            found.append(_end(kin, box))
        for lost in _lost(tree, kin, box):
            _broken(figure, lost.box)
            found.append(lost)
    return sorted(found, key=lambda end: (end.box[1] + end.box[3] / 2, end.box[0]))


def _name_ends(
    figure: Figure, named: list[_End], x: float, span: tuple[float, float]
) -> None:
    """Set number, mass and place beside each end, in columns."""
    right = figure.box[0] + figure.box[2]
    codes = max(
        (measure(end.code, CODE if end.said else NOTE) for end in named), default=0.0
    )
    codes = min(codes, (right - x) * 0.42)
    masses = max((measure(end.mass, MASS) for end in named), default=0.0)
    masses = min(masses, (right - x) * 0.3)
    middles = [end.box[1] + end.box[3] / 2 for end in named]
    levels = spread(middles, APART, span[0] + 1, span[0] + span[1] - 1)
    for end, middle, level in zip(named, middles, levels, strict=True):
        edge = end.box[0] + end.box[2]
        start = x - WORDS_AFTER
        line(figure, [(edge, middle), (start + 2, middle), (x - 2, level)], 0.5)
        line(figure, [(x - 2, level), (x - 0.8, level)], 0.5)
        base = level + 1.0
        say(figure, (x, base), end.code, CODE if end.said else NOTE, within=codes)
        at = x + codes + 2 + masses
        say(figure, (at, base), end.mass, MASS, align="right", within=masses)
        say(figure, (at + 2.5, base), end.said, PLAIN, within=right - at - 2.5)


def _require_balance(root: Kin) -> None:
    """Refuse a family of which more came than went in."""
    ahead = [root]
    while ahead:
        kin = ahead.pop()
        ahead += kin.pieces
        for loss in kin.losses:
            if loss.mass_mg < 0:
                raise RefusedError(
                    f"{loss.what} of {kin.code} would be {grams(loss.mass_mg)}: see "
                    f"which of its weighings is right"
                )


def draw(
    page: Page, box: Box, plot: FamilyTree, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw the family of a board at a place, and return the words that were set."""
    figure = begin(page, box, one_colour=one_colour)
    room = head(figure, plot.heading)
    root = plot.board
    if root is None or not (root.mass_mg or filled(root)):
        say_nothing(figure, room, "Nobody has weighed this board yet.")
        return tuple(figure.labels)
    _require_balance(root)
    x, y, _, h = room
    tree = _room_for(room, root)
    span = (y, h - FOOT)
    found = _draw_tree(figure, tree, plot, root, span)
    most = max(int((span[1] - 2) / APART), 1)
    named = found
    if len(found) > most:
        tallest = sorted(found, key=lambda end: -end.box[3])[:most]
        named = [end for end in found if end in tallest][:most]
    start = tree.left + tree.wide * tree.generations + WORDS_AFTER
    _name_ends(figure, named, start, span)
    _foot(figure, (x, y + h - 0.8), plot, len(found) - len(named))
    return tuple(figure.labels)


def _foot(figure: Figure, at: Point, plot: FamilyTree, unnamed: int) -> None:
    """Say under the tree its species, how many pieces, and how many have no words."""
    root, right = plot.board, figure.box[0] + figure.box[2]
    said = "nothing was made of it yet"
    if root and root.pieces:
        number = counted(sum(1 for _ in ends(root)), "piece")
        said = f"made into {number}, each as high as its mass"
    species = plot.species if is_known(plot.species) else "species unknown"
    x = say(figure, at, species, SPECIES, within=figure.box[2] * 0.4).right + 3
    if unnamed:
        said += f"; {unnamed} without words for want of room"
    say(figure, (x, at[1]), said, NOTE, within=right - x)
