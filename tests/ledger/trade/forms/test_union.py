"""Tests of the worksheet for the form of the Union."""

from dataclasses import replace

import pytest
from hypothesis import given

from ledger.errors import RefusedError
from ledger.trade.consignment import Consignment
from ledger.trade.forms.boxes import boxes_of
from ledger.trade.forms.codes import codes, terms
from ledger.trade.forms.union import union_worksheet
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


def test_every_box_of_the_form_stands_in_its_order() -> None:
    """Regulation (EC) No 865/2006, Annex I, as our table has it."""
    (form,) = union_worksheet(SALE).forms
    drawn = [*form.boxes, *form.specimens[0].boxes, *form.closing]

    assert [each.number for each in drawn] == [
        row.box for row in boxes_of("union_boxes")
    ]


def test_an_import_is_written_from_the_record() -> None:
    """Rosewood of India that comes by way of the United States."""
    sheet = union_worksheet(SALE)
    values = [box(sheet, str(number)).value for number in range(9, 23)]

    assert sheet.title == "EU CITES form, box by box"
    assert "ask the carrier" in box(sheet, "26").comes_from
    assert box(sheet, "kind").value == "import permit"
    assert values == [
        *("1.146\u2009kg", "4 pieces", "II", "B", "W", "T", "India (IN)"),
        *("IN-2023-0412", "2023-11-02", "United States (US)", "", ""),
        *("Dalbergia latifolia", "East Indian rosewood"),
    ]
    assert box(sheet, "10", row=1).value == "0.00176\u2009m³"
    assert "export permit IN-2023-0412 (D23-0118)" in box(sheet, "23").value


def test_each_specimen_has_a_form() -> None:
    """The form that was read holds one; the sheet says to ask about annexes."""
    sheet = union_worksheet(SALE)

    assert [row.name for row in sheet.forms[0].specimens] == ["form 1", "form 2"]
    assert sheet.forms[0].copies == 2
    assert any("holds one specimen" in note for note in sheet.notes)
    assert len(union_worksheet(with_items(SALE, ROSEWOOD)).notes) < len(sheet.notes)


def test_what_leaves_the_union_leaves_on_its_form() -> None:
    """Export from a member State."""
    sheet = union_worksheet(
        with_items(
            SALE, replace(BLANK, documents=("export permit",)), legs=("FR", "US")
        )
    )

    assert [form.kind for form in sheet.forms] == ["export permit"]
    assert "of France" in box(sheet, "7").comes_from
    assert box(sheet, "23").state == "ask"


def test_a_listing_that_is_not_on_record_is_asked() -> None:
    """Annex and Appendix are never made up."""
    bare = replace(ROSEWOOD, annex="", appendix="")
    sheet = union_worksheet(with_items(SALE, bare))

    assert [box(sheet, each).state for each in ("11", "12")] == ["ask", "ask"]


@pytest.mark.parametrize(
    ("consignment", "words"),
    [
        (with_items(SALE, EBONY), "no item was found to need one"),
        (with_items(SALE, OLD), "print that worksheet (--paper instrument)"),
        (
            with_items(SALE, replace(ROSEWOOD, documents=("import notification",))),
            "an import notification has a form of its own",
        ),
        (
            with_items(SALE, replace(OLD, documents=("Article 10 certificate",))),
            "an Article 10 certificate has a form of its own",
        ),
        (
            with_items(
                SALE,
                replace(ROSEWOOD, documents=("export permit",)),
                legs=("US", "JP"),
            ),
            "the United States is no member of the Union",
        ),
        (with_items(SALE, replace(ROSEWOOD, taxon="rosewood")), "genus and species"),
    ],
)
def test_what_cannot_be_written_is_refused(
    consignment: Consignment, words: str
) -> None:
    """With the component, or with why nothing asks for it."""
    with pytest.raises(RefusedError) as refused:
        union_worksheet(consignment)

    assert words in str(refused.value)


@given(consignments())
def test_a_form_for_each_row_adds_up(consignment: Consignment) -> None:
    """Net masses of box 9 are those of the items; codes are in the tables."""
    sheet = union_worksheet(consignment)
    for form in sheet.forms:
        boxes = [{each.number: each for each in row.boxes} for row in form.specimens]
        whole = sum(i.mass_mg or 0 for row in form.specimens for i in row.items)
        assert sum(number(row["9"].value) for row in boxes) == number(form.total_mass)
        assert abs(number(form.total_mass) * 10**6 - whole) <= 500
        assert form.copies == len(form.specimens)
        for row in boxes:
            assert set(row["13"].value.split()) <= set(codes("source"))
            assert row["14"].value in {"", *codes("purpose")}
            assert row["8"].value.rpartition("; ")[2] in terms()
    for each in every_box(sheet):
        assert "unknown" not in (each.value + each.comes_from).casefold()
        assert (each.state == "filled") <= bool(each.value)
