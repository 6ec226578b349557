"""A genus without its species: answered alike, or settled before wood is bought."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.determination import determine, limited_mass_mg
from ledger.trade.genera import SETTLE
from ledger.trade.listings import members
from ledger.trade.names import read_genus
from ledger.trade.question import Part, question_from
from ledger.trade.tables import names, wood_forms
from tests.ledger.trade.asking import answered
from tests.ledger.trade.overlays import LISTING, OWN, law_with, row_of

LATE = {"date": "2026-11-30", "movement": "US -> JP, sale"}
GENERA = sorted({name.partition(" ")[0] for name in names()})


@pytest.mark.parametrize("typed", ["Swietenia", "Swietenia spp.", "swietenia SP."])
def test_species_that_are_all_covered_make_it_likely_of_their_genus(
    typed: str,
) -> None:
    """However it is written: each of the three is, and the table may lack a fourth."""
    found = answered(taxon=typed, form="sawn_wood", origin="BR", **LATE)

    assert (found.answer, found.taxon) == ("ask", "Swietenia spp.")
    assert found.why == (
        "documents are most likely needed, as for Swietenia macrophylla, Swietenia "
        "mahagoni, Swietenia humilis from Brazil; but one that the table lacks may not "
        "be listed: settle the species before wood is bought"
    )
    assert found.is_listed and not found.documents
    assert set(found.rows) >= {"swietenia-humilis", "swietenia-mahagoni"}
    assert found.path[-1].decided == "ask"


@pytest.mark.parametrize(
    ("genus", "form", "row"),
    [
        ("Nautilus", "inlay", "nautilidae"),
        ("Chelonia", "part", "cheloniidae"),
        ("Coumarouna", "sawn_wood", "dipteryx"),
    ],
)
def test_a_row_for_a_whole_genus_or_family_makes_it_sure(
    genus: str, form: str, row: str
) -> None:
    """Every species of it is listed, whether the table has it or not."""
    found = answered(taxon=genus, form=form, **LATE)

    assert (found.answer, found.row) == ("needed", row)
    assert found.why.startswith("documents are needed whichever species of")
    assert found.documents


def test_papers_that_differ_by_species_are_told_together() -> None:
    """Where one grows is known, of the other nothing."""
    clam = row_of("names", "Tridacna gigas", name="Tridacna nova", grows_in="PH")
    mine = ("names", {**clam, "accepted": "Tridacna nova", "trade_names": ""})
    asked = question_from({"taxon": "Tridacna", "form": "inlay", **LATE})
    found = determine(asked, law=law_with(mine))

    assert found.answer == "needed"
    assert found.why.endswith("; which documents depends on the species")
    assert len(found.documents) > 1


@pytest.mark.parametrize(
    ("genus", "form"), [("Platymiscium", "sawn_wood"), ("Corallium", "inlay")]
)
def test_a_genus_of_which_the_table_has_a_few_is_asked_about(
    genus: str, form: str
) -> None:
    """Others of it are in no Appendix."""
    found = answered(taxon=genus, form=form, **LATE)

    assert found.answer == "ask"
    assert found.why.startswith(f"documents are most likely needed, as for {genus} ")


def test_where_species_differ_it_is_asked_with_which_are_listed() -> None:
    """And what is said beside of some of them alone is asked about too."""
    mixed = answered(taxon="Fraxinus", form="sawn_wood", **LATE)
    covered = answered(taxon="Swietenia", form="finished_instruments", **LATE)
    (ports,) = [other for other in covered.also if other.rule == "us-ports"]

    assert (mixed.answer, mixed.documents, mixed.is_listed) == ("ask", (), True)
    assert mixed.why == (
        "Fraxinus mandshurica is listed and would need documents; no listing was found "
        "of Fraxinus excelsior, Fraxinus americana and Fraxinus nigra: settle the "
        "species before wood is bought"
    )
    assert mixed.rule == "differs by species"
    assert "humilis is listed and would need documents; Swietenia mac" in covered.why
    assert (ports.answer, ports.documents) == ("ask", ())
    assert "it is said of Swietenia humilis only" in ports.why


def test_a_listing_of_other_populations_says_of_which_origin() -> None:
    """Swietenia macrophylla of plantations in Fiji is of no listed population."""
    found = answered(taxon="Swietenia", form="sawn_wood", origin="FJ", **LATE)

    assert found.answer == "ask"
    assert "no listing was found of Swietenia macrophylla from Fiji" in found.why


def test_a_name_that_moved_to_another_genus_is_still_meant() -> None:
    """Pernambuco was called Caesalpinia, and the trade calls it so."""
    found = answered(taxon="Caesalpinia sp.", form="finished_instruments", **LATE)

    assert (found.answer, found.row) == ("ask", "paubrasilia")
    assert "Paubrasilia echinata is listed and would need documents" in found.why


@pytest.mark.parametrize(
    ("genus", "day", "said"),
    [
        ("Millettia", "2020-01-30", "no listing was found whichever species of Mil"),
        ("Aniba", "2018-01-30", "no documents would be needed whichever species of A"),
    ],
)
def test_what_each_species_is_spared_is_still_asked_of_the_genus(
    genus: str, day: str, said: str
) -> None:
    """It has species that the table does not have."""
    asked = {"form": "finished_instruments", "date": day, "movement": "US -> JP, sale"}
    (species,) = [n for n in names() if n.startswith(f"{genus} ") and "duckei" not in n]
    found = answered(taxon=genus, **asked)

    assert answered(taxon=species, **asked).answer == "not needed"
    assert found.answer == "ask"
    assert found.why.startswith(said)
    assert f"one that the table lacks may be listed: {SETTLE}" in found.why


def test_what_is_open_of_every_species_is_open_of_the_genus() -> None:
    """With their reason, where they have one and the same."""
    found = answered(taxon="Aniba", form="finished_instruments", **LATE)

    assert (found.answer, found.is_listed) == ("ask", True)
    assert found.why.startswith("it has to be asked about whichever species of Aniba")
    assert "the lists may have changed before 2026-11-30" in found.why
    assert found.open_for_age == ""


def test_a_genus_that_is_a_name_of_the_table_is_read_as_that() -> None:
    """With spp. or without, by its own row, and the stricter species beside it."""
    bare, whole = (
        answered(taxon=taxon, form="finished_instruments", **LATE)
        for taxon in ("dalbergia", "Dalbergia spp.")
    )

    assert (bare.answer, bare.why) == (whole.answer, whole.why)
    assert bare.row == "dalbergia-genus"
    assert "Dalbergia nigra, Dalbergia cochinchinensis would need documents" in bare.why


def test_stricter_species_are_named_where_the_genus_is_open_for_its_age() -> None:
    """Whoever asks about Dalbergia years later hears of the one in Appendix I."""
    asked = {**LATE, "date": "2028-06-01"}
    found = answered(taxon="Dalbergia spp.", form="finished_instruments", **asked)

    assert found.answer == "ask"
    assert "the lists may have changed before 2028-06-01" in found.why
    assert "; but Dalbergia nigra, Dalbergia cochinchinensis would need" in found.why


@pytest.mark.parametrize("typed", ["rosewood", "Afrormosia", "Nusquama spp.", "spp."])
def test_what_is_no_genus_of_the_table_is_asked_about_as_before(typed: str) -> None:
    """A word of the trade is no genus, even one that was, nor what nobody knows."""
    found = answered(taxon=typed, form="sawn_wood", **LATE)

    assert (found.answer, found.row) == ("ask", "")


def test_a_genus_in_a_form_that_is_none_is_told_the_forms() -> None:
    """Not that its name is none."""
    found = answered(taxon="Swietenia spp.", form="half finished", **LATE)

    assert (found.taxon, found.answer) == ("Swietenia spp.", "ask")
    assert found.why.startswith("half finished is no form in the table")


def test_a_genus_is_a_plant_where_any_species_is() -> None:
    """The United States want it declared."""
    asked = {**LATE, "movement": "JP -> US, sale", "hts_number": "9202"}
    found = answered(taxon="Sequoia", form="finished_instruments", **asked)

    assert "lacey-9202" in {other.rule for other in found.also}


def test_a_genus_counts_to_the_ten_kilograms_where_a_species_does() -> None:
    """Three of Guibourtia are under annotation #15, three are not listed."""
    wood = [
        Part(taxon=taxon, form="other_finished_products", mass_mg=6_000_000)
        for taxon in ("Guibourtia", "Prunus spp.")
    ]

    assert limited_mass_mg(wood, date(2026, 11, 30)) == 6_000_000


