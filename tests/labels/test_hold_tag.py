"""Tests of the tag of a hold."""

from dataclasses import replace

import pytest

from labels import hold_tag, picture
from labels.hold_tag import HoldTag, UnderHold
from ledger.benchcodes import HoldId
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps
from tests.labels.rack_samples import EMPTY_HOLD, HANGUL, HOLD, LONG_HOLD

TAGS = (HOLD, LONG_HOLD, EMPTY_HOLD)


@pytest.mark.parametrize("tag", TAGS)
def test_nothing_overlaps_and_nothing_is_cut(tag: HoldTag) -> None:
    """With the longest words, with forty lots under it and with none."""
    drawn = hold_tag.draw(tag)

    assert reading.pages(drawn) == 1
    assert overlaps(drawn) == []
    assert outside(drawn, [(6, 99)]) == []


@pytest.mark.parametrize("dpi", [203.2, 300, 600])
@pytest.mark.parametrize("tag", TAGS)
def test_the_symbol_reads_from_any_printer(tag: HoldTag, dpi: float) -> None:
    """And is the hold's own number."""
    image = picture.one_bit(hold_tag.draw(tag), page=0, dpi=dpi)

    assert reading.symbols(image) == [hold_tag.payload(tag)]


def test_the_scan_of_a_tag_is_read_as_its_hold() -> None:
    """By the same rule that reads every label."""
    assert str(HoldId.parse(hold_tag.payload(HOLD))) == HOLD.code


def test_a_tag_says_what_is_in_doubt_and_who_lifts_it() -> None:
    """The word first, and why nobody may say: it is kept out of the log."""
    said = reading.text(hold_tag.draw(HOLD)).replace("\r\n", " ")

    for words in (
        "HOLD",
        "H26-001",
        "document D26-0001, export permit IT-2026-0047",
        "2026-01-05, placed 2026-01-12, entry 63 402".replace(" 402", "\u2009402"),
        "a lead: Oluwaseun Adeyemi-Brandt, badge 05",
        "14 boards when printed",
        "L26-004-03 to 13, 15",
        "Dalbergia latifolia",
        "until the hold is lifted",
    ):
        assert words in said


def test_a_hold_of_all_time_names_no_day_since_when() -> None:
    """Only when it was placed; and nobody is named where nobody may lift it."""
    said = reading.text(hold_tag.draw(EMPTY_HOLD)).replace("\r\n", " ")

    assert "since placed 2026-01-12" in said
    assert "nobody, when this was printed" in said
    assert "no board when this was printed" in said


def test_the_plate_is_sawn_at_both_ends() -> None:
    """Teeth at the ends mean stop, also for whoever reads no letters."""
    image = picture.one_bit(hold_tag.draw(HOLD), page=0, dpi=254)
    # Just below its upper edge the plate is whole; a sixth down it is cut in.
    ends = [
        [
            image.getpixel((x, round(10 * (18 + 27 * share))))
            for x in (80, 100, 949, 969)
        ]
        for share in (0.03, 1 / 6)
    ]

    assert [not dot for dot in ends[0]] == [True] * 4
    assert [bool(dot) for dot in ends[1]] == [True] * 4


def test_lots_that_have_no_room_are_counted() -> None:
    """Eight lines hold eight lots, or seven and how many more."""
    lots = tuple(UnderHold(f"L26-{n:03}-01", "Picea abies") for n in range(1, 10))
    eight = reading.text(hold_tag.draw(replace(HOLD, rack=lots[:8])))
    nine = reading.text(hold_tag.draw(replace(HOLD, rack=lots)))

    assert "L26-008-01" in eight and "more lots" not in eight
    assert "and 2 more lots: flitchbook hold show H26-001" in nine


def test_who_lift_a_hold_are_counted_where_they_are_many() -> None:
    """Names that have no room are not forgotten without a word."""
    leads = tuple(f"Oluwaseun Adeyemi-Brandt {n}" for n in range(40))
    told = reading.text(hold_tag.draw(replace(HOLD, lifted_by=leads)))

    assert "a lead (40): Oluwaseun Adeyemi-Brandt 0" in told
    assert "Brandt 39" not in told and "…" in told


def test_a_letter_that_no_face_has_is_noticed() -> None:
    """In the words of what is in doubt."""
    assert hold_tag.notices(HOLD) == ()
    assert "U+B4A4" in hold_tag.notices(replace(HOLD, doubted=HANGUL))[0]


def test_the_same_tag_gives_the_same_bytes() -> None:
    """A reprint is the first print again."""
    assert hold_tag.draw(HOLD) == hold_tag.draw(HOLD)


def test_a_tag_looks_as_it_did() -> None:
    """It was looked at as a picture, at print size, and found good."""
    assert not looks.unlike(hold_tag.draw(HOLD), "hold-tag")


@pytest.mark.parametrize("language", ["fr", "de", "es"])
def test_in_no_language_do_words_meet_or_leave_the_tag(language: str) -> None:
    """The word in the plate is as loud in each."""
    for tag in TAGS:
        drawn = hold_tag.draw(replace(tag, language=language))

        assert overlaps(drawn) == []
        assert outside(drawn, [(6, 99)]) == []


def test_a_german_tag_looks_as_it_did() -> None:
    """It was looked at as a picture, at print size, and found good."""
    drawn = hold_tag.draw(replace(HOLD, language="de"))

    assert "GESPERRT" in reading.text(drawn)
    assert not looks.unlike(drawn, "hold-tag-de")
