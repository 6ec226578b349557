"""Tests of the worksheet for an instrument certificate."""

from dataclasses import replace
from datetime import date

import pytest

from ledger.errors import RefusedError
from ledger.trade.consignment import Consignment, Party
from ledger.trade.forms.boxes import boxes_of
from ledger.trade.forms.musical import musical_worksheet
from tests.ledger.trade.forms.samples import (
    EBONY,
    GUITAR,
    INVOICE,
    OLD,
    ROSEWOOD,
    SALE,
    TOUR,
    box,
    every_box,
    with_items,
)


def test_every_box_of_the_application_stands_in_its_order() -> None:
    """Resolution Conf. 16.8, as our table has it."""
    (form,) = musical_worksheet(TOUR).forms
    drawn = [*form.boxes, *form.specimens[0].boxes, *form.closing]

    assert [each.number for each in drawn] == [
        row.box for row in boxes_of("musical_boxes")
    ]


def test_a_part_tells_its_listing_and_its_day() -> None:
    """Brazilian rosewood of 1967: first listed in 1992 (50 CFR 23.45(b)(2))."""
    sheet = musical_worksheet(TOUR)

    assert box(sheet, "name").value == "Dalbergia nigra"
    assert box(sheet, "part").value == "back, 2 pieces, 0.746\u2009kg"
    assert box(sheet, "appendix").value == "I, Annex A"
    assert box(sheet, "source").value == "W O"
    assert box(sheet, "acquired").value == "1967-03-01"
    assert "first listed 1992-06-11, so acquired before it" in (
        box(sheet, "acquired").comes_from
    )


@pytest.mark.parametrize(
    ("day", "state"),
    [
        (date(1992, 6, 10), "filled"),
        (date(1992, 6, 11), "ask"),
        (None, "ask"),
    ],
)
def test_appendix_one_must_be_older_than_its_listing(
    day: date | None, state: str
) -> None:
    """The day before the first listing is before it, the day itself is not."""
    item = replace(OLD, acquired=day)
    found = box(musical_worksheet(with_items(TOUR, item)), "acquired")

    assert found.state == state


def test_each_instrument_has_an_application() -> None:
    """With all its listed parts, and none that is not listed."""
    new = replace(
        ROSEWOOD, documents=("musical instrument certificate",), part="headplate"
    )
    bound = replace(ROSEWOOD, thing="K26-0001", part="binding", documents=())
    sheet = musical_worksheet(with_items(TOUR, OLD, bound, new, EBONY))

    assert [form.kind for form in sheet.forms] == [
        "application for K26-0001",
        "application for 26-0147-3",
    ]
    assert [row.taxon for row in sheet.forms[0].specimens] == [
        "Dalbergia nigra",
        "Dalbergia latifolia",
    ]


def test_marks_that_cannot_be_changed_are_told_or_looked_for() -> None:
    """And so is the instrument itself."""
    known = with_items(TOUR, replace(OLD, thing=GUITAR.code))

    assert box(musical_worksheet(known), "marks").value == (
        "serial on the headstock; label inside"
    )
    assert box(musical_worksheet(TOUR), "marks").state == "ask"
    assert box(musical_worksheet(known), "instrument").value == (
        "flat-top guitar, Tidewarden, made in 2026"
    )
    bare = replace(TOUR, things=())
    assert box(musical_worksheet(bare), "instrument").state == "ask"


@pytest.mark.parametrize(
    ("shown", "held", "state"),
    [
        ("document", (INVOICE,), "filled"),
        ("document", (), "ask"),
        ("diary", (INVOICE,), "ask"),
        ("witness", (), "ask"),
        ("none", (), "ask"),
    ],
)
def test_only_a_paper_is_evidence(
    shown: str, held: tuple[object, ...], state: str
) -> None:
    """A word or a diary is told, and a paper asked for."""
    item = replace(OLD, shown=shown, held=held)  # type: ignore[arg-type]  # drawn
    found = box(musical_worksheet(with_items(TOUR, item)), "evidence")

    assert found.state == state
    assert ("F-88" in found.value) == bool(held)


def test_the_journey_says_that_it_comes_home() -> None:
    """One that does not, or whose owner is open, is asked about."""
    assert box(musical_worksheet(TOUR), "journeys").value == "performance; France"
    assert "comes back to" in box(musical_worksheet(TOUR), "owner stays").value
    away = replace(TOUR, legs=("US", "FR"))
    open_one = replace(TOUR, owner_changes=None, purpose="no sale")
    assert box(musical_worksheet(away), "owner stays").state == "ask"
    assert box(musical_worksheet(open_one), "owner stays").state == "ask"
    assert box(musical_worksheet(open_one), "journeys").state == "ask"


