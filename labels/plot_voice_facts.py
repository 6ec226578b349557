"""What a voice ladder shows, in plain values, and how it is laid out on a width."""

from dataclasses import dataclass, replace

from labels.page import least
from labels.plot_figure import NOTE, Heading
from labels.tongue import Tongue

NUMBERED = 14.1  # from an outer rail to the end of a frequency and a gap [mm]
LITTLE = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """How a ladder is laid out on its width [mm].

    `first` and `last` lie between the edges and the outer rails, `octaves` is kept free
    for the numbers of the octaves, a gap with a closing is `closing` times as wide as
    one without. With `is_narrow` the rungs are short, what is named on the outer rails
    is not named again, and octaves are numbered where that leaves room.
    """

    first: float = 34.0
    last: float = 25.0
    octaves: float = 11.0
    closing: float = 1.6
    least_gap: float = 20.0
    rung: float = 5.2
    near: float = 1.0  # from a rung to its words
    off: float = 3.2  # from a rung to words that had to give way
    apart: float = 3.7  # the words of two rungs
    between: float = 2.0  # the words under two rails
    stage_size: float = 9.6  # of the names under the rails [pt]
    is_narrow: bool = False


WIDE = Room()
NARROW = Room(
    first=20.6,
    last=18.5,
    octaves=0.0,
    closing=2.65,
    least_gap=5.0,
    rung=3.6,
    near=0.7,
    off=1.5,
    apart=3.1,
    between=0.8,
    stage_size=8.4,
    is_narrow=True,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One mode at one stage."""

    mode: str
    frequency_millihertz: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """One stage of the work: what was tapped, its mass, whether the body is closed."""

    stage: str
    closed: bool
    rungs: tuple[Rung, ...]
    mass_mg: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Voice:
    """What a voice ladder shows, its stages in order."""

    heading: Heading
    rails: tuple[Rail, ...]


def with_room(layout: Room, plot: Voice, words: Tongue) -> Room:
    """Return a narrow layout, a little wider at an end whose modes have longer names.

    Where a little does not do, the layout stays as it is and names are shortened.
    """
    if not layout.is_narrow or len(plot.rails) < 2:
        return layout
    first, last = (
        max((least(words(rung.mode), NOTE) for rung in rail.rungs), default=0.0)
        for rail in (plot.rails[0], plot.rails[-1])
    )
    return replace(
        layout, first=_end(layout.first, first), last=_end(layout.last, last)
    )


def _end(layout: float, name: float) -> float:
    wanted = name + NUMBERED
    return wanted if layout < wanted <= layout + LITTLE else layout
