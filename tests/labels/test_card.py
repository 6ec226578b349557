"""Tests of the owner card."""

from dataclasses import replace
from pathlib import Path

import pytest

from labels import card, picture
from labels.tongue import tongue
from ledger.errors import RefusedError
from ledger.languages import LANGUAGES
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps
from tests.labels.overlaps import words as words_on
from tests.labels.samples import CARD, CARD_TEXT


def test_the_symbol_on_the_back_says_the_card_text() -> None:
    """Printed in black and white at 600 dots to the inch, the card reads back."""
    drawn = card.draw(CARD)

    assert reading.symbols(picture.one_bit(drawn, page=1, dpi=600)) == [CARD_TEXT]
    assert reading.symbols(picture.one_bit(drawn, page=0, dpi=600)) == []


def test_a_signed_card_is_read_back_whole() -> None:
    """The card text of the fixed vectors survives print and camera."""
    text = (Path(__file__).parents[1] / "vectors" / "log" / "card.txt").read_text()
    drawn = card.draw(replace(CARD, card_text=text))

    assert reading.symbols(picture.one_bit(drawn, page=1, dpi=600)) == [text]


def test_a_card_is_of_the_size_of_a_bank_card() -> None:
    """Two pages of 85.6 by 53.98 mm. Source: ISO/IEC 7810, ID-1."""
    drawn = card.draw(CARD)

    assert reading.pages(drawn) == 2
    assert picture.one_bit(drawn, page=0, dpi=254).size == (856, 540)


def test_the_front_names_the_instrument_and_the_back_how_to_check_it() -> None:
    """What the owner compares is real text on both sides."""
    drawn = card.draw(CARD)
    front, back = reading.text(drawn), reading.text(drawn, page=1)

    for words in ("Tidewarden", "flat-top guitar, 2026", "26-0147-3", "C-2026-00088"):
        assert words in front
    for words in ("To check", "26-0147-3", "1986\u2009g", "Dalbergia latifolia"):
        assert words in back
    assert "No title, no permit." in back


def test_a_card_says_how_it_is_checked_and_promises_no_more() -> None:
    """By the page that needs nothing installed; no camera is promised to do it."""
    back = reading.text(card.draw(CARD), page=1)

    assert "Point a phone" not in back
    assert "Ask the shop for its page that" in back
    assert "in a browser of today" in back


def test_the_chief_woods_stand_on_a_card_and_the_others_are_counted() -> None:
    """Whoever holds the card may not think that two woods are all."""
    woods = ("Swietenia macrophylla", "Dalbergia latifolia", *["Juglans nigra"] * 3)
    pdf = card.draw(replace(CARD, species=woods))
    back = reading.text(pdf, page=1)

    assert "Dalbergia latifolia" in back
    assert "Juglans" not in back
    assert "and 3 more" in back
    assert "more" not in reading.text(card.draw(CARD), page=1)
    assert overlaps(pdf, page=1) == []


def test_a_third_wood_takes_the_line_that_would_count_it() -> None:
    """Nobody is told of one more where its name has room."""
    woods = ("Swietenia macrophylla", "Dalbergia latifolia", "Juglans nigra")
    pdf = card.draw(replace(CARD, species=woods))

    assert "Juglans nigra" in reading.text(pdf, page=1)
    assert "more" not in reading.text(pdf, page=1)
    assert "card key" in reading.text(pdf, page=1)


def test_a_long_model_is_set_smaller_and_an_endless_one_shortened() -> None:
    """The front holds a long name on one line, or shows that it does not."""
    long = replace(CARD, model="Tidewarden of the Northern Harbour")

    endless = reading.text(card.draw(replace(CARD, model="Tidewarden " * 9)))

    assert long.model in " ".join(reading.text(card.draw(long)).split())
    assert "Tidewarden Tidewarden" in endless and "…" in endless


@pytest.mark.parametrize("letter", ["W", "琴"])
def test_which_of_a_run_a_card_is_of_is_never_shortened(letter: str) -> None:
    """The name of the run gives way to the number in it."""
    said = reading.text(card.draw(replace(CARD, run=f"{letter * 90}, 3 of 12")))

    assert f"{letter}…, 3 of 12" in said


def test_a_serial_is_never_shortened() -> None:
    """What names the instrument is whole or refused."""
    with pytest.raises(RefusedError, match=r"^serial does not fit the paper"):
        card.draw(replace(CARD, serial="26-0147-3" * 9))


def test_foreign_letters_are_set_or_noticed() -> None:
    """A Japanese model prints in its own letters; a Korean one is reported."""
    japanese, korean = replace(CARD, model="潮守"), replace(CARD, model="파수꾼")

    assert "潮守" in reading.text(card.draw(japanese))
    assert card.notices(japanese) == ()
    assert "〓〓〓" in reading.text(card.draw(korean))
    assert len(card.notices(korean)) == 1


def test_the_same_card_gives_the_same_bytes() -> None:
    """A card drawn twice is one card."""
    assert card.draw(CARD) == card.draw(CARD)


def test_both_sides_look_as_they_were_approved() -> None:
    """Spine, figure and core in front, the symbol behind."""
    pdf = card.draw(CARD)
    assert looks.unlike(pdf, "card-front") == ""
    assert looks.unlike(pdf, "card-back", page=1) == ""


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_fits_the_card(language: str) -> None:
    """How to check it is whole on the back, with nothing over anything else."""
    say = tongue(language)
    pdf = card.draw(
        replace(CARD, language=language, species=(*CARD.species, "Juglans nigra"))
    )
    front, back = (" ".join(reading.text(pdf, page=n).split()) for n in (0, 1))

    assert overlaps(pdf) == overlaps(pdf, page=1) == []
    assert outside(pdf, [card.COLUMN, (4.6, 42.0)], page=1) == []
    assert say("flat-top guitar") in front
    for words in (card.TO_CHECK, card.NOTHING_SENT, card.THEN_LOOK, card.NOT_A_TITLE):
        assert " ".join(say(words).split()) in back
    aside = [each for each in words_on(pdf, page=1) if each.left > 45]
    assert [each.text for each in aside if each.top < 31.2 < each.foot] == []
    assert say(card.THEN_LOOK).split()[-1] in [
        e.text.split()[-1] for e in aside if e.foot < 31.2
    ]


def test_a_french_card_looks_as_it_was_approved() -> None:
    """Both sides, in the language of whoever holds it."""
    pdf = card.draw(replace(CARD, language="fr"))

    assert looks.unlike(pdf, "card-fr-front") == ""
    assert looks.unlike(pdf, "card-fr-back", page=1) == ""
