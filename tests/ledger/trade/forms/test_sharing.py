"""Tests of the answers that several forms share."""

from dataclasses import replace
from datetime import date

import pytest

from ledger.trade.consignment import HeldPaper, Party
from ledger.trade.forms import filed, sharing
from ledger.trade.forms.declaration import declaration_worksheet
from ledger.trade.forms.musical import musical_worksheet
from tests.ledger.trade.forms.samples import (
    BLANK,
    EBONY,
    GUITAR,
    INVOICE,
    OLD,
    PERMIT,
    ROSEWOOD,
    SALE,
    SHELL,
    SIDES,
    TO_AMERICA,
    TOUR,
    with_items,
)


def test_a_party_is_written_as_on_an_envelope() -> None:
    """Name, lines, country; what is missing is asked, and what is known stands."""
    full = sharing.party(SALE.recipient, "importer")
    nameless = sharing.party(Party(name=""), "importer")
    homeless = sharing.party(Party(name="Jakub Wolański"), "importer")

    assert full.value == "Amélie Rousset, 12 quai des Lanternes, Lyon, France"
    assert (nameless.state, nameless.value) == ("ask", "")
    assert (homeless.state, homeless.value) == ("ask", "Jakub Wolański")
    assert homeless.comes_from == "address of the importer, in full"


def test_of_the_union_the_member_state_is_asked() -> None:
    """Unless the recipient's country is known."""
    assert sharing.country("EU", "way").state == "ask"
    assert sharing.country("EU", "way", "FR").value == "France (FR)"
    assert sharing.country("EU", "way", "EU").state == "ask"
    assert sharing.country("FR", "way", "DE").value == "France (FR)"


@pytest.mark.parametrize(
    ("said", "value", "state"),
    [
        ("sale", "T", "filled"),
        ("personal use", "P", "filled"),
        ("performance", "", "ask"),
        ("something else", "", "ask"),
        ("", "", "ask"),
    ],
)
def test_a_purpose_has_its_letter_or_is_asked(
    said: str, value: str, state: str
) -> None:
    """No letter is guessed."""
    found = sharing.purpose(replace(SALE, purpose=said))

    assert (found.value, found.state) == (value, state)


def test_a_source_that_nobody_told_is_asked_of_the_sawyer() -> None:
    """And O, for pre-Convention, stands with another letter."""
    assert sharing.source(ROSEWOOD, is_old=False).value == "W"
    assert sharing.source(ROSEWOOD, is_old=True).value == "W O"
    alone = sharing.source(replace(ROSEWOOD, source="O"), is_old=False)
    assert (alone.state, alone.value) == ("ask", "O")
    open_one = sharing.source(replace(BLANK, source=""), is_old=True)
    assert (open_one.state, open_one.value) == ("ask", "O")
    assert "ask the sawyer" in open_one.comes_from
    shell = sharing.source(replace(SHELL, source=""), is_old=False)
    assert "W taken from the wild, C bred in captivity" in shell.comes_from
    bought = sharing.source(replace(OLD, source=""), is_old=False)
    assert "ask whoever sold it" in bought.comes_from


def test_masses_were_weighed_or_stated() -> None:
    """What has no lot was not made here."""
    assert sharing.how_weighed((ROSEWOOD,)) == "as weighed"
    assert sharing.how_weighed((OLD,)) == "as stated"
    assert sharing.how_weighed((ROSEWOOD, OLD)) == "as weighed, or as stated"


def test_a_description_has_parts_pieces_marks_and_code() -> None:
    """What an officer compares with the thing in hand."""
    found = sharing.description((ROSEWOOD, SIDES), SALE)

    assert found.value == (
        "finished instruments: back, sides; 4 pieces; flat-top guitar 26-0147-3; "
        "marks: serial on the headstock, label inside; WPR"
    )
    assert "no three letters mean an instrument (MUS is musk)" in found.comes_from
    assert "not re-checked against the printed guide" in found.comes_from


