"""Rows on a day: which speak of a taxon, where from, and whether they are stale."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from ledger.trade.listings import (
    annotation_for,
    earlier_row,
    first_listing,
    first_row,
    is_from,
    is_grown_in,
    is_listed,
    is_stale,
    may_be_listed,
    mexico_clause,
    rows_for,
)
from ledger.trade.tables import names
from tests.ledger.trade.asking import ROSEWOOD, answered, row
from tests.ledger.trade.overlays import LISTING, law_in_part


@pytest.mark.parametrize(
    ("taxon", "day", "marks"),
    [
        (ROSEWOOD, "2017-01-01", {"dalbergia-before", "dalbergia-madagascar-2013"}),
        (ROSEWOOD, "2017-01-02", {"dalbergia-genus", "dalbergia-madagascar"}),
        ("Dalbergia nigra", "1992-06-10", {"dalbergia-nigra-before"}),
        ("Dalbergia nigra", "1992-06-11", {"dalbergia-nigra"}),
        (
            "Dalbergia retusa",
            "2012-01-01",
            {"dalbergia-retusa-gt", "dalbergia-retusa-pa"},
        ),
        ("Dalbergia retusa", "2013-06-12", {"dalbergia-retusa-2013"}),
        (
            "Dalbergia retusa",
            "2024-05-10",
            {"dalbergia-genus", "dalbergia-madagascar"},
        ),
        ("Khaya ivorensis", "2023-02-22", {"khaya-before"}),
        ("Khaya ivorensis", "2023-02-23", {"khaya"}),
        ("Handroanthus impetiginosus", "2024-11-24", {"handroanthus-before"}),
        ("Handroanthus impetiginosus", "2024-11-25", {"handroanthus"}),
        ("Pterocarpus soyauxii", "2023-02-23", {"pterocarpus-africa"}),
        ("Pterocarpus erinaceus", "2024-05-10", {"pterocarpus-erinaceus"}),
        ("Acer saccharum", "1950-01-01", {"acer-not-listed"}),
    ],
)
def test_the_rows_of_a_taxon_are_those_of_the_day(
    taxon: str, day: str, marks: set[str]
) -> None:
    """Its own row comes before that of its genus."""
    found = rows_for(names()[taxon], date.fromisoformat(day))

    assert {each.id for each in found} == marks


def test_every_accepted_name_has_a_row_today() -> None:
    """No name in the table leads to nothing."""
    for name in names().values():
        if name.accepted == name.name:
            assert rows_for(name, date(2026, 11, 25)), name


@pytest.mark.parametrize(
    ("mark", "day", "text"),
    [
        ("dalbergia-genus", "2019-11-25", "15-2017"),
        ("dalbergia-genus", "2019-11-26", "15-2019"),
        ("paubrasilia", "2023-02-22", "10-2007"),
        ("paubrasilia", "2023-02-23", "10-2023"),
        ("paubrasilia", "2026-03-04", "10-2023"),
        ("paubrasilia", "2026-03-05", "10-2026"),
        ("aniba-rosaeodora", "2024-01-01", "12"),
    ],
)
def test_an_annotation_has_one_text_on_a_day(mark: str, day: str, text: str) -> None:
    """#10 and #15 were rewritten."""
    found = annotation_for(row(mark), date.fromisoformat(day))

    assert found is not None and found.id == text


def test_the_mexican_clause_came_with_the_genus() -> None:
    """In force since 2017-01-02."""
    assert mexico_clause(date(2017, 1, 1)) is None
    assert mexico_clause(date(2017, 1, 2)) is not None


@pytest.mark.parametrize(
    ("population", "origin", "taxon", "answer"),
    [
        ("", None, ROSEWOOD, True),
        ("MG", "MG", "Diospyros perrieri", True),
        ("MG", None, "Diospyros perrieri", True),
        ("MG", None, "Diospyros celebica", False),
        ("africa", "GB", "Khaya spp.", None),
        ("neotropics", "GB", "Swietenia macrophylla", None),
        ("africa", "GB", "Afzelia xylocarpa", False),
        ("MG", "CM", "Diospyros spp.", False),
        ("MG", None, "Diospyros spp.", None),
        ("neotropics", "GT", "Swietenia macrophylla", True),
        ("neotropics", "FJ", "Swietenia macrophylla", False),
        ("neotropics", None, "Swietenia macrophylla", None),
        ("africa", None, "Khaya ivorensis", True),
        ("africa", "VN", "Khaya ivorensis", None),
    ],
)
def test_a_population_is_told_by_origin_or_by_range(
    population: str, origin: str | None, taxon: str, answer: bool | None
) -> None:
    """Where neither tells, nobody knows."""
    places = frozenset(population.split())

    assert is_from(places, origin, names()[taxon]) is answer


