"""An instrument from the front and from behind, each part in the hatch of its wood.

The outline is the house's own and that of a kind, not of a model: it says which wood is
where, and nothing of a shape. A part whose wood nobody knows is white with a broken
outline; one that is not on this instrument is not drawn. `labels/hatches.py` gives each
wood its hatch; a paper that shows swatches beside a figure passes the same ones on.

    at = (67.0, 8.0)                     # top of the front's centre line [mm]
    facts = FigureFacts(
        kind="flat-top guitar",
        parts=(PartWood("top", ("Picea abies",)), PartWood("neck")),
    )
    draw_figure(page, at, 0.178, facts, show="front")
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from labels import figure_side, marks, outlines
from labels.anatomy import is_known
from labels.figure_parts import Piece, Side, pieces
from labels.hatches import Hatch, hatches_for
from labels.hatches_ink import (
    PLACES,
    box_around,
    draw_outline,
    draw_question,
    draw_wood,
)
from labels.marks import Point
from labels.outlines import NECKS, Family, Outline, family_of
from labels.page import INK, MM, WHITE, Page
from ledger.errors import RefusedError

View = Side | Literal["side"]
Show = View | Literal["both"]

NOT_KNOWN: Final = "unknown"
APART: Final = 100.0  # between the centre lines of front and back [units]
EDGE, FINE_EDGE = 0.4, 0.3  # outlines of a figure and of a small one [pt]
SMALL: Final = 0.25  # a figure of fewer millimetres a unit is small
LEAST_GAP: Final = 0.5  # between two lines, of the weight of one
LEAST_FITTING: Final = 0.3  # a fitting smaller than this is left out [mm]
FRET: Final = 0.5  # [pt]
DOT: Final = 0.55  # radius of a mark in the fingerboard [units]
PIN: Final = 0.45  # radius of a pin in the bridge [units]


class PartWood(NamedTuple):
    """A part and the woods it was made of; none, or one that is "unknown": not known.

    Several woods are glued: they are drawn side by side, those of a rosette as rings.
    """

    part: str
    species: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureFacts:
    """A kind of instrument, such as "flat-top guitar", and every part that it has.

    Parts that are not seen, such as braces, may be among them.
    """

    kind: str
    parts: tuple[PartWood, ...]

    @property
    def species(self) -> tuple[str, ...]:
        """Every wood of the instrument, once each."""
        return tuple(
            dict.fromkeys(each for part in self.parts for each in part.species)
        )


class Seen(NamedTuple):
    """Where a part is seen on a page [mm]: its side, and a point on it."""

    part: str
    side: Side
    at: Point


def has_figure(kind: str) -> bool:
    """Tell whether there is an outline for a kind of instrument."""
    return family_of(kind) is not None


def size_of(kind: str, unit: float) -> tuple[float, float]:
    """Return how wide and high one side of a figure is [mm], at a scale [mm a unit]."""
    family = _family(kind)
    return 2 * outlines.half_width(family) * unit, outlines.height(family) * unit


def size_of_side(kind: str, unit: float) -> tuple[float, float]:
    """Return how deep and high an instrument is from its side [mm], at a scale."""
    family = _family(kind)
    return 2 * figure_side.half_width(family) * unit, outlines.height(family) * unit


def draw_figure(
    page: Page,
    at: Point,
    unit: float,
    facts: FigureFacts,
    *,
    one_colour: bool = False,
    show: Show = "both",
    apart: float | None = None,
    hatches: Mapping[str, Hatch] | None = None,
) -> tuple[Seen, ...]:
    """Draw an instrument, front and back side by side like opened leaves, or its side.

    at    [mm]  the upper end of the centre line of the side that is drawn first
    unit  [mm]  of a hundredth of the body's length
    apart [mm]  between both centre lines; 100 units if it is not said

    Returns where each part is seen: those seen from behind there, the others in front;
    from the side, those of its face in front.
    Raises RefusedError where there is no outline of that kind.
    """
    woods = hatches_for((*facts.species, NOT_KNOWN)) | dict(hatches or {})
    sides: tuple[View, ...] = ("front", "back") if show == "both" else (show,)
    gap = APART * unit if apart is None else apart
    seen: dict[str, Seen] = {}
    for number, side in enumerate(sides):
        middle = (at[0] + number * gap, at[1])
        leaf = _Leaf(page, middle, unit, facts, woods, one_colour)
        seen |= {each.part: each for each in leaf.drawn(side)}
    return tuple(seen.values())


def _family(kind: str) -> Family:
    family = family_of(kind)
    if family is None:
        raise RefusedError(
            f"there is no figure of {kind!r}; the kinds are flat-top, arch-top and "
            f"solid-body guitars, so leave the figure out"
        )
    return family


@dataclass(frozen=True, slots=True)
class _Leaf:
    """One side of an instrument, at its place."""

    page: Page
    at: Point
    unit: float
    facts: FigureFacts
    hatches: Mapping[str, Hatch]
    one_colour: bool

    @property
    def edge(self) -> float:
        return FINE_EDGE if self.unit < SMALL else EDGE

    def placed(self, points: Iterable[Point]) -> list[Point]:
        """Return points of the outlines on the page [mm]."""
        family = _family(self.facts.kind)
        top = self.at[1] + (outlines.height(family) - 100.0) * self.unit
        return [(self.at[0] + x * self.unit, top + y * self.unit) for x, y in points]

    def drawn(self, side: View) -> list[Seen]:
        """Draw one side, and return where each of its parts is seen."""
        family = _family(self.facts.kind)
        woods = {each.part: each.species for each in self.facts.parts}
        seen: dict[str, Seen] = {}
        shown = _seen_from(family, side, woods)
        for piece in shown:
            if piece.look == "wood":
                part = piece.part(woods)
                self._wood(piece, woods.get(part, ()))
                spot = self.placed([piece.anchor])[0]
                seen.setdefault(part, Seen(part, _where(piece, side), spot))
            else:
                self._plain(piece)
        if side == "front":
            self._frets(family, woods.get("fingerboard", ()))
            self._pins(family, woods.get("bridge", ()))
        for piece in shown:
            self._question(piece, woods)
        return list(seen.values())

    def _wood(self, piece: Piece, species: Sequence[str]) -> None:
        """Fill a piece with its wood or woods, and draw its edge."""
        named = [self.hatches[each] for each in species] or [self.hatches[NOT_KNOWN]]
        outline = self.placed(piece.outline)
        if piece.inner and len(named) > 1:
            self._rings(piece, named)
        else:
            self._laminae(outline, named)
        known = bool(species) and all(is_known(each) for each in species)
        draw_outline(
            self.page,
            outline,
            is_known=known,
            one_colour=self.one_colour,
            weight=self.edge,
        )

    def _question(self, piece: Piece, woods: Mapping[str, Sequence[str]]) -> None:
        """Set a question mark on a piece whose wood nobody knows, over all else."""
        if piece.room and not any(map(is_known, woods.get(piece.part(woods), ()))):
            middle = self.placed([piece.mark])[0]
            draw_question(self.page, middle, piece.room * self.unit)

    def _laminae(self, outline: list[Point], named: Sequence[Hatch]) -> None:
        """Lay woods side by side, the last in the middle and the first outermost."""
        if len(named) == 1:
            draw_wood(self.page, outline, named[0], one_colour=self.one_colour)
            return
        x, y, w, h = box_around(outline)
        row = [*named, *reversed(named[:-1])]
        each = w / len(row)
        for number, hatch in enumerate(row):
            only = (x + number * each, y, each, h)
            draw_wood(self.page, outline, hatch, one_colour=self.one_colour, only=only)

    def _rings(self, piece: Piece, named: Sequence[Hatch]) -> None:
        """Lay woods as rings around a sound hole, the first outermost."""
        x, y, w, h = box_around(piece.outline)
        middle, whole = (x + w / 2, y + h / 2), w / 2
        for number, hatch in enumerate(named):
            radius = whole - number * (whole - piece.inner) / len(named)
            ring = self.placed(outlines.round_(middle, radius))
            draw_wood(self.page, ring, hatch, one_colour=self.one_colour)
            draw_outline(self.page, ring, one_colour=self.one_colour, weight=FINE_EDGE)

    def _plain(self, piece: Piece) -> None:
        """Draw an opening, or a fitting that is large enough to be seen."""
        outline = self.placed(piece.outline)
        if piece.look == "hole":
            marks.polygon(self.page, _rounded(outline), INK)
        elif min(box_around(outline)[2:]) >= LEAST_FITTING:
            marks.polygon(self.page, _rounded(outline), WHITE)
            draw_outline(
                self.page, outline, one_colour=self.one_colour, weight=FINE_EDGE
            )

    def _frets(self, family: Family, species: Sequence[str]) -> None:
        """Draw the frets as far as they stand apart, and the marks between them."""
        neck = NECKS[family]
        dark = bool(species) and all(self.hatches[each].is_dark for each in species)
        for number in range(1, neck.frets + 1):
            near = neck.fret(number) - neck.fret(number - 1)
            if not stand_apart(near * self.unit, FRET):
                break
            y = neck.fret(number) - neck.length
            half = outlines.half_at(neck, y)
            ends = _rounded(self.placed([(-half, y), (half, y)]))
            if not dark:
                marks.stroke(self.page, ends, 2.4 * FRET, colour=WHITE)
            marks.stroke(self.page, ends, FRET, colour=WHITE if dark else INK)
        if 2 * DOT * self.unit >= LEAST_FITTING:
            for middle in outlines.marks(neck):
                self._dot(middle, DOT, outlined=not dark)

    def _pins(self, family: Family, species: Sequence[str]) -> None:
        """Draw the pins of a bridge that has them, and its saddle."""
        if family != "flat-top":
            return
        neck = NECKS[family]
        dark = bool(species) and all(self.hatches[each].is_dark for each in species)
        ink = WHITE if dark else INK
        saddle = self.placed([(-5.8, neck.saddle), (5.8, neck.saddle)])
        marks.stroke(self.page, _rounded(saddle), FRET, colour=ink)
        if stand_apart((1.9 - 2 * PIN) * self.unit, FRET):
            for n in range(6):
                self._dot((-4.75 + 1.9 * n, neck.saddle + 1.7), PIN, outlined=not dark)

    def _dot(self, middle: Point, radius: float, *, outlined: bool) -> None:
        circle: Outline = outlines.round_(middle, radius)
        placed = _rounded(self.placed(circle))
        marks.polygon(self.page, placed, WHITE)
        if outlined:
            draw_outline(
                self.page, placed, one_colour=self.one_colour, weight=FINE_EDGE
            )


def _seen_from(family: Family, view: View, has: Collection[str]) -> tuple[Piece, ...]:
    if view == "side":
        return figure_side.pieces(family, has)
    return pieces(family, view, has)


def _where(piece: Piece, view: View) -> Side:
    """Tell on which side a leader to a piece begins."""
    if view != "side":
        return view
    return "back" if piece.parts[-1] in figure_side.BEHIND else "front"


def stand_apart(gap: float, weight: float) -> bool:
    """Tell whether lines [pt] at a distance [mm] leave half a line between them."""
    return gap * MM - weight >= LEAST_GAP * weight


def _rounded(points: Iterable[Point]) -> list[Point]:
    """Return points to a hundredth of a typographic point, as all others are."""
    return [(round(x * MM, PLACES) / MM, round(y * MM, PLACES) / MM) for x, y in points]
