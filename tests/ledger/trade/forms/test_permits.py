"""Tests of what the two forms for permits share."""

from dataclasses import replace
from datetime import date

import pytest

from ledger.trade.consignment import Item
from ledger.trade.forms import permits
from ledger.trade.forms.boxes import Answers
from ledger.trade.forms.permits import (
    Amount,
    behind,
    form_of,
    leaving,
    row_name,
    specimen_key,
)
from ledger.trade.forms.worksheet import Answer, filled
from tests.ledger.trade.forms.samples import (
    BLANK,
    EBONY,
    PERMIT,
    ROSEWOOD,
    SALE,
    SIDES,
)

AGAIN = replace(PERMIT, document="D24-0003", paper="re-export certificate", number="R1")


def states(kind: str, item: Item) -> list[str]:
    """Return how the six boxes of the papers behind an item stand."""
    return [cell.state for cell in behind(kind, (item,), SALE, remarks="5")]


def test_the_paper_it_leaves_with_is_the_first_of_its_documents() -> None:
    """An import permit is none, and an open item has none."""
    assert leaving(ROSEWOOD) == "re-export certificate"
    assert leaving(replace(ROSEWOOD, documents=("import permit",))) == ""
    assert leaving(EBONY) == ""


@pytest.mark.parametrize("paper", ["export permit", "certificate of origin"])
def test_an_export_has_no_paper_behind_it(paper: str) -> None:
    """Only the country of origin is written."""
    assert states(paper, ROSEWOOD) == ["filled", *["not for this"] * 5]


def test_a_re_export_has_the_permit_of_its_origin_behind_it() -> None:
    """Without one on file it must be asked, and so must an earlier re-export."""
    assert states("re-export certificate", ROSEWOOD) == [
        *["filled"] * 3,
        *["not for this"] * 3,
    ]
    assert states("re-export certificate", BLANK) == ["filled", *["ask"] * 5]


def test_one_of_several_countries_is_asked_with_the_box_for_the_reason() -> None:
    """And a permit of it is asked for without a name."""
    item = replace(BLANK, origin=None, may_be_from=("IN", "LK"))
    found = behind("re-export certificate", (item,), SALE, remarks="23")

    assert found.country.state == "ask"
    assert found.country.value == "India (IN) or Sri Lanka (LK)"
    assert "why that is so goes in box 23" in found.country.comes_from
    assert "export permit of the country of origin: " in found.number.comes_from


def test_an_import_may_come_straight_from_one_of_several_countries() -> None:
    """Whether it does is asked, and never taken for granted."""
    item = replace(ROSEWOOD, origin=None, may_be_from=("GB", "IN"))
    there = replace(SALE, legs=("GB", "FR"))
    found = behind("EU import permit", (item,), there, remarks="23")

    assert found.again.state == "ask"
    assert "straight from the United Kingdom" in found.again.comes_from


def test_an_earlier_re_export_is_written_from_its_certificate() -> None:
    """The certificate does not say in our books which country gave it."""
    item = replace(ROSEWOOD, held=(PERMIT, AGAIN))
    found = behind("re-export certificate", (item,), SALE, remarks="5")

    assert (found.again.state, found.again_number.value) == ("ask", "R1")
    assert found.again_day.value == "2023-11-02"


@pytest.mark.parametrize("called", ["CITES export permit", "EXPORT PERMIT no. 7"])
def test_a_permit_is_known_however_it_was_called(called: str) -> None:
    """Its number and day are written from it."""
    item = replace(ROSEWOOD, held=(replace(PERMIT, paper=called),))
    found = behind("re-export certificate", (item,), SALE, remarks="5")

    assert (found.number.value, found.number.state) == ("IN-2023-0412", "filled")
    assert found.day.value == "2023-11-02"


