"""A row and a case: covered, outside, or to be asked about."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from ledger.trade.coverage import ASK, NEEDED, NOT_NEEDED, judge, worst
from ledger.trade.tables import names
from tests.ledger.trade.asking import answered, case_of, row

MG_PER_KG = 1_000_000


@pytest.mark.parametrize(
    ("mark", "form", "answer"),
    [
        ("dalbergia-genus", "sawn_wood", NEEDED),
        ("dalbergia-genus", "unfinished_shaped_parts", NEEDED),
        ("dalbergia-genus", "finished_instrument_parts", NOT_NEEDED),
        ("swietenia-mahagoni", "plywood", NOT_NEEDED),
        ("swietenia-mahagoni", "unfinished_shaped_parts", ASK),
        ("swietenia-humilis", "finished_instruments", NEEDED),
        ("guaiacum", "finished_instrument_parts", ASK),
        ("acer-not-listed", "finished_instruments", NOT_NEEDED),
        ("ilex-not-listed", "sawn_wood", ASK),
    ],
)
def test_a_form_is_covered_as_the_annotation_says(
    mark: str, form: str, answer: str
) -> None:
    """In 2024, on a sale from the Union to the United States."""
    found = judge(row(mark), case_of("DE -> US, sale", form=form))

    assert found.answer == answer
    assert found.row.id == mark and found.why


@pytest.mark.parametrize(
    ("line", "mass_mg", "answer"),
    [
        ("EU -> US, sale", 900_000, NEEDED),
        ("EU -> US, no sale", 900_000, NOT_NEEDED),
        ("EU -> US, no sale", 10 * MG_PER_KG, NOT_NEEDED),
        ("EU -> US, no sale", 10 * MG_PER_KG + 1, NEEDED),
        ("EU -> US, no sale", None, ASK),
        ("EU -> US", 900_000, ASK),
        ("EU -> US", 10 * MG_PER_KG + 1, NEEDED),
    ],
)
def test_the_text_of_2017_frees_light_shipments_without_commerce(
    line: str, mass_mg: int | None, answer: str
) -> None:
    """Annotation #15, in force to 2019-11-25: any form, at most 10 kg in all."""
    case = case_of(
        line,
        form="finished_instruments",
        day=date(2018, 5, 10),
        listed_mass_mg=mass_mg,
    )

    assert judge(row("dalbergia-genus"), case).answer == answer


@pytest.mark.parametrize(
    ("mass_mg", "answer"),
    [(10 * MG_PER_KG, NOT_NEEDED), (10 * MG_PER_KG + 1, NEEDED), (None, ASK)],
)
def test_the_text_of_2019_frees_ten_kilograms_in_finished_products(
    mass_mg: int | None, answer: str
) -> None:
    """Annotation #15 b: commerce or not."""
    case = case_of(
        "EU -> US, sale", form="other_finished_products", listed_mass_mg=mass_mg
    )

    assert judge(row("dalbergia-genus"), case).answer == answer


@pytest.mark.parametrize(
    ("line", "answer"),
    [
        ("FR -> JP, sale", NEEDED),
        ("FR -> JP, gift", NEEDED),
        ("FR -> JP, loan", NOT_NEEDED),
        ("FR -> JP -> FR, no sale", NOT_NEEDED),
        ("FR -> JP, no sale", ASK),
        ("FR -> JP", ASK),
    ],
)
def test_the_bow_text_of_2026_asks_for_purpose_and_owner(
    line: str, answer: str
) -> None:
    """Annotation #10 since 2026-03-05."""
    case = case_of(
        line,
        name=names()["Paubrasilia echinata"],
        form="finished_instrument_accessories",
        day=date(2026, 10, 1),
    )

    assert judge(row("paubrasilia"), case).answer == answer


@pytest.mark.parametrize(
    ("line", "answer"), [("BR -> DE", NEEDED), ("FR -> DE", NOT_NEEDED)]
)
def test_the_bow_text_of_2023_covers_the_first_export_only(
    line: str, answer: str
) -> None:
    """Every re-export of a finished bow is free until 2026-03-04."""
    case = case_of(
        line,
        name=names()["Paubrasilia echinata"],
        form="finished_instrument_accessories",
    )

    assert judge(row("paubrasilia"), case).answer == answer


