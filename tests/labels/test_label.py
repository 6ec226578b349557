"""Tests of the board label, as a printer and a scanner see it."""

from dataclasses import replace
from pathlib import Path
from shutil import which
from typing import Literal

import pypdfium2 as pdfium
import pytest
from PIL import Image

from labels import label, label_sheet, picture, qr
from ledger.errors import RefusedError
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps
from tests.labels.samples import BACK_A, BACK_B, HEADING, WHOLE

TEXT = "HTTPS://SKM.EXAMPLE/B/L23-040-02.A7"
HEADS = {203: 203.2, 300: 300.0}


def raster(drawn: bytes, dpi: int, page: int = 0) -> Image.Image:
    """Return a label as the print head burns it."""
    return picture.one_bit(drawn, page=page, dpi=HEADS[dpi])


def expected(dots: int) -> Image.Image:
    """Return the symbol of the label on white, with so many dots to a module."""
    symbol = qr.board_symbol(TEXT)
    side = symbol.side + 2 * qr.QUIET_ZONE
    image = Image.new("1", (side, side), 255)
    for y, row in enumerate(symbol.rows):
        for x, dark in enumerate(row):
            image.putpixel((x + qr.QUIET_ZONE, y + qr.QUIET_ZONE), 0 if dark else 255)
    return image.resize((side * dots, side * dots), Image.Resampling.NEAREST)


@pytest.mark.parametrize(
    ("dpi", "dots", "corners"),
    [(203, 4, ((16, 16), (276, 16))), (300, 6, ((24, 24), (404, 24)))],
)
def test_every_module_ends_on_a_whole_dot(
    dpi: int, dots: int, corners: tuple[tuple[int, int], ...]
) -> None:
    """Both symbols are burnt dot for dot as they are meant, with white all around.

    The quiet zone of four modules is part of the picture compared, so that no letter
    reaches into it and none is cut off by the edge of the label.
    """
    image = raster(label.roll([BACK_A], dpi=203 if dpi == 203 else 300), dpi)
    quiet = qr.QUIET_ZONE * dots
    side = 29 * dots + 2 * quiet
    for x, y in corners:
        corner = (x - quiet, y - quiet)
        cut = image.crop((*corner, corner[0] + side, corner[1] + side))

        assert cut.tobytes() == expected(dots).tobytes()


