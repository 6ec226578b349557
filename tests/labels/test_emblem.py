"""A shop's emblem is drawn as it was made, or refused in a sentence that says why."""

from dataclasses import replace
from io import BytesIO

import pytest
from PIL import Image

from labels import card, certificate, picture
from labels.emblem import Emblem, draw_emblem, read_emblem
from labels.page import A4, close_document, open_document, turn_over
from ledger.errors import RefusedError
from tests.labels import reading
from tests.labels.samples import CARD, CERTIFICATE

# A rock in the sea: a triangle over two waves.
SKERRY = b"""<svg xmlns="http://www.w3.org/2000/svg" width="120" height="100">
<path d="M20 70 L60 10 L100 70 Z" fill="#000000"/>
<path d="M0 80 Q30 70 60 80 T120 80" fill="none" stroke="#000000" stroke-width="5"/>
<path d="M0 90 Q30 84 60 90 T120 90" fill="none" stroke="#000000" stroke-width="5"/>
</svg>"""


def dots(size: tuple[int, int] = (240, 200), mode: str = "RGBA") -> bytes:
    """Return a PNG: a black square on a clear or a grey ground."""
    ground = (0, 0, 0, 0) if mode == "RGBA" else 128
    picture = Image.new(mode, size, ground)
    picture.paste(
        (0, 0, 0, 255) if mode == "RGBA" else 0,
        (size[0] // 4, size[1] // 4, size[0] // 2, size[1] // 2),
    )
    out = BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


def drawn(emblem: Emblem) -> bytes:
    """Return a page with the emblem 20 mm high at (30, 40)."""
    page = open_document(A4, "emblem")
    draw_emblem(page, emblem, (30, 40), 20)
    turn_over(page)
    return close_document(page)


def box(pdf: bytes) -> tuple[float, float, float, float]:
    """Return the box around all ink [mm]."""
    return reading.inked(picture.grey(pdf, page=0, dpi=300))


def test_a_drawing_stands_where_it_was_put() -> None:
    """So high, as wide as it was drawn, and as outlines: no picture is in the file."""
    emblem = read_emblem(SKERRY)
    pdf = drawn(emblem)

    assert (emblem.kind, emblem.ratio) == ("svg", 1.2)
    assert box(pdf) == pytest.approx((30, 42, 54, 59.4), abs=0.6)
    assert b"/Subtype /Image" not in pdf and b"Helvetica" not in pdf


@pytest.mark.parametrize("mode", ["RGBA", "L", "1"])
def test_dots_stand_where_they_were_put(mode: str) -> None:
    """What is clear lets the paper through."""
    emblem = read_emblem(dots(mode=mode))
    left, top, *_ = box(drawn(emblem))

    assert (emblem.kind, emblem.ratio) == ("png", 1.2)
    assert (left, top) == pytest.approx((30, 40) if mode == "L" else (36, 45), abs=0.4)


def test_the_same_emblem_gives_the_same_bytes() -> None:
    """Of either kind."""
    for data in (SKERRY, dots()):
        assert drawn(read_emblem(data)) == drawn(read_emblem(data))


@pytest.mark.parametrize("data", [SKERRY, dots(), dots((900, 240))])
def test_card_and_certificate_bear_it_and_keep_every_word(data: bytes) -> None:
    """The shop's name stands beside it."""
    emblem = read_emblem(data)
    paper = certificate.draw(
        replace(CERTIFICATE, emblem=emblem),
        paper="A4",
        certificate_file=b"{}",
        proof_file=b"proof",
    )
    small = card.draw(replace(CARD, emblem=emblem))

    assert CERTIFICATE.shop.split()[0] in reading.text(paper, 0)
    assert CARD.shop.split()[0] in reading.text(small, 0)
    assert small != card.draw(CARD)


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"GIF89a", "no PNG and no SVG"),
        (b"", "no PNG and no SVG"),
        (b"<svg" + b" " * 500_000, "500004 bytes, and 500000 are the most"),
        (dots()[:-60], "cannot be read as a PNG"),
        (dots((60, 50)), "60 × 50 dots: save it 120 dots high"),
        (dots((5000, 200), "1"), "no side longer than 4000"),
        (dots((1000, 200)), "more than four times as long"),
        (SKERRY[:120], "cut off before its end"),
        (SKERRY.replace(b"<path", b"<text>a</text><path", 1), "holds words"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>", "is empty"),
        (b"<!DOCTYPE svg>" + SKERRY, "holds <!doctype, which may draw in another"),
        (SKERRY.replace(b"<path", b"<image href='x.png'/><path", 1), "holds href"),
        (SKERRY.replace(b'height="100"', b'height="0"'), "cannot be read as an SVG"),
    ],
)
def test_what_cannot_be_drawn_is_refused_with_what_to_do(data: bytes, why: str) -> None:
    """Nothing of it is drawn."""
    with pytest.raises(RefusedError, match=why):
        read_emblem(data)
