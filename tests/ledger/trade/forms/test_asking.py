"""Tests of what a shipment asks before any box does."""

from dataclasses import replace

from ledger.trade.consignment import Ask
from ledger.trade.forms.asking import asked
from ledger.trade.forms.declaration import declaration_worksheet
from tests.ledger.trade.forms.samples import EBONY, ROSEWOOD, SALE, with_items

OFFICE = "the Management Authority of France"


def ask(taxon: str, *papers: str, is_needed: bool = False, **said: str) -> Ask:
    """Return what the Convention asks of a wood, or another law if that is said."""
    told = {"law": "CITES", "whom": OFFICE} | said
    return Ask(taxon=taxon, papers=papers, is_needed=is_needed, **told)


OPEN = tuple(
    ask(taxon)
    for taxon in ("Acer spp.", "Picea abies", "Diospyros crassiflora", "Picea abies")
)
NEEDED = (
    ask("Dalbergia latifolia", "re-export certificate", is_needed=True),
    ask("Swietenia macrophylla", "re-export certificate", is_needed=True),
    ask("Cedrela odorata", "export permit", "EU import permit", is_needed=True),
    ask(
        "",
        "Lacey Act declaration (PPQ 505)",
        is_needed=True,
        law="Lacey Act (16 U.S.C. 3372)",
        whom="USDA-APHIS",
    ),
)


def test_open_woods_of_one_office_and_reason_are_one_line() -> None:
    """Each species once; of another law it is another line."""
    other = ask("Picea abies", law="EUDR", whom="the operator")
    found = asked(with_items(SALE, ROSEWOOD, ask_first=(*OPEN, other)), ())

    assert found.papers == ()
    assert found.asks == (
        f"whether Acer spp., Picea abies and Diospyros crassiflora need papers "
        f"(CITES): ask {OFFICE}",
        "whether Picea abies needs papers (EUDR): ask the operator",
    )


def test_papers_that_are_needed_stand_apart() -> None:
    """With all species of one paper in one line; those without a species too."""
    found = asked(with_items(SALE, ROSEWOOD, ask_first=(*OPEN, *NEEDED)), ())

    assert found.papers == (
        f"re-export certificate for Dalbergia latifolia and Swietenia macrophylla "
        f"(CITES): ask {OFFICE}",
        f"export permit and EU import permit for Cedrela odorata (CITES): ask {OFFICE}",
        "Lacey Act declaration (PPQ 505) (Lacey Act (16 U.S.C. 3372)): ask USDA-APHIS",
    )
    assert len(found.asks) == 1


def test_a_paper_of_an_open_wood_is_not_said_to_be_needed() -> None:
    """Which it may need is told, and whether it does is asked."""
    said = ask("Diospyros crassiflora", "export permit")
    found = asked(with_items(SALE, EBONY, ask_first=(said,)), ())

    assert found.papers == ()
    assert found.asks == (
        f"whether this paper is needed: export permit for Diospyros crassiflora "
        f"(CITES): ask {OFFICE}",
    )


def test_an_open_item_is_told_with_whether_it_is_written() -> None:
    """On the declaration it is; on the form of the Convention it is not."""
    sale = with_items(SALE, ROSEWOOD, EBONY, ask_first=())
    (said,) = asked(sale, ()).asks
    written = declaration_worksheet(replace(sale, legs=("FR", "US"))).asks

    assert said == (
        "Diospyros crassiflora (fingerboard of 26-0147-3): whether a paper is needed "
        "is open; it is not on this sheet"
    )
    assert said.removesuffix("; it is not on this sheet") in written


def test_an_open_wood_that_was_named_is_not_asked_of_twice() -> None:
    """That it stands on no row is told once, for all."""
    sale = with_items(SALE, ROSEWOOD, EBONY, ask_first=OPEN)
    found = asked(sale, ())

    assert len(found.asks) == 1
    assert found.left_out == (
        "Not on this sheet, for whether they need a paper is open: Diospyros "
        "crassiflora.",
    )
    assert asked(replace(sale, ask_first=()), ()).left_out == ()
