"""What papers are by what they are called, and whether wood was listed on a day."""

from datetime import date, timedelta
from typing import Any

import pytest

from ledger.trade.holding import (
    Holding,
    Paper,
    is_listed,
    is_permit,
    is_proof_of_purchase,
    names_wood,
)
from ledger.trade.listings import may_be_listed
from ledger.trade.tables import listings
from tests.ledger.trade.overlays import LISTING, law_in_part, law_with, row_of

ROSEWOOD = "Dalbergia latifolia"


def held(species: str = ROSEWOOD, **told: Any) -> Holding:
    """Return sawn wood of India that came in with nothing but its entry."""
    known: dict[str, Any] = {
        "code": "L26-001",
        "form": "sawn",
        "origin": "IN",
        "came_in": date(2026, 1, 5),
        "shown": "diary",
        "entry": 7,
        "asked_of": "the sawyer",
    }
    return Holding(species=species, **(known | told))


def paper(called: str, **told: Any) -> Paper:
    """Return a paper that was filed under this name."""
    known: dict[str, Any] = {"code": "D26-0001", "entry": 5}
    return Paper(paper=called, **(known | told))


@pytest.mark.parametrize(
    "called",
    [
        "export permit",
        "CITES export permit",
        "Re-export certificate, copy",
        "pre-Convention certificate",
        "certificate of origin",
        "EU import permit",
        "CITES-Ausfuhrgenehmigung",
        "Permis d'exportation",
        "Wiederausfuhrbescheinigung",
        "certificado de reexportación",
        "CITES exp. permit no 12",
    ],
)
def test_a_paper_of_the_convention_is_known_by_its_name(called: str) -> None:
    """The kinds are those of Articles III to VII and of the table of documents."""
    assert is_permit(paper(called))
    assert not is_proof_of_purchase(paper(called))


@pytest.mark.parametrize(
    "called",
    [
        "packing list",
        "delivery note",
        "letter",
        "木材の請求書",
        "Lacey Act declaration (PPQ 505)",
        "wildlife declaration (Form 3-177)",
        "protected plant permit",
        "due diligence statement (EUDR)",
        "application for a CITES export permit",
        "statement that no CITES permit is needed",
        "certificate of origin, chamber of commerce",
        "pro forma invoice",
        "sold without invoice",
    ],
)
def test_another_paper_is_neither_permit_nor_purchase(called: str) -> None:
    """Nor is one of another law, one about a paper, or one that is not there."""
    assert not is_permit(paper(called))
    assert not is_proof_of_purchase(paper(called))


def test_what_was_read_line_by_line_is_a_permit_and_an_invoice_is_none() -> None:
    """Whatever it was filed as."""
    assert is_permit(paper("輸出許可書", woods=(ROSEWOOD,)))
    assert not is_permit(paper("invoice", woods=(ROSEWOOD,)))
    assert is_proof_of_purchase(paper("Rechnung", woods=(ROSEWOOD,)))


@pytest.mark.parametrize(
    ("named", "species", "is_it"),
    [
        (ROSEWOOD, ROSEWOOD, True),
        ("Dalbergia", ROSEWOOD, True),
        ("Dalbergia spp.", ROSEWOOD, True),
        ("Dalbergia nigra", ROSEWOOD, False),
        ("Diospyros spp.", ROSEWOOD, False),
        (ROSEWOOD, "Dalbergia spp.", False),
    ],
)
def test_a_paper_names_a_species_or_its_whole_genus(
    named: str, species: str, is_it: bool
) -> None:
    """And no other one."""
    assert names_wood(paper("export permit", woods=(named,)), species) is is_it


@pytest.mark.parametrize(
    ("species", "origin", "first"),
    [
        (ROSEWOOD, "IN", date(2017, 1, 2)),  # CoP17: all Dalbergia, S04
        ("Dalbergia nigra", "BR", date(1992, 6, 11)),  # CoP8, S03
        ("Khaya ivorensis", "GH", date(2023, 2, 23)),  # CoP19
        ("Handroanthus impetiginosus", "BR", date(2024, 11, 25)),  # CoP19, delayed
    ],
)
def test_wood_is_listed_from_the_day_and_not_the_day_before(
    species: str, origin: str, first: date
) -> None:
    """The days are those of the CITES Appendices."""
    wood = held(species, origin=origin)

    assert is_listed(wood, first) is True
    assert is_listed(wood, first - timedelta(days=1)) is False


