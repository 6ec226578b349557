"""Rows of the shop's own that are left out free nothing, and are told."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given

from ledger.trade.answers import Determination
from ledger.trade.coverage import ORDER
from ledger.trade.determination import determine, limited_mass_mg
from ledger.trade.law import Law, compiled
from ledger.trade.movement import Movement
from ledger.trade.question import Part, question_from
from ledger.trade.shipment import Material, determine_shipment
from tests.ledger.trade.overlays import (
    LEFT_OUT,
    LISTING,
    QUESTIONS,
    law_in_part,
    own_rows,
    row_of,
)

# What makes any row one that is refused: a mark of no source.
UNSEEN = {"sources": "S999"}
LISTED = ("listings", {**LISTING, **UNSEEN, "valid_from": "2026-01-01"})
SPECIES = ("saccharum", "rubrum")
TODAY = {"date": "2026-02-10", "movement": "US -> DE, sale"}


def asked(law: Law, **fields: Any) -> Determination:
    """Return the answer to a question told in fields, by an edition."""
    return determine(question_from({"form": "sawn_wood", **fields}), law=law)


def test_a_listing_that_is_left_out_is_asked_about() -> None:
    """It may be right, and only badly written; what rests on none is as it was."""
    law = law_in_part(LISTED)
    found, other = (asked(law, taxon=f"Acer {n}", **TODAY) for n in SPECIES)

    assert "acer-saccharum-2027" not in law.listings
    assert asked(compiled(), taxon="Acer saccharum", **TODAY).answer == "not needed"
    assert found.answer == "ask"
    assert found.why.endswith(f"; but {LEFT_OUT}")
    assert (found.path[-1].at, found.path[-1].decided) == ("left out", "ask")
    assert other == asked(compiled(), taxon="Acer rubrum", **TODAY)


@pytest.mark.parametrize(
    ("table", "row", "taxon", "answer"),
    [
        (
            "names",
            row_of("names", "Dalbergia nigra", accepted="Acer saccharum"),
            "Dalbergia nigra",
            "needed",
        ),
        (
            "names",
            row_of("names", "Osyris lanceolata", grows_in="IN"),
            "Osyris lanceolata",
            "ask",
        ),
        (
            "listings",
            row_of(
                "listings",
                "dalbergia-nigra",
                appendix="none",
                **UNSEEN,
            ),
            "Dalbergia nigra",
            "needed",
        ),
        (
            "meetings",
            row_of("meetings", "CoP20", took_effect="2030-01-01"),
            "Picea abies",
            "ask",
        ),
        (
            "annotations",
            row_of("annotations", "15-2019", sawn_wood="outside", **UNSEEN),
            "Dalbergia latifolia",
            "needed",
        ),
        (
            "trade_names",
            row_of("trade_names", "spruce", may_mean="Picea nulla"),
            "spruce",
            "ask",
        ),
    ],
)
def test_the_tables_answer_in_its_place_and_say_so(
    table: str, row: dict[str, str], taxon: str, answer: str
) -> None:
    """Of every table, where an answer would have rested on the row."""
    late = {**TODAY, "date": "2026-11-30", "taxon": taxon}
    found = asked(law_in_part((table, row)), **late)

    assert found.answer == answer == asked(compiled(), **late).answer
    assert found.why.endswith(f"; but {LEFT_OUT}")


def test_a_rule_that_is_left_out_is_told_beside() -> None:
    """One that the shop puts off, and one that comes of a listing alone."""
    rule = row_of("rules", "eutr", valid_until="2026-01-31", **UNSEEN)
    law = law_in_part(("rules", rule), LISTED)
    beside = {o.rule: o for o in asked(law, taxon="Acer saccharum", **TODAY).also}
    plain = {o.rule: o for o in asked(law, taxon="Picea abies", **TODAY).also}

    assert (beside["eutr"].answer, beside["us-ports"].answer) == ("needed", "ask")
    assert all(other.why.endswith(LEFT_OUT) for other in beside.values())
    assert beside["us-ports"].documents == ()
    assert plain["eutr"].why.endswith(LEFT_OUT)


def test_a_declaration_by_a_rule_that_is_left_out_says_so() -> None:
    """The Lacey Act is asked of the whole thing."""
    rule = row_of("rules", "lacey-9202", valid_from="2030-01-01", **UNSEEN)
    fields = {"taxon": "Picea abies", "form": "finished_instruments"}
    way = {"date": "2026-02-10", "movement": "CA -> US, sale", "hts_number": "9202"}
    (said,) = (
        other
        for other in asked(law_in_part(("rules", rule)), **fields, **way).also
        if other.rule.startswith("lacey")
    )

    assert (said.rule, said.answer) == ("lacey-9202", "needed")
    assert said.why.endswith(LEFT_OUT)


def test_of_several_parts_only_those_say_it_that_would_rest_on_it() -> None:
    """And the whole is asked about with them."""
    parts = [{"taxon": f"Acer {n}", "form": "sawn_wood"} for n in SPECIES]
    question = question_from({**TODAY, "parts": parts})
    found = determine(question, law=law_in_part(LISTED))

    assert [part.answer for part in found.parts] == ["ask", "not needed"]
    assert [LEFT_OUT in part.why for part in found.parts] == [True, False]
    assert found.answer == "ask"


def test_wood_that_a_row_left_out_would_list_counts_to_the_ten_kilograms() -> None:
    """Nothing is light because a row was left out."""
    row = {**LISTING, **UNSEEN, "annotation": "15", "valid_from": "2026-01-01"}
    day = date(2026, 2, 10)
    wood = [
        Part(taxon=taxon, form="other_finished_products", mass_mg=6_000_000)
        for taxon in ("Acer saccharum", "Dalbergia latifolia")
    ]

    assert limited_mass_mg(wood, day) == 6_000_000
    assert limited_mass_mg(wood, day, law_in_part(("listings", row))) == 12_000_000


def test_a_shipment_says_it_on_the_line_that_would_rest_on_it() -> None:
    """As every other answer does."""
    wood = [
        Material(taxon=f"Acer {n}", part="neck", form="sawn_wood", mass_mg=5, lot="L1")
        for n in SPECIES
    ]
    sale = Movement(legs=("CA", "JP"), purpose="sale", owner_changes=True)
    law = law_in_part(LISTED)
    found = determine_shipment(wood, movement=sale, day=date(2026, 2, 10), law=law)

    assert [(line.taxon, line.answer) for line in found.lines] == [
        ("Acer saccharum", "ask"),
        ("Acer rubrum", "not needed"),
    ]
    assert LEFT_OUT in found.lines[0].why


@given(rows=own_rows(), question=QUESTIONS)
def test_whatever_row_is_left_out_no_answer_is_freer_for_it(
    rows: list[tuple[str, dict[str, str]]], question: dict[str, Any]
) -> None:
    """Neither freer than without the row, nor than with it where it was stricter."""
    law = law_in_part(*rows)
    if question.get("acquired", "") > question["date"]:
        question = {**question, "acquired": question["date"]}
    assert law.left_out is not None
    found = asked(law, **question)
    whole = asked(law.left_out.law, **question)
    is_told = LEFT_OUT in found.why or LEFT_OUT in str(found.parts)

    if found.answer == "not needed":
        assert whole.answer == "not needed"
        assert LEFT_OUT not in whole.why and LEFT_OUT not in whole.confidence
    assert is_told or found.answer == whole.answer
    assert ORDER.index(found.answer) <= max(1, ORDER.index(whole.answer))
    for said in (found, *found.also, *found.parts):
        assert [step for step in said.path if step.decided][-1].decided == said.answer
        assert (said.answer == "needed") <= bool(said.documents) or said in found.also
