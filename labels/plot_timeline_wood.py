"""The wood on a strip from the tree to the tune: how long it waited, where it went."""

from collections.abc import Mapping
from dataclasses import dataclass

from labels import faces
from labels.anatomy import is_known
from labels.hatches import Hatch, hatches_for
from labels.hatches_ink import draw_outline, draw_question, draw_wood
from labels.marks import Point
from labels.page import INK, WALNUT, WHITE, Style, measure, shortened
from labels.plot_calendar import KERF, Calendar, place_date
from labels.plot_figure import PLAIN, Figure, fill, line, say, shape
from labels.plot_timeline_facts import Rack, waited
from labels.tongue import term

BAR = 3.2  # how high a bar of wood is [mm]
LEAST_PARTS = 22.0  # with less left for the parts, the species is not told [mm]
APART = 1.8  # between words of different kinds [mm]
SPECIES = Style(
    face=faces.TEXT_ITALIC, size=8.4, colour=WALNUT, floor=7.4, may_shorten=True
)
WAITED = Style(face=faces.DATA, size=7.6, colour=WALNUT, floor=6.8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Crib:
    """The bars of wood: from above to below, how far apart, and where they end [mm]."""

    racks: tuple[Rack, ...]
    top: float
    pitch: float

    @property
    def foot(self) -> float:
        """Where the hands begin."""
        return self.top + self.pitch * len(self.racks)

    def foot_of(self, number: int) -> float:
        """Return where a bar ends below."""
        return self.top + (number + 1) * self.pitch - 0.8


def drops(figure: Figure, calendar: Calendar, crib: Crib) -> None:
    """Draw how wood falls into the hands that use it, under all bars."""
    foot = crib.foot + 1.2
    for number, rack in enumerate(crib.racks):
        level = crib.foot_of(number)
        for day in () if rack.is_open else sorted(set(rack.used_on)):
            x = place_date(calendar, day)
            line(figure, [(x, level), (x, foot)], 0.5)
            tip = [(x - 0.8, foot - 1.6), (x + 0.8, foot - 1.6), (x, foot)]
            shape(figure, tip, filled=True)


def bars(
    figure: Figure, calendar: Calendar, crib: Crib, given: Mapping[str, Hatch]
) -> None:
    """Draw each wood from the day it came to the day it went in, as its hatch."""
    hatches = {**hatches_for(rack.species for rack in crib.racks), **given}
    for number, rack in enumerate(crib.racks):
        foot = crib.foot_of(number)
        x, end = (
            place_date(calendar, rack.came_on),
            place_date(calendar, max(rack.used_on)),
        )
        end = max(end, x + 0.6)
        _felled(figure, calendar, rack, (x, foot - BAR / 2))
        outline = [(x, foot - BAR), (end, foot - BAR), (end, foot), (x, foot)]
        hatch = hatches[rack.species]
        known = is_known(rack.species)
        one_colour = figure.one_colour
        draw_wood(figure.page, outline, hatch, one_colour=one_colour)
        draw_outline(figure.page, outline, is_known=known, one_colour=one_colour)
        if not known:
            draw_question(figure.page, ((x + end) / 2, foot - BAR / 2), BAR / 2)
        notch = WHITE if hatch.is_dark else INK
        for day in () if rack.is_open else sorted(set(rack.used_on))[:-1]:
            at = place_date(calendar, day)
            line(figure, [(at, foot - BAR), (at, foot)], 0.7, colour=notch)
        _rack_words(figure, calendar, rack, (x, foot - BAR - 1.0))


def _felled(figure: Figure, calendar: Calendar, rack: Rack, end: Point) -> None:
    """Draw the way from the felling to the shop as a line from the days it was cut."""
    if rack.felled is None:
        return
    first, last = (place_date(calendar, day) for day in rack.felled)
    level = end[1]
    line(figure, [(first, level), (end[0], level)], 0.5)
    for x in {first, last}:
        line(figure, [(x, level - 1.0), (x, level + 1.0)], 0.7)


def _rack_words(figure: Figure, calendar: Calendar, rack: Rack, at: Point) -> None:
    """Say over a bar which parts it became, its species, and how long it waited."""
    before = at[0] < calendar.middle
    start = calendar.left if before else calendar.middle + KERF + 0.4
    end = calendar.middle - KERF - 0.4 if before else calendar.right
    words = figure.words
    told, species = waited(rack, words), rack.species
    if not is_known(species):
        species = words(term("species unknown"))
    free = end - start - measure(told, WAITED) - APART
    taken = measure(species, SPECIES) + APART
    if free - taken < LEAST_PARTS:
        species, taken = "", 0.0
    parts = ", ".join(words(part) for part in rack.parts.split(", "))
    parts = shortened(parts, PLAIN, free - taken)
    wide = min(measure(parts, PLAIN), free - taken)
    whole = wide + taken + APART + measure(told, WAITED)
    x = max(start, min(at[0], end - whole))
    fill(figure, (x - 0.3, at[1] - 2.5, whole + 0.6, 3.2), WHITE)
    x = say(figure, (x, at[1]), parts, PLAIN, within=wide).right + APART
    if species:
        x = say(figure, (x, at[1]), species, SPECIES).right + APART
    say(figure, (x, at[1]), told, WAITED)
