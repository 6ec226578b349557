"""An edition of the law as a value: what is asked of it is answered by it alone."""

import random
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.amendment import amended, read_overlay
from ledger.trade.answers import Determination
from ledger.trade.confidence import MEMORY, confidence_words
from ledger.trade.coverage import ORDER
from ledger.trade.determination import determine
from ledger.trade.fitting import faults
from ledger.trade.law import Law, compiled
from ledger.trade.listings import is_stale
from ledger.trade.movement import Movement
from ledger.trade.question import question_from
from ledger.trade.shipment import Material, determine_shipment
from ledger.trade.tables import names, stands, table_date
from tests.ledger.trade.asking import CASES, GUITAR, ROSEWOOD
from tests.ledger.trade.overlays import (
    LISTING,
    MEETING,
    OWN,
    QUESTIONS,
    TODAY,
    law_with,
    own_rows,
    row_of,
    text_of,
)

MAPLE = {"taxon": "Acer saccharum", "form": "sawn_wood", "movement": "CA -> JP, sale"}
SOURCE = {"sources": "Notification 2026/044", "confidence": "verified"}


def asked(law: Law, **fields: Any) -> Determination:
    """Return the answer to a question told in fields, by an edition."""
    return determine(question_from(fields), law=law)


def test_the_compiled_edition_holds_every_row_of_the_tables() -> None:
    """By their ids, and found by taxon, by annotation, by group, by trade name."""
    law = compiled()

    assert len(law.listings) == sum(len(rows) for rows in law.rows_of.values())
    assert law.names == names()
    assert law.table_date == table_date()
    assert law is compiled()
    for name in law.names.values():
        assert name in law.within[name.group]
        assert all(
            name.name in law.spoken[word.casefold()] for word in name.trade_names
        )


def test_a_listing_of_the_shops_own_is_judged_by_and_marked() -> None:
    """In its words of confidence, from its first day on, and not the day before."""
    law = law_with(("listings", LISTING))
    since = asked(law, **MAPLE, date="2027-03-01")
    before = asked(law, **MAPLE, date="2027-02-28")

    assert (since.answer, since.row) == ("needed", LISTING["id"])
    assert confidence_words(since.confidence).endswith(OWN)
    assert "[S01]; Notification to the Parties 2026/044" in since.source
    assert [step.own for step in since.path if step.at == "listing"] == [OWN]
    assert before.answer == asked(compiled(), **MAPLE, date="2027-02-28").answer
    assert OWN not in before.confidence


def test_a_meeting_of_the_shops_own_makes_older_rows_stale() -> None:
    """What was free without it is to be asked about from that day."""
    meeting = {**MEETING, "took_effect": "2026-12-20"}
    law = law_with(("meetings", meeting))
    guitar = {**GUITAR, "date": "2026-12-20", "movement": "DE -> JP, sale"}
    found = asked(law, **guitar)

    assert asked(compiled(), **guitar).answer == "not needed"
    assert found.answer == "ask"
    assert OWN in {step.own for step in found.path if step.at == "staleness"}


def test_a_meeting_counts_on_its_day_in_the_tables_too() -> None:
    """Moved to before a row's newest source it would overtake that row no more."""
    law = law_with(("meetings", row_of("meetings", "CoP20", took_effect="2020-01-01")))
    spruce = {"taxon": "Picea abies", "form": "sawn_wood", "date": "2026-12-01"}
    found = asked(law, **spruce, movement="DE -> JP, sale")

    assert found == asked(compiled(), **spruce, movement="DE -> JP, sale")
    assert found.answer == "ask" and "not overtaken" not in found.path[-1].says


_MEETINGS = st.lists(
    st.builds(
        lambda mark, day: (
            "meetings",
            {**MEETING, "id": mark, "took_effect": str(day)},
        ),
        st.sampled_from(["CoP17", "CoP18", "CoP19", "CoP20", "CoP21", "own-1"]),
        st.dates(date(2010, 1, 1), date(2031, 1, 1)),
    ),
    max_size=4,
    unique_by=lambda row: row[1]["id"],
)


@given(
    rows=_MEETINGS,
    question=QUESTIONS,
    day=st.dates(date(2015, 1, 1), date(2028, 1, 1)),
)
def test_no_meeting_of_the_shops_own_makes_an_answer_weaker(
    rows: list[tuple[str, dict[str, str]]], question: dict[str, Any], day: date
) -> None:
    """It only adds a doubt, and an answer that it changes bears its mark."""
    told = {**question, "date": str(day), "acquired": None}
    mine, plain = asked(law_with(*rows), **told), asked(compiled(), **told)

    assert ORDER.index(mine.answer) <= ORDER.index(plain.answer)
    if mine.answer != plain.answer:
        assert OWN in f"{mine.confidence} {mine.why}"
    for one, other in zip(mine.also, plain.also, strict=True):
        assert (one.rule, one.answer) == (other.rule, other.answer)