def test_a_form_that_the_annotation_leaves_out_is_not_listed() -> None:
    """Annotation #5 and #6 name forms; an unknown form is asked about."""
    day = date(2010, 1, 1)
    sawn = held("Swietenia macrophylla", origin="BR")
    made = held("Swietenia macrophylla", origin="BR", form="finished_instruments")

    assert is_listed(sawn, day) is True
    assert is_listed(made, day) is False
    assert is_listed(held(ROSEWOOD, form="謎"), date(2018, 1, 1)) is None


def test_an_origin_that_decides_is_asked_where_nobody_knows_it() -> None:
    """Mahogany of the neotropics is listed, that of Fiji is not."""
    day = date(2024, 1, 1)

    assert is_listed(held("Swietenia macrophylla", origin="FJ"), day) is False
    assert is_listed(held("Swietenia macrophylla", origin="BR"), day) is True
    assert is_listed(held("Swietenia macrophylla", origin=None), day) is None


def test_a_genus_may_be_a_species_that_was_listed_before_it() -> None:
    """Dalbergia nigra stood in Appendix I long before all Dalbergia."""
    genus = held("Dalbergia spp.", origin="BR")

    assert is_listed(genus, date(2017, 1, 1)) is None
    assert is_listed(genus, date(1980, 1, 1)) is False
    assert is_listed(genus, date(2017, 1, 2)) is True


@pytest.mark.parametrize("species", ["unknown", "rosewood", "Nusquama ligna", "謎の木"])
def test_of_a_name_that_is_not_known_nobody_can_tell(species: str) -> None:
    """What is unknown never becomes not listed."""
    assert is_listed(held(species), date(2026, 1, 5)) is None


def test_a_day_beyond_the_tables_is_never_not_listed() -> None:
    """Not a single row stands unasked for in the year 2100."""
    taxa = {row.taxon for row in listings()}
    said = {
        taxon: is_listed(held(taxon, origin=None), date(2100, 1, 1)) for taxon in taxa
    }

    assert len(said) > 50
    assert False not in said.values()


def test_what_a_row_that_is_left_out_would_list_is_not_sure() -> None:
    """Maple is listed in no table; rosewood is, whatever is left out."""
    rows = [
        {**LISTING, "sources": "S999", "valid_from": "2025-01-01"},
        row_of("listings", "dalbergia-genus", appendix="none", sources="S999"),
    ]
    left = law_in_part(*(("listings", row | {"annotation": "none"}) for row in rows))
    day = date(2026, 1, 5)

    assert is_listed(held("Acer saccharum"), day) is False
    assert is_listed(held("Acer saccharum", law=left), day) is None
    assert is_listed(held("Acer rubrum", law=left), day) is False
    assert is_listed(held(law=left), day) is True


def test_a_listing_that_the_shop_took_away_is_asked_about() -> None:
    """By a row of its own in which the genus stands in no Appendix."""
    free = row_of("listings", "dalbergia-genus", appendix="none", annotation="none")
    mine = held(law=law_with(("listings", free)))

    assert is_listed(mine, date(2026, 1, 20)) is None
    assert may_be_listed(ROSEWOOD, date(2026, 1, 20), mine.law)


def test_wood_of_one_of_several_countries_is_listed_if_it_is_of_all() -> None:
    """Macassar ebony may be of Madagascar, whose ebony is listed: nobody knows."""
    day = date(2026, 1, 20)
    ebony = held("Diospyros celebica", origin=None, may_be_from=("ID", "MG"))
    rosewood = held(origin=None, may_be_from=("ID", "IN"))

    assert is_listed(ebony, day) is None
    assert is_listed(held("Diospyros celebica", origin="ID"), day) is False
    assert is_listed(rosewood, day) is True
