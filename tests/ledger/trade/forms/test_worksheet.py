"""Tests of what a worksheet is made of."""

from ledger.trade.forms import cites
from ledger.trade.forms.worksheet import ask, filled, not_for_this, office
from tests.ledger.trade.forms.samples import SALE


def test_each_answer_says_how_it_stands() -> None:
    """What is asked may hold what is known already; nobody else's box holds a value."""
    assert (filled("T", "sale").value, filled("T", "sale").state) == ("T", "filled")
    assert (ask("which", "II").value, ask("which").value) == ("II", "")
    assert [office("they").state, not_for_this("none").state] == [
        "for the office",
        "not for this",
    ]


def test_a_row_is_named_by_the_species_of_its_items() -> None:
    """All items of a row are of one species."""
    for form in cites.cites_worksheet(SALE).forms:
        for row in form.specimens:
            assert {item.taxon for item in row.items} == {row.taxon}
