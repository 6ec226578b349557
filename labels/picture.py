"""Papers as pictures, for looking at them and for printers that take only dots."""

from collections.abc import Callable
from io import BytesIO
from typing import Any, Literal

import pypdfium2 as pdfium
from PIL import Image
from pypdfium2 import raw

from labels import on_dots

INCH_PT = 72
INCH_MM = 25.4
# The heads of label printers by their usual names; one of "203" has 8 dots to the mm.
HEADS = {203: 203.2, 300: 300.0, 600: 600.0}
Head = Literal[203, 300, 600]


def pages(pdf: bytes) -> int:
    """Count the pages of a paper."""
    document = pdfium.PdfDocument(pdf)
    try:
        return len(document)
    finally:
        document.close()


def grey(pdf: bytes, *, page: int, dpi: float) -> Image.Image:
    """Return a page in greys; its size is the nearest whole number of dots."""
    return _render(pdf, page, dpi).convert("L")


def png(pdf: bytes, *, page: int, dpi: float) -> bytes:
    """Return a page as a PNG file."""
    out = BytesIO()
    _render(pdf, page, dpi).save(out, format="PNG")
    return out.getvalue()


def one_bit(pdf: bytes, *, page: int, dpi: float) -> Image.Image:
    """Return a page as black and white dots, split at half."""
    return grey(pdf, page=page, dpi=dpi).point(lambda dot: 255 * (dot >= 128), mode="1")


def for_head(pdf: bytes, *, page: int, head: Head) -> bytes:
    """Return a page as a print head burns it: a PNG of one bit that knows its size.

    Text and lines are split at half; the modules of every symbol are whole dots.

    Source: ISO/IEC 15948 (PNG), 11.3.5.3: pHYs, dots to the metre.
    """
    dpi = HEADS[head]
    image = one_bit(pdf, page=page, dpi=dpi)
    for symbol in _looked_at(pdf, page, lambda leaf: list(on_dots.symbols(leaf))):
        on_dots.burn(image, symbol, dpi)
    out = BytesIO()
    image.save(out, format="PNG", dpi=(dpi, dpi))
    return out.getvalue()


def size(png_file: bytes) -> tuple[float, float]:
    """Return the width and the height that a picture for a head says it has [mm]."""
    with Image.open(BytesIO(png_file)) as image:
        across, up = image.info["dpi"]
        return image.width * INCH_MM / across, image.height * INCH_MM / up


def _looked_at(pdf: bytes, number: int, look: Callable[[Any], Any]) -> Any:
    """Return what is seen on a page, which is open only for that long."""
    document = pdfium.PdfDocument(pdf)
    try:
        return look(document[number])
    finally:
        document.close()


def _render(pdf: bytes, number: int, dpi: float) -> Image.Image:
    """Draw a page on a bitmap of whole dots, which the library would round up."""

    def draw(page: Any) -> Image.Image:
        width = round(page.get_width() * dpi / INCH_PT)
        height = round(page.get_height() * dpi / INCH_PT)
        bitmap = pdfium.PdfBitmap.new_native(width, height, raw.FPDFBitmap_BGRx)
        raw.FPDFBitmap_FillRect(bitmap, 0, 0, width, height, 0xFFFFFFFF)
        raw.FPDF_RenderPageBitmap(bitmap, page, 0, 0, width, height, 0, 0)
        picture: Image.Image = bitmap.to_pil().convert("RGB")
        return picture

    drawn: Image.Image = _looked_at(pdf, number, draw)
    return drawn
