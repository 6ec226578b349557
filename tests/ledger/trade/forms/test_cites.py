"""Tests of the worksheet for the form of the Convention."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given

from ledger.errors import RefusedError
from ledger.trade.consignment import Consignment
from ledger.trade.forms.boxes import boxes_of
from ledger.trade.forms.cites import cites_worksheet
from ledger.trade.forms.codes import codes, terms
from tests.ledger.trade.forms.samples import (
    BLANK,
    EBONY,
    OLD,
    ROSEWOOD,
    SALE,
    box,
    consignments,
    every_box,
    with_items,
)
from tests.ledger.trade.forms.test_amounts import number

EXPORT = replace(BLANK, origin="US", documents=("export permit",))
ANCIENT = replace(OLD, documents=("pre-Convention certificate",), source="W")


def test_every_box_of_the_form_stands_in_its_order() -> None:
    """Resolution Conf. 12.3, Annex 2, as our table has it."""
    (form,) = cites_worksheet(SALE).forms
    drawn = [*form.boxes, *form.specimens[0].boxes, *form.closing]

    assert [each.number for each in drawn] == [
        row.box for row in boxes_of("cites_boxes")
    ]


def test_a_row_is_what_the_record_says() -> None:
    """Two rosewood parts of one origin in row A."""
    sheet = cites_worksheet(SALE)
    values = {
        each: box(sheet, each).value
        for each in ("kind", "3a", "5a", "7", "8", "10", "11", "12", "12b")
    }

    assert values == {
        "kind": "re-export certificate",
        "3a": "France (FR)",
        "5a": "T",
        "7": "Dalbergia latifolia",
        "8": "East Indian rosewood",
        "10": "II W",
        "11": "1.146\u2009kg",
        "12": "India (IN), IN-2023-0412, 2023-11-02",
        "12b": "",
    }


def test_sawn_wood_is_counted_in_cubic_metres() -> None:
    """The mass stands beside, and both are summed."""
    sheet = cites_worksheet(SALE)
    found = box(sheet, "11", row=1)

    assert found.value == "0.00176\u2009m³"
    assert "0.960\u2009kg net, 1 piece" in found.comes_from
    assert sheet.forms[0].total_mass == "2.106\u2009kg"
    assert sheet.forms[0].total_volume == "0.00176\u2009m³"


def test_each_kind_of_document_is_a_form_of_its_own() -> None:
    """Export, re-export and pre-Convention do not stand on one."""
    sheet = cites_worksheet(with_items(SALE, ROSEWOOD, EXPORT, ANCIENT))

    assert [form.kind for form in sheet.forms] == [
        "re-export certificate",
        "export permit",
        "pre-Convention certificate",
    ]
    assert [box(sheet, "11a", form=n).state for n in range(3)] == [
        "not for this",
        "for the office",
        "not for this",
    ]


def test_a_pre_convention_specimen_has_its_day_and_its_letter() -> None:
    """Box 12b, and O beside the source."""
    sheet = cites_worksheet(with_items(SALE, ANCIENT))

    assert box(sheet, "12b").value == "1967-03-01"
    assert "without a paper for all" in box(sheet, "12b").comes_from
    assert box(sheet, "10").value == "I W O"
    undated = cites_worksheet(with_items(SALE, replace(ANCIENT, acquired=None)))
    assert box(undated, "12b").state == "ask"


def test_o_alone_asks_for_the_letter_that_it_stands_beside() -> None:
    """It tells how old a specimen is, and not where it comes from; never twice."""
    alone = replace(ANCIENT, source="O")
    found = box(cites_worksheet(with_items(SALE, alone)), "10")

    assert (found.value, found.state) == ("I O", "ask")
    assert "the letter of the source beside O: W taken from the wild, A" in (
        found.comes_from
    )


def test_a_mass_that_was_stated_is_not_called_weighed() -> None:
    """Of what was not made here, nobody here weighed a part."""
    stated = cites_worksheet(with_items(SALE, ANCIENT))

    assert "net, as stated, without packing" in box(stated, "11").comes_from
    weighed = box(cites_worksheet(SALE), "11").comes_from
    assert "net, as weighed, without packing" in weighed


def test_an_import_permit_is_asked_of_the_country_it_enters() -> None:
    """Appendix I into a country outside the Union."""
    item = replace(ANCIENT, documents=("export permit", "import permit"))
    sheet = cites_worksheet(with_items(SALE, item, legs=("US", "JP")))

    assert [form.kind for form in sheet.forms] == ["export permit", "import permit"]
    assert "of Japan" in box(sheet, "6", form=1).comes_from
    assert "of the United States" in box(sheet, "6", form=0).comes_from


def test_what_the_office_writes_is_no_blank() -> None:
    """Seven boxes are the office's; the bill of lading is the carrier's to tell."""
    states = {each.number: each.state for each in every_box(cites_worksheet(SALE))}
    offices = {number for number, state in states.items() if state == "for the office"}

    assert offices == {"1", "2", "5", "5b", "6", "13", "14"}
    assert states["15"] == "ask"
    assert "ask the carrier" in box(cites_worksheet(SALE), "15").comes_from


def test_what_must_be_asked_comes_first() -> None:
    """The shipment's own questions, then then the boxes."""
    asks = cites_worksheet(SALE).asks

    assert asks[0].startswith("whether Diospyros crassiflora needs papers (CITES)")
    assert asks[1].startswith("Box 10, B: the letter of the source")
    assert len(asks) == 5


