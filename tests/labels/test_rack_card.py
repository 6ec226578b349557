"""Tests of the card of a place in the rack."""

from dataclasses import replace

import pytest

from labels import rack_card
from labels.rack_card import FRAMES, Paper, RackCard
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps
from tests.labels.rack_samples import CARD, HANGUL, LONG_CARD

PAPERS: tuple[Paper, ...] = ("A5", "A4")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("card", [CARD, LONG_CARD, replace(CARD, rows=())])
def test_nothing_overlaps_and_nothing_is_cut(card: RackCard, paper: Paper) -> None:
    """With the longest codes and names, on every sheet of it."""
    drawn, frame = rack_card.draw(card, paper=paper), FRAMES[paper]

    assert reading.pages(drawn) == max(1, -(-len(card.rows) // frame.rows))
    for page in range(reading.pages(drawn)):
        assert overlaps(drawn, page) == []
        assert outside(drawn, [frame.sides], page) == []


def test_a_card_says_what_lies_there_and_when_it_is_ready() -> None:
    """A word or a day at the end of each line."""
    said = reading.text(rack_card.draw(CARD)).replace("\r\n", " ")

    for words in (
        "crib, shelf B",
        "4 boards or sets here when printed",
        "L26-004-03 Picea abies top ready",
        "L26-004-05 Picea abies top 2026-04-05",
        "L26-009-01 Dalbergia latifolia back HOLD H26-001",
        "in 26-0001-8",
        "ask it before you take wood",
    ):
        assert words in said
    assert "sheet" not in said


@pytest.mark.parametrize("paper", PAPERS)
def test_every_line_is_on_one_sheet_and_only_one(paper: Paper) -> None:
    """And each sheet says which of how many it is."""
    rows = tuple(CARD.rows[0]._replace(code=f"L26-004-{n:02}") for n in range(1, 61))
    drawn = rack_card.draw(replace(CARD, rows=rows), paper=paper)
    count = reading.pages(drawn)
    told = [reading.text(drawn, page) for page in range(count)]

    assert count > 1
    assert all(f"sheet {n} of {count}" in said for n, said in enumerate(told, 1))
    assert [sum(row.code in said for said in told) for row in rows] == [1] * 60


def test_an_empty_place_says_so() -> None:
    """Rather than a table without lines."""
    assert "nothing lies here" in reading.text(rack_card.draw(replace(CARD, rows=())))


def test_one_line_is_one_piece() -> None:
    """Nobody has 1 boards."""
    said = reading.text(rack_card.draw(replace(CARD, rows=CARD.rows[:1])))

    assert "1 piece here when printed" in said


def test_a_letter_that_no_face_has_is_noticed() -> None:
    """In the name of the place; one in Japanese prints as it is."""
    assert rack_card.notices(replace(CARD, place="山田の棚")) == ()
    assert "U+B4A4" in rack_card.notices(replace(CARD, place=HANGUL))[0]


def test_the_same_card_gives_the_same_bytes() -> None:
    """A reprint is the first print again."""
    assert rack_card.draw(CARD) == rack_card.draw(CARD)


def test_a_card_looks_as_it_did() -> None:
    """It was looked at as a picture, at print size, and found good."""
    assert not looks.unlike(rack_card.draw(CARD), "rack-card")


@pytest.mark.parametrize("language", ["fr", "de", "es"])
def test_in_no_language_do_words_meet_or_leave_the_card(language: str) -> None:
    """On the sheet of the United States as well."""
    for card in (CARD, LONG_CARD):
        drawn = rack_card.draw(replace(card, language=language), paper="Letter")

        assert overlaps(drawn) == []
        assert outside(drawn, [FRAMES["Letter"].sides]) == []
