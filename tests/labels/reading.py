"""Read papers back as a stranger would: by camera, by copying text, by poppler."""

import subprocess
from pathlib import Path

import pypdfium2 as pdfium
import zxingcpp
from PIL import Image

DARK = 140


def symbols(picture: Image.Image) -> list[str]:
    """Return the text of every symbol that the reader finds."""
    return [found.text for found in zxingcpp.read_barcodes(picture)]


def text(pdf: bytes, page: int = 0) -> str:
    """Return the text of a page as a reader would copy it."""
    document = pdfium.PdfDocument(pdf)
    try:
        copied: str = document[page].get_textpage().get_text_bounded()
        return copied
    finally:
        document.close()


def pages(pdf: bytes) -> int:
    """Count the pages."""
    document = pdfium.PdfDocument(pdf)
    try:
        return len(document)
    finally:
        document.close()


def inked(shown: Image.Image, *, dpi: int = 300) -> tuple[float, float, float, float]:
    """Return the box around all ink in a picture [mm]: left, top, right, foot."""
    found = shown.point(lambda value: 255 * (value < DARK)).getbbox()
    assert found is not None
    left, top, right, foot = (edge * 25.4 / dpi for edge in found)
    return left, top, right, foot


def fonts(pdf: bytes, folder: Path) -> list[tuple[str, str]]:
    """Return each font of a paper with poppler's word on whether it is embedded."""
    paper = folder / "paper.pdf"
    paper.write_bytes(pdf)
    listed = subprocess.run(
        ["pdffonts", paper], capture_output=True, text=True, check=True
    )
    rows = [line.split() for line in listed.stdout.splitlines()[2:]]
    return [(row[0], row[-5]) for row in rows]