def test_mahogany_grows_in_plantations_too() -> None:
    """Fiji is known for it, the United States are not."""
    name = names()["Swietenia macrophylla"]

    assert is_grown_in(name, "FJ") and is_grown_in(name, "GT")
    assert not is_grown_in(name, "US")


@pytest.mark.parametrize(
    ("taxon", "origin", "day"),
    [
        ("Dalbergia nigra", None, "1992-06-11"),
        (ROSEWOOD, None, "2017-01-02"),
        ("Dalbergia stevensonii", None, "2008-02-12"),
        ("Dalbergia stevensonii", "BZ", "2008-02-12"),
        ("Dalbergia retusa", "NI", "2008-02-12"),
        ("Paubrasilia echinata", None, "2007-09-13"),
        ("Loxodonta africana", None, "1976-02-26"),
        ("Dalbergia granadillo", None, "2013-06-12"),
    ],
)
def test_the_first_listing_in_any_appendix_counts(
    taxon: str, origin: str | None, day: str
) -> None:
    """50 CFR 23.45(b)(2): not the date of the present listing."""
    assert first_listing(names()[taxon], origin) == date.fromisoformat(day)


def test_a_population_next_door_that_was_listed_before_is_told_apart() -> None:
    """Guatemala listed the rosewood of Belize in 2008, its own alone; all in 2013."""
    name = names()["Dalbergia stevensonii"]
    first = first_row(name, "BZ")
    assert first is not None and first.id == "dalbergia-stevensonii-2013"

    earlier = earlier_row(name, first)
    assert earlier is not None and earlier.id == "dalbergia-stevensonii-gt"
    assert earlier_row(name, earlier) is None


def test_a_population_far_off_makes_no_day_of_listing_earlier() -> None:
    """Rosewood of India was listed in 2017, that of Madagascar in 2013."""
    first = first_row(names()[ROSEWOOD], "IN")

    assert first is not None and earlier_row(names()[ROSEWOOD], first) is None


def test_what_was_never_listed_has_no_first_listing() -> None:
    """Spruce is of no date."""
    assert first_listing(names()["Picea abies"], None) is None


def test_a_row_is_stale_four_hundred_days_after_it_was_checked() -> None:
    """One day makes the difference."""
    found = row("haliotis-not-listed")
    last = found.checked_on + timedelta(days=400)

    assert not is_stale(found, last)
    assert is_stale(found, last + timedelta(days=1))


@pytest.mark.parametrize(
    ("newest", "unchanged", "day", "stale"),
    [
        ("2017-04-21", "", "2019-11-25", False),
        ("2017-04-21", "", "2019-11-26", True),
        ("2017-04-21", "CoP18:S12", "2019-11-26", False),
        ("2017-04-21", "CoP18:S12", "2023-02-22", False),
        ("2017-04-21", "CoP18:S12", "2023-02-23", True),
        ("2017-04-21", "CoP18:S12 CoP19:S15", "2026-03-04", False),
        ("2017-04-21", "CoP18:S12 CoP19:S15", "2026-03-05", True),
        ("2026-03-05", "", "2026-03-05", False),
    ],
)
def test_a_later_meeting_makes_a_row_stale_unless_a_source_says_unchanged(
    newest: str, unchanged: str, day: str, stale: bool
) -> None:
    """From the day on which the meeting's changes took effect."""
    found = replace(
        row("acer-not-listed"),
        newest_source=date.fromisoformat(newest),
        unchanged=frozenset(unchanged.split()),
    )

    assert is_stale(found, date.fromisoformat(day)) is stale


