"""The stack under a permit or a lot: what came in, who drew of it, and what is left.

A stickered stack stands on a scale of kilograms. What is left in the rack lies at its
foot, what is kept for somebody is hatched over it, and what was drawn off is outlined
where it lay. A board is a slab as thick as its mass; of many, several are one slab.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from typing import Literal

from labels import faces, plot_axes
from labels.marks import Box
from labels.page import WALNUT, Page, Style, wrap
from labels.plot_axes import Scale
from labels.plot_figure import (
    AXIS_NAME,
    NAME,
    NOTE,
    NUMBER,
    PLAIN,
    Figure,
    Heading,
    Label,
    begin,
    counted,
    hatched,
    head,
    line,
    say,
    say_nothing,
    shape,
)
from labels.plot_voice import spread
from ledger.errors import RefusedError
from ledger.quantities import kilograms

Kind = Literal["kept", "instrument", "gone", "lost", "open"]
KILOGRAM = 10**6  # [mg]
# So many places have kilograms of which there are at least so many [mg].
PLACES = ((20 * KILOGRAM, 1), (2 * KILOGRAM, 2), (0, 3))
STACK = (0.19, 0.50)  # where the stack stands, in shares of the width
STICKER, STICKERS = 2.2, (0.09, 0.5, 0.91)  # how wide, and where [mm, shares]
LEAST_SLAB = 1.5  # thinner ones are laid together [mm]
LEAST_SHARE = 0.8  # thinner ones of instruments are one [mm]
COLUMN = 76.0  # names and kilograms take no more [mm]
APART = 4.4  # between the words of two shares [mm]
LEADER = 3.6
KILOGRAMS = 17.0  # the column of the numbers [mm]
BROKEN, FAINT = (1.0, 0.8), (0.4, 1.4)
FOOT = 7.0  # under the stack: how many boards it is of [mm]
LEFT = Style(face=faces.DATA_HEAVY, size=15, floor=12, may_shorten=True)
SPECIES = Style(
    face=faces.TEXT_ITALIC, size=9.6, colour=WALNUT, floor=8, may_shorten=True
)
TOLD = Style(face=faces.TEXT, size=9.2, floor=8.2, may_shorten=True)
TOLD_LINES, LEADING = 4, 4.3
LEFT_HIGH = 8.0  # what is left, in large type [mm]
TOLD_SHARE = 0.7  # of the height for what is left and its sentences, at most


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """Wood that is not free: whose it is or what became of it, and its mass."""

    name: str
    mass_mg: int
    kind: Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class PermitStack:
    """What a stack shows: the boards that are left, and the shares that are not.

    `left_mg` are the masses of the boards in the rack, the shares lie over them from
    the lowest on. `issued_mg` is what the paper was issued for, where it is one, and
    `said` the sentences that stand beside what is left.
    """

    heading: Heading
    what: str
    species: str
    left_mg: tuple[int, ...]
    shares: tuple[Share, ...] = ()
    issued_mg: int | None = None
    said: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """Where the stack stands, where its words begin and end, and where they do [mm].

    `beside` is how far down the words of the shares reach; what is left is said below.
    """

    left: float
    right: float
    words: float
    end: float
    beside: float
    foot: float
    told: tuple[str, ...]


def places_for(mass_mg: int) -> int:
    """Return how many places kilograms of a stack have, by all that lies in it."""
    return next(places for least, places in PLACES if mass_mg >= least)


def whole_mg(plot: PermitStack) -> int:
    """Return what all the stack weighs, from its foot to its top [mg]."""
    return sum(plot.left_mg) + sum(share.mass_mg for share in plot.shares)


def slabs(masses_mg: Sequence[int], mm_per_mg: float) -> tuple[int, list[int]]:
    """Lay boards together until a slab can be seen: how many, and the masses [mg]."""
    if not masses_mg:
        return 1, []
    thinnest = sum(masses_mg) / len(masses_mg) * mm_per_mg
    together = 1 if thinnest >= LEAST_SLAB else int(LEAST_SLAB / thinnest) + 1
    together = min(together, len(masses_mg))
    starts = range(0, len(masses_mg), together)
    return together, [sum(masses_mg[n : n + together]) for n in starts]


def folded(
    shares: Sequence[Share], most: int, least_mg: float = 0.0
) -> tuple[Share, ...]:
    """Return so many shares at most, the least of the instruments as one.

    Of instruments lighter than `least_mg` several are one in any case.
    """
    instruments = [each for each in shares if each.kind == "instrument"]
    heaviest = sorted(instruments, key=lambda each: -each.mass_mg)
    named = sum(each.mass_mg >= least_mg for each in instruments)
    if len(shares) > most:
        named = min(named, max(most - (len(shares) - len(instruments)) - 1, 0))
    rest = heaviest[named:]
    if len(rest) < 2:
        return tuple(shares)
    mass = sum(each.mass_mg for each in rest)
    name = counted(len(rest), "more instrument")
    as_one = Share(name=name, mass_mg=mass, kind="instrument")
    first = next(number for number, each in enumerate(shares) if each in rest)
    others = [each for each in shares if each not in rest]
    return (*others[:first], as_one, *others[first:])


def _scale(room: Box, plot: PermitStack) -> Scale:
    _, y, _, h = room
    highest = max(whole_mg(plot), plot.issued_mg or 0, 1000)
    axis = plot_axes.even(plot.what, (0, highest), per=KILOGRAM)
    return Scale(axis=axis, start=y + h - FOOT, end=y + plot_axes.NAME_ABOVE + 1.6)


def _left(figure: Figure, scale: Scale, room: _Room, plot: PermitStack) -> int:
    """Lay what is left on its stickers, and return how many boards a slab is."""
    per_mg = (scale.start - scale.end) / scale.axis.high
    together, masses = slabs(plot.left_mg, per_mg)
    x, wide = room.left, room.right - room.left
    for mass, top in zip(masses, accumulate(masses), strict=True):
        foot = plot_axes.place(scale, top - mass)
        high = mass * per_mg
        gap = min(1.0, high * 0.3)
        y = foot - high
        shape(
            figure,
            [(x, y), (x + wide, y), (x + wide, foot - gap), (x, foot - gap)],
            filled=True,
        )
        for share in STICKERS:
            at = x + wide * share - STICKER / 2
            corners = [(at, foot - gap), (at + STICKER, foot - gap)]
            corners += [(at + STICKER, foot), (at, foot)]
            line(figure, [*corners, corners[0]], 0.35)
    return together


def _shares(figure: Figure, scale: Scale, room: _Room, plot: PermitStack) -> None:
    """Outline what is not free over what is left, hatched where it is only kept."""
    x, wide = room.left, room.right - room.left
    low = sum(plot.left_mg)
    for share in plot.shares:
        foot = plot_axes.place(scale, low)
        low += share.mass_mg
        top = plot_axes.place(scale, low)
        inset = min(0.35, (foot - top) / 4)
        box = (x, top + inset, wide, max(foot - top - 2 * inset, 0.2))
        if share.kind == "kept":
            hatched(figure, box)
        corners = [(x, box[1]), (x + wide, box[1])]
        corners += [(x + wide, box[1] + box[3]), (x, box[1] + box[3])]
        dash = FAINT if share.kind == "open" else BROKEN
        line(figure, [*corners, corners[0]], 0.5, dash=dash)


def _level(figure: Figure, scale: Scale, x: tuple[float, float], mass_mg: int) -> None:
    y = plot_axes.place(scale, mass_mg)
    line(figure, [(x[0], y), (x[1], y)], 1.3)


def _issued(figure: Figure, scale: Scale, room: _Room, plot: PermitStack) -> None:
    """Dash the level for which the paper was issued, where more than that came in."""
    if plot.issued_mg is not None and plot.issued_mg < whole_mg(plot):
        y = plot_axes.place(scale, plot.issued_mg)
        line(figure, [(room.left - 5, y), (room.right + 2, y)], 1.0, dash=BROKEN)


def _name_shares(figure: Figure, scale: Scale, room: _Room, plot: PermitStack) -> None:
    """Name each share beside the stack, with its kilograms in a column."""
    middles, low = [], sum(plot.left_mg)
    for share in plot.shares:
        middles.append(plot_axes.place(scale, low + share.mass_mg / 2))
        low += share.mass_mg
    # From above to below, which is from the last share to the first.
    order = list(reversed(list(zip(middles, plot.shares, strict=True))))
    top, foot = scale.end - 1, room.beside - APART / 2
    moved = spread([middle for middle, _ in order], APART, top, foot)
    places = places_for(whole_mg(plot))
    for (middle, share), level in zip(order, moved, strict=True):
        start, end = room.right + 0.8, room.words - 0.8
        line(figure, [(start, middle), (end - 1.2, level), (end, level)], 0.5)
        told, at = kilograms(share.mass_mg, places=places), (room.end, level + 1.0)
        number = say(figure, at, told, NUMBER, align="right", within=KILOGRAMS)
        style = NAME if share.kind == "instrument" else PLAIN
        within = number.left - room.words - 2
        say(figure, (room.words, level + 1.0), share.name, style, within=within)


def _told(plot: PermitStack, within: float, most: int) -> tuple[str, ...]:
    """Break the sentences beside what is left; what has no room is cut off."""
    lines = wrap(plot.said, TOLD, within) if plot.said else []
    if len(lines) > most:
        lines = [*lines[: most - 1], " ".join(lines[most - 1 :])] if most else []
    return tuple(lines)


def _say_left(figure: Figure, room: _Room, plot: PermitStack) -> None:
    wide, y = room.end - room.words, room.beside
    left = kilograms(sum(plot.left_mg), places=places_for(whole_mg(plot)))
    say(figure, (room.words, y + 5.4), f"{left} left", LEFT, within=wide)
    level = y + 10.6
    if plot.species:
        say(figure, (room.words, level), plot.species, SPECIES, within=wide)
        level += LEADING
    for words in room.told:
        say(figure, (room.words, level), words, TOLD, within=wide)
        level += LEADING


def _foot(figure: Figure, room: _Room, plot: PermitStack, together: int) -> None:
    """Say under the stack how many boards it is of, and what nobody weighed."""
    said = f"{counted(len(plot.left_mg), 'board')} left"
    if together > 1:
        said += f", {together} in a slab"
    if plot.note:
        said += f"; {plot.note}"
    x, wide = figure.box[0], figure.box[2]
    say(figure, (x, room.foot), said, NOTE, within=wide)


def _require_masses(plot: PermitStack) -> None:
    """Refuse what weighs less than nothing."""
    for share in plot.shares:
        if share.mass_mg < 0:
            raise RefusedError(
                f"{share.name} would be {kilograms(share.mass_mg)} of the stack: see "
                f"which of its weighings is right"
            )


def _lay_out(room: Box, scale: Scale, plot: PermitStack) -> _Room:
    """Find room for the words beside the stack: the shares, then what is left."""
    x, y, w, h = room
    right = x + w * STACK[1]
    words = right + LEADER + 2
    end = min(x + w, words + COLUMN)
    high = scale.start - scale.end
    most = int((high * TOLD_SHARE - LEFT_HIGH - LEADING) / LEADING)
    told = _told(plot, end - words, min(max(most, 0), TOLD_LINES))
    beside = max(
        plot_axes.place(scale, sum(plot.left_mg)),
        scale.end - 1 + APART * len(plot.shares),
    )
    return _Room(
        left=x + w * STACK[0],
        right=right,
        words=words,
        end=end,
        beside=min(beside, scale.start - LEFT_HIGH - LEADING * (len(told) + 1)),
        foot=y + h - 0.8,
        told=told,
    )


def draw(
    page: Page, box: Box, plot: PermitStack, *, one_colour: bool = False
) -> tuple[Label, ...]:
    """Draw the stack under a permit or a lot, and return the words that were set."""
    figure = begin(page, box, one_colour=one_colour)
    room = head(figure, plot.heading)
    _require_masses(plot)
    if not whole_mg(plot) and not plot.issued_mg:
        say_nothing(figure, room, "Nobody has weighed any wood of it yet.")
        return tuple(figure.labels)
    scale = _scale(room, plot)
    place = _lay_out(room, scale, plot)
    most = max(int((place.beside - scale.end + 1) / APART), 1)
    thin = LEAST_SHARE * scale.axis.high / (scale.start - scale.end)
    shown = replace(plot, shares=folded(plot.shares, most, thin))
    say(figure, (room[0], room[1] + 0.6), plot.what, AXIS_NAME, within=room[2] * 0.6)
    plot_axes.upright(figure, scale, place.left - 5)
    together = _left(figure, scale, place, plot)
    _shares(figure, scale, place, shown)
    _name_shares(figure, scale, place, shown)
    level = plot_axes.place(scale, sum(plot.left_mg))
    line(figure, [(place.left - 3, level), (place.right + 2, level)], 1.3)
    _issued(figure, scale, place, plot)
    _say_left(figure, place, plot)
    _foot(figure, place, plot, together)
    return tuple(figure.labels)
