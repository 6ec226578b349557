"""Tests of the worksheet for the plant declaration of the United States."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given

from ledger.errors import RefusedError
from ledger.trade.consignment import Ask, Consignment
from ledger.trade.forms.boxes import boxes_of
from ledger.trade.forms.codes import lacey_units
from ledger.trade.forms.declaration import declaration_worksheet
from tests.ledger.trade.forms.samples import (
    BLANK,
    EBONY,
    GUITAR,
    OLD_GUITAR,
    ROSEWOOD,
    SALE,
    SHELL,
    TO_AMERICA,
    box,
    consignments,
    every_box,
    with_items,
)
from tests.ledger.trade.forms.test_amounts import number


def test_every_block_of_the_form_stands_in_its_order() -> None:
    """PPQ Form 505, August 2011; block 14 has two cells."""
    (form,) = declaration_worksheet(TO_AMERICA).forms
    drawn = [*form.boxes, *form.specimens[0].boxes, *form.closing]
    numbers = list(dict.fromkeys(each.number for each in drawn))

    assert numbers == [row.box for row in boxes_of("ppq505_blocks")]
    assert [each.label for each in drawn if each.number == "14"] == [
        "Genus",
        "Species",
    ]


def test_a_line_is_one_part_of_one_species() -> None:
    """Genus and species apart, country, kilograms, unit, ten digits."""
    sheet = declaration_worksheet(TO_AMERICA)
    line = sheet.forms[0].specimens[0]

    assert [(each.number, each.value) for each in line.boxes] == [
        ("11", "9202904000"),
        ("12", ""),
        ("13", "back"),
        ("14", "Dalbergia"),
        ("14", "latifolia"),
        ("15", "India (IN)"),
        ("16", "0.746"),
        ("17", "kg"),
        ("18", ""),
    ]
    assert [row.name for row in sheet.forms[0].specimens] == [
        *("line 1", "line 2", "line 3", "line 4")
    ]


def test_every_country_that_it_may_be_stands_on_the_line() -> None:
    """7 CFR 357.3: where the country is unknown, each that it may be is declared."""
    open_ = replace(EBONY, origin=None, may_be_from=("CM", "GA"))
    sheet = declaration_worksheet(with_items(TO_AMERICA, open_, replace(EBONY)))
    first, second = sheet.forms[0].specimens

    assert (box(sheet, "15").state, box(sheet, "15").value) == (
        "filled",
        "Cameroon (CM), Gabon (GA)",
    )
    assert "nobody knows which" in box(sheet, "15").comes_from
    assert first.items == (open_,) and second.items == (EBONY,)


def test_the_value_is_left_to_the_shop() -> None:
    """Block 12 is open on every line."""
    sheet = declaration_worksheet(TO_AMERICA)

    for row in range(4):
        found = box(sheet, "12", row)
        assert (found.value, found.state) == ("", "ask")
        assert "the shop writes it" in found.comes_from


def test_what_goes_by_its_description_is_said_once() -> None:
    """An old guitar has no code beside what it is."""
    old = replace(OLD_GUITAR, code="guitar of 1964", what="guitar of 1964")
    sheet = declaration_worksheet(replace(TO_AMERICA, things=(old, GUITAR)))

    assert box(sheet, "10").value == "guitar of 1964; flat-top guitar 26-0147-3"


def test_what_others_know_is_asked_of_them_by_name() -> None:
    """Blocks 2 to 5 are filled by importer, broker or carrier, not by an office."""
    sheet = declaration_worksheet(TO_AMERICA)
    whom = {each: box(sheet, each) for each in ("2", "3", "4", "5")}

    assert {found.state for found in whom.values()} == {"ask"}
    assert [found.comes_from.rpartition(": ")[2] for found in whom.values()] == [
        *("ask the broker", "ask the carrier", "ask the carrier", "ask the broker")
    ]
    assert "made from the maker's country, name and address" in whom["5"].comes_from
    assert box(sheet, "19").state == "for the office"


def test_several_countries_of_one_species_make_a_line_each() -> None:
    """7 CFR 357.3: every country it may come from is named."""
    other = replace(ROSEWOOD, origin="ID", mass_mg=1_000)
    sheet = declaration_worksheet(with_items(TO_AMERICA, ROSEWOOD, other))

    assert [box(sheet, "15", row).value for row in (0, 1)] == [
        "India (IN)",
        "Indonesia (ID)",
    ]


def test_like_parts_of_many_guitars_make_one_line() -> None:
    """Five hundred backs are one article."""
    many = [replace(ROSEWOOD, thing=f"26-{n:04}-0") for n in range(500)]
    (form,) = declaration_worksheet(with_items(TO_AMERICA, *many)).forms

    assert len(form.specimens) == 1
    assert form.total_mass == "373.000\u2009kg"


def test_shell_is_no_plant() -> None:
    """It stands on no line, and shell alone is refused."""
    (form,) = declaration_worksheet(with_items(TO_AMERICA, ROSEWOOD, SHELL)).forms

    assert len(form.specimens) == 1
    with pytest.raises(RefusedError, match="nothing in it is of a plant"):
        declaration_worksheet(with_items(TO_AMERICA, SHELL))


def test_a_special_designation_stands_in_both_cells() -> None:
    """Fibre board, whose recycled share is asked."""
    board = replace(ROSEWOOD, taxon="SPECIAL COMPOSITE")
    sheet = declaration_worksheet(with_items(TO_AMERICA, board))
    cells = [each for each in every_box(sheet) if each.number == "14"]

    assert [each.value for each in cells] == ["SPECIAL", "COMPOSITE"]
    assert [each.label for each in cells] == ["Genus cell", "Species cell"]
    assert box(sheet, "18").state == "ask"
    assert box(declaration_worksheet(TO_AMERICA), "18").state == "not for this"


@pytest.mark.parametrize(
    ("said", "value", "state", "words"),
    [
        ("9202904000", "9202904000", "filled", "other guitars"),
        ("4407290000", "4407290000", "filled", "not in our table"),
        ("9202", "9202", "ask", "9202100000"),
        ("", "", "ask", "9207900040"),
    ],
)
def test_a_tariff_number_has_ten_digits_or_is_asked(
    said: str, value: str, state: str, words: str
) -> None:
    """Those begun are written, those that may be meant are named."""
    found = box(declaration_worksheet(replace(TO_AMERICA, hts_number=said)), "11")

    assert (found.value, found.state) == (value, state)
    assert words in found.comes_from


def test_a_listed_plant_needs_its_permit_number_and_a_port() -> None:
    """Block 10, and 50 CFR 24.12."""
    listed = declaration_worksheet(TO_AMERICA)
    free = declaration_worksheet(with_items(TO_AMERICA, EBONY))

    assert box(listed, "10").state == "ask"
    assert "number of the CITES document" in box(listed, "10").comes_from
    assert any("designated port: Nogales AZ" in note for note in listed.notes)
    assert box(free, "10").state == "filled"
    assert not any("designated port" in note for note in free.notes)


@pytest.mark.parametrize(
    ("consignment", "words"),
    [
        (SALE, "it does not enter the United States"),
        (
            with_items(TO_AMERICA, replace(ROSEWOOD, origin=None)),
            "every one that it may be, with flitchbook lot harvest L23-040",
        ),
        (with_items(TO_AMERICA, replace(BLANK, kind="unknown")), "plant or an animal"),
        (with_items(TO_AMERICA, replace(BLANK, taxon="Khaya spp.")), "'Khaya spp.'"),
    ],
)
def test_what_cannot_be_written_is_refused(
    consignment: Consignment, words: str
) -> None:
    """With the component, or with why nothing asks for it."""
    with pytest.raises(RefusedError) as refused:
        declaration_worksheet(consignment)

    assert words in str(refused.value)


@given(consignments())
def test_lines_add_up_and_name_a_species_each(consignment: Consignment) -> None:
    """Block 16 is the milligrams of the items; block 14 the whole name."""
    (form,) = declaration_worksheet(replace(consignment, legs=("FR", "US"))).forms
    whole = sum(item.mass_mg or 0 for item in consignment.items)
    lines = [
        [each.value.replace("\u2009", "") for each in row.boxes]
        for row in form.specimens
    ]

    assert sum(Decimal(line[6]) for line in lines) == number(form.total_mass)
    assert abs(number(form.total_mass) * 10**6 - whole) <= 500
    for row, line in zip(form.specimens, lines, strict=True):
        assert f"{line[3]} {line[4]}" == row.taxon
        assert lacey_units()[line[7]].is_metric == "yes"
        assert len({item.origin for item in row.items}) == 1
        assert len({item.part for item in row.items}) == 1


def test_every_piece_can_be_copied_into_block_ten() -> None:
    """By the ends of those that follow each other."""
    codes = [f"L26-004-{n:02}" for n in range(5, 21)]
    things = tuple(replace(GUITAR, code=code, what="neck blank") for code in codes)
    rows = [replace(BLANK, thing=code) for code in codes]
    sheet = declaration_worksheet(with_items(TO_AMERICA, *rows, things=things))

    assert box(sheet, "10").value == "neck blank L26-004-05 to 20"


def test_shell_and_bone_are_no_plants_that_are_left_out() -> None:
    """The declaration is of plants: what is open of an animal is not for it."""
    shell = replace(SHELL, answer="ask", documents=())
    said = [Ask(law="CITES", taxon=shell.taxon, papers=(), whom="it", is_needed=False)]
    goods = with_items(TO_AMERICA, ROSEWOOD, shell, ask_first=tuple(said))

    assert not [note for note in declaration_worksheet(goods).notes if "Not on" in note]
