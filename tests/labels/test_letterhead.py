"""Tests of the head of a letter: who writes, under a rule how to reach them."""

from dataclasses import replace
from typing import Literal

import pytest

from labels.emblem import read_emblem
from labels.letterhead import Letterhead, draw, texts
from labels.page import close_document, open_document, turn_over
from labels.sections import FRAMES
from tests.labels import reading
from tests.labels.overlaps import outside, overlaps, words
from tests.labels.test_emblem import SKERRY

Paper = Literal["A4", "Letter"]
SIDES = {"A4": (22.0, 188.0), "Letter": (24.95, 190.95)}
HEAD = Letterhead(shop="Skerrymoor Fretted Instruments", place="Port Anslow")
REACHED = replace(
    HEAD, lines=("The Loft, 4 Harbour Road", "bench@skm.example", "Port Anslow")
)
LONG = replace(
    HEAD,
    shop="Skerrymoor Fretted Instruments and Sons of the Old Loft " * 3,
    lines=("The long loft over the boat shed, by the old harbour of Port Anslow",) * 3,
    emblem=read_emblem(SKERRY),
)


def drawn(head: Letterhead, paper: Paper = "A4") -> tuple[bytes, float]:
    """Return a page with nothing but a head, and how far it moves what follows."""
    page = open_document(FRAMES[paper].size, "A letter")
    drop = draw(page, FRAMES[paper], head, "2026-11-21")
    turn_over(page)
    return close_document(page), drop


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("head", [HEAD, REACHED, LONG, Letterhead(shop="The Loft")])
def test_no_words_meet_and_none_leave_the_page(head: Letterhead, paper: Paper) -> None:
    """However long the name and its lines are, with an emblem and without."""
    pdf, _ = drawn(head, paper)

    assert overlaps(pdf) == []
    assert outside(pdf, [SIDES[paper]]) == []


def test_a_shop_without_lines_has_its_town_under_the_rule() -> None:
    """A shop that gave lines says there what it likes, and nothing is said twice."""
    town, reached = (reading.text(drawn(head)[0]) for head in (HEAD, REACHED))

    assert "Port Anslow" in town
    assert "4 Harbour Road" in reached and reached.count("Port Anslow") == 1


def test_lines_stand_in_one_row_as_long_as_it_holds_them() -> None:
    """Each further row moves the letter down."""
    assert [drawn(head)[1] for head in (HEAD, REACHED)] == [0.0, 0.0]
    pdf, drop = drawn(LONG)
    levels = {each.foot for each in words(pdf) if each.text.startswith("The long")}

    assert len(levels) == 3 and drop == pytest.approx(7.2)


def test_a_long_name_takes_two_lines_and_is_whole() -> None:
    """Beside the day, over the rule."""
    shop = "Skerrymoor Fretted Instruments and Harbour Workshops of the Old Loft"
    pdf, _ = drawn(replace(HEAD, shop=shop))

    assert shop in " ".join(reading.text(pdf).split())
    assert overlaps(pdf) == []


def test_an_emblem_stands_before_the_name() -> None:
    """And moves it to the right, not down."""
    plain, marked = (
        next(each for each in words(drawn(head)[0]) if "kerrymoor" in each.text)
        for head in (HEAD, replace(HEAD, emblem=read_emblem(SKERRY)))
    )

    assert marked.left > plain.left + 5 and marked.foot == pytest.approx(plain.foot)


def test_every_word_of_a_head_is_looked_at_for_letters_without_a_face() -> None:
    """The lines as well as the name."""
    assert texts(REACHED) == (HEAD.shop, HEAD.place, *REACHED.lines)
