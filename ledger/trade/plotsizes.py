"""How large plots are, how far they reach, and what of it can hardly be right.

    plot 2 (9812400 ha) is larger than 10000 ha, and a lot hardly grew on so much land

Size and distance alone are judged: there is no table of borders or coasts here, and in
which country a plot lies is for whoever looks at a map.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from ledger.scales import MOST_NAMED, in_a_row, some_of
from ledger.trade.plots import Plot, Plots, whole_spots
from ledger.trade.rings import HECTARE, Apart, widest

# A year's felling of a whole concession is rarely larger: common practice, no source.
# Regulation (EU) 2023/1115, article 2(27), sets no limit: a plot is land of one
# property, so alike throughout that one judgement of its risk will do.
LARGEST_HECTARES = 10_000.0
# A strip along a valley is long; yet a wrong digit before the point makes a spike of
# 50 km or more, up to 63 degrees of latitude. Common practice, no source.
WIDEST_KM = 50.0
# The ground under the crown of one grown tree, some 11 m across, and about as little as
# a receiver finds the outline of under trees: common practice, no source.
SMALLEST_HECTARES = 0.01
# A lot is of one species, from one sawyer, on one paper: common practice, no source.
FARTHEST_KM = 1_000.0
# Below so many hectares a size is told in m², and above so many in whole hectares.
MANY_METRES = 0.1
FEW_DECIMALS = 1_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """What is unlikely about plots, and what to do about it."""

    said: str
    remedy: str


class _Sized(NamedTuple):
    """A plot, what to call it, and its size [ha]; a point has none."""

    name: str
    plot: Plot
    hectares: float | None

    @property
    def words(self) -> str:
        return f"{self.name} ({size_words(self.hectares)})"


def doubts(read: Plots) -> tuple[Doubt, ...]:
    """Return all that is unlikely about the plots of one lot.

    Source: the limits of this module, each with its reason.
    """
    sized = [
        _Sized(name, plot, plot.hectares)
        for name, plot in zip(read.names, read.plots, strict=True)
    ]
    return tuple(doubt for judge in _JUDGES for doubt in judge(sized))


def size_words(hectares: float | None) -> str:
    """Say how large a plot is: a point, 850 m², 18.00 ha, 12500 ha.

    Source: common practice, no source; the law counts in hectares.
    """
    if hectares is None:
        return "a point"
    if hectares < MANY_METRES:
        return f"{hectares * HECTARE:.3g} m²"
    return f"{hectares:.2f} ha" if hectares < FEW_DECIMALS else f"{hectares:.0f} ha"


def reach(plot: Plot) -> float:
    """Return how far the two corners of a plot that are farthest apart are [km].

    Source: RFC 7946 section 4: positions are longitude and latitude.
    """
    return widest(whole_spots(plot.rings[0])).kilometres


def span(plots: Sequence[Plot]) -> Apart:
    """Return which two plots lie farthest apart, each taken where its outline begins.

    Source: RFC 7946 section 4: positions are longitude and latitude.
    """
    return widest(whole_spots([plot.rings[0][0] for plot in plots]))


def _at_nought(sized: Sequence[_Sized]) -> Iterator[Doubt]:
    """Doubt a position at 0, 0, which is in the sea: a field that was left empty."""
    named = [
        each.name
        for each in sized
        if not all(any(spot) for ring in each.plot.rings for spot in ring)
    ]
    if named:
        has = "has" if len(named) == 1 else "have"
        yield Doubt(
            said=f"{_row(named)} {has} a position at 0, 0, which is in the Atlantic, "
            f"and what a program writes for none",
            remedy="fill in where it is",
        )


def _too_large(sized: Sequence[_Sized]) -> Iterator[Doubt]:
    named = [each.words for each in sized if _is_large(each)]
    if named:
        yield Doubt(
            said=f"{_are(named)} larger than {LARGEST_HECTARES:.0f} ha, and a lot "
            f"hardly grew on so much land",
            remedy="draw what was felled, and not the forest around it",
        )


def _too_wide(sized: Sequence[_Sized]) -> Iterator[Doubt]:
    """Doubt what reaches far and is not large: a corner lies far from the others."""
    named = [
        f"{each.name} ({far:.1f} km)"
        for each in sized
        if not _is_large(each) and (far := reach(each.plot)) > WIDEST_KM
    ]
    if named:
        yield Doubt(
            said=f"{_are(named)} wider than {WIDEST_KM:.0f} km, and a plot hardly "
            f"reaches so far",
            remedy="look for a corner with a wrong digit",
        )


def _too_small(sized: Sequence[_Sized]) -> Iterator[Doubt]:
    named = [
        each.words
        for each in sized
        if each.hectares is not None and each.hectares < SMALLEST_HECTARES
    ]
    if named:
        yield Doubt(
            said=f"{_are(named)} smaller than {SMALLEST_HECTARES * HECTARE:.0f} m², "
            f"and a grown tree hardly has so little ground",
            remedy="draw it again, or give a point where it was a single tree",
        )


def _too_far_apart(sized: Sequence[_Sized]) -> Iterator[Doubt]:
    found = span([each.plot for each in sized])
    if found.kilometres > FARTHEST_KM:
        one, other = sized[found.one].name, sized[found.other].name
        yield Doubt(
            said=f"{one} and {other} lie {found.kilometres:.0f} km apart, and plots of "
            f"one lot hardly lie more than {FARTHEST_KM:.0f} km apart",
            remedy="see that both are of this lot, and that no digit is wrong",
        )


# All that is looked at, in the order in which it is told.
_JUDGES: tuple[Callable[[Sequence[_Sized]], Iterator[Doubt]], ...] = (
    _at_nought,
    _too_large,
    _too_wide,
    _too_small,
    _too_far_apart,
)


def _is_large(each: _Sized) -> bool:
    return each.hectares is not None and each.hectares > LARGEST_HECTARES


def _are(named: Sequence[str]) -> str:
    return f"{_row(named)} {'is' if len(named) == 1 else 'are'}"


def _row(named: Sequence[str]) -> str:
    """Return names in a row: all of few, and of many the first."""
    return in_a_row(named) if len(named) <= MOST_NAMED else some_of(named)