def test_a_row_of_the_shops_own_for_one_species_is_told_of_the_genus() -> None:
    """Sequoia sempervirens, listed by the shop."""
    mine = {**LISTING, "taxon": "Sequoia sempervirens", "annotation": "none"}
    asked = {**LATE, "date": "2027-06-01", "taxon": "Sequoia", "form": "sawn_wood"}
    found = determine(question_from(asked), law=law_with(("listings", mine)))

    assert (found.answer, found.row) == ("ask", LISTING["id"])
    assert found.why.startswith("documents are most likely needed")
    assert OWN in found.confidence


@given(
    genus=st.sampled_from(GENERA),
    ending=st.sampled_from([" spp.", " sp."]),
    form=st.sampled_from([*wood_forms(), "inlay"]),
    day=st.dates(date(1970, 1, 1), date(2100, 12, 31)).map(str),
    legs=st.lists(st.sampled_from(["US", "DE", "BR", "GB"]), min_size=1, max_size=3),
    more=st.fixed_dictionaries(
        {},
        optional={
            "origin": st.sampled_from(["BR", "MG", "IN", "US"]),
            "purpose": st.sampled_from(["sale", "loan", "personal"]),
            "mass_mg": st.integers(1, 20_000_000),
        },
    ),
)
def test_a_genus_is_free_only_by_a_row_of_its_own_and_where_no_species_is_bound(
    genus: str, ending: str, form: str, day: str, legs: list[str], more: dict[str, Any]
) -> None:
    """And documents are needed for it where they are for each species of the table."""
    asked = {"form": form, "date": day, "legs": legs, **more}
    read = read_genus(f"{genus}{ending}")
    assert read is not None
    found = answered(taxon=f"{genus}{ending}", **asked)
    (first, *rest) = read.species
    species = (*members(first), *([] if members(first) else read.species))
    answers = {answered(taxon=name.name, **asked).answer for name in (*species, *rest)}

    if found.answer == "not needed":
        assert f"{genus} spp." in names()
        assert "needed" not in answers
    elif found.answer == "needed" and f"{genus} spp." not in names():
        assert answers == {"needed"}
