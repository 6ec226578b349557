"""What a part asks for that crosses no border."""

from typing import Any

import pytest

from ledger.trade.determination import determine
from ledger.trade.question import question_from
from tests.ledger.trade.asking import answered
from tests.ledger.trade.overlays import OWN, law_with, row_of

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
