"""Tests of the slip on a sealed envelope."""

from dataclasses import replace

import pytest

from labels import envelope, picture
from labels.envelope import FRAMES, Envelope, Paper
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps, words
from tests.labels.rack_samples import ENVELOPE, HANGUL, LONG_ENVELOPE

PAPERS: tuple[Paper, ...] = ("A6", "DL")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("slip", [ENVELOPE, LONG_ENVELOPE])
def test_nothing_overlaps_and_nothing_is_cut(slip: Envelope, paper: Paper) -> None:
    """With the longest names, on the slip and on a long envelope."""
    drawn, frame = envelope.draw(slip, paper=paper), FRAMES[paper]

    assert reading.pages(drawn) == 1
    assert overlaps(drawn) == []
    assert outside(drawn, [(frame.left, frame.right)]) == []


@pytest.mark.parametrize("paper", PAPERS)
def test_there_is_room_to_sign_over_each_line(paper: Paper) -> None:
    """No printed word stands in the 8 mm above the lines at the foot."""
    level = FRAMES[paper].size[1] - 11
    drawn = envelope.draw(LONG_ENVELOPE, paper=paper)

    assert not [w.text for w in words(drawn) if level - 8 < w.foot and w.top < level]


def test_a_key_is_told_in_groups_of_four() -> None:
    """So that two people can compare it aloud."""
    assert envelope.grouped("7f3a91c204be5d18") == "7f3a 91c2 04be 5d18"
    assert "7f3a 91c2 04be 5d18" in reading.text(envelope.draw(ENVELOPE))


def test_a_slip_says_whose_and_what_to_do() -> None:
    """And who sealed it, and on which day."""
    said = reading.text(envelope.draw(ENVELOPE)).replace("\r\n", " ")

    for told in (
        "Root key",
        "2 of 3 together",
        "root-1.json",
        "2026-01-12",
        "Oluwaseun Adeyemi-Brandt",
        "Ask who was there",
        "Tell whoever has another root",
        "signed across the flap",
    ):
        assert told in said


def test_nothing_on_a_slip_is_scanned() -> None:
    """A symbol would invite to look for what is inside."""
    image = picture.one_bit(envelope.draw(ENVELOPE), page=0, dpi=300)

    assert reading.symbols(image) == []


def test_a_letter_that_no_face_has_is_noticed() -> None:
    """In a name; one in Japanese prints as it is."""
    assert envelope.notices(replace(ENVELOPE, whose="山田 花子")) == ()
    assert "U+B4A4" in envelope.notices(replace(ENVELOPE, sealed_by=HANGUL))[0]


def test_the_same_slip_gives_the_same_bytes() -> None:
    """A reprint is the first print again."""
    assert envelope.draw(ENVELOPE) == envelope.draw(ENVELOPE)


def test_a_slip_looks_as_it_did() -> None:
    """It was looked at as a picture, at print size, and found good."""
    assert not looks.unlike(envelope.draw(ENVELOPE), "envelope")


@pytest.mark.parametrize("language", ["fr", "de", "es"])
def test_in_no_language_do_words_meet_or_leave_the_slip(language: str) -> None:
    """Nor run into the lines to sign on."""
    for paper in PAPERS:
        drawn = envelope.draw(replace(LONG_ENVELOPE, language=language), paper=paper)
        frame = FRAMES[paper]

        assert overlaps(drawn) == []
        assert outside(drawn, [(frame.left, frame.right)]) == []
