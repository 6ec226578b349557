"""A paper that came later is joined to its wood once, and stands until it is struck."""

from typing import Any

import pytest

from ledger.acts import holds, people
from ledger.acts.corrections import correct
from ledger.acts.drawdown import used_of
from ledger.acts.evidence import batch_holding, evidence_of
from ledger.acts.freight import Goods
from ledger.acts.holds import HeldError, find_doubted, require_no_hold
from ledger.acts.lotpapers import add_batch_paper, add_paper
from ledger.acts.materials import BatchDraft, receive_batch
from ledger.acts.permits import LineDraft, read_permit
from ledger.acts.shipments import Journey, plan
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.events import StepSigned
from ledger.ids import LotId
from ledger.log.entry import parse_record
from ledger.trade.requirements import Requirement
from ledger.views.materials import Material, papers_of
from ledger.views.wood import Lot, documents_of
from tests.skerrymoor import NECK, TOP, Loft

SERIAL = "26-0001-8"
ROSEWOOD = "Dalbergia latifolia"
ABROAD = Journey(legs=("GB", "FR"), moves_on="2026-11-23", purpose="sale")


def bill(loft: Loft, **told: Any) -> str:
    """File an invoice."""
    return loft.document("bill", **({"paper": "invoice"} | told))


def add(
    loft: Loft,
    lot: LotId | str,
    document: str,
    harvested_in: str | None = None,
    badge: str = "02",
) -> int:
    """Join a paper to a lot; return the entry."""
    hands = loft.hands(badge)
    return add_paper(loft.shop, str(lot), document, harvested_in, hands).index


def strike(loft: Loft, index: int, badge: str = "02") -> None:
    """Strike an entry."""
    correct(loft.shop, index, reason="of other wood", hands=loft.hands(badge))


def asked(loft: Loft, lot: LotId) -> dict[str, Requirement]:
    """Return what must be shown of a lot, by its kind."""
    (found,) = evidence_of(loft.shop, lot)
    return {each.kind: each for each in found.asked}


def country(loft: Loft, lot: LotId) -> tuple[str | None, int | None]:
    """Return where a lot was harvested, and which entry says so."""
    with loft.shop.store.reading() as session:
        row = session.get_one(Lot, str(lot))
        return row.harvested_in, row.harvested_idx


def papers(loft: Loft, lot: LotId) -> list[str]:
    """Return the papers of a lot."""
    with loft.shop.store.reading() as session:
        return [paper.code for paper in documents_of(session, str(lot))]


def send(loft: Loft, **goods: Any) -> str:
    """Plan a shipment; return its number."""
    hands = loft.hands("12")
    made = plan(loft.shop, goods=Goods(**goods), journey=ABROAD, hands=hands)
    return str(made.number)


def test_an_invoice_that_came_later_is_shown_until_it_is_struck(supplied: Loft) -> None:
    """By the entry that joined it; then it is asked for again."""
    lot = supplied.receive()
    before = asked(supplied, lot)["purchase"]
    code = bill(supplied)
    entry = add(supplied, lot, code)
    shown = asked(supplied, lot)["purchase"]

    assert "join it with flitchbook document add" in before.missing
    assert (shown.level, shown.paper, shown.entry) == ("document", code, entry)
    assert shown.missing == ""
    (found,) = evidence_of(supplied.shop, lot)
    assert found.paper_entries[-1] == entry
    strike(supplied, entry)
    assert papers(supplied, lot) == []
    assert asked(supplied, lot)["purchase"].missing == before.missing
    assert add(supplied, lot, code) > entry
    assert papers(supplied, lot) == [code]
    assert audit(supplied.shop).findings == ()


def test_a_country_becomes_known_by_a_paper_and_unknown_without_it(
    supplied: Loft,
) -> None:
    """What another paper says of it stands; so does what was said on the first day."""
    lot, known = supplied.receive(harvested_in=None), supplied.receive()
    first, second = bill(supplied), supplied.document("letter", paper="letter")
    said, again = add(supplied, lot, first, "FJ"), add(supplied, lot, second, "FJ")
    shown = asked(supplied, lot)["country"]
    same = add(supplied, known, first, "IT")
    came = country(supplied, known)

    assert country(supplied, lot) == ("FJ", said)
    assert (shown.level, shown.paper, shown.entry) == ("document", first, said)
    assert shown.said.startswith(f"harvested in Fiji, by {first} (invoice")
    strike(supplied, said)
    assert country(supplied, lot) == ("FJ", again)
    strike(supplied, again)
    assert country(supplied, lot) == (None, None)
    assert asked(supplied, lot)["country"].missing.endswith(
        "and record the answer with flitchbook lot harvest L26-001"
    )
    strike(supplied, same)
    assert country(supplied, known) == came != (None, None)
    assert audit(supplied.shop).findings == ()


