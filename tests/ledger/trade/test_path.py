"""The way to an answer: every step in its order, with its row and what it decided."""

import json
from datetime import date
from typing import Any

import pytest

from ledger.trade.answers import as_data
from ledger.trade.law import compiled
from ledger.trade.path import Step, path_data, step_on
from ledger.trade.tables import stands
from tests.ledger.trade.asking import BOW, CASES, GUITAR, answered, steps

KEYS = {"step", "says", "decided", "row", "valid_from", "valid_until", "own"}
READ = ["name", "form", "movement"]
# How a guitar of rosewood goes: each step that must come, in this order.
WAYS: list[tuple[dict[str, Any], list[str]]] = [
    (
        {**GUITAR, "date": "2026-12-01", "movement": "DE -> JP, sale"},
        [*READ, "origin", "listing", "covered", "staleness"],
    ),
    (
        {
            "taxon": "Dalbergia latifolia",
            "form": "other_finished_products",
            "date": "2026-12-01",
            "movement": "DE -> JP, sale",
            "mass_mg": 10_000_001,
            "acquired": "2010-01-01",
        },
        [*READ, "origin", "listing", "mass", "rows", "acquired", "papers"],
    ),
    (
        {**BOW, "date": "2026-12-01", "movement": "US -> DE -> US, loan"},
        [*READ, "origin", "listing", "purpose", "staleness"],
    ),
    (
        {
            "taxon": "Swietenia macrophylla",
            "form": "sawn_wood",
            "date": "2026-12-01",
            "movement": "FJ -> US, sale",
        },
        [*READ, "origin", "listing", "population"],
    ),
    (
        {
            "taxon": "Picea abies",
            "form": "sawn_wood",
            "date": "2026-12-01",
            "movement": "DE -> JP, sale",
        },
        [*READ, "origin", "listing", "staleness", "staleness"],
    ),
    (
        {
            "taxon": "Dalbergia spp.",
            "form": "finished_instruments",
            "date": "2026-12-01",
            "movement": "DE -> JP, sale",
        },
        [*READ, "listing", "covered", "species"],
    ),
    (
        {
            "taxon": "Dalbergia nigra",
            "form": "finished_instruments",
            "date": "2026-12-01",
            "movement": "DE -> FR, sale",
        },
        [*READ, "origin", "listing", "law", "papers"],
    ),
    (
        {**GUITAR, "date": "2026-12-01", "movement": "GB -> FR, sale"},
        [*READ, "movement", "origin", "listing"],
    ),
]


def in_order(wanted: list[str], said: list[str]) -> bool:
    """Tell whether steps come one after another, others between them or not."""
    rest = iter(said)
    return all(any(step == each for each in rest) for step in wanted)


@pytest.mark.parametrize(("question", "wanted"), WAYS)
def test_the_steps_come_in_the_order_in_which_they_were_taken(
    question: dict[str, Any], wanted: list[str]
) -> None:
    """And the last that decides says what the answer is."""
    found = answered(**question)
    said = [step.at for step in found.path]

    assert in_order(wanted, list(said)), said
    assert [step for step in found.path if step.decided][-1].decided == found.answer


def test_what_is_not_understood_ends_the_way() -> None:
    """A trade name, an unknown form, a movement that cannot be read."""
    line = {"date": "2026-12-01", "movement": "DE -> JP, sale"}
    for change in ({"taxon": "rosewood"}, {"form": "half"}, {"movement": "hence"}):
        found = answered(**{**GUITAR, **line, **change})

        assert found.path[-1].at == "not understood"
        assert (found.path[-1].says, found.path[-1].decided) == (found.why, "ask")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_each_row_on_the_way_exists_and_stood_when_it_decided(
    case: dict[str, Any],
) -> None:
    """Of the worked cases; a row that decides nothing may only have been looked at."""
    day = date.fromisoformat(case["date"])
    law = compiled()
    known = {*law.listings, *law.annotations, *law.rules, *law.names}
    for step in steps(answered(**case)):
        assert step.says
        assert not step.row or step.row in known, step
        if step.decided:
            assert stands(step.valid_from, step.valid_until, day), step


def test_a_way_is_told_as_plain_values() -> None:
    """With its days, and of each part and other law too."""
    found = answered(
        **GUITAR,
        date="2026-12-01",
        movement="DE -> US, sale",
        parts=[{"taxon": "Picea abies", "form": "finished_instruments"}],
    )
    told = json.loads(json.dumps(as_data(found, with_path=True)))
    each = [told, *told["also"], *told["parts"]]

    assert all(said["path"] for said in each)
    assert all(step.keys() == KEYS for said in each for step in said["path"])
    assert "path" not in as_data(found)
    assert told["path"][-1]["step"] == "parts"


def test_a_step_on_a_row_bears_its_days_and_whose_it_is() -> None:
    """An open day is nothing."""
    rule = compiled().rules["eutr"]
    (told,) = path_data([step_on(rule, "law", rule.text, "needed")])

    assert (told["valid_from"], told["valid_until"]) == ("2013-03-03", "2026-12-29")
    assert path_data([Step(at="name", says="x")])[0]["valid_from"] is None


def test_the_way_is_no_part_of_what_is_compared() -> None:
    """One answer may be for wood that was called by two names."""
    line = {"form": "sawn_wood", "date": "2026-12-01", "movement": "BR -> JP, sale"}
    one = answered(taxon="Paubrasilia echinata", **line)
    other = answered(taxon="Caesalpinia echinata", **line)

    assert one == other and hash(one) == hash(other)
    assert one.path != other.path
