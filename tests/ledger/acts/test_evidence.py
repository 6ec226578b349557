"""What is held for wood: by lot, by board, by instrument, and what the shop lacks."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts.documents import file_document
from ledger.acts.evidence import (
    Traced,
    batch_holding,
    evidence_of,
    held_papers,
    shown_by,
)
from ledger.acts.freight import Goods
from ledger.acts.lacking import lacking
from ledger.acts.permits import LineDraft, read_permit
from ledger.acts.shipments import Journey, plan
from ledger.errors import NotFoundError
from ledger.events import (
    BoardReserved,
    BuildOrdered,
    MaterialReceived,
    PlotsFiled,
    StepSigned,
)
from ledger.ids import BoardId, LotId
from ledger.serials import read_serial
from ledger.trade.requirements import Requirement
from ledger.views.materials import Material
from ledger.views.wood import Lot
from tests.skerrymoor import NECK, TOP, Loft

ROSEWOOD = "Dalbergia latifolia"


def of_lot(loft: Loft, lot: LotId) -> dict[str, Requirement]:
    """Return what must be shown of a lot, by its kind."""
    (found,) = evidence_of(loft.shop, lot)
    return {each.kind: each for each in found.asked}


def level_of(loft: Loft, lot: LotId) -> str:
    """Return how the origin of a lot is shown."""
    with loft.shop.store.reading() as session:
        row = session.get_one(Lot, str(lot))
        return shown_by(row, held_papers(session, row.code))


def by_code(found: tuple[Traced, ...]) -> dict[str, Traced]:
    """Return what is held, by lot or batch."""
    return {each.code: each for each in found}


@pytest.mark.parametrize(
    ("evidence", "is_filed", "level"),
    [
        ("invoice", True, "document"),
        ("invoice", False, "witness"),
        ("diary", False, "diary"),
        ("diary", True, "diary"),
        ("witness", False, "witness"),
        ("none", False, "none"),
        ("none", True, "none"),
    ],
)
def test_old_stock_is_shown_as_was_said_when_it_was_entered(
    supplied: Loft, evidence: Any, is_filed: bool, level: str
) -> None:
    """An invoice that nobody filed is somebody's word."""
    papers = (supplied.document("bill", paper="invoice"),) if is_filed else ()
    lot = supplied.receive(
        is_opening=True, evidence=evidence, documents=papers, received_on="1999-05-01"
    )

    assert level_of(supplied, lot) == level
    (found,) = evidence_of(supplied.shop, lot)
    assert (found.shown, found.is_opening, found.evidence) == (level, True, evidence)
    if not is_filed:
        assert "document" not in {each.level for each in found.asked}


def test_what_came_in_by_the_day_stands_in_the_shop_s_own_book(supplied: Loft) -> None:
    """And a paper is better."""
    assert level_of(supplied, supplied.receive()) == "diary"
    lot = supplied.receive(documents=(supplied.document(),))
    assert level_of(supplied, lot) == "document"


def test_held_papers_are_told_as_they_were_filed(supplied: Loft) -> None:
    """Code, kind, number and both days."""
    code = supplied.document(
        "P 77", paper="export permit", number="IN/77", expires_on="2026-06-30"
    )
    lot = supplied.receive(documents=(code,))
    with supplied.shop.store.reading() as session:
        (paper,) = held_papers(session, str(lot))
        none = held_papers(session, "L26-099")

    assert (paper.document, paper.paper, paper.number) == (
        code,
        "export permit",
        "IN/77",
    )
    assert str(paper.issued_on) == "2026-01-03"
    assert str(paper.expires_on) == "2026-06-30"
    assert none == ()


def test_a_board_leads_to_its_lot_and_to_each_paper(supplied: Loft) -> None:
    """With the entries of all three, and what the permit was read as."""
    permit = supplied.document("P 77", paper="export permit")
    line = LineDraft(species=ROSEWOOD, unit="pieces", amount=9)
    read_permit(supplied.shop, permit, [line], supplied.hands("12"))
    lot = supplied.receive(species=ROSEWOOD, harvested_in="IN", documents=(permit,))
    codes = supplied.number(lot, replace(TOP, as_read=True))
    size = supplied.shop.store.head().size
    (found,) = evidence_of(supplied.shop, BoardId.parse(codes[0]))

    assert (found.code, found.boards) == (str(lot), (codes[0],))
    assert len(found.entries) == 1 and found.entries[0] < size
    assert found.paper_entries[0] < found.entry < found.entries[0]
    asked = {each.kind: each for each in found.asked}
    assert (asked["permit"].paper, asked["species"].paper) == (permit, permit)
    assert asked["permit"].entry == found.paper_entries[0]
    assert [each.kind for each in found.missing] == ["purchase"]


