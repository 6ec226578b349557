"""Shipments: one line for each species and form, and the figures read first."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.movement import Movement
from ledger.trade.shipment import (
    LotMass,
    Material,
    ShipmentDetermination,
    determine_shipment,
    lots_in,
)
from tests.ledger.trade.asking import ROSEWOOD

KG = 1_000_000
SALE = Movement(legs=("US", "FR"), purpose="sale", owner_changes=True)
DAY = date(2024, 5, 10)


def material(
    taxon: str, form: str, mass_mg: int, part: str = "back", lot: str = "L26-001"
) -> Material:
    """Return a piece of a shipment without papers."""
    return Material(taxon=taxon, part=part, form=form, mass_mg=mass_mg, lot=lot)


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


OLD = replace(
    material(ROSEWOOD, "sawn_wood", 5, lot="L26-001"),
    acquired=date(2010, 8, 7),
    origin="IN",
    documents=("D26-0001",),
)
NEW = replace(OLD, lot="L26-002", acquired=date(2023, 4, 1), documents=("D26-0002",))


def test_the_oldest_piece_does_not_speak_for_the_newer_one() -> None:
    """Nor the newer for the oldest: each has its line, its papers and its grams."""
    found = shipped(OLD, NEW, replace(OLD, lot="L26-003", acquired=date(2011, 1, 1)))
    told = {tuple(lot.lot for lot in line.lots): line for line in found.lines}
    before, since = told[("L26-001", "L26-003")], told[("L26-002",)]

    assert [paper.name for paper in before.documents] == [
        "pre-Convention certificate",
        "EU import permit",
    ]
    assert [paper.name for paper in since.documents] == [
        "re-export certificate",
        "EU import permit",
    ]
    assert (before.mass_mg, since.mass_mg) == (10, 5)
    assert (before.evidence, since.evidence) == (("D26-0001",), ("D26-0002",))
    assert before.why.endswith("acquired before the first listing of 2017-01-02")
    assert since.why.endswith("acquired not before the first listing of 2017-01-02")


def test_wood_of_no_known_day_stands_apart() -> None:
    """Neither before nor after the first listing is said of it."""
    found = shipped(replace(OLD, acquired=None), NEW)
    told = {line.lots[0].acquired: line.why for line in found.lines}

    assert len(found.lines) == 2
    assert "acquired" not in told[None]


def test_wood_that_no_day_changes_is_one_line() -> None:
    """Of a species on no list, or in a form that is left out of its listing."""
    spruce = material("Picea abies", "sawn_wood", 5)
    for wood in (spruce, replace(OLD, form="finished_instruments")):
        days = (None, date(2010, 8, 7), date(2023, 4, 1))
        found = shipped(*(replace(wood, acquired=day) for day in days))

        assert [line.mass_mg for line in found.lines] == [15]


def test_wood_of_a_listed_population_does_not_speak_for_another() -> None:
    """Mahogany of the Neotropics needs its papers, and that of a plantation none."""
    mahogany = material("Swietenia macrophylla", "sawn_wood", 7)
    found = shipped(
        replace(mahogany, origin="BR"), replace(mahogany, origin="FJ", lot="L26-002")
    )

    assert [(line.answer, line.origins, line.mass_mg) for line in found.lines] == [
        ("needed", ("BR",), 7),
        ("not needed", ("FJ",), 7),
    ]


@given(
    st.lists(
        st.tuples(
            st.sampled_from([ROSEWOOD, "Swietenia macrophylla", "Picea abies"]),
            st.sampled_from(["sawn_wood", "finished_instruments"]),
            st.sampled_from([None, date(2010, 8, 7), date(2023, 4, 1)]),
            st.sampled_from([None, "BR", "FJ", "IN", "US"]),
        ),
        min_size=1,
        max_size=5,
    )
)
def test_a_line_is_true_for_each_piece_of_its_wood(
    told: list[tuple[str, str, date | None, str | None]],
) -> None:
    """A piece that is sent alone gets the answer of its line, word for word."""
    pieces = [
        replace(
            material(taxon, form, 100, lot=f"L26-{number:03d}"),
            acquired=day,
            origin=origin,
        )
        for number, (taxon, form, day, origin) in enumerate(told, start=1)
    ]
    found = shipped(*pieces)
    said = {lot.lot: line for line in found.lines for lot in line.lots}

    assert sum(line.mass_mg or 0 for line in found.lines) == 100 * len(pieces)
    for piece in pieces:
        (alone,) = shipped(piece).lines
        assert alone.determination == said[piece.lot].determination


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

    assert shipped(wood, nigra).notes[0].startswith("covered: Dalbergia nigra; a thing")
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


def test_each_line_tells_the_origins_of_its_own_pieces() -> None:
    """Under the accepted name, and not those of the same wood in another form."""
    found = shipped(
        replace(material("Caesalpinia echinata", "sawn_wood", 1), origin="BR"),
        material("Paubrasilia echinata", "sawn_wood", 2),
        replace(material("Paubrasilia echinata", "logs", 2), origin="FR"),
    )

    assert {line.form: line.origins for line in found.lines} == {
        "sawn_wood": ("BR", None),
        "logs": ("FR",),
    }


def test_the_lots_of_a_line_make_up_its_mass() -> None:
    """Each once and by number, however many pieces came of it."""
    found = shipped(
        material(ROSEWOOD, "sawn_wood", 5, lot="L26-002"),
        material(ROSEWOOD, "sawn_wood", 7, lot="L26-001"),
        material(ROSEWOOD, "sawn_wood", 11, lot="L26-002"),
        material(ROSEWOOD, "logs", 13, lot="L26-002"),
    )
    said = {line.form: line for line in found.lines}

    assert said["sawn_wood"].lots == (LotMass("L26-001", 7), LotMass("L26-002", 16))
    assert said["logs"].lots == (LotMass("L26-002", 13),)
    for line in found.lines:
        assert sum(lot.mass_mg or 0 for lot in line.lots) == line.mass_mg


@given(st.lists(st.tuples(st.sampled_from("ABC"), st.integers(0, 9)), max_size=9))
def test_no_gram_is_lost_between_lots(masses: list[tuple[str, int]]) -> None:
    """And no lot is named twice."""
    found = lots_in(LotMass(*mass) for mass in masses)

    assert sum(lot.mass_mg or 0 for lot in found) == sum(mass for _, mass in masses)
    assert [lot.lot for lot in found] == sorted({lot for lot, _ in masses})


def test_a_genus_is_told_by_the_day_that_each_of_its_wood_came_in() -> None:
    """Coumarouna, all of which is in Dipteryx now, was listed on 2024-11-25."""
    wood = [
        replace(
            material("Coumarouna spp.", "sawn_wood", KG, lot=f"L{day.year}"),
            acquired=day,
            origin="BR",
        )
        for day in (date(2020, 1, 1), date(2025, 1, 1), date(2021, 1, 1))
    ]
    found = shipped(*wood, day=date(2026, 11, 30))
    papers = [{paper.name for paper in line.documents} for line in found.lines]
    old = ["pre-Convention certificate" in names for names in papers]

    assert [line.answer for line in found.lines] == ["needed", "needed"]
    assert sorted(old) == [False, True]
    assert [lot.lot for lot in found.lines[old.index(True)].lots] == ["L2020", "L2021"]
    assert (found.totals.on_a_list, found.totals.listed_wood_mg) == (1, 3 * KG)


def test_wood_of_a_genus_that_is_asked_about_is_one_line_of_any_age() -> None:
    """Documents are most likely needed for each of Swietenia, whichever it is."""
    wood = material("Swietenia spp.", "sawn_wood", KG)
    found = shipped(
        replace(wood, acquired=date(1990, 1, 1)),
        replace(wood, acquired=date(2020, 1, 1)),
    )

    assert [(line.answer, line.mass_mg) for line in found.lines] == [("ask", 2 * KG)]
    assert found.totals.on_a_list == 1


def test_a_lot_of_one_of_several_countries_says_which_they_are() -> None:
    """It stands on a line of its own beside wood of one of them."""
    ebony = material("Diospyros celebica", "sawn_wood", 1 * KG)
    found = shipped(
        replace(ebony, may_be_from=("ID", "MG"), acquired=date(2020, 1, 5)),
        replace(ebony, origin="ID", acquired=date(2020, 1, 5), lot="L26-002"),
    )

    assert [(line.answer, line.lots[0].lot) for line in found.lines] == [
        ("needed", "L26-001"),
        ("not needed", "L26-002"),
    ]
    assert [line.lots[0].whence for line in found.lines] == [
        "of Indonesia (ID) or Madagascar (MG), nobody knows which",
        "from ID",
    ]
    assert LotMass("L26-001", None).whence == "of no known origin"
