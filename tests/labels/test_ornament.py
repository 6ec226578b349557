"""Ornaments of a hash are the same on every machine, and as the manual says."""

from collections.abc import Iterator
from decimal import Decimal, getcontext
from fractions import Fraction
from hashlib import sha256
from math import pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.ornament import Point, Stroke, board, core, end_grain, wave
from labels.page import MM

HASHES = st.binary(min_size=32, max_size=32)
# SHA-256 of nothing, of "abc" (FIPS 180-4, example), and the two ends.
NOTHING = sha256(b"").digest()
ABC = bytes.fromhex("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")
ENDS = (bytes(32), b"\xff" * 32)


def exact_wave(turn: Fraction) -> Fraction:
    """Return the wave of a turn without rounding, as it is written down."""
    rest = turn - turn.__floor__()
    x = 2 * rest if rest < Fraction(1, 2) else 2 * rest - 1
    height = 16 * x * (1 - x) / (5 - 4 * x * (1 - x))
    return height if rest < Fraction(1, 2) else -height


def root(number: int) -> Fraction:
    """Return a square root to thirty places."""
    getcontext().prec = 40
    return Fraction(Decimal(number).sqrt())


def bytes_of(label: bytes, digest: bytes) -> bytes:
    """Return the bytes of a label, worked out once more."""
    start = b"flitchbook ornament/1" + b"\x00" + label
    return b"".join(sha256(start + bytes([i]) + digest).digest() for i in (0, 1))


def exact_spot(digest: bytes, ring: int, turn: Fraction) -> tuple[Fraction, Fraction]:
    """Return where a ring of radius 20 is, in fractions, term by term as written."""
    e = [Fraction(byte, 255) for byte in bytes_of(b"end-grain", digest)]
    raw = bytes_of(b"end-grain", digest)
    w = [Fraction(35, 100) + Fraction(byte, 255) for byte in digest]
    u, radius = sum(w[: ring + 1], Fraction()) / sum(w, Fraction()), 20
    swell = sum(
        Fraction(55, 1000) * e[j] / root(j) * exact_wave(j * turn + e[8 + j])
        for j in range(2, 8)
    )
    reach = Fraction(97, 100) * radius * u * (1 + u * swell)
    for i in range(1 + raw[22] % 3):
        at, depth = e[24 + 3 * i], Fraction(45, 100) + Fraction(4, 10) * e[25 + 3 * i]
        wide = Fraction(35, 1000) + Fraction(2, 100) * e[26 + 3 * i]
        aside = min((turn - at + k for k in (-2, -1, 0, 1, 2)), key=abs)
        q = 1 / (1 + (aside / wide) ** 2)
        grown = max(Fraction(0), 1 - abs(u - depth) / Fraction(42, 100))
        side = 1 if u > Fraction(55, 100) * depth else Fraction(3, 10)
        reach += Fraction(75, 1000) * radius * q**2 * grown * side
    off = (Fraction(8, 100) + Fraction(24, 100) * e[21]) * radius * (1 - u)
    quarter = Fraction(1, 4)
    return (
        off * exact_wave(e[20] + quarter) + reach * exact_wave(turn + quarter),
        off * exact_wave(e[20]) + reach * exact_wave(turn),
    )


def exact_across(digest: bytes, line: int, along: Fraction) -> Fraction:
    """Return how far across a line of stile 1 is, 281 mm long and 6.2 wide."""
    raw = bytes_of(b"stile 1", digest)
    e = [Fraction(byte, 255) for byte in raw]
    w = [Fraction(30, 100) + Fraction(byte, 255) for byte in digest]
    length, breadth = Fraction(281), Fraction(62, 10)
    o = breadth * sum(w[:line], Fraction()) / sum(w, Fraction())
    u, near = o / breadth, min(along - o, length - o - along, Fraction(16)) / 16
    sway = sum(
        (Fraction(55, 100) + Fraction(5, 10) * e[3 * j])
        * exact_wave(along * (j + 1) / (34 + 52 * e[3 * j + 1]) + e[3 * j + 2])
        for j in range(3)
    )
    shift = Fraction(5, 100) * breadth * 4 * u * (1 - u) * sway
    many = raw[12] % 2 + 1
    for i in range(many):
        place = i + Fraction(15, 100) + Fraction(7, 10) * e[14 + 4 * i]
        knot = 35 + (length - 70) * place / many
        depth = Fraction(34, 100) + Fraction(32, 100) * e[15 + 4 * i]
        half, lift = 5 + 4 * e[16 + 4 * i], Fraction(75, 1000) + e[17 + 4 * i] / 20
        q = 1 / (1 + ((along - knot) / half) ** 2)
        edge = min(Fraction(1), u / Fraction(3, 10), (1 - u) / Fraction(3, 10))
        bent = Fraction(125, 100) * lift * breadth * q**2 * edge
        bent /= 1 + ((u - depth) / Fraction(3, 10)) ** 2
        shift += bent if u >= depth else -bent
    return o + near**2 * (3 - 2 * near) * shift


def points(strokes: tuple[Stroke, ...]) -> Iterator[Point]:
    """Yield every point of some strokes."""
    for each in strokes:
        yield from each.points


def pinned(strokes: tuple[Stroke, ...]) -> str:
    """Return the first digits of the digest of strokes, to a hundredth of a point."""
    said = ";".join(f"{x * MM:.2f},{y * MM:.2f}" for x, y in points(strokes))
    return sha256(said.encode()).hexdigest()[:16]