def test_what_the_shop_made_and_shows_is_its_own() -> None:
    """It lives where the shop does; a country that is none is not written."""
    made = replace(OLD, thing=GUITAR.code)
    shown = with_items(TOUR, made, purpose="display")
    owner = Party(name="荒川 健二", address=("札幌市",), country="JP")
    moved = musical_worksheet(replace(shown, sender=owner))
    lost = musical_worksheet(replace(shown, sender=replace(owner, country="??")))

    assert box(moved, "country").value == "Japan (JP)"
    assert box(moved, "owner").value == "荒川 健二, 札幌市, Japan"
    assert box(lost, "country").value == "United States (US)"


@pytest.mark.parametrize(
    ("thing", "purpose", "words"),
    [
        ("K26-0001", "performance", "not made here"),
        ("K26-0001", "display", "not made here"),
        ("on no list", "display", "not made here"),
        (GUITAR.code, "performance", "made here, and may be sold"),
        (GUITAR.code, "", "made here, and may be sold"),
    ],
)
def test_an_owner_whom_nobody_named_is_asked(
    thing: str, purpose: str, words: str
) -> None:
    """Neither the shop nor its country stands for the owner."""
    goes = with_items(TOUR, replace(OLD, thing=thing), purpose=purpose)
    sheet = musical_worksheet(goes)

    assert (box(sheet, "owner").state, box(sheet, "owner").value) == ("ask", "")
    assert words in box(sheet, "owner").comes_from
    assert (box(sheet, "country").state, box(sheet, "country").value) == ("ask", "")
    assert not any("is said to live" in each.comes_from for each in every_box(sheet))


def test_masses_of_parts_are_weighed_here_or_stated() -> None:
    """What was not made here was weighed by nobody here."""
    made = with_items(TOUR, replace(OLD, lots=("L23-040",)))

    assert box(musical_worksheet(TOUR), "part").comes_from == "net, as stated"
    assert box(musical_worksheet(made), "part").comes_from == "net, as weighed"


@pytest.mark.parametrize(
    ("consignment", "words"),
    [
        (SALE, "nothing in X26-0001 asks for a musical instrument certificate"),
        (replace(TOUR, owner_changes=True), "changes the owner"),
        (
            with_items(TOUR, replace(OLD, origin=None, acquired=None)),
            "back of K26-0001 (Dalbergia nigra) has no country of origin",
        ),
        (with_items(TOUR, replace(OLD, mass_mg=None)), "has no mass"),
    ],
)
def test_what_cannot_be_written_is_refused(
    consignment: Consignment, words: str
) -> None:
    """With the component, or with why nothing asks for it."""
    with pytest.raises(RefusedError) as refused:
        musical_worksheet(consignment)

    assert words in str(refused.value)


def test_nothing_is_printed_as_unknown() -> None:
    """Also where hardly anything is known."""
    bare = replace(
        OLD, trade_name="", part="", source="", acquired=None, shown="none", annex=""
    )
    sheet = musical_worksheet(with_items(TOUR, bare, things=(), purpose=""))
    for each in every_box(sheet):
        assert "unknown" not in (each.value + each.comes_from).casefold()
        assert (each.state == "filled") <= bool(each.value)


def test_what_shows_the_acquisition_is_asked_first() -> None:
    """Before photographs and marks, for on it the certificate depends."""
    bare = replace(OLD, shown="none", held=())
    first, *others = musical_worksheet(with_items(TOUR, bare)).asks

    assert "shown by nothing" in first
    assert any("Photographs" in said for said in others)


def test_a_nut_of_no_known_country_is_asked_about_in_its_box() -> None:
    """Of an old instrument; of a new one it is still refused."""
    nut = replace(
        OLD, part="nut", mass_mg=3_000, origin=None, acquired=None, documents=()
    )
    sheet = musical_worksheet(with_items(TOUR, OLD, nut))
    found = box(sheet, "origin", row=1)

    assert (found.value, found.state) == ("", "ask")
    assert found.comes_from == (
        "the country of origin: ask whoever sold it; where nobody knows it, say so "
        "with the application"
    )
    new = replace(OLD, acquired=date(2020, 1, 1))
    with pytest.raises(RefusedError, match="has no country of origin"):
        musical_worksheet(with_items(TOUR, new, nut))
