"""Papers as pictures, for looking at them and for printers that take only dots."""

from io import BytesIO

import pypdfium2 as pdfium
from PIL import Image
from pypdfium2 import raw

INCH_PT = 72


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


def _render(pdf: bytes, number: int, dpi: float) -> Image.Image:
    """Draw a page on a bitmap of whole dots, which the library would round up."""
    document = pdfium.PdfDocument(pdf)
    try:
        page = document[number]
        width = round(page.get_width() * dpi / INCH_PT)
        height = round(page.get_height() * dpi / INCH_PT)
        bitmap = pdfium.PdfBitmap.new_native(width, height, raw.FPDFBitmap_BGRx)
        raw.FPDFBitmap_FillRect(bitmap, 0, 0, width, height, 0xFFFFFFFF)
        raw.FPDF_RenderPageBitmap(bitmap, page, 0, 0, width, height, 0, 0)
        picture: Image.Image = bitmap.to_pil().convert("RGB")
        return picture
    finally:
        document.close()
