"""What a part asks for that crosses a border: how old it is, and by which row."""

import pytest

from tests.ledger.trade.asking import ROSEWOOD, answered

SOLD = {
    "form": "sawn_wood",
    "date": "2024-05-10",
    "movement": "US -> JP, sale",
}


@pytest.mark.parametrize(
    ("taxon", "origin", "acquired"),
    [
        ("Dalbergia stevensonii", "BZ", "2012-04-01"),
        ("Dalbergia retusa", "NI", "2010-04-01"),
    ],
)
def test_wood_of_a_neighbour_of_the_first_to_list_is_not_surely_old(
    taxon: str, origin: str, acquired: str
) -> None:
    """Guatemala listed its own trees in 2008; 50 CFR 23.45(b)(2) counts any listing."""
    found = answered(taxon=taxon, origin=origin, acquired=acquired, **SOLD)
    row = f"dalbergia-{taxon.split()[1]}"

    assert "pre-Convention certificate" not in {paper.name for paper in found.documents}
    assert (
        f"acquired before the first listing of 2013-06-12 (row {row}-2013: checked in "
        f"part against its sources) for its own origin, but not before the first "
        f"listing of 2008-02-12 (row {row}-gt: checked in part against its sources) "
        f"for a population near it: ask whether it is pre-Convention"
    ) in found.why


def test_wood_from_before_every_listing_is_old() -> None:
    """The earlier of the two days is told, with its row."""
    found = answered(
        taxon="Dalbergia stevensonii", origin="BZ", acquired="2007-04-01", **SOLD
    )

    assert found.documents[0].name == "pre-Convention certificate"
    assert "acquired before the first listing of 2008-02-12 (row dalb" in found.why
    assert "ask whether" not in found.why


def test_a_day_that_was_checked_stands_without_its_row_where_that_decides() -> None:
    """The row is named in the answer already."""
    found = answered(taxon=ROSEWOOD, origin="IN", acquired="2015-04-01", **SOLD)

    assert found.row == "dalbergia-genus"
    assert found.why.endswith("acquired before the first listing of 2017-01-02")