@pytest.mark.parametrize(
    ("origin", "exporter", "answer"),
    [("MX", "MX", NOT_NEEDED), ("MX", "US", NEEDED), (None, "MX", NEEDED)],
)
def test_the_mexican_clause_needs_origin_and_export_in_mexico(
    origin: str | None, exporter: str, answer: str
) -> None:
    """Then annotation #6 applies, which names no finished products."""
    case = case_of(
        f"{exporter} -> JP, sale",
        name=names()["Dalbergia retusa"],
        form="other_finished_products",
        origin=origin,
        listed_mass_mg=25 * MG_PER_KG,
    )

    assert judge(row("dalbergia-genus"), case).answer == answer


def test_an_unknown_origin_of_a_listed_population_is_asked_about() -> None:
    """Covered only if it grew there."""
    case = case_of("US -> JP, sale", name=names()["Swietenia macrophylla"])
    found = judge(row("swietenia-macrophylla"), case)

    assert found.answer == ASK
    assert "origin is not stated" in found.why
    assert (
        judge(row("swietenia-macrophylla"), replace(case, origin="GT")).answer == NEEDED
    )
    outside = judge(row("swietenia-macrophylla"), replace(case, origin="FJ"))
    assert outside.answer == NOT_NEEDED


def test_stale_turns_not_needed_into_ask_and_never_touches_needed() -> None:
    """After a meeting whose lists no source of the row has seen."""
    later = date(2026, 3, 5)
    found = judge(row("acer-not-listed"), case_of("DE -> US", day=later))
    needed = judge(
        row("swietenia-mahagoni"), case_of("DE -> US, sale", day=date(2029, 1, 1))
    )

    assert found.answer == ASK
    assert "the lists may have changed before 2026-03-05" in found.why
    assert needed.answer == NEEDED


def test_what_is_asked_about_for_a_better_reason_keeps_its_reason() -> None:
    """A silent annotation is no matter of dates."""
    day = date(2026, 11, 25)
    case = case_of("DE -> US, sale", form="unfinished_shaped_parts", day=day)
    found = judge(row("swietenia-mahagoni"), case)

    assert found.answer == ASK
    assert found.why.endswith("does not say whether unfinished shaped parts is covered")


def test_a_newer_row_of_the_annotation_carries_an_older_listing() -> None:
    """The bubingas were last seen in 2022, annotation #15 after the last meeting."""
    case = case_of(
        "DE -> US, sale",
        name=names()["Guibourtia tessmannii"],
        form="finished_instruments",
        day=date(2026, 11, 25),
    )
    found = judge(row("guibourtia-tessmannii"), case)

    assert found.answer == NOT_NEEDED
    assert found.annotation is not None and found.annotation.id == "15-2019"


def test_needed_counts_before_ask_and_ask_before_not_needed() -> None:
    """Of several States that listed a species, its own comes first."""
    case = case_of("BR -> DE, sale", name=names()["Cedrela odorata"], origin="BR")
    day = date(2020, 8, 27)
    marks = ("pe", "bo", "br")
    found = [
        judge(row(f"cedrela-odorata-{mark}"), replace(case, day=day)) for mark in marks
    ]

    assert worst(found, "BR").row.id == "cedrela-odorata-br"
    assert worst(found[:1], "BR").answer == NOT_NEEDED


@pytest.mark.parametrize(
    ("thing", "movement", "origin"),
    [
        ({"taxon": "Swietenia macrophylla", "form": "sawn_wood"},
         "FJ -> US, sale", "FJ"),
        ({"taxon": "Dalbergia retusa", "form": "other_finished_products",
          "listed_wood_kg": 25}, "MX -> US, sale", "MX"),
    ],
)  # fmt: skip
def test_an_origin_taken_for_granted_frees_nothing(
    thing: dict[str, Any], movement: str, origin: str
) -> None:
    """Told, the origin frees it; not told, somebody must say it."""
    line = {"date": "2024-05-10", "movement": movement}

    assert answered(**thing, **line, origin=origin).answer == "not needed"
    assert answered(**thing, **line).answer == "ask"


@pytest.mark.parametrize(
    ("taxon", "mark", "origin", "said"),
    [
        ("Khaya ivorensis", "khaya", None, "in Africa, and its origin is not stated"),
        ("Khaya ivorensis", "khaya", "GB", "in Africa; but the table has Khaya ivo"),
        ("Osyris lanceolata", "osyris", "GB", "; but where Osyris lanceolata grows is"),
    ],
)
def test_why_it_is_open_of_which_population_wood_is(
    taxon: str, mark: str, origin: str | None, said: str
) -> None:
    """Nobody said, it grows nowhere there, or the table does not know where it does."""
    told = replace(names()[taxon], grows_in=frozenset()) if origin is None else None
    case = case_of("US -> JP, sale", name=told or names()[taxon], origin=origin)
    found = judge(row(mark), case)

    assert found.answer == ASK and said in found.why
