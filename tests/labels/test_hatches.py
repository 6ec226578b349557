"""Tests of the lines that stand for a wood."""

from collections.abc import Iterable
from hashlib import sha256
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.anatomy import GENERA, OWN
from labels.hatches import Hatch, cut, hatches_for, strokes
from labels.marks import Box, Point
from labels.ornament import Stroke
from labels.page import MM

SPECIES = [
    *OWN,
    "Quercus robur (bog oak)",
    *(f"{genus} {epithet}" for genus in GENERA for epithet in ("alba", "nigra")),
]
SWATCH = (12.0, 30.0, 7.0, 5.35)
PLATE = (20.0, 40.0, 30.0, 40.0)
LENGTHS = st.floats(0.1, 60, allow_nan=False)
PLACES = st.floats(-50, 250, allow_nan=False)
BOXES = st.tuples(PLACES, PLACES, LENGTHS, LENGTHS)
NAMES = st.lists(st.sampled_from(SPECIES), max_size=14, unique=True)


def of(species: str) -> Hatch:
    """Return the hatch of a wood that is alone on its paper."""
    return hatches_for([species])[species]


def key(hatch: Hatch) -> tuple[object, ...]:
    """Return what tells two patterns apart."""
    return hatch.anatomy.pattern, hatch.way, hatch.spread


def rounded(lines: Iterable[Stroke]) -> set[tuple[Point, ...]]:
    """Return lines to a tenth of a thousandth of a millimetre, from their upper end."""
    found = set()
    for line in lines:
        points = tuple((round(x, 4) + 0.0, round(y, 4) + 0.0) for x, y in line.points)
        found.add(min(points, points[::-1]))
    return found


@given(NAMES, BOXES)
def test_every_stroke_is_inside_its_box(names: list[str], box: Box) -> None:
    """Of any wood, turned and widened in any way, in a box of any size."""
    x, y, w, h = box
    for hatch in hatches_for(names).values():
        for stroke in strokes(hatch, box):
            assert len(stroke.points) >= 2
            for across, down in stroke.points:
                assert x - 1e-9 <= across <= x + w + 1e-9
                assert y - 1e-9 <= down <= y + h + 1e-9


@given(NAMES)
def test_no_two_woods_of_a_paper_share_a_pattern(names: list[str]) -> None:
    """However many of one anatomy there are."""
    found = hatches_for(names)

    assert set(found) == set(names)
    assert len({key(hatch) for hatch in found.values()}) == len(names)


@given(NAMES, st.integers(0, 14))
def test_the_order_of_the_names_changes_nothing(names: list[str], turn: int) -> None:
    """A figure and its swatches come to the same."""
    turned = [*names[turn:], *names[:turn]]

    assert hatches_for(turned) == hatches_for(names)
    assert hatches_for(reversed(names)) == hatches_for(names)


def test_a_wood_of_the_style_sheet_keeps_its_plain_pattern() -> None:
    """Another spruce gives way to Picea abies, though its name comes first."""
    found = hatches_for(["Picea abies", "Abies alba", "Acer rubrum"])

    assert not found["Picea abies"].is_turned
    assert found["Abies alba"].is_turned
    assert not found["Acer rubrum"].is_turned


def test_woods_that_nobody_knows_look_alike() -> None:
    """There is nothing to tell them apart by, and nothing is drawn."""
    found = hatches_for(["unknown", "", "Picea abies"])

    assert key(found["unknown"]) == key(found[""])
    assert strokes(found["unknown"], PLATE) == ()


@pytest.mark.parametrize("box", [(0.0, 0.0, 0.0, 5.0), (0.0, 0.0, 5.0, 0.0)])
def test_an_empty_box_has_no_strokes(box: Box) -> None:
    """A part that is too small to be drawn is no error."""
    assert strokes(of("Picea abies"), box) == ()


