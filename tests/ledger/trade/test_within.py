"""What a part asks for that crosses no border."""

from typing import Any

import pytest

from ledger.trade.determination import determine
from ledger.trade.question import question_from
from tests.ledger.trade.asking import answered
from tests.ledger.trade.overlays import MEETING, OWN, law_with, row_of

GUITAR: dict[str, Any] = {
    "taxon": "Dalbergia nigra",
    "form": "finished_instruments",
    "date": "2024-05-10",
}


@pytest.mark.parametrize(
    ("line", "rule"),
    [("inside EU, no sale", "article-10"), ("inside GB, no sale", "article-10-uk")],
)
def test_annex_a_that_nobody_sells_is_said_in_its_own_words(
    line: str, rule: str
) -> None:
    """Regulation (EC) 338/97, article 8: commerce in Annex A is what is barred."""
    found = answered(**GUITAR, movement=line)

    assert (found.answer, found.rule) == ("not needed", rule)
    assert found.why.startswith("it is of Annex A and not for sale: selling, offering")
    assert "Annexes B, C and D" not in found.why


@pytest.mark.parametrize(
    ("day", "answer"), [("2026-03-04", "not needed"), ("2026-03-05", "ask")]
)
def test_annex_a_that_may_have_changed_is_asked_about(day: str, answer: str) -> None:
    """No source newer than 2019 names the species, and a meeting took effect since."""
    found = answered(**{**GUITAR, "date": day}, movement="inside EU, no sale")

    assert found.answer == answer
    assert ("the Annexes may have changed" in found.why) == (answer == "ask")


def test_annex_a_on_sale_needs_its_certificate() -> None:
    """As before; and where sale was not stated it is asked about."""
    assert answered(**GUITAR, movement="inside EU, sale").answer == "needed"
    assert answered(**GUITAR, movement="inside EU").answer == "ask"


def test_a_rule_that_the_shop_moves_is_asked_about_and_marked() -> None:
    """The certificate of Annex A, put off by a row of the shop's own."""
    law = law_with(("rules", row_of("rules", "article-10", valid_from="2030-01-01")))
    asked = question_from({**GUITAR, "movement": "inside EU, sale"})
    found = determine(asked, law=law)

    assert found.answer == "ask"
    assert OWN in found.confidence


@pytest.mark.parametrize(
    ("taxon", "line", "day", "said"),
    [
        (
            "Picea abies",
            "inside EU, sale",
            "2026-11-30",
            "the newest source seen is of",
        ),
        ("Picea abies", "inside US, sale", "2028-06-01", "the rule no-border was last"),
        ("Salix alba", "inside US, sale", "2028-06-01", "the rule no-border was last"),
        # No source was read for its Annex, however new the tables are.
        ("Salix alba", "inside EU, sale", "2028-06-01", ""),
        # Dalbergia nigra is barred, whatever the age of the tables.
        ("Dalbergia spp.", "inside EU, sale", "2028-06-01", ""),
        ("Dalbergia nigra", "inside EU", "2028-06-01", ""),
    ],
)
def test_what_only_the_age_of_the_tables_leaves_open_is_told_apart(
    taxon: str, line: str, day: str, said: str
) -> None:
    """From what is open for another reason too."""
    found = answered(**{**GUITAR, "date": day, "taxon": taxon}, movement=line)

    assert found.answer == "ask"
    assert found.open_for_age.startswith(said)
    assert bool(found.open_for_age) == bool(said)
    assert said in found.why


def test_a_genus_of_which_a_species_is_barred_says_so_beside_its_age() -> None:
    """Two reasons to ask, and both are said."""
    asked = {**GUITAR, "date": "2028-06-01", "taxon": "Dalbergia spp."}
    found = answered(**asked, movement="inside EU, sale")

    assert "the Annexes may have changed before 2028-06-01; but some species" in (
        found.why
    )


def test_a_day_on_which_no_rule_of_the_union_was_read_is_asked_about() -> None:
    """A rule that the shop ends leaves nothing in its place."""
    ended = row_of("rules", "eu-inside", valid_until="2025-12-31")
    law = law_with(("rules", ended))
    asked = {**GUITAR, "taxon": "Picea abies", "movement": "inside EU, sale"}
    found = determine(question_from({**asked, "date": "2026-01-10"}), law=law)

    assert (found.answer, found.open_for_age) == ("ask", "")
    assert "which rule stood on 2026-01-10 was not read" in found.why


def test_a_meeting_of_the_shops_own_is_marked_where_it_makes_an_annex_old() -> None:
    """As it is at a border."""
    meeting = {**MEETING, "took_effect": "2026-12-20"}
    law = law_with(("meetings", meeting))
    asked = {**GUITAR, "taxon": "Haliotis iris", "form": "inlay"}
    line = {"movement": "inside EU, sale", "date": "2026-12-21"}
    found = determine(question_from({**asked, **line}), law=law)

    assert "the Annexes may have changed" in found.open_for_age
    assert OWN in found.confidence
