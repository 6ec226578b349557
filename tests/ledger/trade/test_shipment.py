"""Shipments: one line for each species and form, and the figures read first."""

from dataclasses import replace
from datetime import date

import pytest

from ledger.trade.movement import Movement
from ledger.trade.shipment import Material, ShipmentDetermination, determine_shipment
from tests.ledger.trade.asking import ROSEWOOD

KG = 1_000_000
SALE = Movement(legs=("US", "FR"), purpose="sale", owner_changes=True)
DAY = date(2024, 5, 10)


def material(taxon: str, form: str, mass_mg: int, part: str = "back") -> Material:
    """Return a piece of a shipment without papers."""
    return Material(taxon=taxon, part=part, form=form, mass_mg=mass_mg)


def shipped(*materials: Material, day: date = DAY) -> ShipmentDetermination:
    """Return the answer for a sale from the United States to France."""
    return determine_shipment(materials, movement=SALE, day=day)


GUITAR = (
    material("Picea abies", "finished_instruments", 412_000, "top"),
    material(ROSEWOOD, "finished_instruments", 900_000, "back and sides"),
    material(ROSEWOOD, "finished_instruments", 60_000, "bridge"),
    material("Khaya ivorensis", "sawn_wood", 2 * KG, "neck blanks"),
    material("Ilex opaca", "finished_instruments", 5_000, "rosette"),
    material("rosewood", "finished_instruments", 1_000, "pins"),
)


def test_lines_come_in_the_order_in_which_they_matter() -> None:
    """Needed, ask, listed but not needed, and the rest."""
    found = shipped(*GUITAR)

    assert [(line.taxon, line.answer) for line in found.lines] == [
        ("Khaya ivorensis", "needed"),
        ("Ilex opaca", "ask"),
        ("rosewood", "ask"),
        (ROSEWOOD, "not needed"),
        ("Picea abies", "not needed"),
    ]
    assert found.answer == "needed"
    assert found.lines[3].parts == ("back and sides", "bridge")
    assert found.lines[3].mass_mg == 960_000
    assert found.table_date == date(2026, 11, 24)


def test_the_totals_lead_with_what_must_be_asked() -> None:
    """Lines to ask about, permits, species on a list, kilograms of them, species."""
    totals = shipped(*GUITAR).totals

    assert (totals.to_ask, totals.permits_needed, totals.on_a_list) == (2, 1, 2)
    assert totals.listed_wood_mg == 2_960_000
    assert totals.species == 5


@pytest.mark.parametrize(
    ("masses", "answer"),
    [((6 * KG, 4 * KG), "not needed"), ((6 * KG, 4 * KG + 1), "needed")],
)
def test_the_ten_kilograms_are_counted_over_the_shipment(
    masses: tuple[int, int], answer: str
) -> None:
    """Rosewood and bubinga in finished products together; instruments apart."""
    found = shipped(
        material(ROSEWOOD, "other_finished_products", masses[0]),
        material("Guibourtia tessmannii", "other_finished_products", masses[1]),
        material(ROSEWOOD, "finished_instruments", 30 * KG),
        material("Acer rubrum", "other_finished_products", 90 * KG),
    )
    said = {(line.taxon, line.form): line.answer for line in found.lines}

    assert said[(ROSEWOOD, "other_finished_products")] == answer
    assert said[("Guibourtia tessmannii", "other_finished_products")] == answer
    assert said[(ROSEWOOD, "finished_instruments")] == "not needed"


def test_the_oldest_piece_does_not_speak_for_the_newer_one() -> None:
    """One line, with the papers of both."""
    old = replace(
        material(ROSEWOOD, "sawn_wood", 5),
        acquired=date(2015, 4, 1),
        documents=("D26-0001",),
    )
    new = replace(old, acquired=date(2023, 4, 1), documents=("D26-0002", "D26-0001"))
    (line,) = shipped(old, new).lines

    assert [paper.name for paper in line.documents] == [
        "pre-Convention certificate",
        "EU import permit",
        "re-export certificate",
    ]
    assert line.evidence == ("D26-0001", "D26-0002")


def test_a_synonym_and_its_accepted_name_are_one_species() -> None:
    """They stand in one line."""
    found = shipped(
        material("Caesalpinia echinata", "sawn_wood", 1),
        material("Paubrasilia echinata", "sawn_wood", 2),
    )

    assert [(line.taxon, line.mass_mg) for line in found.lines] == [
        ("Paubrasilia echinata", 3)
    ]


def test_one_covered_species_is_noted_for_what_holds_it() -> None:
    """And nothing is noted where none is covered."""
    wood = material(ROSEWOOD, "finished_instruments", 900_000)
    nigra = material("Dalbergia nigra", "finished_instruments", 30_000)

    assert "Dalbergia nigra is covered" in shipped(wood, nigra).notes[0]
    assert shipped(wood).notes == ()


def test_other_laws_are_said_once_for_the_shipment() -> None:
    """Chapter 92 is outside the timber rules of the Union, however many parts."""
    rules = [said.rule for said in shipped(*GUITAR[:3]).also]

    assert rules == ["eudr-outside"]


def test_of_listed_wood_shell_is_no_kilogram() -> None:
    """Nautilus is on a list, and no wood."""
    found = shipped(material("Nautilus pompilius", "inlay", 10_000))

    assert (found.totals.on_a_list, found.totals.listed_wood_mg) == (1, 0)
    assert found.totals.permits_needed == 1


def test_an_empty_shipment_has_nothing_to_lean_on() -> None:
    """So it says ask."""
    found = shipped()

    assert (found.answer, found.lines) == ("ask", ())
    assert found.totals.species == 0
