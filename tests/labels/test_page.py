"""Tests of setting type on a page."""

import subprocess
import sys
from dataclasses import replace
from io import BytesIO

import pikepdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels import faces, picture
from labels.page import (
    A4,
    MM,
    Style,
    bookmark,
    close_document,
    fit,
    in_two,
    least,
    measure,
    open_document,
    rule,
    shortened,
    thousands,
    turn_over,
    wrap,
    wrap_small,
    write,
)
from ledger.errors import RefusedError
from tests.labels import reading

BODY = Style(face=faces.TEXT, size=10, floor=8)


def test_words_that_fit_are_left_alone() -> None:
    """A short name keeps its size and its width."""
    assert fit("Maura Kiely", BODY, 60) == (BODY, 1.0)


def test_long_words_are_narrowed_then_shrunk() -> None:
    """Down to 85 % the letters are narrowed; below that they are set smaller."""
    natural = measure("Oluwaseun Adeyemi-Brandt", BODY)
    narrowed, squeeze = fit("Oluwaseun Adeyemi-Brandt", BODY, natural * 0.9)
    shrunk, least = fit("Oluwaseun Adeyemi-Brandt", BODY, natural * 0.75)

    assert (narrowed.size, round(squeeze, 6)) == (10, 0.9)
    assert (round(shrunk.size, 3), least) == (round(10 * 0.75 / 0.85, 3), 0.85)


def test_words_too_long_for_the_paper_are_refused_by_field() -> None:
    """The refusal names the field and both lengths."""
    with pytest.raises(RefusedError) as refused:
        fit("x" * 100, BODY, 20, "name of badge 03")

    assert str(refused.value).startswith("name of badge 03 does not fit the paper: ")
    assert "20.0 mm are free; shorten it" in str(refused.value)


@given(st.text(max_size=60), st.floats(5, 80))
def test_fitted_words_never_run_over(words: str, within: float) -> None:
    """Whatever the words, they fit, or they are refused."""
    try:
        style, squeeze = fit(words, BODY, within, "name")
    except RefusedError:
        return

    assert measure(words, style) * squeeze <= within + 1e-6
    assert style.size >= BODY.floor - 1e-6


