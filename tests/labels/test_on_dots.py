"""Tests of symbols on the dots of whatever head prints them."""

from collections.abc import Callable
from functools import cache
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
from PIL import Image

from labels import (
    booklet,
    card,
    certificate,
    hold_tag,
    insurer,
    label,
    label_sheet,
    label_strip,
    lot_card,
    materials,
    on_dots,
    packing_list,
    picture,
    qr,
    tag,
    transfer_slip,
    worksheet,
)
from labels.page import MM, box, close_document, open_document, turn_over
from tests.labels import rack_samples, reading, samples, worksheets
from tests.labels.consignments import CONSIGNMENT, IMPRINT
from tests.labels.test_booklet import BOOKLET
from tests.labels.test_insurer import STATEMENT
from tests.labels.test_label_strip import SINGLE
from tests.labels.test_transfer_slip import SLIP

# Every paper with a symbol, and the page that it stands on.
PAPERS: dict[str, tuple[Callable[[], bytes], int]] = {
    "label, 203": (lambda: label.roll([samples.BACK_A], dpi=203), 0),
    "label, 300": (lambda: label.roll([samples.BACK_A], dpi=300), 0),
    "label, 600": (lambda: label.roll([samples.BACK_A], dpi=600), 0),
    "labels": (lambda: label_sheet.sheet([samples.BACK_A], samples.HEADING), 0),
    "strip": (lambda: label_strip.roll([SINGLE]), 0),
    "tag": (lambda: tag.draw(samples.TAG, paper="A4"), 0),
    "card": (lambda: card.draw(samples.CARD), 1),
    "certificate": (
        lambda: certificate.draw(
            samples.CERTIFICATE,
            paper="Letter",
            certificate_file=samples.CERTIFICATE_FILE,
            proof_file=samples.PROOF_FILE,
        ),
        0,
    ),
    "insurer": (lambda: insurer.draw(STATEMENT, paper="A4"), 0),
    "booklet": (lambda: booklet.draw_pages(BOOKLET), -1),
    "lot card": (lambda: lot_card.draw(rack_samples.LOT), 0),
    "hold tag": (lambda: hold_tag.draw(rack_samples.HOLD), 0),
    "materials": (lambda: materials.draw(samples.MATERIALS_PAPER), 0),
    "packing list": (lambda: packing_list.draw(CONSIGNMENT, IMPRINT), 0),
    "transfer slip": (lambda: transfer_slip.draw(SLIP), 0),
    "worksheet": (
        lambda: worksheet.draw(next(iter(worksheets.USUAL.values())), host="a.example"),
        -1,
    ),
}

# Every module that draws one, and a paper above that it draws it on.
DRAWN_BY = {
    "booklet_use": "booklet",
    "card": "card",
    "certificate_foot": "certificate",
    "insurer_foot": "insurer",
    "label": "label, 203",
    "label_strip": "strip",
    "materials_foot": "materials",
    "rack_parts": "lot card",
    "species_page": "packing list",
    "tag_front": "tag",
    "transfer_slip": "transfer slip",
    "worksheet": "worksheet",
}


def on_page(pdf: bytes, page: int) -> list[on_dots.Placed]:
    """Return the symbols of a page."""
    document = pdfium.PdfDocument(pdf)
    try:
        return list(on_dots.symbols(document[page]))
    finally:
        document.close()


@cache
def drawn(name: str) -> bytes:
    """Return a paper, drawn once for all heads."""
    return PAPERS[name][0]()


def edges(image: Image.Image) -> list[int]:
    """Return the dots after which light and dark change along rows and columns."""
    dots = np.asarray(image)
    across = (dots[:, 1:] != dots[:, :-1]).any(axis=0)
    down = (dots[1:] != dots[:-1]).any(axis=1)
    return sorted({*np.flatnonzero(across).tolist(), *np.flatnonzero(down).tolist()})


@pytest.mark.parametrize("head", picture.HEADS)
@pytest.mark.parametrize("name", PAPERS)
def test_every_module_of_every_paper_is_whole_dots(
    name: str, head: picture.Head
) -> None:
    """Each edge lies a whole number of modules from the corner, each of equal dots."""
    pdf = drawn(name)
    page = PAPERS[name][1] % picture.pages(pdf)
    image = Image.open(BytesIO(picture.for_head(pdf, page=page, head=head)))
    placed = on_page(pdf, page)
    scale = picture.HEADS[head] / picture.INCH_PT

    assert placed
    assert image.mode == "1"
    for symbol in placed:
        side, wide = len(symbol.rows), symbol.module * scale
        dots = int(wide + on_dots.NEAR)
        slack = side * (wide - dots) / 2
        x, y = (round(at * scale + slack) for at in (symbol.left, symbol.top))
        burnt = image.crop((x, y, x + side * dots, y + side * dots))
        expected = Image.new("1", (side, side), 255)
        for row, modules in enumerate(symbol.rows):
            for column, dark in enumerate(modules):
                expected.putpixel((column, row), 0 if dark else 255)
        expected = expected.resize(burnt.size, Image.Resampling.NEAREST)

        assert burnt.tobytes() == expected.tobytes()
        assert all((before + 1) % dots == 0 for before in edges(burnt))
    assert len(reading.symbols(image)) == len(placed)


def test_a_symbol_keeps_its_place_where_its_dots_are_whole() -> None:
    """The head that a label was drawn for burns it as it was drawn."""
    pdf = label.roll([samples.BACK_A], dpi=203)
    image = Image.open(BytesIO(picture.for_head(pdf, page=0, head=203)))

    assert image.tobytes() == picture.one_bit(pdf, page=0, dpi=203.2).tobytes()


def test_a_symbol_too_fine_for_a_head_stays_as_it_is() -> None:
    """Less than a dot to a module cannot be burnt, and nothing is left out for it."""
    page = open_document((20, 20), "fine")
    qr.draw(page, qr.board_symbol("B/L26-001"), 5, 5, 0.1)
    turn_over(page)
    pdf = close_document(page)
    image = Image.open(BytesIO(picture.for_head(pdf, page=0, head=203)))

    assert len(on_page(pdf, 0)) == 1
    assert image.tobytes() == picture.one_bit(pdf, page=0, dpi=203.2).tobytes()


def test_what_is_no_symbol_is_none() -> None:
    """Not a box, not a staircase of boxes, not a square of them off the grid."""
    page = open_document((60, 60), "boxes")
    box(page, 1, 1, 20, 20)
    for boxes in (
        [(n, n, 1, 1) for n in range(20)],
        [(n, n, 1, 1) for n in range(22)],
        [(n, n, 1, 1) for n in range(21)] + [(3.5, 0, 1, 1)],
        [(n, 0, 1, 1) for n in range(21)],
    ):
        path = page.canvas.beginPath()
        for x, y, w, h in boxes:
            path.rect((20 + x) * MM, (20 + y) * MM, w * MM, h * MM)
        page.canvas.drawPath(path, stroke=0, fill=1)
    path = page.canvas.beginPath()
    path.circle(100, 100, 20)
    page.canvas.drawPath(path, stroke=0, fill=1)
    turn_over(page)

    assert on_page(close_document(page), 0) == []


def test_every_paper_with_a_symbol_is_tried() -> None:
    """A new one is added to those above."""
    folder = Path(on_dots.__file__).parent
    found = {
        path.stem for path in folder.glob("*.py") if "qr.draw(" in path.read_text()
    }

    assert found == set(DRAWN_BY)
    assert set(DRAWN_BY.values()) <= set(PAPERS)