@pytest.mark.parametrize("dpi", [203, 300])
def test_either_symbol_is_enough(dpi: int) -> None:
    """Whatever a staple or a tear takes at one end, the other end still reads."""
    image = raster(label.roll([BACK_A], dpi=203 if dpi == 203 else 300), dpi)
    width, height = image.size
    left, right = image.copy(), image.copy()
    left.paste(255, (0, 0, width // 2, height))
    right.paste(0, (width // 2, 0, width, height))

    assert reading.symbols(image) == [TEXT, TEXT]
    assert reading.symbols(left) == [TEXT]
    assert reading.symbols(right) == [TEXT]


def test_a_label_says_what_a_person_needs() -> None:
    """Species, lot, date, code and what it is can be read and copied."""
    said = reading.text(label.roll([BACK_A])).split("\r\n")

    assert set(said) >= {"Dalbergia", "latifolia", "lot L23-040", "2024-01-18"}
    assert "L23-040-02.A" in " ".join(said)
    assert "back, half A" in " ".join(said)


def test_a_replacement_says_so_in_place_of_what_it_is() -> None:
    """The second label of a board can be told from the first."""
    said = reading.text(label.roll([replace(BACK_A, replacement=1)]))

    assert "REPLACEMENT 1" in said
    assert "back, half A" not in said


def test_the_symbol_of_a_replacement_says_its_number_and_stays_as_large() -> None:
    """The strongest symbol loses two letters of the host, and steps down like any."""
    first, second = BACK_A, replace(BACK_A, replacement=1)
    symbols = [qr.board_symbol(label.payload(each)) for each in (first, second)]

    assert label.payload(second) == f"{label.payload(first)}/1"
    assert symbols[0].side == symbols[1].side == 29


def test_unknown_origin_stands_in_place_of_a_species() -> None:
    """No species is claimed for wood whose origin is unknown."""
    unknown = replace(WHOLE, origin_unknown=True, what="JIGS ONLY")
    said = reading.text(label.roll([unknown]))

    assert "ORIGIN" in said
    assert "UNKNOWN" in said
    assert "Dalbergia" not in said


def test_a_piece_bears_its_word_and_no_triangle() -> None:
    """A whole triangle says that nobody has sawn the board."""
    piece = replace(WHOLE, made="offcut")
    whole, sawn = raster(label.roll([WHOLE]), 203), raster(label.roll([piece]), 203)
    # The foot of the triangle, from x 22 to 29 mm at y 11.6 mm.
    foot = [(x, 93) for x in range(176, 232)]

    assert "offcut" in reading.text(label.roll([piece]))
    assert all(whole.getpixel(dot) == 0 for dot in foot)
    assert all(sawn.getpixel(dot) for dot in foot)


def test_a_piece_says_which_board_it_was_sawn_from() -> None:
    """Its own code has the board's number, and not the half that it came from."""
    half = replace(WHOLE, made="offcut", parent=f"{WHOLE.lot}-05.A")
    other = replace(WHOLE, made="piece", parent=f"{WHOLE.lot}-107.C112")

    assert "of 05.A" in reading.text(label.roll([half]))
    assert "of 107.C112" in reading.text(label.roll([other]))
    assert [overlaps(label.roll([each])) for each in (half, other)] == [[], []]


def test_a_glued_piece_names_its_other_lot_or_how_many() -> None:
    """In place of the day, since each came in on its own."""
    two = reading.text(label.roll([replace(WHOLE, made="glued", also=("L26-001",))]))
    four = reading.text(label.roll([replace(WHOLE, made="glued", also=("a", "b"))]))

    assert "and L26-001" in two
    assert "+ 2 lots" in four
    assert WHOLE.received not in two + four


@pytest.mark.parametrize("dpi", [203, 300, 600])
@pytest.mark.parametrize("language", ["en", "fr", "de", "es"])
def test_an_entry_in_dispute_stands_on_the_label(
    language: str, dpi: Literal[203, 300, 600]
) -> None:
    """In place of the day, or of other lots, and however many entries there are."""
    marked = replace(BACK_A, disputed=1_234_567, language=language)
    glued = replace(WHOLE, made="glued", also=("a", "b"), disputed=40)
    pdf = label.roll([marked, replace(glued, language=language)], dpi)

    assert "1\u202f234\u202f567" in reading.text(pdf).replace("\u2009", "\u202f")
    assert " 40" in reading.text(pdf, page=1)
    assert marked.received not in reading.text(pdf)
    assert [overlaps(pdf, page) for page in (0, 1)] == [[], []]
    assert [outside(pdf, [(2, 49)], page) for page in (0, 1)] == [[], []]


def test_labels_are_black_and_nothing_lighter() -> None:
    """A thermal head has one colour, and burns anything lighter as a pattern."""
    document = pdfium.PdfDocument(label.roll([BACK_A]))
    image = document[0].render(scale=8).to_pil().convert("L")
    document.close()
    # The code at the left end of the bottom line.
    code = image.crop((0, 8 * 52, 8 * 60, image.height))

    assert code.getextrema() == (0, 255)


def test_a_long_child_code_finds_its_place() -> None:
    """A code of sixteen characters and a long word share the bottom line."""
    child = replace(WHOLE, code="L26-1031-107.C12", what="fingerboard blank")
    said = reading.text(label.roll([child]))

    assert "L26-1031-107.C12" in said
    assert "fingerboard blank" in said


@pytest.mark.parametrize(
    ("field", "change"),
    [
        ("lot", {"lot": "L26-031-and-a-half"}),
        ("code", {"code": "L" * 40, "host": ""}),
    ],
)
def test_what_does_not_fit_is_refused_by_name(
    field: str, change: dict[str, str]
) -> None:
    """Type is narrowed and shrunk to its floor, and a code is then refused."""
    label_ = BACK_A
    for name, value in change.items():
        label_ = replace(label_, **{name: value})  # type: ignore[arg-type]
    with pytest.raises(RefusedError, match=rf"^{field} does not fit the paper"):
        label.roll([label_])


@pytest.mark.parametrize("word", ["W", "琴", "binding and purfling "])
@pytest.mark.parametrize("half", ["A", None])
def test_a_use_of_any_length_gives_way_to_the_code(
    word: str, half: Literal["A"] | None
) -> None:
    """What it is loses its end, and says so; code and half stand whole."""
    use, code = word * 30, f"L24-018-107{'.A' if half else '.C12'}"
    what = f"{use}, half A" if half else use
    shown = replace(BACK_A, code=code, half=half, what=what)
    said = reading.text(label.roll([shown]))

    assert code in said
    assert f"…{', half A' if half else ''}" in said and word[0] in said
    assert f"{code}: {what!r} is shortened to" in " ".join(label.notices([shown]))
    assert "shortened" not in " ".join(label.notices([BACK_A]))


def test_a_long_scientific_name_takes_more_lines_and_is_whole() -> None:
    """Half an epithet would be that of another tree."""
    shown = replace(BACK_A, epithet="longissima borealis var. septentrionalis")
    pdf = label.roll([shown])
    said = " ".join(reading.text(pdf).split())

    assert "longissima borealis var. septentrionalis" in said and "…" not in said
    assert overlaps(pdf) == []


@pytest.mark.parametrize("field", ["genus", "epithet"])
def test_a_name_that_no_lines_hold_loses_its_end(field: str) -> None:
    """It was taken when the lot came in: nobody is refused at the printer."""
    endless = "pseudoacacioides-longissima-borealis"
    shown = replace(BACK_A, genus=endless)
    if field == "epithet":
        shown = replace(BACK_A, epithet=endless)

    said = reading.text(label.roll([shown]))

    assert "pseudoacacioides" in said and "…" in said


def test_a_replacement_keeps_its_number() -> None:
    """Beside the longest code too."""
    shown = replace(WHOLE, code="L26-1031-107.C12", replacement=12)

    assert "REPLACEMENT 12" in reading.text(label.roll([shown]))


def test_a_long_host_steps_the_symbol_down_with_a_notice() -> None:
    """A host of 12 characters still prints, and the shop is told at what price."""
    longer = replace(BACK_A, host="loft.example")

    assert label.notices([BACK_A]) == ()
    assert label.notices([longer, longer]) == (
        "'HTTPS://LOFT.EXAMPLE/B/L23-040-02.A7' has 36 characters, and 35 is the most "
        "for the strongest symbol; printed at level Q",
    )


def test_a_shop_without_a_host_prints_the_code_alone() -> None:
    """The symbol of such a shop is read by its own bench and by nobody else."""
    image = raster(label.roll([replace(BACK_A, host="")]), 203)

    assert reading.symbols(image) == ["B/L23-040-02.A7"] * 2


def test_letters_that_no_face_has_are_noticed() -> None:
    """A word in Hangul is printed as geta marks and reported."""
    notices = label.notices([replace(BACK_A, what="뒤판")])

    assert notices == ("no face has U+B4A4 U+D310 of '뒤판'; printed as 〓",)


def test_a_roll_has_a_page_for_each_label() -> None:
    """Pages are 51 by 22 mm, one a label, in order."""
    drawn = label.roll([BACK_A, BACK_B])

    assert reading.pages(drawn) == 2
    assert raster(drawn, 203).size == (408, 176)
    assert reading.symbols(raster(drawn, 203, page=1))[0].endswith("02.B4")


def test_nothing_to_print_is_refused() -> None:
    """An empty roll is a mistake of whoever asked."""
    with pytest.raises(RefusedError, match="0 labels to print"):
        label.roll([])
    with pytest.raises(RefusedError, match="0 labels to print"):
        label_sheet.sheet([], HEADING)


def test_labels_ask_for_no_font_that_is_not_inside(tmp_path: Path) -> None:
    """Poppler finds every font embedded and no base font named."""
    if which("pdffonts") is None:
        pytest.skip("pdffonts cannot be run: apt install poppler-utils")
    drawn = label_sheet.sheet([BACK_A, BACK_B], HEADING)
    listed = reading.fonts(drawn, tmp_path)

    assert {embedded for _, embedded in listed} == {"yes"}
    assert all("Flitch" in name for name, _ in listed)
    assert b"Helvetica" not in drawn


def test_the_same_labels_give_the_same_bytes() -> None:
    """A reprint is the first print again."""
    labels = [BACK_A, WHOLE]

    assert label.roll(labels, 203) == label.roll(labels, 203)
    assert label.roll(labels, 300) == label.roll(labels, 300)
    assert label_sheet.sheet([BACK_A], HEADING) == label_sheet.sheet([BACK_A], HEADING)


@pytest.mark.parametrize("dpi", [203, 300])
def test_a_label_looks_as_it_was_approved(dpi: int) -> None:
    """Both symbols, the half's triangle, the code with its check character."""
    pdf = label.roll([BACK_A], dpi=203 if dpi == 203 else 300)
    assert looks.unlike(pdf, f"label-{dpi}") == ""


@pytest.mark.parametrize("language", ["fr", "de", "es"])
def test_in_no_language_do_words_meet_or_leave_the_label(language: str) -> None:
    """A half, a piece, a second label, wood of no known origin, and a glued one."""
    labels = [
        replace(each, language=language)
        for each in (
            BACK_A,
            replace(BACK_A, replacement=12),
            replace(WHOLE, lot="L24-018", made="offcut", parent="L24-018-107.C111"),
            replace(WHOLE, origin_unknown=True, what="JIGS ONLY"),
            replace(WHOLE, made="glued", also=("L24-011", "L24-012")),
        )
    ]
    pdf = label.roll(labels)

    for page in range(len(labels)):
        assert overlaps(pdf, page) == []
        assert outside(pdf, [(2, 49)], page) == []
    assert (
        overlaps(label_sheet.sheet(labels, replace(HEADING, language=language))) == []
    )


def test_a_german_label_looks_as_it_was_approved() -> None:
    """The half that it is stands beside the code in German."""
    pdf = label.roll([replace(BACK_A, language="de")])

    assert "Boden, Hälfte A" in reading.text(pdf)
    assert looks.unlike(pdf, "label-203-de") == ""
