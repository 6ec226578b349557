"""Monday morning, the first lot: counted, labelled, weighed, and asked when ready."""

from ledger.acts import boards, measuring, suppliers
from ledger.acts.claims import claims
from ledger.acts.resting import readiness
from ledger.audit import audit
from ledger.ids import BoardId, parse_any, scan_text
from ledger.views.boards import Board, boards_of
from ledger.views.trace import trace
from tests.skerrymoor import TOP, Loft

CAME = "2025-11-24"
SET = "L26-001-07"


def unpacked(loft: Loft) -> list[str]:
    """Receive 24 sets of spruce with their paper, number and label them."""
    loft.adopt()
    loft.supplier("Ingrid Valdesund, Valdesund Skog")
    paper = loft.document()
    sawyer = suppliers.find_supplier(loft.shop, "Valdesund")
    lot = loft.receive(received_on=CAME, documents=(paper,), supplier=sawyer)
    codes = loft.number(lot, *[TOP] * 24)
    boards.labels_printed(
        loft.shop, codes, paper="a4-24", sha256="5a" * 32, hands=loft.hands("02")
    )
    return codes


def test_every_half_has_its_label_and_every_label_reads_back(
    loft_on_each: Loft,
) -> None:
    """Forty-eight of them, each with a code of its own that a scanner reads."""
    codes = unpacked(loft_on_each)
    scans = [
        scan_text(BoardId.parse(code), host="skerrymoor.example") for code in codes
    ]

    assert len(codes) == len(set(scans)) == 48
    assert [str(parse_any(scan)) for scan in scans] == codes
    assert audit(loft_on_each.shop).findings == ()


def test_a_set_is_weighed_again_and_told_as_usual(loft_on_each: Loft) -> None:
    """Both halves have their mass and a density that spruce has."""
    unpacked(loft_on_each)
    hands = loft_on_each.hands("02")
    told = [
        measuring.weigh(loft_on_each.shop, f"{SET}.{half}", mass, hands=hands)
        for half, mass in (("A", 205_000), ("B", 207_000))
    ]

    assert sum(each.mass_mg for each in told) == 412_000
    # 205 g over 559 x 203 x 4.2 mm.
    assert told[0].density_gram_per_m3 == round(205 / (0.559 * 0.203 * 0.0042))


def test_the_rack_tells_when_the_wood_is_ready(loft_on_each: Loft) -> None:
    """Earliest after 90 days, preferred after 180, weighings still to come."""
    unpacked(loft_on_each)
    with loft_on_each.shop.store.reading() as session:
        board = session.get_one(Board, f"{SET}.A")
        verdict = readiness(session, board, today="2026-01-05")

    assert not verdict
    assert verdict.earliest == "2026-02-22"
    assert verdict.preferred == "2026-05-23"
    assert any("weigh" in reason for reason in verdict.reasons)


def test_another_person_can_tell_where_a_set_came_from(loft_on_each: Loft) -> None:
    """Lot, paper and day, each with its entry, and every entry that names it."""
    unpacked(loft_on_each)
    shop = loft_on_each.shop
    with shop.store.reading() as session:
        lines = trace(session, SET)
        said = [claim.kind for claim in claims(shop, session, f"{SET}.A")]
        count = len(boards_of(session, "L26-001"))
    words = " / ".join(f"{line.code} {line.said}" for line in lines)

    assert count == 48
    assert f"came in {CAME}" in words
    assert "D26-0001 delivery note 7/26" in words
    assert said == ["board.numbered", "label.printed"]
    assert all(line.entry < shop.store.head().size for line in lines)
