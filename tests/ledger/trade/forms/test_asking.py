"""Tests of what a shipment asks before any box does."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from ledger.trade.consignment import Ask, Doubted, HeldPaper, Item
from ledger.trade.forms.asking import asked
from ledger.trade.forms.cites import cites_worksheet
from ledger.trade.forms.declaration import declaration_worksheet
from tests.ledger.trade.forms.samples import EBONY, OLD, ROSEWOOD, SALE, with_items

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


def test_what_is_in_doubt_is_told_first_and_once() -> None:
    """Whichever items it was filed for; nothing rests on it until it is cleared."""
    paper = HeldPaper(document="D26-0004", paper="invoice", number="118/26")
    doubted = (Doubted(hold="H26-001", paper=paper),)
    items = (replace(ROSEWOOD, doubted=doubted), replace(EBONY, doubted=doubted))
    sheet = cites_worksheet(with_items(SALE, *items, ask_first=OPEN))
    told = "HOLD H26-001: invoice 118/26 (D26-0004) is in doubt, and not counted as on"

    assert sheet.asks[0] == f"{told} file"
    assert sum("HOLD" in said for said in sheet.asks) == 1


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


BOW = replace(
    ROSEWOOD,
    taxon="Paubrasilia echinata",
    annotation="annotation #10, text of 2026",
    acquired=date(2019, 5, 2),
    first_listed=date(2007, 9, 13),
    origin="BR",
)
RARE = replace(OLD, source="", acquired=None)


def test_what_no_permit_is_given_for_in_commerce_is_asked_first() -> None:
    """Pernambuco of the text of 2026, and whatever stands in Appendix I."""
    sale = with_items(SALE, BOW, RARE, ask_first=OPEN)
    bow, rare, *others = asked(sale, ()).asks

    assert bow == (
        "whether a permit is given at all for Paubrasilia echinata: it stands in "
        "Appendix II, annotation #10, text of 2026, by which none is given for "
        "commerce in what was taken from the wild; what is from before its first "
        "listing of 2007-09-13 may be asked for; ask the Management Authority of the "
        "United States"
    )
    assert rare.startswith(
        "whether a permit is given at all for Dalbergia nigra: it stands in Appendix "
        "I, by which none"
    )
    assert len(others) == 1
    sheet = cites_worksheet(with_items(SALE, BOW, legs=("US", "JP")))
    assert sheet.asks[0] == bow


@pytest.mark.parametrize(
    ("item", "told"),
    [
        (replace(BOW, source="O"), {}),
        (replace(BOW, source="A"), {}),
        (replace(BOW, annotation="annotation #10, text of 2022"), {}),
        (ROSEWOOD, {}),
        (BOW, {"purpose": "performance", "owner_changes": False}),
        (BOW, {"purpose": "gift"}),
    ],
)
def test_old_wood_and_journeys_without_commerce_are_not_barred(
    item: Item, told: dict[str, Any]
) -> None:
    """Nor what was grown, nor what an older text covers."""
    sale = with_items(SALE, item, ask_first=(), **told)

    assert not [said for said in asked(sale, ()).asks if "given at all" in said]
