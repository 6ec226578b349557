"""Papers belong to what came in, from the entry that says so until it is struck."""

from collections.abc import Iterator

import pytest

from ledger.errors import TamperError
from ledger.events import (
    DocumentFiled,
    Event,
    LotPaperAdded,
    LotReceived,
    MaterialPaperAdded,
    MaterialReceived,
)
from ledger.views.materials import papers_of
from ledger.views.wood import Lot, documents_of, joins_of, lots_with
from tests.ledger.views.forests import grown, strike

PAPER, OTHER = "D26-0001", "D26-0002"


def came(*, country: str | None = None) -> Iterator[Event]:
    """Yield two papers, and a lot and a batch that came in with the first of them."""
    for n, code in enumerate((PAPER, OTHER)):
        yield DocumentFiled(document=code, paper="letter", sha256=f"{n:x}" * 64)
    yield LotReceived(
        lot="L26-001",
        species="Picea abies",
        form="sawn",
        boards=2,
        received_on="2026-01-05",
        documents=(PAPER,),
        harvested_in=country,
    )
    yield MaterialReceived(
        batch="M26-001",
        what="shell",
        use="shell",
        received_on="2026-01-05",
        documents=(PAPER,),
    )


def added(document: str = OTHER, country: str | None = None) -> LotPaperAdded:
    """Return the sentence that a paper was joined to the lot."""
    return LotPaperAdded(lot="L26-001", document=document, harvested_in=country)


def to_batch(document: str = OTHER) -> MaterialPaperAdded:
    """Return the sentence that a paper was joined to the batch."""
    return MaterialPaperAdded(batch="M26-001", document=document)


def test_a_paper_is_one_of_its_wood_since_an_entry() -> None:
    """That of the delivery, or its own."""
    with grown([*came(), added(), to_batch()]) as session:
        assert [paper.code for paper in documents_of(session, "L26-001")] == [
            PAPER,
            OTHER,
        ]
        since = {code: join.idx for code, join in joins_of(session, "L26-001").items()}
        assert since == {PAPER: 2, OTHER: 4}
        assert [lot.code for lot in lots_with(session, OTHER)] == ["L26-001"]
        assert papers_of(session, "M26-001") == [PAPER, OTHER]


def test_a_struck_paper_is_one_no_more_and_can_be_again() -> None:
    """By another entry."""
    struck = [*came(), added(), to_batch(), strike(4), strike(5)]
    with grown(struck) as session:
        assert [paper.code for paper in documents_of(session, "L26-001")] == [PAPER]
        assert lots_with(session, OTHER) == []
        assert papers_of(session, "M26-001") == [PAPER]
    with grown([*struck, added(), to_batch()]) as session:
        assert joins_of(session, "L26-001")[OTHER].idx == 8
        assert papers_of(session, "M26-001") == [PAPER, OTHER]


@pytest.mark.parametrize(
    ("country", "said", "known"),
    [
        (None, (added(country="FJ"),), ("FJ", 4)),
        (None, (added(country="FJ"), strike(4)), (None, None)),
        ("FJ", (added(country="FJ"), strike(4)), ("FJ", 2)),
        ("FJ", (added(),), ("FJ", 2)),
        (None, (added(),), (None, None)),
        (
            None,
            (added(country="FJ"), strike(4), added(country="PG")),
            ("PG", 6),
        ),
    ],
)
def test_a_country_stands_as_long_as_something_says_it(
    country: str | None, said: tuple[Event, ...], known: tuple[str | None, int | None]
) -> None:
    """And the entry that says so is known."""
    with grown([*came(country=country), *said]) as session:
        lot = session.get_one(Lot, "L26-001")
        assert (lot.harvested_in, lot.harvested_idx) == known


@pytest.mark.parametrize(
    ("country", "said", "fault"),
    [
        (None, added(PAPER), f"{PAPER} is a paper of L26-001 since entry 2"),
        (None, to_batch(PAPER), f"{PAPER} is a paper of M26-001 since entry 3"),
        (None, added("D26-0009"), "there is no document D26-0009 before"),
        (None, to_batch("D26-0009"), "there is no document D26-0009 before"),
        (
            None,
            LotPaperAdded(lot="L26-009", document=OTHER),
            "there is no lot L26-009 before",
        ),
        (
            None,
            MaterialPaperAdded(batch="M26-009", document=OTHER),
            "there is no material M26-009 before",
        ),
        ("IT", added(country="FJ"), "was harvested in IT by entry 2, before this one"),
        (None, strike(2), "entry 2 is none that can be struck"),
        (None, strike(3), "entry 3 is none that can be struck"),
    ],
)
def test_what_no_act_would_say_is_no_entry(
    country: str | None, said: Event, fault: str
) -> None:
    """Twice, of nothing, against what is known; and no delivery is struck by it."""
    with pytest.raises(TamperError, match=fault):
        grown([*came(country=country), said]).__enter__()