@given(st.text(alphabet="ab ń荒", max_size=200), st.floats(10, 80))
def test_wrapped_text_keeps_every_letter(text: str, within: float) -> None:
    """Lines are no wider than the measure and lose nothing but spaces."""
    lines = wrap(text, BODY, within)

    assert all(measure(line, BODY) <= within for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_a_number_and_its_unit_stay_on_one_line() -> None:
    """A thin space is no place to break."""
    text = f"weighed at 1986{faces.THIN_SPACE}g"
    narrow = measure("weighed at 1986", BODY)

    assert wrap(text, BODY, narrow) == ["weighed at", f"1986{faces.THIN_SPACE}g"]


def test_thousands_are_parted_from_five_digits_on() -> None:
    """71 391, but 1986."""
    assert thousands(1986) == "1986"
    assert thousands(71391) == "71\u2009391"
    assert thousands(-12345) == "−12\u2009345"


def test_words_stand_where_they_are_told() -> None:
    """Aligned at right or centred, ink keeps to its side of the line."""
    page = open_document((50.8, 25.4), "two words")
    write(page, (50.8, 10), "III", BODY, align="right")
    write(page, (25.4, 20), "III", BODY, align="centre")
    dots = picture.one_bit(close_document(page), page=0, dpi=254)
    ink = [(x, y) for y in range(254) for x in range(508) if not dots.getpixel((x, y))]
    upper = [x for x, y in ink if y < 127]
    lower = [x for x, y in ink if y >= 127]

    assert 500 < max(upper) < 508
    assert abs((min(lower) + max(lower)) / 2 - 254) < 2
    assert max(y for _, y in ink) <= 200


def test_a_document_says_what_it_is_and_names_no_foreign_font() -> None:
    """The title stands in the file, and no base font of the format is asked for."""
    page = open_document(A4, "Owner card 26-0147-3")
    rule(page, (20, 190), 20)
    write(page, (20, 30), "Made by these hands", BODY)
    turn_over(page)
    pdf = close_document(page)

    assert b"Owner card 26-0147-3" in pdf
    assert b"/Lang (en)" in pdf
    assert b"/Lang (de)" in close_document(open_document(A4, "Karte", "de"))
    assert b"Helvetica" not in pdf
    assert reading.pages(pdf) == 1
    assert reading.text(pdf) == "Made by these hands"


def test_a_list_of_contents_leads_to_each_part_and_opens_nothing() -> None:
    """Two parts with sections of the same name lead each to its own leaf and level."""
    page = open_document(A4, "Contents")
    for part in ("Łąki", "荒川"):
        bookmark(page, part)
        for level in (20, 120):
            bookmark(page, "Said plainly", level, level=1)
        turn_over(page)
    with pikepdf.open(BytesIO(close_document(page))) as pdf, pdf.open_outline() as told:
        leaves = [leaf.obj.objgen for leaf in pdf.pages]
        found = [
            (each.title, leaves.index(to[0].objgen), round(A4[1] - float(to[3]) / MM))
            for part in told.root
            for each in (part, *part.children)
            if isinstance(to := each.destination, pikepdf.Array)
        ]

        assert pdf.Root.PageMode == "/UseNone" and "/OpenAction" not in pdf.Root
    assert found == [
        (words, number, level)
        for number, part in enumerate(("Łąki", "荒川"))
        for words, level in ((part, 0), ("Said plainly", 20), ("Said plainly", 120))
    ]


def test_importing_the_labels_loads_no_drawing_library() -> None:
    """Who asks for help waits for no PDF, picture or symbol library."""
    code = (
        "import sys, labels; "
        "print([m for m in ('reportlab', 'PIL', 'qrcode', 'pikepdf') "
        "if m in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )

    assert run.stdout == "[]\n"


def test_no_words_fit_where_no_room_is_left() -> None:
    """An empty condition behind a name that fills its line."""
    assert fit("", BODY, -1.5) == (BODY, 1.0)


@given(st.text(max_size=60), st.floats(0, 80), st.sampled_from(["", ", 3 of 12"]))
def test_shortened_words_always_fit(words: str, within: float, tail: str) -> None:
    """What is left is the beginning, an ellipsis and the tail, or nothing."""
    whole = f"{faces.tidy(words)}{tail}"
    shown = shortened(whole, BODY, within, tail=tail)
    beginning, found, end = shown.rpartition("…")

    assert least(shown, BODY) <= within or not shown
    assert shown == whole or not found or end in (tail, "")
    assert whole.startswith(beginning) or tail.strip(" ,").startswith(beginning)


def test_words_may_be_shortened_by_their_style_only() -> None:
    """A code never is: it is whole, or refused."""
    page = open_document(A4, "x")
    name = replace(BODY, may_shorten=True)

    assert write(page, (10, 10), "Maura Kiely " * 9, name, within=20) <= 20
    with pytest.raises(RefusedError, match="does not fit the paper"):
        write(page, (10, 10), "Maura Kiely " * 9, BODY, within=20)


def test_a_text_is_shrunk_until_it_has_few_enough_lines() -> None:
    """Not past the floor of its style: there it has as many as it needs."""
    style = replace(BODY, size=10.0, floor=8.0)
    text = "Made by these hands, from these trees. " * 3
    wide = measure(text, style) / 2

    same, two = wrap_small(text, style, wide + 20, 2)
    assert (same, len(two)) == (style, 2)
    smaller, lines = wrap_small(text, style, wide * 0.95, 2)
    assert 8.0 < smaller.size < 10.0 and len(lines) == 2
    smallest, many = wrap_small(text, style, wide / 3, 2)
    assert smallest.size == 8.0 and len(many) > 2


def test_a_text_in_two_lines_breaks_at_a_space_and_loses_nothing() -> None:
    """Only a word that is longer than a line is broken, without a space in it."""
    style = Style(face=faces.TEXT, size=10)

    assert in_two("Old Loft", style, 40) == ["Old Loft"]
    assert in_two("Skerrymoor by the Harbour", style, 30) == [
        "Skerrymoor by the",
        "Harbour",
    ]
    word = "Brzęczyszczykiewiczówna" * 2
    first, second = in_two(word, style, 50)
    assert first + second == word
