"""A page in millimetres from its top left, and the type and rules set on it.

Positions of text are baselines; sizes of type and weights of lines are in points.
The same words give the same bytes: no time, no chance, no shaping engine.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from io import BytesIO
from typing import Literal

from reportlab import rl_config
from reportlab.lib.colors import HexColor, white
from reportlab.pdfgen.canvas import Canvas

from labels import faces
from ledger.errors import RefusedError

MM = 72 / 25.4  # points in a millimetre

# Of the papers; a screen's ink is softer. Anything lighter is printed as dots.
INK = "#000000"
WALNUT = "#5B3A1E"
BARK = "#7A6A58"
HAIR = "#B9AC99"
WHITE = "#FFFFFF"

A4 = (210.0, 297.0)
LETTER = (215.9, 279.4)

ELLIPSIS = "…"

Align = Literal["left", "centre", "right"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """A sheet being set: millimetres, y downwards from the top edge.

    title and language are those of the whole paper.
    """

    canvas: Canvas
    width: float
    height: float
    out: BytesIO
    title: str
    language: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How words look: face, size, colour, tracking [em], and how far they may give.

    Words that do not fit are narrowed, down to `narrow`, then shrunk, down to `floor`,
    and those that `may_shorten` then lose their end to an ellipsis.
    """

    face: str
    size: float
    colour: str = INK
    tracking: float = 0.0
    floor: float = 0.0
    narrow: float = 0.85
    may_shorten: bool = False


def open_document(size: tuple[float, float], title: str, language: str = "en") -> Page:
    """Lay out a first sheet of width and height [mm]; language is of its words."""
    faces.load(faces.TEXT)
    # Base-85 would only make the file a quarter longer.
    rl_config.useA85 = 0
    out = BytesIO()
    canvas = Canvas(
        out,
        pagesize=(size[0] * MM, size[1] * MM),
        invariant=1,
        pageCompression=1,
        pdfVersion=(1, 7),
        initialFontName=faces.TEXT,  # type: ignore[arg-type]  # stub errs
        lang=language,
    )
    canvas.setTitle(title)
    canvas.setAuthor("")
    canvas.setSubject("")
    canvas.setCreator("Flitchbook")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    return Page(
        canvas=canvas,
        width=size[0],
        height=size[1],
        out=out,
        title=title,
        language=language,
    )


def turn_over(page: Page) -> None:
    """Finish a sheet and lay out the next of the same size."""
    page.canvas.showPage()


def bookmark(page: Page, words: str, y: float = 0.0, *, level: int = 0) -> None:
    """Let a reader jump from the paper's list of contents to a level on this sheet.

    level  0 for a part of the paper, 1 for a section in it
    """
    words = faces.tidy(words)
    key = f"{page.canvas.getPageNumber()}, {y:.2f}: {words}"
    page.canvas.bookmarkPage(key, fit="XYZ", left=0, top=(page.height - y) * MM)
    page.canvas.addOutlineEntry(words, key, level)


def close_document(page: Page) -> bytes:
    """Finish the last sheet and return the PDF as it was drawn."""
    page.canvas.save()
    return page.out.getvalue()


def measure(words: str, style: Style) -> float:
    """Measure words at the style's own size [mm]."""
    letters = len(faces.tidy(words))
    tracking = style.tracking * style.size * letters
    return (faces.width(words, style.face, style.size) + tracking) / MM


def least(words: str, style: Style) -> float:
    """Measure words as narrow and small as their style allows [mm]."""
    return (
        measure(words, style)
        * style.narrow
        * (style.floor or style.size)
        / (style.size)
    )


def shortened(words: str, style: Style, within: float, *, tail: str = "") -> str:
    """Return words that fit a width [mm], an ellipsis for what has no room.

    `tail` is the end of the words that stays; where not even it fits, nothing does.
    """
    if least(words, style) <= within:
        return words
    body = faces.tidy(words).removesuffix(tail)
    for size in range(len(body) - 1, 0, -1):
        shorter = f"{body[:size].rstrip(' ,.-')}{ELLIPSIS}{tail}"
        if least(shorter, style) <= within:
            return shorter
    return shortened(tail.strip(" ,·"), style, within) if tail else ""


def fit(
    words: str, style: Style, within: float, field: str = ""
) -> tuple[Style, float]:
    """Return the style and the narrowing with which words go into a width [mm]."""
    natural = measure(words, style)
    # No words go anywhere, also where no room is left.
    if natural <= max(within, 0.0):
        return style, 1.0
    if within >= natural * style.narrow:
        return style, within / natural
    size = style.size * within / (natural * style.narrow)
    floor = style.floor or style.size
    if size < floor - 1e-9:
        raise RefusedError(
            f"{field or 'text'} does not fit the paper: {words!r} needs "
            f"{least(words, style):.1f} mm at its smallest, and {within:.1f} mm are "
            f"free; shorten it"
        )
    return replace(style, size=size), style.narrow


