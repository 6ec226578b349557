"""Tests of the letter in draft: marked on page and text, and nothing lost between."""

from dataclasses import replace

import pytest

from labels import picture
from labels.letter import LetterPage, Part, draw, notices, text
from labels.letterhead import Letterhead
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps, words

HEAD = Letterhead(shop="Skerrymoor Fretted Instruments", place="Port Anslow")
LETTER = LetterPage(
    head=HEAD,
    day="2026-11-21",
    to="Amélie Rousset",
    about="26-0031-7, certificate C-2026-00088",
    parts=(
        Part(heading="", paragraphs=("This is about your Tidewarden.",)),
        Part(
            heading="What our record holds",
            paragraphs=("Its top is board L26-004-11.A (entry 41).",),
        ),
        Part(heading="What we ask of you", paragraphs=("Please write to us.",)),
    ),
    closing="Please answer to Rukmini Desai at Skerrymoor Fretted Instruments.",
    note="This letter says what the record holds and no more.",
    as_of_entry=86_114,
)
LONG = "Associated Mountain Spruce and Maple Sawyers of the Upper Val Corda " * 4


def facts(number: int) -> LetterPage:
    """Return a letter of so many facts."""
    lines = tuple(f"Fact {n} of what the record holds of it." for n in range(number))
    part = Part(heading="What our record holds", paragraphs=lines)
    return replace(LETTER, parts=(LETTER.parts[0], part, LETTER.parts[2]))


def said(letter: LetterPage) -> str:
    """Return the text of the page, all spaces alike."""
    return " ".join(reading.text(draw(letter)).split())


EVERY = {
    "usual": LETTER,
    "bare": replace(LETTER, parts=(), head=replace(HEAD, place="")),
    "full": facts(14),
    "too many facts": facts(80),
    "long names": replace(
        LETTER,
        head=Letterhead(shop=LONG, lines=("4 Harbour Road, the Loft " * 3,) * 3),
        to=LONG,
        about=LONG,
        closing=LONG,
    ),
    "wide": replace(LETTER, to="琴匠陽子の製材所と楽器店"),
}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", EVERY)
def test_no_words_meet_and_none_leave_the_page(name: str, paper: str) -> None:
    """Whatever the letter has to say, on both papers."""
    pdf = draw(EVERY[name], paper=paper)
    sides = (22.0, 188.0) if paper == "A4" else (24.95, 190.95)

    assert overlaps(pdf) == []
    assert outside(pdf, [sides]) == []
    assert picture.pages(pdf) == 1
    assert all(each.foot < 275 for each in words(pdf))


@pytest.mark.parametrize("name", EVERY)
def test_page_and_text_are_marked_as_drafts(name: str) -> None:
    """First of all, so that nobody takes it for one that was sent."""
    assert "Draft, not sent" in said(EVERY[name])
    assert text(EVERY[name]).startswith("DRAFT, NOT SENT\n")


def test_the_text_says_how_to_reach_the_shop_as_the_page_does() -> None:
    """Each line of the letterhead, after the name, the town and the day."""
    letter = replace(LETTER, head=replace(HEAD, lines=("4 Harbour Road", "the Loft")))
    first = "Skerrymoor Fretted Instruments, Port Anslow, 2026-11-21"

    assert text(letter).split("\n\n")[1:3] == [first, "4 Harbour Road\nthe Loft"]
    assert "4 Harbour Road" in said(letter)


def test_the_text_has_all_that_the_page_has_no_room_for() -> None:
    """And the page says how much that is."""
    letter = EVERY["too many facts"]
    page = said(letter)

    assert "lines more, in the text beside this page" in page
    assert all(
        line in text(letter) for part in letter.parts for line in part.paragraphs
    )
    assert letter.closing in text(letter) and letter.note in text(letter)
    assert LETTER.closing in said(LETTER)


def test_the_same_letter_gives_the_same_bytes() -> None:
    """No time and no chance; a page, and a picture of it."""
    pdf = draw(LETTER)

    assert pdf == draw(LETTER)


def test_a_letter_of_nothing_strange_has_no_notice() -> None:
    """A character without a form is named."""
    assert notices(LETTER) == ()
    (told,) = notices(replace(LETTER, to="한"))
    assert "U+D55C" in told


def test_a_letter_looks_as_it_was_approved() -> None:
    """One plain page, marked as a draft."""
    assert looks.unlike(draw(LETTER), "letter") == ""
