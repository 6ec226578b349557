"""Questions for the tests of the trade room, and the worked cases."""

import json
from datetime import date
from pathlib import Path
from typing import Any

from ledger.trade.answers import Determination
from ledger.trade.coverage import Case
from ledger.trade.determination import determine
from ledger.trade.movement import Movement, read_movement
from ledger.trade.path import Step
from ledger.trade.question import question_from
from ledger.trade.tables import (
    Annotation,
    Listing,
    Rule,
    annotations,
    listings,
    names,
    rules,
)

VECTORS = Path(__file__).parents[2] / "vectors" / "trade" / "cases.json"
CASES: list[dict[str, Any]] = json.loads(VECTORS.read_text(encoding="utf-8"))["cases"]
ROSEWOOD = "Dalbergia latifolia"
BOW = {
    "taxon": "Paubrasilia echinata",
    "form": "finished_instrument_accessories",
    "listed_wood_kg": 0.06,
}
GUITAR = {"taxon": ROSEWOOD, "form": "finished_instruments", "listed_wood_kg": 0.9}


def answered(**fields: Any) -> Determination:
    """Return the answer to a question told in fields."""
    return determine(question_from(fields))


def steps(found: Determination) -> list[Step]:
    """Return every step by which a whole answer was judged."""
    each = (found, *found.also, *found.parts)
    return [step for said in each for step in said.path]


def case_of(line: str, **told: Any) -> Case:
    """Return a plain case on a movement, changed where told."""
    movement = read_movement(line) or Movement(legs=("US",))
    plain = {
        "name": names()[ROSEWOOD],
        "form": "sawn_wood",
        "day": date(2024, 5, 10),
        "movement": movement,
        "exporter": movement.legs[0],
        "origin": None,
        "acquired": None,
        "listed_mass_mg": None,
    }
    return Case(**{**plain, **told})


def row(mark: str) -> Listing:
    """Return a listing row by its id."""
    return next(row for row in listings() if row.id == mark)


def every_row() -> dict[str, Listing | Annotation | Rule]:
    """Return every row that an answer may name, by its id."""
    found: dict[str, Listing | Annotation | Rule] = dict(rules())
    found |= {row.id: row for row in listings()}
    return found | {row.id: row for row in annotations()}