def test_a_description_without_a_code_asks_for_it() -> None:
    """Shell inlay has no term that can be told; what is known stands."""
    found = sharing.description((SHELL,), SALE)

    assert found.state == "ask"
    assert found.value.startswith("inlay: inlay; 12 pieces; flat-top guitar 26-0147-3")
    assert "MUS" not in found.value


def test_many_things_are_named_on_the_packing_list() -> None:
    """Five hundred guitars do not stand in one box, and a count cannot be copied."""
    things = tuple(replace(GUITAR, code=f"26-{n:04}-0") for n in range(500))
    rows = tuple(replace(ROSEWOOD, thing=thing.code) for thing in things)
    found = sharing.description(rows, replace(SALE, things=things))

    assert "1000 pieces" in found.value
    assert "flat-top guitar, see packing list X26-0001" in found.value


def test_sawn_wood_is_counted_by_volume_once_it_is_measured() -> None:
    """An instrument is not, and neither is a board nobody measured."""
    assert sharing.counts_by_volume((BLANK,))
    assert not sharing.counts_by_volume((replace(BLANK, volume_mm3=None),))
    assert not sharing.counts_by_volume((BLANK, replace(BLANK, volume_mm3=None)))
    assert not sharing.counts_by_volume((ROSEWOOD,))


def test_papers_on_file_give_their_numbers_and_days() -> None:
    """A number that nobody wrote down is read from our copy."""
    other = HeldPaper(document="D24-0002", paper="Export Permit")
    rows = (replace(ROSEWOOD, held=(PERMIT, other, INVOICE)),)
    papers = filed.papers_of(rows, "export permit")

    assert papers == (PERMIT, other)
    assert sharing.numbers((PERMIT,), "permit").value == "IN-2023-0412"
    assert sharing.days((PERMIT,), "permit").value == "2023-11-02"
    assert sharing.numbers(papers, "permit").state == "ask"
    assert "read it from D23-0118, D24-0002" in sharing.days(papers, "p").comes_from
    assert sharing.paper_words(PERMIT) == "export permit IN-2023-0412 (D23-0118)"


def test_one_question_of_many_rows_is_asked_once() -> None:
    """With the rows it stands in."""
    asks = declaration_worksheet(TO_AMERICA).asks

    assert (
        "Box 12, every row: the value of this line in US dollars: the shop writes it"
    ) in asks
    assert len(set(asks)) == len(asks)


def test_what_every_form_asks_is_asked_once() -> None:
    """Photographs of two instruments; what one of them lacks is told with it."""
    marked = replace(OLD, thing=GUITAR.code)
    asks = musical_worksheet(with_items(TOUR, OLD, marked)).asks

    assert (
        "Photographs, every form: photographs to enclose: whole, the marks, each "
        "listed part"
    ) in asks
    assert (
        "Marks that cannot be changed, application for K26-0001: a mark that cannot "
        "be changed: stamped, branded, inlaid"
    ) in asks


def test_what_lacks_a_trade_name_leaves_its_box_empty() -> None:
    """And a scientific name is told with its lot."""
    assert sharing.common_name(replace(OLD, trade_name="")).state == "not for this"
    assert "lot L23-040" in sharing.scientific(ROSEWOOD).comes_from
    assert "back of K26-0001" in sharing.scientific(OLD).comes_from


def test_a_listing_is_told_with_its_annotation() -> None:
    """An item without one says that none was found."""
    assert sharing.appendix_words(ROSEWOOD) == "Appendix II, annotation #15"
    assert sharing.appendix_words(EBONY) == "no listing found"


def test_a_mass_is_the_sum_of_what_was_weighed() -> None:
    """A volume is one only where every piece has it."""
    assert sharing.mass_of((ROSEWOOD, SIDES)) == 1_146_000
    assert sharing.volume_of((ROSEWOOD, SIDES)) == 1_275_000
    assert sharing.volume_of((ROSEWOOD, EBONY)) is None
    assert sharing.days((replace(PERMIT, issued_on=date(2024, 2, 29)),), "x").value == (
        "2024-02-29"
    )