def test_rings_of_spruce_narrow_to_the_edges() -> None:
    """From 0.95 mm in the middle to 0.70 mm."""
    levels = sorted(stroke.points[0][0] for stroke in strokes(of("Picea abies"), PLATE))
    gaps = [b - a for a, b in pairwise(levels)]

    assert max(gaps) == pytest.approx(0.95, abs=0.01)
    assert min(gaps) == pytest.approx(0.70, abs=0.02)
    assert gaps[: len(gaps) // 2] == sorted(gaps[: len(gaps) // 2])


@pytest.mark.parametrize(
    "species",
    ["Picea abies", "Dalbergia latifolia", "Acer rubrum", "bog oak"],
)
def test_a_pair_is_opened_like_a_book(species: str) -> None:
    """The right half of these is the mirror of the left one."""
    lines = strokes(of(species), PLATE)
    middle = 2 * PLATE[0] + PLATE[2]
    other = [
        Stroke(tuple((middle - x, y) for x, y in line.points), line.weight)
        for line in lines
    ]

    assert lines and rounded(other) == rounded(lines)


def test_waves_never_cross() -> None:
    """At every level they keep their order, from the middle outwards."""
    middle = PLATE[0] + PLATE[2] / 2
    right = [
        {round(y, 6): x for x, y in stroke.points}
        for stroke in strokes(of("Dalbergia latifolia"), PLATE)
        if stroke.points[len(stroke.points) // 2][0] > middle
    ]
    whole = [line for line in right if len(line) > 70]

    assert len(whole) > 5
    for one, other in pairwise(whole):
        shared = set(one) & set(other)
        assert len(shared) > 60
        assert all(one[level] < other[level] for level in shared)


def test_every_fourth_wave_is_heavy() -> None:
    """Two weights, one in three or four."""
    weights = [stroke.weight for stroke in strokes(of("Dalbergia latifolia"), PLATE)]
    heavy = sum(weight > 1 for weight in weights)

    assert set(weights) == {1.0, 2.6}
    assert len(weights) / 5.5 < heavy < len(weights) / 3


def test_dashes_of_mahogany_are_long_and_staggered() -> None:
    """1.5 mm on, 1.0 mm off, and no row begins where its neighbour does."""
    rows: dict[float, list[tuple[float, float]]] = {}
    for stroke in strokes(of("Swietenia macrophylla"), PLATE):
        (x, top), (_, foot) = stroke.points
        rows.setdefault(round(x, 4), []).append((top, foot))
    starts = []
    for row in rows.values():
        row.sort()
        inner = row[1:-1]
        starts.append(round((inner[0][0] - PLATE[1]) % 2.5, 3))
        assert [foot - top for top, foot in inner] == pytest.approx([1.5] * len(inner))
        assert [b[0] - a[1] for a, b in pairwise(inner)] == pytest.approx(
            [1.0] * (len(inner) - 1)
        )

    assert len(rows) > 30
    assert all(one != other for one, other in pairwise(starts))


def test_lines_of_walnut_are_evenly_apart() -> None:
    """0.75 mm, square to the lines."""
    lines = strokes(of("Juglans nigra"), (0.0, 0.0, 40.0, 40.0))
    (ax, ay), (bx, by) = max(
        lines, key=lambda s: abs(s.points[0][0] - s.points[1][0])
    ).points
    length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
    off = sorted(
        ((s.points[0][0] - ax) * (by - ay) - (s.points[0][1] - ay) * (bx - ax)) / length
        for s in lines
    )

    assert [b - a for a, b in pairwise(off)] == pytest.approx([0.75] * (len(off) - 1))


@pytest.mark.parametrize("species", ["Diospyros crassiflora", "Ilex aquifolium"])
def test_plain_woods_have_lines_only_beside_their_like(species: str) -> None:
    """The first of a paper is plain; a second one has few dashes."""
    genus = species.split()[0]
    both = hatches_for([species, f"{genus} altera"])

    assert strokes(both[species], SWATCH) == ()
    assert strokes(both[f"{genus} altera"], SWATCH)


def test_a_hatch_is_the_same_on_every_machine() -> None:
    """The digest of every pattern in two boxes, to a hundredth of a point."""
    digest = sha256()
    for hatch in hatches_for([*OWN, "bog oak", "Picea glauca"]).values():
        for box in (SWATCH, PLATE):
            for stroke in strokes(hatch, box):
                for x, y in stroke.points:
                    digest.update(
                        b"%d %d " % (round(x * MM * 100), round(y * MM * 100))
                    )

    assert digest.hexdigest()[:32] == "32068460b68caa2f4b7fb44295bb8d35"


@given(st.lists(st.tuples(PLACES, PLACES), min_size=2, max_size=12), BOXES)
def test_a_line_is_cut_at_the_edges(line: list[Point], box: Box) -> None:
    """Every part lies on the line and in the box, and no part is left out."""
    x, y, w, h = box
    parts = list(cut(line, box))
    inner = [(a, b) for a, b in line if x < a < x + w and y < b < y + h]

    assert all(len(part) >= 2 for part in parts)
    if any(one != other for one, other in pairwise(line)):
        kept = {point for part in parts for point in part}
        moving = {
            end
            for pair in pairwise(line)
            if abs(pair[0][0] - pair[1][0]) + abs(pair[0][1] - pair[1][1]) > 1e-6
            for end in pair
        }
        assert {point for point in inner if point in moving} <= kept


def test_a_line_that_leaves_and_comes_back_is_two() -> None:
    """Worked out by hand."""
    line = [(1.0, 5.0), (15.0, 5.0), (15.0, 6.0), (1.0, 6.0)]

    assert list(cut(line, (0.0, 0.0, 10.0, 10.0))) == [
        ((1.0, 5.0), (10.0, 5.0)),
        ((10.0, 6.0), (1.0, 6.0)),
    ]