def test_a_missing_address_is_asked() -> None:
    """The name that is known is written all the same."""
    nowhere = replace(SALE.recipient, address=())
    found = box(cites_worksheet(replace(SALE, recipient=nowhere)), "3")

    assert (found.value, found.state) == ("Amélie Rousset", "ask")


def test_two_borders_are_told() -> None:
    """A second certificate is given by the country on the way."""
    twice = ("re-export certificate", "re-export certificate")
    sheet = cites_worksheet(with_items(SALE, replace(ROSEWOOD, documents=twice)))

    assert any("a country on the way" in note for note in sheet.notes)
    assert len(sheet.forms) == 1


@pytest.mark.parametrize(
    ("consignment", "words"),
    [
        (with_items(SALE, EBONY), "no item was found to need one"),
        (with_items(SALE), "nothing in X26-0001 asks for a paper"),
        (with_items(SALE, OLD), "its items need a musical instrument certificate"),
        (replace(SALE, legs=("FR", "US")), "France uses the form of the Union"),
        (
            with_items(SALE, replace(ROSEWOOD, origin=None)),
            "back of 26-0147-3 (Dalbergia latifolia) has no country of origin",
        ),
        (
            with_items(SALE, ROSEWOOD, replace(BLANK, mass_mg=None)),
            "neck blank of L25-019-06 (Swietenia macrophylla) has no mass",
        ),
    ],
)
def test_what_cannot_be_written_is_refused(
    consignment: Consignment, words: str
) -> None:
    """With the component, or with why nothing asks for it."""
    with pytest.raises(RefusedError) as refused:
        cites_worksheet(consignment)

    assert words in str(refused.value)


def test_an_item_that_is_on_no_form_is_not_judged() -> None:
    """Ebony of no known country stops nobody from re-exporting rosewood."""
    loose = replace(EBONY, origin=None, mass_mg=None)

    assert len(cites_worksheet(with_items(SALE, ROSEWOOD, loose)).forms) == 1


@given(consignments())
def test_printed_rows_are_the_milligrams_of_their_items(
    consignment: Consignment,
) -> None:
    """Every item is in one row; masses add up; codes are in the tables."""
    sheet = cites_worksheet(consignment)
    rows = [row for form in sheet.forms for row in form.specimens]
    items = [item for row in rows for item in row.items]

    assert sorted(map(repr, items)) == sorted(map(repr, consignment.items))
    for form in sheet.forms:
        count = len(form.specimens)
        masses = [number(row.mass) for row in form.specimens]
        whole = sum(i.mass_mg or 0 for row in form.specimens for i in row.items)
        assert sum(masses) == number(form.total_mass)
        assert abs(number(form.total_mass) * 10**6 - whole) <= 500
        assert count <= 4 * form.copies < count + 4
        volumes = [number(row.volume) for row in form.specimens if row.volume]
        assert sum(volumes, Decimal(0)) == number(form.total_volume or "0\u2009m³")
    for row in rows:
        boxes = {each.number: each for each in row.boxes}
        letters = boxes["10"].value.split()[1:]
        assert set(letters) <= set(codes("source"))
        assert boxes["9"].value.rpartition("; ")[2] in terms()
        assert boxes["11"].value == (row.volume or row.mass)


@given(consignments())
def test_nothing_is_printed_as_unknown(consignment: Consignment) -> None:
    """What is asked is asked; a filled box is never empty."""
    sheet = cites_worksheet(consignment)
    for each in every_box(sheet):
        assert "unknown" not in (each.value + each.comes_from).casefold()
        assert "None" not in each.value
        assert (each.state == "filled") <= bool(each.value)
        assert (each.state in ("for the office", "not for this")) <= (not each.value)
        assert each.comes_from
    assert not any("unknown" in said.casefold() for said in sheet.asks)


def test_the_days_of_the_tables_are_on_the_sheet() -> None:
    """Of the listings, and of the boxes."""
    sheet = cites_worksheet(SALE)

    assert sheet.table_date == date(2026, 11, 24)
    assert sheet.newest_source == date(2025, 12, 31)
    assert sheet.boxes_checked_on == date(2026, 11, 24)
    assert sheet.boxes_newest_source == date(2026, 6, 20)


def test_every_piece_of_a_row_can_be_copied_into_its_box() -> None:
    """Sixteen blanks by their ends; nobody can write down "and 15 more"."""
    blanks = [
        replace(BLANK, thing=f"L26-004-{n:02}", documents=("re-export certificate",))
        for n in range(5, 21)
    ]
    sheet = cites_worksheet(with_items(SALE, *blanks, legs=("US", "JP")))

    assert "16 pieces; L26-004-05 to 20" in box(sheet, "9").value
