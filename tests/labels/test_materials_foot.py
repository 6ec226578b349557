"""Tests of what ends a materials list."""

from dataclasses import replace

from labels import materials
from labels.materials import MaterialsPaper, WithThisPage
from labels.materials_foot import payload
from tests.labels import reading
from tests.labels.samples import MATERIALS_PAPER


def said(paper: MaterialsPaper = MATERIALS_PAPER) -> str:
    """Return the text of page 1, all spaces alike."""
    return " ".join(reading.text(materials.draw(paper)).split())


def test_how_it_was_decided_names_its_dates() -> None:
    """Two dates of the table, the movement and its purpose, and a caution."""
    assert (
        "Listing table compiled 2026-03-05, sources of 2025-11-24 or later. Movement "
        "2026-11-24; sold, so the owner changes. Rules and sources, row by row: page 2."
        " On another day the answer may differ."
    ) in said()


def test_without_a_purpose_the_movement_stands_alone() -> None:
    """No stray sign is left where nothing was said."""
    assert "Movement 2026-11-24. Rules" in said(replace(MATERIALS_PAPER, purpose=""))


def test_animal_parts_are_named_and_none_is_said() -> None:
    """An empty list is a statement too."""
    assert "Animal parts nut and saddle, cattle bone (Bos taurus), 18 g" in said()
    assert "Animal parts none" in said(replace(MATERIALS_PAPER, animal_parts=()))


def test_papers_that_are_missing_are_said_to_be() -> None:
    """The square of a paper has its word: to be added."""
    text = said()

    assert "invoice F-2026-0312 packing list copy of D-2024-009 (to be" in text
    assert text.count("(to be added)") == 1
    assert "no other paper" in said(replace(MATERIALS_PAPER, papers=()))


def test_many_papers_take_more_lines() -> None:
    """Twenty papers are all named."""
    many = tuple(WithThisPage(f"copy of D-2026-{n:03}", True) for n in range(20))
    text = said(replace(MATERIALS_PAPER, papers=many))

    assert all(f"copy of D-2026-{n:03}" in text for n in range(20))


def test_an_erased_signer_is_shown_by_badge_once() -> None:
    """The badge stands in for the name, and is not said twice."""
    text = said(replace(MATERIALS_PAPER, signer_name=None))

    assert text.count("badge 09") == 1
    assert "None" not in text
    assert "Philippa Osei shipping and papers badge 09, 2026-11-22" in said()


def test_without_a_host_the_symbol_says_the_document_alone() -> None:
    """Such a symbol is read by the shop's own bench."""
    assert payload(MATERIALS_PAPER) == "HTTPS://SKM.EXAMPLE/X/X26-04124"
    assert payload(replace(MATERIALS_PAPER, host="")) == "X/X26-04124"


def test_the_checkpoint_stands_as_it_is_typed() -> None:
    """The number of entries and ten words, in one line to be read out."""
    words = " ".join(MATERIALS_PAPER.ten_words)

    assert len(MATERIALS_PAPER.ten_words) == 10
    assert f"checkpoint 71391 {words}" in said()
