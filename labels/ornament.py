"""The picture of a hash: an increment core, end grain, and the boards of a frame.

Only + - × ÷ √ and comparison are used, which IEEE 754 rounds exactly, and sums are
taken term by term, so that every machine draws the same. Lengths are millimetres, y
downwards; weights are factors of the weight that an ornament is drawn with.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from itertools import accumulate
from math import floor, sqrt
from typing import NamedTuple

Point = tuple[float, float]

DOMAIN = b"flitchbook ornament/1\x00"
HASH_SIZE = 32
TURN = 240  # points of a ring
SMOOTHED = 16.0  # from each mitre a board's figure grows to its full height [mm]
LEAST_RING, RING_STEP = 0.375, 0.125  # of a core [mm]
LONG_BOARD = 220.0  # has one knot more [mm]


class Stroke(NamedTuple):
    """A line through points, and how heavy it is beside the others."""

    points: tuple[Point, ...]
    weight: float


class Eye(NamedTuple):
    """A knot in a board: its middle, and its half-axes along and across [mm]."""

    middle: Point
    along: float
    across: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EndGrain:
    """A tree seen from its end: rings outwards, the pith, and one drying check.

    Its middle is the origin; rings are closed, and the last one is the bark.
    """

    rings: tuple[Stroke, ...]
    pith: Point
    check: tuple[Point, Point, Point]


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A board seen from its side: lines of grain along it, and its knots.

    x runs along it from one end of its outer edge, y across it.
    """

    lines: tuple[Stroke, ...]
    eyes: tuple[Eye, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Knot:
    """A knot: its place along, its depth, how long it bends the grain, and how far."""

    at: float
    depth: float
    half: float
    lift: float


def wave(turn: float) -> float:
    """Return the sine of a whole turn's fraction, to within 0.0017.

    Source: Bhaskara I, Mahabhaskariya (7th century), the rational approximation.
    """
    rest = turn - floor(turn)
    half = 2 * rest if rest < 0.5 else 2 * rest - 1
    bow = half * (1 - half)
    value = 16 * bow / (5 - 4 * bow)
    return value if rest < 0.5 else -value


def core(digest: bytes) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the outer sides of the rings in both rows of a core [mm].

    A hash of 32 bytes makes 64 rings, one a hex digit; a digit is never drawn to
    another scale.
    """
    _require_hash(digest)
    digits = [int(digit, 16) for digit in digest.hex()]
    widths = [LEAST_RING + RING_STEP * digit for digit in digits]
    first, second = widths[:HASH_SIZE], widths[HASH_SIZE:]
    return tuple(accumulate(first)), tuple(accumulate(second))


# One certificate, its foot and its card show the same wood, and are drawn again.
@lru_cache(maxsize=8)
def end_grain(digest: bytes, radius: float) -> EndGrain:
    """Return the end grain of a hash; a ring may swell a bit over the radius [mm]."""
    _require_hash(digest)
    tree = _Tree(digest, radius)
    rings = [
        Stroke(
            tuple(tree.spot(depth, step / TURN) for step in range(TURN)),
            2.6 if place == HASH_SIZE - 1 else 0.75 + 0.3 * (byte >> 6),
        )
        for place, (depth, byte) in enumerate(
            zip(_shares([0.35 + part(byte) for byte in digest]), digest, strict=True)
        )
    ]
    split, deep = part(tree.bytes[40]), 0.35 + 0.3 * part(tree.bytes[41])
    check = (
        tree.spot(1.0, split - 0.008),
        tree.spot(1 - deep, split),
        tree.spot(1.0, split + 0.008),
    )
    return EndGrain(rings=tuple(rings), pith=tree.pith, check=check)


@lru_cache(maxsize=16)
def board(
    digest: bytes, place: int, *, length: float, breadth: float, mitred: bool = True
) -> Board:
    """Return a board of a frame, or a spine, which is not mitred [mm].

    place  which board it is: 0 top, 1 right, 2 bottom, 3 left or a lone spine
    """
    _require_hash(digest)
    stile = _Stile(digest, place, length, breadth, mitred)
    offsets = [0.0, *_shares([0.30 + part(byte) for byte in digest])]
    lines = [
        Stroke(tuple(stile.line(breadth * share)), _of_line(digest, number))
        for number, share in enumerate(offsets)
    ]
    eyes = [
        Eye(stile.middle(knot), 0.62 * knot.half, 1.15 * knot.lift * breadth)
        for knot in stile.knots
    ]
    return Board(lines=tuple(lines), eyes=tuple(eyes))


def part(byte: int) -> float:
    """Return a byte as a part of one, from 0 to 1."""
    return byte / 255


class _Tree:
    """The rings of a hash: a curve for each depth, 0 at the pith and 1 at the bark."""

    def __init__(self, digest: bytes, radius: float) -> None:
        self.radius = radius
        self.bytes = said = _stream(digest, b"end-grain", 64)
        off, turn = (0.08 + 0.24 * part(said[21])) * radius, part(said[20])
        self.pith = (off * wave(turn + 0.25), off * wave(turn))
        self.swells = [
            (j, 0.055 * part(said[j]) / sqrt(j), part(said[8 + j])) for j in range(2, 8)
        ]
        self.knots = [
            (
                part(said[24 + 3 * i]),
                0.45 + 0.4 * part(said[25 + 3 * i]),
                0.035 + 0.02 * part(said[26 + 3 * i]),
            )
            for i in range(1 + said[22] % 3)
        ]

    def spot(self, depth: float, turn: float) -> Point:
        """Return where the ring of a depth is at a part of a turn."""
        swell = 0.0
        for j, height, phase in self.swells:
            swell += height * wave(j * turn + phase)
        reach = 0.97 * self.radius * depth * (1 + depth * swell)
        for at, deep, wide in self.knots:
            aside = turn - at - floor(turn - at + 0.5)
            q = 1 / (1 + aside / wide * (aside / wide))
            gone = depth - deep if depth > deep else deep - depth
            grown = 1 - gone / 0.42 if gone < 0.42 else 0.0
            side = 1.0 if depth > 0.55 * deep else 0.3
            reach += 0.075 * self.radius * q * q * grown * side
        x, y = (at * (1 - depth) for at in self.pith)
        return x + reach * wave(turn + 0.25), y + reach * wave(turn)


class _Stile:
    """The grain of one board: waves along it, and knots that part the lines."""

    def __init__(
        self, digest: bytes, place: int, length: float, breadth: float, mitred: bool
    ) -> None:
        said = _stream(digest, b"stile %d" % place, 32)
        self.length, self.breadth, self.mitred = length, breadth, mitred
        self.waves = [
            (
                0.55 + 0.5 * part(said[3 * j]),
                (34 + 52 * part(said[3 * j + 1])) / (j + 1),
                part(said[3 * j + 2]),
            )
            for j in range(3)
        ]
        many = said[12] % 2 + (1 if length > LONG_BOARD else 0)
        self.knots = [
            _Knot(
                at=35
                + (length - 70) * (i + 0.15 + 0.7 * part(said[14 + 4 * i])) / many,
                depth=0.34 + 0.32 * part(said[15 + 4 * i]),
                half=5 + 4 * part(said[16 + 4 * i]),
                lift=0.075 + 0.05 * part(said[17 + 4 * i]),
            )
            for i in range(many)
        ]

    def line(self, offset: float) -> Iterator[Point]:
        """Yield the points of the line that begins so far across, 1 mm apart."""
        first, last = self._ends(offset)
        whole = floor(last - first)
        for step in range(whole + 1):
            yield self._spot(first + step, offset)
        if first + whole < last:
            yield self._spot(last, offset)

    def middle(self, knot: _Knot) -> Point:
        """Return the middle of a knot's eye."""
        offset = knot.depth * self.breadth
        return knot.at, offset + self._grown(knot.at, offset) * self._sway(
            knot.at, knot.depth
        )

    def _ends(self, offset: float) -> Point:
        return (offset, self.length - offset) if self.mitred else (0.0, self.length)

    def _spot(self, along: float, offset: float) -> Point:
        share = offset / self.breadth
        shift = self._sway(along, share)
        for knot in self.knots:
            shift += self._parting(knot, along, share)
        return along, offset + self._grown(along, offset) * shift

    def _grown(self, along: float, offset: float) -> float:
        """Return how much of its figure a line shows there: none at a mitre."""
        if not self.mitred:
            return 1.0
        first, last = self._ends(offset)
        near = min(along - first, last - along, SMOOTHED) / SMOOTHED
        return near * near * (3 - 2 * near)

    def _sway(self, along: float, share: float) -> float:
        sway = 0.0
        for height, length, phase in self.waves:
            sway += height * wave(along / length + phase)
        return 0.05 * self.breadth * 4 * share * (1 - share) * sway

    def _parting(self, knot: _Knot, along: float, share: float) -> float:
        aside, below = (along - knot.at) / knot.half, (share - knot.depth) / 0.3
        q = 1 / (1 + aside * aside)
        edge = min(1.0, share / 0.3, (1 - share) / 0.3)
        lift = 1.25 * knot.lift * self.breadth * q * q * edge / (1 + below * below)
        return lift if share >= knot.depth else -lift


def _shares(widths: Sequence[float]) -> list[float]:
    """Return where each of some widths ends, as a part of them all."""
    ends = list(accumulate(widths))
    return [end / ends[-1] for end in ends]


def _of_line(digest: bytes, number: int) -> float:
    if number in (0, HASH_SIZE):
        return 1.9
    return 0.8 + 0.35 * (digest[number] >> 6)


def _stream(digest: bytes, label: bytes, size: int) -> bytes:
    """Return the first bytes of all that a label makes of a hash."""
    blocks = (
        sha256(DOMAIN + label + bytes([number]) + digest).digest()
        for number in range(-(-size // HASH_SIZE))
    )
    return b"".join(blocks)[:size]


def _require_hash(digest: bytes) -> None:
    if len(digest) != HASH_SIZE:
        raise ValueError(f"a hash has {HASH_SIZE} bytes, and this has {len(digest)}")