def test_a_set_is_told_by_both_halves_and_once(supplied: Loft) -> None:
    """It is of one lot."""
    lot = supplied.receive()
    codes = supplied.number(lot)
    (found,) = evidence_of(supplied.shop, BoardId.parse(f"{lot}-01"))
    (half,) = evidence_of(supplied.shop, BoardId.parse(codes[1]))

    assert found.boards == tuple(codes)
    assert half.boards == (codes[1],)


def test_an_instrument_is_told_lot_by_lot_with_its_shell(certified: Loft) -> None:
    """A batch of an animal is shown like wood; glue is not asked about."""
    shell = MaterialReceived(
        batch="M26-001",
        what="abalone blanks",
        use="shell",
        species="Haliotis rufescens",
        received_on="2026-01-05",
    )
    glue = MaterialReceived(
        batch="M26-002", what="hide glue", use="glue", received_on="2026-01-05"
    )
    certified.say(shell)
    certified.say(glue)
    serial = certified.begin()
    step = StepSigned(
        serial=serial,
        step="join the top",
        meaning="did",
        measures=(),
        weighed=(),
        materials=("M26-001", "M26-002"),
    )
    certified.say(step, "03")
    certified.allot(serial, "top", f"{_more_tops(certified)}-01")
    found = by_code(evidence_of(certified.shop, _serial(certified, serial)))

    assert set(found) == {"L26-003", "M26-001"}
    assert found["M26-001"].species == "Haliotis rufescens"
    assert found["M26-001"].what == "abalone blanks (shell)"
    assert "purchase" in {each.kind for each in found["M26-001"].missing}
    with certified.shop.store.reading() as session:
        batch = session.get_one(Material, "M26-001")
        assert batch_holding(session, batch).shown == "diary"


def test_what_is_missing_is_due_by_what_was_promised(supplied: Loft) -> None:
    """Of an instrument in the making; past its day it is due at once."""
    lot = supplied.receive()
    supplied.number(lot, TOP)
    supplied.model()
    serial = supplied.begin()
    supplied.say(BuildOrdered(serial=serial, due="2026-03-01"))
    supplied.allot(serial, "top", f"{lot}-01")

    assert of_lot(supplied, lot)["purchase"].missing.startswith("until 2026-03-01: ")
    (found,) = evidence_of(supplied.shop, _serial(supplied, serial))
    assert found.missing[0].missing.startswith("until 2026-03-01: ask the sawyer")
    supplied.clock.moment = supplied.clock.moment.replace(month=3, day=2)
    late = of_lot(supplied, lot)["purchase"].missing
    assert late.startswith("at once, for it was promised for 2026-03-01: ")


@pytest.mark.parametrize("text", ["L26-099", "L26-001-99", "26-0009-1"])
def test_what_was_never_recorded_is_not_found(supplied: Loft, text: str) -> None:
    """Each kind of code in its own words."""
    read = LotId.parse if text.count("-") == 1 else BoardId.parse
    code = _serial(supplied, text) if text.startswith("26") else read(text)
    with pytest.raises(NotFoundError, match="there is no"):
        evidence_of(supplied.shop, code)


def test_what_the_rack_lacks_is_told_by_promise_then_by_listing(supplied: Loft) -> None:
    """Wood that is gone, or for which nothing is missing, is left out."""
    spruce, rosewood = (
        supplied.receive(),
        supplied.receive(species=ROSEWOOD, harvested_in="IN"),
    )
    promised, other = supplied.receive(), supplied.receive()
    bill = supplied.document("bill", paper="invoice")
    full = supplied.receive(species="Picea engelmannii", documents=(bill,))
    for lot in (spruce, promised, other, full):
        supplied.number(lot, TOP)
    supplied.number(rosewood, replace(NECK, as_read=True))
    supplied.model()
    serial = supplied.begin()
    supplied.say(BuildOrdered(serial=serial, due="2026-03-01"))
    supplied.allot(serial, "top", f"{promised}-01")
    found = lacking(supplied.shop)

    assert [each.wood.code for each in found] == [
        str(promised),
        str(rosewood),
        str(spruce),
        str(other),
    ]
    assert (found[0].by, found[0].serials) == ("2026-03-01", (serial,))
    assert (found[1].is_listed, found[2].is_listed) == (True, False)
    assert found[0].wood.missing[0].missing.startswith("until 2026-03-01: ")
    assert str(full) not in {each.wood.code for each in found}


