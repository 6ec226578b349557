"""How far a row was checked: what was put down from memory frees nobody."""

from datetime import date
from typing import Any

import pytest

from ledger.trade.answers import Determination
from ledger.trade.confidence import (
    CONFIDENCE,
    MEMORY,
    confidence_words,
    is_from_memory,
    least,
)
from ledger.trade.tables import listings, names, rules, wood_forms
from tests.ledger.trade.asking import CASES, answered, every_row, row

MOVEMENTS = ("US -> JP, sale", "US -> EU, sale", "US -> FR -> US, no sale", "DE sale")


def each_answer(found: Determination) -> list[Determination]:
    """Return an answer, those of its parts, and those of other laws."""
    return [
        said for one in (found, *found.parts, *found.also) for said in (one, *one.also)
    ]


def frees_from_memory(found: Determination) -> bool:
    """Tell whether an answer spares papers by a row that nobody read."""
    return any(
        said.answer == "not needed" and said.confidence == MEMORY
        for said in each_answer(found)
    )


@pytest.mark.parametrize("taxon", sorted({found.taxon for found in listings()}))
def test_no_answer_is_free_by_a_row_from_memory(taxon: str) -> None:
    """Every taxon of the table, in each form, over borders and inside them."""
    for form in wood_forms():
        for movement in MOVEMENTS:
            for day in ("2016-06-01", "2021-06-01", "2025-06-01"):
                told = {"taxon": taxon, "form": form, "date": day}
                assert not frees_from_memory(answered(**told, movement=movement))


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_no_worked_case_is_free_by_a_row_from_memory(case: dict[str, Any]) -> None:
    """Nor by a rule beside the listings."""
    assert not frees_from_memory(answered(**case))


def test_a_listing_from_memory_is_asked_about_where_it_would_free() -> None:
    """Its annotation leaves instruments out, and nobody read that it is this one."""
    told = {"taxon": "Pterocarpus tinctorius", "movement": "US -> JP, sale"}
    free = answered(**told, form="finished_instruments", date="2021-06-01")
    bound = answered(**told, form="sawn_wood", date="2021-06-01")

    assert is_from_memory(row("pterocarpus-tinctorius-2019"))
    assert free.answer == "ask" and free.why.endswith("no source was read for it")
    assert (bound.answer, bound.confidence) == ("needed", MEMORY)


def test_an_annex_from_memory_is_asked_about_inside_the_union() -> None:
    """Whether commerce in oak is barred rests on its row; in the States it does not."""
    told = {"taxon": "Quercus robur", "form": "sawn_wood", "date": "2024-05-10"}
    union = answered(**told, movement="DE sale")
    states = answered(**told, movement="US interstate sale")

    assert (union.answer, union.confidence) == ("ask", MEMORY)
    assert "no source was read for the Annex of Quercus robur" in union.why
    assert (states.answer, states.confidence) == ("not needed", "verified")


def test_a_synonym_from_memory_frees_nothing() -> None:
    """Under its accepted name the same wood is answered."""
    told = {"form": "sawn_wood", "date": "2024-05-10", "movement": "US -> JP, sale"}
    accepted = answered(**told, taxon="Brosimum guianense")
    synonym = answered(**told, taxon="Piratinera guianensis")

    assert is_from_memory(names()["Piratinera guianensis"])
    assert (accepted.answer, synonym.answer) == ("not needed", "ask")
    assert synonym.why.endswith(
        "that Piratinera guianensis is Brosimum guianense is from memory only"
    )


def test_an_answer_is_as_sure_as_the_row_checked_least() -> None:
    """Of the row of a taxon and the text of its annotation."""
    text, sure = row("dalbergia-cochinchinensis-2013"), rules()["no-border"]

    assert least(text, sure) == least(sure, text) == "partly verified"
    assert least(sure) == "verified"
    assert least(text, row("ilex-not-listed"), sure) == MEMORY
    found = answered(
        taxon="Dalbergia cochinchinensis",
        form="sawn_wood",
        date=str(date(2014, 1, 2)),
        movement="US -> JP, sale",
    )
    assert (found.row, found.confidence) == (text.id, "partly verified")


def test_every_row_says_how_far_it_was_checked_in_words() -> None:
    """None of them says more than was done."""
    for found in every_row().values():
        assert confidence_words(found.confidence) == CONFIDENCE[found.confidence]
    assert confidence_words(MEMORY) == "from memory, no source read"