def test_a_rule_of_the_shops_own_moves_its_day() -> None:
    """As the deforestation rules were put off before."""
    later = row_of("rules", "eudr", valid_from="2027-12-30")
    earlier = row_of("rules", "eutr", valid_until="2027-12-29")
    law = law_with(("rules", later), ("rules", earlier))
    wood = {**MAPLE, "movement": "CA -> DE, sale", "date": "2027-01-15"}
    found = {rule.rule: rule for rule in asked(law, **wood).also}

    assert "eudr" not in found
    assert confidence_words(found["eutr"].confidence).endswith(OWN)
    assert "eudr" in {rule.rule for rule in asked(compiled(), **wood).also}


def test_a_text_of_the_shops_own_covers_what_it_says() -> None:
    """A newer text of an annotation, from its day on."""
    older = row_of("annotations", "15-2019", valid_until="2026-12-09")
    newer = row_of(
        "annotations",
        "15-2019",
        id="15-2026",
        valid_from="2026-12-10",
        label="annotation #15, text of 2026",
        finished_instruments="covered",
        other_finished_products="silent",
    )
    law = law_with(("annotations", older), ("annotations", newer))
    day = {True: "2026-12-10", False: "2026-12-09"}
    found = {
        is_new: asked(law, **GUITAR, date=day[is_new], movement="DE -> JP, sale")
        for is_new in day
    }

    assert [found[False].answer, found[True].answer] == ["not needed", "needed"]
    assert found[True].rows == ("dalbergia-genus", "15-2026")
    assert OWN in found[True].confidence


def test_a_first_listing_of_the_shops_own_decides_what_is_old_and_says_so() -> None:
    """Wood that came in before it is pre-Convention."""
    law = law_with(("listings", LISTING))
    found = asked(law, **MAPLE, date="2027-06-01", acquired="2020-01-01")

    assert f"acquired before the first listing of 2027-03-01 ({OWN})" in found.why
    assert found.documents[0].name == "pre-Convention certificate"


@pytest.mark.parametrize(
    "change",
    [
        {"appendix": "none", "annotation": "none"},
        {"population": "MG"},
        {"valid_until": "2026-01-01"},
    ],
)
def test_a_listing_that_a_shop_takes_away_is_asked_about(
    change: dict[str, str],
) -> None:
    """However it is done: the row says another thing, of fewer trees, or ends."""
    law = law_with(("listings", row_of("listings", "dalbergia-genus", **change)))
    wood = {"taxon": ROSEWOOD, "form": "sawn_wood", "date": "2026-12-01"}
    found = asked(law, **wood, movement="US -> JP, sale")

    assert asked(compiled(), **wood, movement="US -> JP, sale").answer == "needed"
    assert found.answer == "ask"
    assert OWN in f"{found.confidence} {found.why}"


def test_the_mark_of_a_listing_is_on_no_row_of_another_law() -> None:
    """The declaration's own row is of the tables; where it matters the reason tells."""
    listed = {**LISTING, "valid_from": "2026-01-01"}
    law = law_with(("listings", listed))
    wood = {**MAPLE, "movement": "CA -> US, sale", "date": "2026-12-01"}
    light = {"plant_ppm": 1, "entry_plant_mass_mg": 1}
    (said,) = (one for one in asked(law, **wood).also if "lacey" in one.rule)
    (less,) = (one for one in asked(law, **wood, **light).also if "lacey" in one.rule)

    assert OWN not in f"{said.confidence} {said.why}"
    assert OWN not in less.confidence
    assert less.why.endswith(f"; it also rests on {OWN}")


def test_what_a_shop_puts_down_from_memory_frees_nothing() -> None:
    """It may send somebody to an office, as a compiled row from memory does."""
    memory = {"sources": "M", "confidence": MEMORY}
    free = row_of("listings", "dalbergia-genus", appendix="none", annotation="none")
    law = law_with(("listings", {**free, **memory}))
    found = asked(law, **GUITAR, date="2026-12-01", movement="DE -> JP, sale")

    assert found.answer == "ask"
    assert OWN in found.confidence


def test_a_row_that_a_later_edition_knows_no_more_is_asked_about() -> None:
    """An accepted name, a text of an annotation, that came with the older tables."""
    lost = {"name": "Acer vetus", "accepted": "Acer nullum", "kind": "plant"}
    checked = {"checked_on": "2026-11-28", "newest_source": "2026-01-01", **SOURCE}
    law = law_with(
        ("names", {**lost, **checked}),
        ("listings", {**LISTING, "annotation": "99"}),
    )
    name = asked(law, **{**MAPLE, "taxon": "Acer vetus"}, date="2026-12-01")
    text = asked(law, **MAPLE, date="2027-03-01")

    assert (name.answer, name.row) == ("ask", "")
    assert text.answer == "ask"
    assert "no text of its annotation #99 is known" in text.why


