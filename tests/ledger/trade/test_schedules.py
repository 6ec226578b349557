"""The small tables beside the listings: limits, chapters, phases of a declaration."""

from datetime import date

import pytest

from ledger.trade.law import compiled
from ledger.trade.schedules import (
    forms,
    forms_of,
    lacey_headings,
    limits,
    rule_taxa,
    taxa_of,
)
from ledger.trade.tables import FINISHED_FOR_MUSIC, wood_forms


def test_every_limit_belongs_to_rows_that_exist() -> None:
    """And is counted in milligrams or parts per million."""
    known = compiled().annotations.keys() | compiled().rules.keys()

    for limit in limits().values():
        assert limit.rows and limit.rows <= known, limit
        assert limit.unit in ("mg", "ppm") and limit.amount > 0


def test_every_heading_came_under_a_rule() -> None:
    """Two to ten digits in pairs, as the tariff of the United States writes them."""
    for heading in lacey_headings().values():
        assert heading.rule in compiled().rules
        assert heading.heading.isdigit()
        assert len(heading.heading) in (4, 6, 8, 10)


@pytest.mark.parametrize(
    ("heading", "day"),
    [
        ("4407", date(2009, 4, 1)),
        ("4412", date(2009, 10, 1)),
        ("4421", date(2010, 4, 1)),
        ("9201", date(2010, 4, 1)),
        ("9202", date(2010, 4, 1)),
        ("9207900040", date(2021, 10, 1)),
        ("920992", date(2021, 10, 1)),
        ("9206002000", date(2021, 10, 1)),
        ("9205904020", date(2021, 10, 1)),
    ],
)
def test_a_heading_came_under_the_declaration_with_its_phase(
    heading: str, day: date
) -> None:
    """Phases II to IV of 2009 and 2010, VI of 2021, as APHIS published them."""
    assert compiled().rules[lacey_headings()[heading].rule].valid_from == day


def test_every_form_of_wood_has_its_chapter_or_none() -> None:
    """Chapter 92 holds what is finished for music; chapter 44 is wood."""
    assert forms().keys() == set(wood_forms())
    assert forms_of("92") == FINISHED_FOR_MUSIC
    assert {form.chapter for form in forms().values()} == {"44", "92", ""}
    for form in forms().values():
        assert not form.lacey_rule or form.lacey_rule in compiled().rules


def test_every_taxon_of_a_rule_is_a_name_and_every_rule_exists() -> None:
    """The ivories that the rules name, and cattle, whose bone is no wildlife."""
    law = compiled()
    for row in rule_taxa():
        assert row.rule in law.rules and row.role in ("speaks of", "leaves open")
        assert law.names[row.taxon].accepted == row.taxon

    assert taxa_of("us-wildlife", "leaves open") == {"Bos taurus"}
    assert taxa_of("uk-ivory") == {"Loxodonta africana", "Elephas maximus"}
    assert len(taxa_of("uk-ivory-others")) == 3