def write(
    page: Page,
    at: tuple[float, float],
    words: str,
    style: Style,
    *,
    align: Align = "left",
    within: float | None = None,
    field: str = "",
) -> float:
    """Set one line with its baseline at (x, y), and return its width [mm]."""
    squeeze = 1.0
    if within is not None:
        if style.may_shorten:
            words = shortened(words, style, within)
        style, squeeze = fit(words, style, within, field)
    length = measure(words, style) * squeeze
    share = {"left": 0.0, "centre": 0.5, "right": 1.0}[align]
    # The space after the last tracked letter hangs over a right or centred edge.
    hang = style.tracking * style.size * squeeze / MM
    x = at[0] - share * (length - hang)
    line = page.canvas.beginText(x * MM, (page.height - at[1]) * MM)
    line.setFillColor(HexColor(style.colour))
    line.setHorizScale(round(squeeze * 100, 3))
    line.setCharSpace(style.tracking * style.size)
    for face, letters in faces.runs(words, style.face):
        faces.load(face)
        line.setFont(face, style.size)
        line.textOut(letters)
    line.setCharSpace(0)
    line.setHorizScale(100)
    page.canvas.drawText(line)
    return length


def _pieces(text: str, style: Style, within: float) -> Iterator[str]:
    """Yield the words of a text, and a word wider than the line in parts."""
    for word in faces.tidy(text).split(" "):
        if measure(word, style) <= within:
            yield word
            continue
        part = ""
        for letter in word:
            if part and measure(part + letter, style) > within:
                yield part
                part = ""
            part += letter
        yield part


def wrap(text: str, style: Style, within: float) -> list[str]:
    """Break a text at its spaces into lines no wider than a width [mm]."""
    lines: list[str] = []
    for piece in _pieces(text, style, within):
        longer = f"{lines[-1]} {piece}" if lines else piece
        if lines and measure(longer, style) <= within:
            lines[-1] = longer
        else:
            lines.append(piece)
    return lines


def wrap_small(
    text: str, style: Style, within: float, most: int
) -> tuple[Style, list[str]]:
    """Return a text in so many lines at most, and the style, shrunk as far as it must.

    At its floor the style stays, and the lines are as many as they are.
    """
    while len(wrap(text, style, within)) > most and style.size > style.floor > 0:
        style = replace(style, size=max(style.floor, round(style.size - 0.1, 2)))
    return style, wrap(text, style, within)


def in_two(text: str, style: Style, within: float) -> list[str]:
    """Return a text as one line, or as two where it is too long for one at its least.

    A word is broken only where it is longer than a line; the second line may be.
    """
    words = faces.tidy(text)
    if least(words, style) <= within:
        return [words]
    ends = [at for at, letter in enumerate(words) if letter == " "]
    for end in (*reversed(ends), *range(len(words) - 1, 1, -1)):
        if least(words[:end], style) <= within:
            return [words[:end], words[end:].lstrip()]
    return [words]


def write_lines(
    page: Page, at: tuple[float, float], lines: list[str], style: Style, leading: float
) -> float:
    """Set lines one under another, and return the baseline after the last."""
    x, y = at
    for line in lines:
        write(page, (x, y), line, style)
        y += leading
    return y


def rule(
    page: Page,
    x: tuple[float, float],
    y: float,
    weight: float = 0.5,
    colour: str = INK,
) -> None:
    """Draw a level line from x to x."""
    page.canvas.setStrokeColor(HexColor(colour))
    page.canvas.setLineWidth(weight)
    page.canvas.setLineCap(0)
    level = (page.height - y) * MM
    page.canvas.line(x[0] * MM, level, x[1] * MM, level)


def oxford(page: Page, x: tuple[float, float], y: float, scale: str = "large") -> None:
    """Draw the thick and the thin line under a heading; y is the thick one's middle."""
    thick, thin, gap = {
        "large": (1.8, 0.4, 0.65),
        "small": (1.5, 0.38, 0.6),
        "card": (0.9, 0.3, 0.6),
    }[scale]
    rule(page, x, y, thick)
    rule(page, x, y + (thick + thin) / 2 / MM + gap, thin)


def box(page: Page, x: float, y: float, w: float, h: float, colour: str = INK) -> None:
    """Fill a box whose top left corner is at (x, y)."""
    page.canvas.setFillColor(white if colour == WHITE else HexColor(colour))
    page.canvas.rect(x * MM, (page.height - y - h) * MM, w * MM, h * MM, 0, 1)


def thousands(number: int) -> str:
    """Print a number with thin spaces between thousands, from five digits on."""
    digits = f"{number:,}" if abs(number) >= 10_000 else str(number)
    return digits.replace(",", faces.THIN_SPACE).replace("-", "−")
