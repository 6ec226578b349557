"""The shop's own emblem, as a drawing or as dots, on the papers that have room for it.

A drawing (SVG) stays a drawing. It holds outlines only: words would want faces that no
paper embeds, and pictures inside it would be of any size.
"""

from dataclasses import dataclass, field
from io import BytesIO
from typing import Any, Literal

from PIL import Image, UnidentifiedImageError
from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Drawing, Group, String
from reportlab.graphics.shapes import Image as Picture
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from labels.page import MM, Page
from ledger.errors import RefusedError

LARGEST_FILE = 500_000  # bytes
LARGEST_SIDE = 4_000  # dots
FEWEST_DOTS = 120  # high, or it is rough at the size of a head; common practice
WIDEST, NARROWEST = 4.0, 0.25  # width over height
# What may fetch another file, or make a small one large.
UNSAFE = (b"<!doctype", b"<!entity", b"<script", b"<foreignobject", b"<use", b"@import")

# What a reader of SVG stumbles over in a broken file.
UNREADABLE = (
    ArithmeticError,
    AttributeError,
    LookupError,
    OSError,
    SyntaxError,
    TypeError,
    ValueError,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Emblem:
    """An emblem that was read and can be drawn; ratio is its width over its height."""

    kind: Literal["svg", "png"]
    data: bytes = field(repr=False)
    ratio: float

    def width(self, height: float) -> float:
        """Return how wide it is at a height [mm]."""
        return self.ratio * height


def read_emblem(data: bytes) -> Emblem:
    """Read a PNG or an SVG; raise RefusedError that says what to change in it."""
    if len(data) > LARGEST_FILE:
        raise RefusedError(
            f"the emblem has {len(data)} bytes, and {LARGEST_FILE} are the most: draw "
            f"it simpler, or save it with fewer dots"
        )
    if data.startswith(b"\x89PNG"):
        return _checked(Emblem(kind="png", data=data, ratio=_ratio_of_dots(data)))
    if b"<svg" in data[:2000]:
        drawing = _drawing(data)
        ratio = drawing.width / drawing.height
        return _checked(Emblem(kind="svg", data=data, ratio=ratio))
    raise RefusedError("the emblem is no PNG and no SVG: save it as one of these")


def draw_emblem(
    page: Page, emblem: Emblem, at: tuple[float, float], height: float
) -> None:
    """Draw an emblem so high, its top left at a place [mm]."""
    x, y = at[0] * MM, (page.height - at[1] - height) * MM
    wide, high = emblem.width(height) * MM, height * MM
    if emblem.kind == "png":
        page.canvas.drawImage(ImageReader(_dots(emblem.data)), x, y, wide, high)
        return
    drawing = _drawing(emblem.data)
    scale = high / drawing.height
    drawing.scale(scale, scale)
    canvas: Any = _Outlines(page.canvas)
    renderPDF.draw(drawing, canvas, round(x, 2), round(y, 2))


class _Outlines:
    """A canvas that sets no face: whoever draws would begin with one nobody embeds."""

    def __init__(self, canvas: Canvas) -> None:
        self._canvas = canvas

    def __getattr__(self, name: str) -> Any:
        return getattr(self._canvas, name)

    def setFont(self, *_: object) -> None:  # noqa: N802 - the canvas calls it so
        """Set nothing: an emblem has no words."""


def _checked(emblem: Emblem) -> Emblem:
    if not NARROWEST <= emblem.ratio <= WIDEST:
        raise RefusedError(
            "the emblem is more than four times as long one way as the other: cut it "
            "to what fits beside a name"
        )
    return emblem


def _picture(data: bytes) -> Image.Image:
    try:
        opened = Image.open(BytesIO(data), formats=["PNG"])
        if max(opened.size) <= LARGEST_SIDE:
            opened.load()
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError) as problem:
        raise RefusedError(
            f"the emblem cannot be read as a PNG ({problem}): save it again"
        ) from None
    if max(opened.size) > LARGEST_SIDE or opened.height < FEWEST_DOTS:
        wide, high = opened.size
        raise RefusedError(
            f"the emblem has {wide} × {high} dots: save it {FEWEST_DOTS} dots high or "
            f"more, and no side longer than {LARGEST_SIDE}"
        )
    return opened


def _ratio_of_dots(data: bytes) -> float:
    picture = _picture(data)
    return picture.width / picture.height


def _dots(data: bytes) -> Image.Image:
    """Return the dots in sRGB on white: what is clear lets the paper through."""
    shown = _picture(data).convert("RGBA")
    paper = Image.new("RGBA", shown.size, "white")
    paper.alpha_composite(shown)
    return paper.convert("RGB")


def _drawing(data: bytes) -> Drawing:
    """Return an SVG as a drawing of outlines, or refuse what is none."""
    low = data.lower()
    unsafe = next((each for each in UNSAFE if each in low), None)
    if unsafe is not None or b"href" in low:
        what = (unsafe or b"href").decode()
        raise RefusedError(
            f"the emblem holds {what}, which may draw in another file: save it as "
            f"plain outlines"
        )
    if not low.rstrip().endswith((b"</svg>", b"/>", b"-->")):
        raise RefusedError("the emblem is cut off before its end: save it again")
    # It brings faces of its own, and only a shop with a drawing needs it.
    from svglib.svglib import svg2rlg

    try:
        drawing = svg2rlg(BytesIO(data))
    except UNREADABLE as problem:
        raise RefusedError(
            f"the emblem cannot be read as an SVG ({type(problem).__name__}): save it "
            f"as plain outlines"
        ) from None
    if not isinstance(drawing, Drawing) or min(drawing.width, drawing.height) <= 0:
        raise RefusedError(
            "the emblem cannot be read as an SVG of a size: save it with its width and "
            "height, as plain outlines"
        )
    _require_outlines(drawing)
    return drawing


def _require_outlines(drawing: Drawing) -> None:
    kinds = {type(shape) for shape in _shapes(drawing)}
    if String in kinds:
        raise RefusedError("the emblem holds words: turn them into outlines first")
    if Picture in kinds:
        raise RefusedError("the emblem holds a picture: save that as a PNG instead")
    if not kinds:
        raise RefusedError("the emblem is empty: draw something in it")


def _shapes(group: Any) -> list[Any]:
    found: list[Any] = []
    for each in group.contents:
        found += _shapes(each) if isinstance(each, Group | Drawing) else [each]
    return found