def test_old_stock_of_no_evidence_is_dated_by_a_paper_that_turned_up(
    supplied: Loft,
) -> None:
    """It was acquired by that day at the latest, and a listing after it is told."""
    lot = supplied.receive(
        is_opening=True,
        evidence="none",
        species="Dalbergia nigra",
        harvested_in=None,
        received_on="1999-05-01",
    )
    code = bill(supplied, issued_on="1985-03-02")
    add(supplied, lot, code, "BR")
    shown = asked(supplied, lot)

    assert (shown["acquired"].level, shown["acquired"].paper) == ("document", code)
    assert "acquired by 1985-03-02, before the first listing" in shown["acquired"].said
    assert shown["country"].level == "document"


@pytest.mark.parametrize(
    ("told", "why"),
    [
        ({"lot": "L26-099"}, "there is no lot L26-099: look at its label"),
        ({"document": "D26-0099"}, "there is no document D26-0099: file it with"),
        ({"document": "D26-0001"}, r"already, since entry \d+, when it came in"),
        ({"harvested_in": "FJ"}, r"in Italy \(IT\) by entry \d+, and not in Fiji \(FJ"),
        ({"harvested_in": "Fiji"}, r"in Italy \(IT\) by entry \d+, and not in Fiji"),
        ({"harvested_in": "QQ"}, "'QQ' is no country: write two letters such as JP"),
        ({"document": "D26-0003"}, r"ended on 2026-01-04, before 2026-01-05, when L26"),
        ({"badge": "03"}, "joining a paper to a lot needs the role lead or the qual"),
        ({"badge": "12"}, "joining a paper to a lot needs the role lead or the qual"),
    ],
)
def test_what_is_no_paper_of_a_lot_is_refused(
    supplied: Loft, told: dict[str, str], why: str
) -> None:
    """And nothing is said."""
    supplied.receive(documents=(supplied.document(),))
    bill(supplied)
    bill(supplied, expires_on="2026-01-04")
    size = supplied.shop.store.head().size

    with pytest.raises(LedgerError, match=why):
        add(supplied, **({"lot": "L26-001", "document": "D26-0002"} | told))
    assert supplied.shop.store.head().size == size
    assert audit(supplied.shop).findings == ()


def test_a_paper_is_in_force_through_its_last_day(supplied: Loft) -> None:
    """Judged by the day on which the wood came in, not by today."""
    lot = supplied.receive(received_on="2026-01-04")
    add(supplied, lot, bill(supplied, expires_on="2026-01-04"))

    assert papers(supplied, lot) == ["D26-0001"]


def test_a_personal_paper_that_was_erased_is_joined_to_nothing(supplied: Loft) -> None:
    """Nobody can read it any more."""
    lot = supplied.receive()
    code = bill(supplied, is_personal=True)
    subject = supplied.person("10").subject
    people.erase(supplied.shop, subject, supplied.hands("12", "01"))

    with pytest.raises(RefusedError, match="went with somebody's particulars"):
        add(supplied, lot, code)


def test_what_came_in_under_a_permit_that_was_joined_later_is_drawn(
    supplied: Loft,
) -> None:
    """With the entry that joined it; struck, it draws nothing."""
    lot = supplied.receive(boards=1)
    supplied.number(lot, NECK)
    code = supplied.document("P 77", paper="export permit")
    line = LineDraft(species="Picea abies", unit="mass_mg", amount=1_500_000)
    read_permit(supplied.shop, code, [line], supplied.hands("12"))
    entry = add(supplied, lot, code)
    found = used_of(supplied.shop, code)
    strike(supplied, entry)

    assert (found.lines[0].used.amount, found.lines[0].remains) == (1_040_000, 460_000)
    assert found.draws[0].entries[-1] == entry
    assert used_of(supplied.shop, code).draws == ()


def test_a_paper_in_doubt_reaches_the_lot_it_was_joined_to(supplied: Loft) -> None:
    """And only a lead takes it off again: nobody else lifts a hold that way."""
    lot = supplied.receive()
    (board,) = supplied.number(lot, NECK)
    code = bill(supplied)
    entry = add(supplied, lot, code)
    doubted = find_doubted(supplied.shop, code)
    holds.place(supplied.shop, doubted, reason="forged?", hands=supplied.hands("02"))

    with (
        supplied.shop.store.reading() as session,
        pytest.raises(HeldError, match=f"board {board} is in doubt by hold H26-001"),
    ):
        require_no_hold(session, boards=[board])
    with pytest.raises(HeldError, match=f"document {code} is in doubt by hold"):
        strike(supplied, entry)
    strike(supplied, entry, "01")
    with supplied.shop.store.reading() as session:
        require_no_hold(session, boards=[board])


