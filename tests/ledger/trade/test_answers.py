"""What a determination says, in words and in plain values."""

import json
from datetime import date

from ledger.trade.answers import CAUTION, as_data, as_whole, of_rule, unanswered
from ledger.trade.tables import rules
from tests.ledger.trade.asking import GUITAR, answered

FIELDS = {
    "answer",
    "law",
    "taxon",
    "form",
    "meaning",
    "documents",
    "rule",
    "row",
    "rows",
    "source",
    "source_ids",
    "table_date",
    "newest_source",
    "confidence",
    "why",
    "note",
    "listed",
    "ask_whom",
    "caution",
    "also",
    "parts",
}


def test_a_program_is_told_plain_values() -> None:
    """Documents with their offices, days as text, the caution each time."""
    found = answered(**GUITAR, date="2018-05-10", movement="EU -> US, sale")
    told = json.loads(json.dumps(as_data(found)))

    assert told.keys() == FIELDS
    assert told["documents"] == [
        {
            "name": "re-export certificate",
            "from": "Management Authority of the EU member State",
        }
    ]
    assert told["table_date"] == "2026-11-24"
    assert told["newest_source"] == "2025-12-31"
    assert told["confidence"] == "verified"
    assert told["caution"] == CAUTION
    assert all(other.keys() == FIELDS for other in told["also"])


def test_an_answer_without_a_row_has_no_date_of_a_source() -> None:
    """It says ask, and whom."""
    found = unanswered(taxon="x", form="y", why="z", ask_whom="the office")

    assert (found.answer, found.row, found.source) == ("ask", "", "")
    assert as_data(found)["newest_source"] is None
    assert as_data(found)["confidence"] == ""


def test_what_is_open_for_its_age_alone_says_why() -> None:
    """Not what no source was read for, what the origin decides, or what is free."""
    late = {"date": "2026-11-30", "movement": "US -> JP, sale"}
    spruce = answered(taxon="Picea abies", form="logs", **late)
    others = [
        answered(taxon=taxon, form="logs", **late)
        for taxon in ("Salix alba", "Diospyros spp.", "Dalbergia nigra", "Nusquama")
    ]

    assert (spruce.answer, spruce.open_for_age) == (
        "ask",
        "the newest source seen is of 2022-11-25, and the lists may have changed "
        "before 2026-11-30",
    )
    assert [each.open_for_age for each in others] == [""] * 4
    early = answered(taxon="Picea abies", form="logs", **late | {"date": "2026-01-05"})
    assert (early.answer, early.open_for_age) == ("not needed", "")


def test_a_word_for_another_name_from_memory_is_no_question_of_age() -> None:
    """Newer tables would not answer it."""
    asked = {"form": "logs", "date": "2026-11-30", "movement": "US -> JP, sale"}
    found = answered(taxon="Piratinera guianensis", **asked)

    assert (found.answer, found.open_for_age) == ("ask", "")
    assert "that Piratinera guianensis is Brosimum guianense is from memory" in (
        found.why
    )


def test_the_part_that_weighs_most_speaks_for_the_whole() -> None:
    """Its documents and those of the others, each once."""
    rule = rules()["us-wildlife"]
    parts = tuple(
        of_rule(
            rule,
            answer=answer,
            taxon="t",
            form="f",
            ask_whom="the office",
            day=date(2026, 11, 25),
        )
        for answer in ("not needed", "ask", "needed", "ask")
    )
    whole = as_whole(parts)

    assert whole.answer == "needed"
    assert [part.answer for part in whole.parts] == [
        "not needed",
        "ask",
        "needed",
        "ask",
    ]
    assert as_whole(parts[:1]) == parts[0]
    assert whole.table_date == date(2026, 11, 24)
