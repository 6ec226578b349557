"""Tests of the plots of the wood, whatever they are given to draw."""

from dataclasses import replace
from functools import cache
from io import BytesIO

import pikepdf
import pytest
from PIL import Image

from labels import picture, plots
from labels.page import close_document, open_document, turn_over
from labels.plot_figure import Heading, Label
from tests import preflight
from tests.labels import book_samples, looks, reading
from tests.labels.overlaps import crowded, outside, overlaps, words
from tests.labels.plot_samples import match, seasoning, usual
from tests.labels.plot_trials import every

DAY = "2026-11-21"
EVERY = every() | book_samples.every()
USUAL = usual() | book_samples.usual()


@cache
def drawn(name: str, *, one_colour: bool = False) -> tuple[bytes, tuple[Label, ...]]:
    """Return a plot on an A5 sheet, and the words that it says it set."""
    page = open_document((210, 148), "plot")
    place = (11, 11, 188, 126)
    labels = plots.draw(page, place, EVERY[name], one_colour=one_colour)
    turn_over(page)
    return close_document(page), labels


@pytest.mark.parametrize("name", EVERY)
def test_nothing_overlaps_and_nothing_is_cut(name: str) -> None:
    """Long names, names from Japan, crowds, one point, none: all words stay apart."""
    pdf, labels = drawn(name)

    assert overlaps(pdf) == []
    assert outside(pdf, [(11, 199)]) == []
    assert all(each.top > 10.5 and each.foot < 137.5 for each in words(pdf))
    assert labels


@pytest.mark.parametrize("name", EVERY)
def test_every_label_can_be_copied(name: str) -> None:
    """Whatever a plot says it set is real text of the file, and inside its box."""
    pdf, labels = drawn(name)
    copied = "".join(reading.text(pdf).split())

    for label in labels:
        assert "".join(label.words.split()) in copied


@pytest.mark.parametrize("name", EVERY)
def test_the_boxes_of_labels_stay_apart(name: str) -> None:
    """The boxes by which words were placed share no more than a hair's breadth."""
    _, labels = drawn(name)

    assert crowded(labels) == []


@pytest.mark.parametrize("name", EVERY)
def test_in_one_colour_it_says_the_same(name: str) -> None:
    """Without tones the words are the same, in the same places."""
    colour, plain = drawn(name)[1], drawn(name, one_colour=True)[1]

    assert colour == plain


@pytest.mark.parametrize("name", USUAL)
def test_one_colour_has_no_tones(name: str) -> None:
    """Rendered without smoothing between, a plot in one colour is black and white."""
    pdf, _ = drawn(f"usual {name}", one_colour=True)
    page = Image.open(BytesIO(picture.png(pdf, page=0, dpi=100)))
    reds, _, blues = (list(band.tobytes()) for band in page.split())

    assert reds == blues


@pytest.mark.parametrize("name", USUAL)
def test_the_same_values_give_the_same_bytes(name: str) -> None:
    """A PDF and a PNG made twice are the same files."""
    plot = USUAL[name]

    assert plots.pdf(plot, day=DAY) == plots.pdf(USUAL[name], day=DAY)
    assert plots.png(plot) == plots.png(USUAL[name])


@pytest.mark.parametrize("name", USUAL)
def test_a_sheet_is_a5_landscape(name: str) -> None:
    """One page of 210 by 148 mm, and as a picture 150 dots to the inch."""
    plot = USUAL[name]
    file = Image.open(BytesIO(plots.png(plot)))

    assert reading.pages(plots.pdf(plot, day=DAY)) == 1
    assert (file.format, file.size) == ("PNG", (1240, 874))


@pytest.mark.parametrize("name", ["seasoning", "series"])
def test_a_sheet_is_fit_for_the_archive(name: str) -> None:
    """An independent judge finds nothing wrong but that A-1b is not what it claims.

    7.11.2: the metadata says part 3, and the judge knows part 1 only.
    """
    assert preflight.error_codes(plots.pdf(USUAL[name], day=DAY)) <= {"7.11.2"}


def test_a_sheet_with_a_photograph_is_fit_for_the_archive() -> None:
    """A photograph brings in nothing that an archive refuses."""
    photograph = Image.new("RGBA", (40, 90), (200, 150, 90, 128))
    out = BytesIO()
    photograph.save(out, format="PNG")
    left = match().left
    assert left is not None
    card = replace(match(), left=replace(left, photograph=out.getvalue()))

    assert preflight.error_codes(plots.pdf(card, day=DAY)) <= {"7.11.2"}


def test_title_and_day_stand_in_the_metadata_alone() -> None:
    """A title with signs of markup is kept as it is; there is no second place."""
    title = "Set 11 <came> to rest & stayed"
    plot = replace(seasoning(), heading=Heading(title=title, where="rack"))
    with pikepdf.open(BytesIO(plots.pdf(plot, day=DAY))) as pdf:
        metadata = pdf.Root.Metadata.read_bytes().decode()
        kept = pdf.open_metadata()["dc:title"]
        assert "/Info" not in pdf.trailer

    assert kept == title
    assert "<xmp:CreateDate>2026-11-21T00:00:00Z" in metadata


@pytest.mark.parametrize("name", USUAL)
def test_a_plot_is_a_figure_in_another_paper(name: str) -> None:
    """At its place on a larger page, it keeps to its place."""
    page = open_document((210, 297), "paper")
    plots.draw(page, (30, 150, 150, 104), USUAL[name])
    turn_over(page)
    pdf = close_document(page)

    assert overlaps(pdf) == []
    assert outside(pdf, [(30, 180)]) == []
    assert all(each.top > 149.5 and each.foot < 254.5 for each in words(pdf))


@pytest.mark.parametrize("name", book_samples.every())
def test_in_the_least_room_words_stay_apart(name: str) -> None:
    """On 96 by 70 mm there are fewer words, and none over another."""
    page = open_document((210, 148), "paper")
    plots.draw(page, (20, 20, 96, 70), EVERY[name])
    turn_over(page)
    pdf = close_document(page)

    assert overlaps(pdf) == []
    assert outside(pdf, [(20, 116)]) == []
    assert all(each.top > 19.5 and each.foot < 90.5 for each in words(pdf))


def test_what_no_face_has_is_named() -> None:
    """A name from Korea prints as a geta mark, and the shop is told."""
    plot = replace(seasoning(), heading=Heading(title="한 board", where="rack"))
    told = plots.notices(plot)

    assert len(told) == 1 and "U+D55C" in told[0]
    assert plots.notices(seasoning()) == ()


@pytest.mark.parametrize("name", USUAL)
def test_each_plot_looks_as_it_was_approved(name: str) -> None:
    """Lines, marks and words where they were."""
    pdf = plots.pdf(USUAL[name], day=DAY)
    assert looks.unlike(pdf, f"plot-{name}") == ""