def test_a_certificate_stays_as_it_was_and_rests_on_no_later_paper(
    certified: Loft,
) -> None:
    """Its words are in its own entry; a paper that came after it may be struck."""
    issued = certificate_entry(certified)
    entry = add(certified, "L26-002", bill(certified), "IT")

    assert certificate_entry(certified) == issued
    strike(certified, entry)
    assert audit(certified.shop).findings == ()


def test_a_country_that_a_certificate_names_is_not_taken_back(supplied: Loft) -> None:
    """A paper that only stood beside it is."""
    lot = supplied.receive(harvested_in=None)
    supplied.number(lot, TOP, NECK)
    said = add(supplied, lot, bill(supplied), "FJ")
    beside = add(supplied, lot, supplied.document("letter", paper="letter"), "FJ")
    supplied.model()
    serial = supplied.begin()
    supplied.allot(serial, "top", f"{lot}-01")
    supplied.allot(serial, "neck", f"{lot}-02")
    supplied.finish(serial)
    number = supplied.issue(serial)

    with pytest.raises(RefusedError, match=f"^{number} came after entry {said} and"):
        strike(supplied, said)
    strike(supplied, beside)


def test_a_paper_that_a_shipment_names_is_not_taken_back(supplied: Loft) -> None:
    """That of a lot of which nothing is in it is, and so is one joined since."""
    lot, other = supplied.receive(), supplied.receive()
    (board,) = supplied.number(lot, NECK)
    code = bill(supplied)
    of_it, of_other = add(supplied, lot, code), add(supplied, other, code)
    number = send(supplied, boards=(board,))
    since = add(supplied, lot, supplied.document("letter", paper="letter"))

    with pytest.raises(RefusedError, match=f"^{number} came after entry {of_it} and"):
        strike(supplied, of_it)
    for index in (of_other, since):
        strike(supplied, index)
    assert papers(supplied, lot) == [code]


def test_a_batch_gets_its_papers_later_as_well(certified: Loft) -> None:
    """Shell is asked about like wood; a shipment that names the paper keeps it."""
    draft = BatchDraft(
        what="shell",
        use="shell",
        species="Haliotis rufescens",
        received_on="2026-01-05",
    )
    batch = receive_batch(certified.shop, draft, certified.hands())
    code, later = bill(certified), certified.document("letter", paper="letter")
    entry = add_batch_paper(certified.shop, batch, code, certified.hands("02")).index
    with certified.shop.store.reading() as session:
        held = batch_holding(session, session.get_one(Material, batch))

    assert (held.shown, held.papers[0].entries[-1]) == ("document", entry)
    assert [row.batch for row in used_of(certified.shop, code).batches] == [batch]
    with pytest.raises(RefusedError, match=f"with flitchbook record correct {entry}$"):
        add_batch_paper(certified.shop, batch, code, certified.hands())
    strike(certified, entry)
    assert used_of(certified.shop, code).batches == ()
    again = add_batch_paper(certified.shop, batch, code, certified.hands()).index
    used = StepSigned(
        serial=SERIAL,
        step="brace",
        meaning="did",
        measures=(),
        weighed=(),
        materials=(batch,),
    )
    certified.say(used, "03")
    number = send(certified, serials=(SERIAL,), masses_mg={batch: 5_000})
    since = add_batch_paper(certified.shop, batch, later, certified.hands()).index
    with pytest.raises(RefusedError, match=f"^{number} came after entry {again} and"):
        strike(certified, again, "01")
    strike(certified, since, "01")
    with certified.shop.store.reading() as session:
        assert papers_of(session, batch) == [code]


@pytest.mark.parametrize(
    ("batch", "document", "badge", "why"),
    [
        ("M26-009", "D26-0001", "02", "there is no batch M26-009"),
        ("M26-001", "D26-0009", "02", "there is no document D26-0009"),
        (
            "M26-001",
            "D26-0002",
            "02",
            r"ended on 2025-12-31, before 2026-01-05, when M",
        ),
        ("M26-001", "D26-0001", "12", "joining a paper to a batch needs the role lead"),
    ],
)
def test_what_is_no_paper_of_a_batch_is_refused(
    certified: Loft, batch: str, document: str, badge: str, why: str
) -> None:
    """And nothing is said."""
    draft = BatchDraft(what="glue", use="glue", received_on="2026-01-05")
    receive_batch(certified.shop, draft, certified.hands())
    bill(certified, issued_on="2025-01-01", expires_on="2025-12-31")
    size = certified.shop.store.head().size

    with pytest.raises(LedgerError, match=why):
        add_batch_paper(certified.shop, batch, document, certified.hands(badge))
    assert certified.shop.store.head().size == size


def certificate_entry(loft: Loft) -> dict[str, Any]:
    """Return what the first certificate says."""
    entries = (parse_record(data).entry for _, data in loft.shop.store.records())
    return next(e.event for e in entries if e.kind.startswith("certificate.issued"))