def test_a_permit_of_a_later_day_is_no_permit_of_the_wood() -> None:
    """It is named, and the right one is asked for."""
    late = replace(PERMIT, issued_on=date(2025, 5, 1))
    item = replace(ROSEWOOD, held=(late,))
    found = behind("re-export certificate", (item,), SALE, remarks="5")

    assert (found.number.value, found.number.state) == ("", "ask")
    assert "D23-0118 was issued on 2025-05-01, after it came in on 2024-01-18" in (
        found.number.comes_from
    )
    assert found.again.state == "ask"


def test_a_paper_that_is_called_no_more_than_cites_is_looked_at() -> None:
    """Whether it is the export permit nobody wrote down."""
    item = replace(ROSEWOOD, held=(replace(PERMIT, paper="CITES"),))
    found = behind("re-export certificate", (item,), SALE, remarks="5")

    assert found.number.state == "ask"
    assert "look whether D23-0118 is it" in found.number.comes_from


def test_an_import_rests_on_the_paper_given_for_this_movement() -> None:
    """From the country of origin its permit; from another one its certificate too."""
    straight = replace(ROSEWOOD, origin="US", documents=("export permit",))
    found = behind("EU import permit", (ROSEWOOD,), SALE, remarks="5")

    assert states("EU import permit", straight) == [
        *["filled", "ask", "ask"],
        *["not for this"] * 3,
    ]
    assert found.again.value == "United States (US)"
    assert "when the United States gives it" in found.again_number.comes_from
    assert found.number.value == "IN-2023-0412"


def test_items_of_one_species_and_origin_make_one_row() -> None:
    """Several origins, sources, terms or permits make a row each."""
    assert specimen_key(ROSEWOOD) == specimen_key(SIDES)
    for change in (
        {"origin": "ID"},
        {"source": "A"},
        {"form": "sawn_wood"},
        {"held": ()},
        {"taxon": "Dalbergia sissoo"},
    ):
        assert specimen_key(replace(ROSEWOOD, **change)) != specimen_key(SIDES)


def test_only_pre_convention_rows_part_by_the_day_of_acquisition() -> None:
    """Else a hundred days would make a hundred rows."""
    later = replace(ROSEWOOD, acquired=date(2025, 1, 1))
    old, older = (replace(item, documents=(permits.OLD,)) for item in (ROSEWOOD, later))

    assert specimen_key(later) == specimen_key(ROSEWOOD)
    assert specimen_key(old) != specimen_key(older)


def test_rows_have_the_letters_of_the_form() -> None:
    """Four on a form; the fifth is A on the second."""
    assert [row_name(place, 4, 4) for place in range(4)] == ["A", "B", "C", "D"]
    assert [row_name(place, 4, 5) for place in (0, 3, 4)] == [
        "A on form 1",
        "D on form 1",
        "A on form 2",
    ]
    assert row_name(2, 1, 3) == "form 3"


@pytest.mark.parametrize(("rows", "copies"), [(1, 1), (4, 1), (5, 2), (14, 4)])
def test_more_than_four_rows_take_another_form(rows: int, copies: int) -> None:
    """Continuation: fourteen species take four forms."""
    epithets = [f"latifolia{chr(97 + number)}" for number in range(rows)]
    items = [replace(ROSEWOOD, taxon=f"Dalbergia {each}") for each in epithets]
    found = form_of(
        "musical_boxes", "paper", items, common=_Any(), row=_row, rows_on_a_form=4
    )

    assert (found.copies, len(found.specimens)) == (copies, rows)


def test_of_two_kinds_the_authority_says_which() -> None:
    """An export permit or a re-export certificate."""
    assert permits.kind_answer(permits.EITHER, SALE).state == "ask"
    assert permits.kind_answer("export permit", SALE).value == "export permit"


class _Any(dict[str, Answer]):
    """An answer for whatever box."""

    def __contains__(self, box: object) -> bool:
        return True

    def __missing__(self, box: str) -> Answer:
        return filled(box, "said")


def _row(items: tuple[Item, ...], amount: Amount) -> Answers:
    return _Any()
