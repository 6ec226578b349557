"""Tests of the card of a lot."""

from dataclasses import replace

import pytest

from labels import lot_card, picture
from labels.lot_card import HeldPaper, LotCard
from ledger.ids import LotId
from tests.labels import looks, reading
from tests.labels.overlaps import outside, overlaps
from tests.labels.rack_samples import HANGUL, LONG_LOT, LOT, UNKNOWN_LOT

HELD_LOT = replace(
    LOT,
    papers=(HeldPaper("D26-0001", "export permit 99 " * 9, "H26-002"),),
    holds=("H26-001", "H26-002"),
    wanted="measure the air",
)
CARDS = (LOT, LONG_LOT, UNKNOWN_LOT, HELD_LOT)


@pytest.mark.parametrize("card", CARDS)
def test_nothing_overlaps_and_nothing_is_cut(card: LotCard) -> None:
    """With the longest names, with many papers and with none."""
    drawn = lot_card.draw(card)

    assert reading.pages(drawn) == 1
    assert overlaps(drawn) == []
    assert outside(drawn, [(6, 99)]) == []


@pytest.mark.parametrize("dpi", [203.2, 300, 600])
@pytest.mark.parametrize("card", CARDS)
def test_the_symbol_reads_from_any_printer(card: LotCard, dpi: float) -> None:
    """And is the lot's, to be scanned at the rack."""
    image = picture.one_bit(lot_card.draw(card), page=0, dpi=dpi)

    assert reading.symbols(image) == [lot_card.payload(card)]


def test_the_scan_of_a_card_is_read_as_its_lot() -> None:
    """By the same rule that reads every label."""
    assert str(LotId.parse(lot_card.payload(LOT))) == LOT.code


def test_a_card_says_what_a_person_at_the_rack_needs() -> None:
    """What it is, from whom and where, how many, which papers, and when it is ready."""
    said = reading.text(lot_card.draw(LOT)).replace("\r\n", " ")

    for words in (
        "L26-004",
        "Picea abies",
        "European spruce",
        "Ferrante & Daughters",
        "2026-01-05",
        "24 came in",
        "not graded 11",
        "Italy (IT)",
        "D26-0001 invoice 4711/26",
        "1 missing: see lot evidence",
        "earliest 2026-04-05",
        "better 2026-07-04",
        "Printed 2026-01-12 16:40 UTC",
    ):
        assert words in said


def test_wood_that_nobody_can_name_claims_no_species() -> None:
    """The plate of what is not known stands in its place."""
    said = reading.text(lot_card.draw(replace(UNKNOWN_LOT, trade_name="walnut")))

    assert "ORIGIN UNKNOWN" in said
    assert "walnut" not in said
    assert "none on file" in said and "earliest" not in said


def test_papers_that_have_no_room_are_counted() -> None:
    """Four lines hold four papers, or three and how many more."""
    papers = tuple(HeldPaper(f"D26-{n:04}", "invoice") for n in range(5))
    four = reading.text(lot_card.draw(replace(LOT, papers=papers[:4])))
    five = reading.text(lot_card.draw(replace(LOT, papers=papers)))

    assert "D26-0003" in four and "more" not in four.replace("know more", "")
    assert "and 2 more: flitchbook lot show L26-004" in five
    assert "D26-0003" not in five


def test_a_letter_that_no_face_has_is_noticed() -> None:
    """A sawyer's name in Japanese is none of them."""
    odd = replace(LOT, sawyer=f"山田 {HANGUL}")

    assert lot_card.notices(replace(LOT, sawyer="山田 花子")) == ()
    assert "U+B4A4 U+D310" in lot_card.notices(odd)[0]
    assert "〓〓" in reading.text(lot_card.draw(odd))


def test_the_same_card_gives_the_same_bytes() -> None:
    """A reprint is the first print again."""
    assert lot_card.draw(LOT) == lot_card.draw(LOT)


def test_a_card_looks_as_it_did() -> None:
    """It was looked at as a picture, at print size, and found good."""
    assert not looks.unlike(lot_card.draw(LOT), "lot-card")


@pytest.mark.parametrize("language", ["fr", "de", "es"])
def test_in_no_language_do_words_meet_or_leave_the_card(language: str) -> None:
    """Longer labels move the words beside them, and what has no room is shortened."""
    for card in CARDS:
        drawn = lot_card.draw(replace(card, language=language))

        assert overlaps(drawn) == []
        assert outside(drawn, [(6, 99)]) == []


def test_a_hold_stands_on_the_plate_and_beside_its_paper() -> None:
    """Before any day; what room is left says what is to be done."""
    said = " ".join(reading.text(lot_card.draw(HELD_LOT)).split())

    assert "HOLD H26-001 +1" in said and "HOLD H26-002" in said
    assert "measure the air" in said and "2026-07-04" not in said


def test_what_is_to_be_done_takes_the_place_of_the_earliest_day() -> None:
    """The better day stands beside it."""
    card = replace(LOT, earliest="", wanted="measure the air")
    said = " ".join(reading.text(lot_card.draw(card)).split())

    assert "measure the air better 2026-07-04" in said
    assert "earliest" not in said
