"""Rings counted over a span: how wide they are, how even, and which way they widen."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from ledger.errors import RefusedError
from ledger.scales import half_up

MOST_RINGS = 10_000
LONGEST_SPAN_UM = 2_000_000
# On one board nobody looks at more places.
MOST_PLACES = 24
# Beyond these somebody miscounted: common practice, no source.
WIDEST_RING_UM = 25_000
NARROWEST_RING_UM = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class RingCount:
    """So many rings were counted over a span across the grain, at one place."""

    rings: int
    span_um: int

    def __post_init__(self) -> None:
        if not 1 <= self.rings <= MOST_RINGS:
            raise RefusedError(
                f"{self.rings} rings cannot be counted on a board: count from 1 to "
                f"{MOST_RINGS}"
            )
        if not 1 <= self.span_um <= LONGEST_SPAN_UM:
            raise RefusedError(
                f"a span of {self.span_um} µm is no span on a board: give 1 to "
                f"{LONGEST_SPAN_UM} µm"
            )
        if not NARROWEST_RING_UM <= self.width <= WIDEST_RING_UM:
            raise RefusedError(
                f"{self.rings} rings over {self.span_um} µm are "
                f"{half_up(self.width)} µm each, outside {NARROWEST_RING_UM} to "
                f"{WIDEST_RING_UM} µm: count and measure again"
            )

    @property
    def width(self) -> Fraction:
        """The mean width of a ring here [µm], exactly."""
        return Fraction(self.span_um, self.rings)


def mean_ring_width_um(counts: Sequence[RingCount]) -> int | None:
    """Return the mean width of a ring over all spans together, or None without any.

    Source: the definition: the spans added, over the rings added.
    """
    if not counts:
        return None
    return half_up(
        Fraction(sum(c.span_um for c in counts), sum(c.rings for c in counts))
    )


def ring_spread_ppm(counts: Sequence[RingCount]) -> int | None:
    """Return by how much the widest place exceeds the narrowest [ppm of the mean].

    It takes two places; of one, nobody knows how even it is. Rounded up, so that what
    lies above a limit is never printed as lying on it.

    Source: the house's measure of evenness; common practice, no source.
    """
    if len(counts) < 2:
        return None
    widths = [count.width for count in counts]
    mean = sum(widths, start=Fraction(0)) / len(widths)
    return -int((min(widths) - max(widths)) * 1_000_000 // mean)


def surest_ring_spread_ppm(counts: Sequence[RingCount]) -> int | None:
    """Return a spread [ppm] below which no further place can bring that of these.

    Places as wide as the widest raise the mean towards it and leave the difference:
    so it is the difference over the widest. Rounded as the spread is.

    Source: follows from the definition of `ring_spread_ppm`.
    """
    if len(counts) < 2:
        return None
    widths = [count.width for count in counts]
    return -int((min(widths) - max(widths)) * 1_000_000 // max(widths))
