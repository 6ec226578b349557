"""The witness slip reads as a picture, as words and as rings, and nothing is cut."""

from dataclasses import replace

import pytest

from labels.witness_slip import WitnessSlip, draw, notices
from ledger.check.outside import read_outside
from ledger.errors import RefusedError
from ledger.words import ten_words
from tests.labels import looks, overlaps, reading
from tests.labels.samples import ROOT, TAG
from tests.ledger.log.workshop import VECTORS

NOTE = (VECTORS / "checkpoint").read_text(encoding="utf-8")
SLIP = WitnessSlip(
    place="the Loft",
    origin="ledger-642354af338e4a9e",
    size=71_391,
    date="2026-09-04",
    root=ROOT,
    ten_words=ten_words(ROOT),
    checkpoint_note=TAG.checkpoint_note,
)


def test_every_word_and_number_is_text() -> None:
    """The count, its day, the ten words in their order, the log."""
    text = reading.text(draw(SLIP), 0)

    for said in ("71\u2009391", "entries", "2026-09-04", "ledger-642354af338e4a9e"):
        assert said in text, said
    places = [text.index(word) for word in SLIP.ten_words]
    assert len(set(places)) == 10


def test_the_same_head_gives_the_same_bytes_and_another_another_picture() -> None:
    """Nothing but the facts is in it."""
    assert draw(SLIP) == draw(SLIP)
    assert draw(SLIP) != draw(replace(SLIP, root=bytes(32)))


@pytest.mark.parametrize("size", [1, 99_999, 9_999_999])
def test_any_count_fits(size: int) -> None:
    """Up to ten million entries; one is an entry."""
    text = reading.text(draw(replace(SLIP, size=size)), 0)
    assert ("entry" in text) is (size == 1)


def test_a_count_that_no_shop_reaches_is_refused_by_its_field() -> None:
    """It would run over the date."""
    with pytest.raises(RefusedError, match="entries does not fit the paper"):
        draw(replace(SLIP, size=10**18))


def test_a_letter_that_no_face_has_is_told() -> None:
    """It is marked on the slip."""
    assert notices(SLIP) == ()
    assert any("한" in told for told in notices(replace(SLIP, place="한 Loft")))


def test_no_words_run_into_others_or_off_the_slip() -> None:
    """Whatever is counted, and whatever the place is called."""
    for slip in (
        SLIP,
        replace(SLIP, size=9_999_999, place="Skerrymoor by the Harbour"),
    ):
        pdf = draw(slip)
        assert overlaps.overlaps(pdf) == []
        assert overlaps.outside(pdf, [(5.0, 100.0)]) == []


def test_a_long_place_stands_whole_under_the_head() -> None:
    """And takes the width of the column."""
    text = reading.text(draw(replace(SLIP, place="the Loft, Port Anslow")), 0)
    assert "the Loft, Port Anslow" in text


def test_the_slip_looks_as_it_was_approved() -> None:
    """Tree, words and core where they were."""
    assert looks.unlike(draw(SLIP), "witness-slip") == ""


@pytest.mark.parametrize("language", ["fr", "de", "es"])
def test_in_no_language_do_words_meet_or_leave_the_slip(language: str) -> None:
    """How it is used is set as large as there is room for it; the ten words stay."""
    pdf = draw(replace(SLIP, language=language))

    assert overlaps.overlaps(pdf) == []
    assert overlaps.outside(pdf, [(5.0, 100.0)]) == []
    assert all(each.foot <= 72.5 for each in overlaps.words(pdf))
    assert all(word in reading.text(pdf) for word in SLIP.ten_words)


def test_its_checkpoint_rides_in_its_file() -> None:
    """As it was signed, where whoever is sent the file can hold it against a log."""
    note = read_outside(draw(replace(SLIP, checkpoint_note=NOTE)), "a paper").note

    assert note == NOTE