def test_a_shipment_is_judged_by_one_edition() -> None:
    """Its lines, its totals and its date."""
    law = law_with(("listings", LISTING))
    maple = Material(
        taxon="Acer saccharum", part="neck", form="sawn_wood", mass_mg=5, lot="L1"
    )
    sale = Movement(legs=("CA", "JP"), purpose="sale", owner_changes=True)
    day = date(2027, 3, 1)
    mine = determine_shipment([maple], movement=sale, day=day, law=law)
    plain = determine_shipment([maple], movement=sale, day=day)

    assert (mine.answer, plain.answer) == ("needed", "ask")
    assert (mine.totals.listed_wood_mg, plain.totals.listed_wood_mg) == (5, 0)
    assert mine.table_date == date(2026, 11, 28)


def test_cases_in_any_order_are_answered_alike() -> None:
    """What was asked before is not remembered."""
    kept = {"taxon", "form", "date", "listed_wood_kg", "acquired", "origin", "movement"}
    told = [{name: case[name] for name in kept & case.keys()} for case in CASES]
    first = [asked(compiled(), **case) for case in told]
    for seed in range(3):
        order = random.Random(seed).sample(range(len(told)), len(told))  # noqa: S311
        again = {at: asked(compiled(), **told[at]) for at in order}

        assert [again[at] for at in range(len(told))] == first
        assert all(again[at].path == first[at].path for at in order)


def test_parts_in_any_order_need_the_same_documents() -> None:
    """And the fields of a question may stand in any order too."""
    parts = [
        {"taxon": taxon, "form": "finished_instruments"}
        for taxon in ("Picea abies", "Dalbergia nigra", "Swietenia macrophylla")
    ]
    line = {"date": "2026-12-01", "movement": "DE -> US, sale"}
    found = asked(compiled(), **line, parts=parts)
    for seed in range(6):
        mixed = random.Random(seed).sample(parts, 3)  # noqa: S311
        again = asked(compiled(), parts=mixed, **dict(reversed(line.items())))

        assert (again.answer, again.taxon) == (found.answer, found.taxon)
        assert set(again.documents) == set(found.documents)


@st.composite
def editions(draw: st.DrawFn) -> Law:
    """Return an edition with a few rows of a shop's own that fit."""
    overlay = read_overlay(text_of(*draw(own_rows())))
    fits = not list(faults(overlay, compiled(), today=TODAY))
    return amended(compiled(), overlay, own=OWN) if fits else compiled()


def check(said: Determination, law: Law, day: date) -> None:
    """See that an answer rests on rows of its edition that stood that day."""
    rows: dict[str, Any] = {**law.rules, **law.listings, **law.annotations}
    resting = [rows[mark] for mark in said.rows]

    assert said.row or said.answer == "ask", said
    assert all(stands(row.valid_from, row.valid_until, day) for row in resting), said
    assert (OWN in said.confidence) >= any(row.own for row in resting), said
    assert said.why and said.ask_whom
    assert (said.answer == "needed") <= bool(said.documents) or said in said.also
    assert said.path, said
    assert [step for step in said.path if step.decided][-1].decided == said.answer
    if said.answer == "not needed":
        assert any(row.confidence != MEMORY for row in resting)
        assert any((day - row.checked_on).days <= 400 for row in resting), said


@given(law=editions(), question=QUESTIONS)
def test_whatever_is_asked_by_whichever_edition_rests_on_its_rows(
    law: Law, question: dict[str, Any]
) -> None:
    """From 1970 to 2100; what nobody knows is asked about, and nothing free is old."""
    day = date.fromisoformat(question["date"])
    if question.get("acquired", "") > question["date"]:
        question = {**question, "acquired": question["date"]}
    found = asked(law, **question)
    for said in (found, *found.also, *found.parts):
        check(said, law, day)
    is_known = question["taxon"] != "Acer unknownum"

    if not is_known or question["form"] == "half finished":
        assert found.answer != "not needed"
    if found.law == "CITES" and found.answer == "not needed" and not found.parts:
        carriers = [
            row
            for row in (
                law.listings.get(mark) or law.annotations.get(mark)
                for mark in found.rows
            )
            if row is not None
        ]
        is_inside = "no-border" in found.rows
        assert is_inside or not all(is_stale(row, day, law) for row in carriers)


@pytest.mark.parametrize("year", [2028, 2040, 2100])
def test_beyond_the_tables_nothing_is_free(year: int) -> None:
    """Neither by the Convention nor by a law beside it, with a border or without."""
    for taxon in (ROSEWOOD, "Picea abies", "Acer saccharum"):
        for legs in (
            ["DE", "JP"],
            ["JP", "DE"],
            ["US"] * 2,
            ["CA", "US"],
            ["DE", "FR"],
        ):
            found = asked(
                compiled(),
                taxon=taxon,
                form="finished_instruments",
                date=f"{year}-06-01",
                legs=legs,
                purpose="sale",
                plant_ppm=1,
                entry_plant_mass_mg=1,
            )
            answers = {said.answer for said in (found, *found.also)}

            assert "not needed" not in answers, (taxon, legs)