@pytest.mark.parametrize(
    ("species", "day", "is_listed"),
    [
        ("Khaya ivorensis", date(2023, 2, 22), False),
        ("Khaya ivorensis", date(2023, 2, 23), True),
        ("Dalbergia latifolia", date(2017, 1, 2), True),
        ("Dalbergia nigra", date(1992, 6, 11), True),
        ("Picea abies", date(2026, 11, 25), False),
        ("Robur fantasticus", date(2026, 11, 25), True),
        ("rosewood", date(2026, 11, 25), True),
    ],
)
def test_what_nobody_knows_may_be_listed(
    species: str, day: date, is_listed: bool
) -> None:
    """CITES Appendices in force on these days; an unknown name is kept as listed."""
    assert may_be_listed(species, day) is is_listed


def test_only_what_a_row_lists_is_listed_for_sure() -> None:
    """CITES Appendices in force; what nobody knows may be, and is not for sure."""
    day = date(2026, 11, 25)

    assert is_listed("Khaya ivorensis", day)
    assert not is_listed("Khaya ivorensis", date(2023, 2, 22))
    assert not is_listed("Robur fantasticus", day)
    assert not is_listed("Picea abies", day)


def test_what_a_row_that_is_left_out_would_list_may_be_listed() -> None:
    """And what it does not speak of is as it was."""
    row = {**LISTING, "sources": "S999", "valid_from": "2025-01-01"}
    law, day = law_in_part(("listings", row)), date(2026, 1, 5)

    assert not may_be_listed("Acer saccharum", day)
    assert may_be_listed("Acer saccharum", day, law)
    assert not may_be_listed("Acer rubrum", day, law)


@pytest.mark.parametrize(
    ("taxon", "form", "day", "movement", "member"),
    [
        ("Dalbergia spp.", "finished_instruments", "2024-05-10", "US -> JP, sale",
         "Dalbergia nigra"),
        ("Cedrela spp.", "sawn_wood", "2015-05-10", "BR -> US, sale",
         "Cedrela odorata"),
        ("Dipteryx spp.", "logs", "2015-05-10", "CR -> US, sale",
         "Dipteryx panamensis"),
        ("Pterocarpus spp.", "finished_instruments", "2024-05-10", "US -> JP, sale",
         "Pterocarpus erinaceus"),
        ("Dalbergia spp.", "finished_instruments", "2024-05-10", "DE -> FR, sale",
         "Dalbergia spp."),
    ],
)  # fmt: skip
def test_a_genus_is_never_freer_than_the_species_it_may_hide(
    taxon: str, form: str, day: str, movement: str, member: str
) -> None:
    """Only the genus is told, and one of its species would need documents."""
    found = answered(taxon=taxon, form=form, date=day, movement=movement)

    assert found.answer == "ask"
    assert member in found.why and found.documents == ()


def test_wood_of_a_listed_population_is_covered_whatever_its_species() -> None:
    """The populations of Madagascar stand for the whole genus of ebonies."""
    board = {"taxon": "Diospyros crassiflora", "form": "sawn_wood"}
    line = {"date": "2024-05-10", "movement": "MG -> US, sale"}

    assert answered(**board, **line, origin="MG").row == "diospyros-madagascar"
    assert answered(**board, **line, origin="CM").answer == "not needed"


def test_of_madagascar_rosewood_the_standstill_is_told() -> None:
    """Beside the answer, and not of rosewood from India."""
    board = {"form": "sawn_wood", "date": "2026-11-25", "movement": "US -> JP, sale"}
    mg, india = (
        answered(taxon=taxon, **board) for taxon in ("Dalbergia baronii", ROSEWOOD)
    )

    assert (mg.answer, india.row) == ("needed", "dalbergia-genus")
    told = answered(taxon="Dalbergia baronii", **board, origin="MG")
    assert told.row == "dalbergia-madagascar" and "stood still" in told.note


def test_wood_from_outside_a_listed_population_is_on_no_list() -> None:
    """Plantation mahogany of Fiji; that of Guatemala is."""
    board = {"taxon": "Swietenia macrophylla", "form": "sawn_wood"}
    line = {"date": "2024-05-10", "movement": "US -> JP, sale"}

    assert not answered(**board, **line, origin="FJ").is_listed
    assert answered(**board, **line, origin="GT").is_listed
    assert answered(**board, **line).is_listed