def test_wood_that_is_kept_for_a_promised_instrument_is_due_with_it(
    supplied: Loft,
) -> None:
    """Though it still lies in the rack."""
    lot = supplied.receive()
    codes = supplied.number(lot, NECK)
    supplied.model()
    serial = supplied.begin()
    supplied.say(BuildOrdered(serial=serial, due="2026-03-01"))
    kept = BoardReserved(
        board=codes[0], reserved_for=serial, part="neck", until="2026-02-28"
    )
    supplied.say(kept)
    (found,) = lacking(supplied.shop)

    assert (found.by, found.serials) == ("2026-03-01", (serial,))


def test_a_lot_that_nobody_numbered_is_in_the_rack_too(supplied: Loft) -> None:
    """And wood in a certified instrument is not."""
    lot = supplied.receive(boards=2)

    assert [each.wood.code for each in lacking(supplied.shop)] == [str(lot)]


def test_wood_of_a_certified_instrument_is_lacked_no_more(certified: Loft) -> None:
    """Its boards are all in it."""
    assert lacking(certified.shop) == ()


def test_a_filed_paper_says_what_it_is_read_as(supplied: Loft) -> None:
    """One of no number and no day too."""
    path = supplied.shop.folder.parent / "bill.txt"
    path.write_text("bill", encoding="utf-8")
    code = file_document(
        supplied.shop,
        path,
        paper="Rechnung",
        number=None,
        issued_on=None,
        expires_on=None,
        hands=supplied.hands("02"),
    )
    lot = supplied.receive(documents=(code,))

    assert of_lot(supplied, lot)["purchase"].said == f"{code} (Rechnung)"


def test_a_paper_whose_name_leaves_it_open_is_looked_at(supplied: Loft) -> None:
    """It stands for no permit and no invoice, and is never passed over."""
    permit = supplied.document("P 77", paper="export permit gone")
    bill = supplied.document("bill", paper="invoice Quillon")
    lot = supplied.receive(species="Dalbergia latifolia", documents=(permit, bill))
    asked = of_lot(supplied, lot)

    assert f"look which one {permit} is, file it again" in asked["permit"].missing
    assert f"look whether {bill} is one, or ask" in asked["purchase"].missing
    line = LineDraft(species="Dalbergia latifolia", unit="pieces", amount=40)
    read_permit(supplied.shop, permit, [line], supplied.hands("12"))
    assert of_lot(supplied, lot)["permit"].missing == ""


def test_a_refusal_that_was_read_line_by_line_is_no_permit(supplied: Loft) -> None:
    """What it speaks of was never given."""
    code = supplied.document("P 77", paper="refusal of export permit")
    line = LineDraft(species="Dalbergia latifolia", unit="pieces", amount=40)
    read_permit(supplied.shop, code, [line], supplied.hands("12"))
    lot = supplied.receive(species="Dalbergia latifolia", documents=(code,))
    asked = of_lot(supplied, lot)["permit"]

    assert (asked.level, asked.paper) == ("none", "")
    assert "for a copy of the permit or certificate" in asked.missing


def test_filed_plots_are_found_with_their_paper(supplied: Loft) -> None:
    """By the entry that files the paper, wherever the wood goes."""
    lot = supplied.receive()
    code = supplied.document("{}", paper="plots")
    filed = PlotsFiled(
        lot=str(lot),
        document=code,
        harvested_from="2025-10-01",
        harvested_to="2025-11-30",
        number=2,
    )
    supplied.say(filed, "02")
    (found,) = evidence_of(supplied.shop, lot, to="FR")
    plots = {each.kind: each for each in found.asked}["plots"]

    assert (plots.level, plots.paper, plots.missing) == ("document", code, "")
    assert plots.entry == supplied.shop.store.head().size - 2


def test_a_board_that_was_to_leave_by_today_is_in_no_rack(certified: Loft) -> None:
    """Its wood is the customer's, who has its papers."""
    lot = certified.receive()
    codes = certified.number(lot, NECK)
    assert [each.wood.code for each in lacking(certified.shop)] == [str(lot)]
    journey = Journey(legs=("US", "FR"), moves_on="2026-01-05", purpose="sale")
    plan(
        certified.shop,
        goods=Goods(boards=tuple(codes)),
        journey=journey,
        hands=certified.hands("12"),
    )

    assert lacking(certified.shop) == ()


def _more_tops(loft: Loft) -> LotId:
    lot = loft.receive()
    loft.number(lot, TOP)
    return lot


def _serial(loft: Loft, text: str) -> Any:
    return read_serial(text, loft.shop.settings.pattern)
