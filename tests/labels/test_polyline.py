"""Tests of lines through very many points."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfgen.pathobject import PDFPathObject

from labels.ornament import Point
from labels.polyline import along

HUNDREDTHS = st.integers(-200_000, 200_000).map(lambda many: many / 100)
EDGES = (0.0, -0.0, 0.01, -0.01, 0.1, 0.5, -0.5, 0.99, 1.0, -1.0, 9.99, 10.0, 100.0)


def by_the_library(points: list[Point], *, closed: bool) -> str:
    """Return what the library writes, told point after point."""
    path = PDFPathObject()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    if closed:
        path.close()
    return str(path.getCode())


@pytest.mark.parametrize("closed", [False, True])
@given(points=st.lists(st.tuples(HUNDREDTHS, HUNDREDTHS), min_size=1))
def test_a_line_is_written_as_the_library_writes_it(
    closed: bool, points: list[Point]
) -> None:
    """Byte for byte, whatever the points."""
    assert along(points, closed=closed).getCode() == by_the_library(
        points, closed=closed
    )


def test_the_edges_of_writing_are_the_library_s() -> None:
    """Nothing, less than one, whole numbers, and signs."""
    points = [(one, other) for one in EDGES for other in EDGES]

    assert along(points).getCode() == by_the_library(points, closed=False)