def test_the_wave_is_a_sine_to_a_six_hundredth() -> None:
    """Source: Bhaskara I; its greatest error is 0.00163, as is found by looking."""
    worst = max(abs(wave(n / 9_999) - sin(2 * pi * n / 9_999)) for n in range(9_999))
    assert 0.0016 < worst < 0.0017
    assert [wave(n / 4) for n in range(-4, 5)] == [0, 1, 0, -1, 0, 1, 0, -1, 0]


def test_a_ring_of_a_core_is_one_hex_digit_wide() -> None:
    """From 0.375 mm for 0 to 2.25 mm for f, and 64 of them in two rows."""
    first, second = core(ABC)
    widths = [
        round(b - a, 9)
        for row in (first, second)
        for a, b in zip((0.0, *row), row, strict=False)
    ]
    assert widths == [0.375 + 0.125 * int(digit, 16) for digit in ABC.hex()]
    assert [row[-1] for row in core(ENDS[0])] == [12.0, 12.0]
    assert [row[-1] for row in core(ENDS[1])] == [72.0, 72.0]


@given(HASHES)
def test_two_cores_are_alike_only_where_the_hashes_are(digest: bytes) -> None:
    """The hash can be read off again."""
    rows = core(digest)
    widths = [b - a for row in rows for a, b in zip((0.0, *row), row, strict=False)]
    digits = "".join(f"{round((width - 0.375) / 0.125):x}" for width in widths)
    assert bytes.fromhex(digits) == digest


@pytest.mark.parametrize("digest", [NOTHING, ABC, *ENDS])
def test_end_grain_is_what_is_written_down(digest: bytes) -> None:
    """Worked out once more in fractions, every ring at some turns."""
    found = end_grain(digest, 20)
    for ring in range(0, 32, 5):
        for step in range(0, 240, 37):
            exact = exact_spot(digest, ring, Fraction(step, 240))
            drawn = found.rings[ring].points[step]
            assert drawn == pytest.approx([float(n) for n in exact], abs=1e-9)


@given(HASHES, st.floats(9, 21))
def test_end_grain_stays_about_its_radius(digest: bytes, radius: float) -> None:
    """32 rings, the bark the heaviest, and a check that begins on the bark."""
    found = end_grain(digest, radius)
    reach = max(x * x + y * y for x, y in points(found.rings))
    assert len(found.rings) == 32 and reach < (1.4 * radius) ** 2
    assert [ring.weight for ring in found.rings][-1] == 2.6
    assert all(0.75 <= ring.weight <= 1.65 for ring in found.rings[:-1])


@given(HASHES, st.integers(0, 3), st.floats(80, 290))
def test_lines_of_a_board_meet_at_the_mitre(
    digest: bytes, place: int, length: float
) -> None:
    """33 of them; each begins and ends on the mitre, at its own offset."""
    made = board(digest, place, length=length, breadth=6.2)
    assert len(made.lines) == 33
    for line in made.lines:
        (first_x, first_y), (last_x, last_y) = line.points[0], line.points[-1]
        assert first_x == first_y
        assert last_x == pytest.approx(length - last_y, abs=1e-9)
    assert len(made.eyes) <= 2
    assert all(35 <= eye.middle[0] <= length - 35 for eye in made.eyes)


@pytest.mark.parametrize("digest", [NOTHING, ABC, *ENDS])
def test_a_board_is_what_is_written_down(digest: bytes) -> None:
    """Worked out once more in fractions, some lines at some places."""
    made = board(digest, 1, length=281, breadth=6.2)
    for line in range(0, 33, 4):
        drawn = made.lines[line].points
        for x, y in drawn[:-1:29]:
            exact = exact_across(digest, line, Fraction(x))
            assert y == pytest.approx(float(exact), abs=1e-9)


@given(HASHES)
def test_the_edges_of_a_board_are_straight(digest: bytes) -> None:
    """Waves and knots die away towards both of them."""
    made = board(digest, 3, length=281, breadth=6.2, mitred=False)
    assert {y for _, y in made.lines[0].points} == {0.0}
    assert all(abs(y - 6.2) < 1e-9 for _, y in made.lines[-1].points)
    assert made.lines[0].points[-1][0] == 281


@pytest.mark.parametrize(
    ("digest", "grain", "stile", "spine"),
    [
        (NOTHING, "edd22203eec40b66", "94dd297d9136e2f2", "fb38de25c739b068"),
        (ABC, "f13f679764132715", "e969658bbdbb706c", "06f0c4eef2e43ef5"),
        (ENDS[0], "d687aaf0f94a5358", "8010a35e61ebd0ef", "390347f8fd8640ab"),
        (ENDS[1], "102d961b918c633f", "8841d441f51b5f62", "d37f98c12d0e73cd"),
    ],
)
def test_every_machine_draws_the_same(
    digest: bytes, grain: str, stile: str, spine: str
) -> None:
    """These are published: what differs was not drawn by the manual."""
    frame = board(digest, 1, length=281, breadth=6.2).lines
    lone = board(digest, 3, length=281, breadth=6.2, mitred=False).lines
    drawn = [pinned(each) for each in (end_grain(digest, 9.2).rings, frame, lone)]
    assert drawn == [grain, stile, spine]


@pytest.mark.parametrize("size", [0, 31, 33])
def test_what_is_no_hash_has_no_picture(size: int) -> None:
    """A hash has 32 bytes."""
    for draw in (
        core,
        lambda h: end_grain(h, 9),
        lambda h: board(h, 0, length=9, breadth=1),
    ):
        with pytest.raises(ValueError, match="a hash has 32 bytes"):
            draw(bytes(size))
