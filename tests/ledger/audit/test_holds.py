"""What was said under an open hold is found, and what was said beside it is not."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from ledger.acts import corrections
from ledger.audit import audit
from ledger.audit.findings import Finding
from ledger.audit.holds import hold_findings
from ledger.events import (
    BoardAllotted,
    BoardReleased,
    DocumentFiled,
    Event,
    HoldLifted,
    HoldPlaced,
    InstrumentReturned,
    InstrumentSent,
    LotPaperAdded,
    MaterialReceived,
    StepSigned,
)
from tests.ledger.views.forests import ISSUED, begun, board, grown, lot, sawn, strike
from tests.sentences import PLANNED
from tests.skerrymoor import NECK, Loft

SERIAL = "26-0001-8"
HOLD = HoldPlaced(hold="H26-001", on="lot", code="L26-001")
LIFT = HoldLifted(hold="H26-001")
PIECE = board(1, 1, 1)
SIGN = StepSigned(serial=SERIAL, step="brace", meaning="did")
GLUE = MaterialReceived(
    batch="M26-001", what="hide glue", use="glue", received_on="2026-01-05"
)
WOOD: list[Event] = [*lot(1, 1), *lot(2, 1), begun(), sawn([board(1, 1)], [PIECE])]


def allotted(code: str = PIECE) -> BoardAllotted:
    """Return the saying that a board goes into the instrument."""
    return BoardAllotted(board=code, serial=SERIAL, part="neck")


def found(*events: Event) -> Sequence[Finding]:
    """Return what is found where these are said after the wood is there."""
    with grown([*WOOD, *events]) as session:
        return list(hold_findings(session))


@pytest.mark.parametrize(
    ("events", "told"),
    [
        ([HOLD, allotted()], ["the allotment of L26-001-01.C1 to 26-0001-8"]),
        ([allotted(), HOLD, SIGN], ["step brace (did) of 26-0001-8"]),
        ([allotted(), HOLD, ISSUED], ["certificate C-2026-00001 of 26-0001-8"]),
        ([allotted(), SIGN, ISSUED, HOLD], []),
        ([HOLD, LIFT, allotted(), SIGN, ISSUED], []),
        ([HOLD, allotted(board(2, 1)), SIGN, ISSUED], []),
        ([HOLD, HoldLifted(hold="H26-001", code=PIECE), allotted(), SIGN], []),
        ([HOLD, HoldLifted(hold="H26-001", code="L26-001"), allotted()], []),
        (
            [HOLD, allotted(), HoldLifted(hold="H26-001", code=SERIAL), SIGN],
            ["the allotment of L26-001-01.C1 to 26-0001-8"],
        ),
        ([allotted(), BoardReleased(board=PIECE), HOLD, SIGN], []),
        ([allotted(), HOLD, HoldLifted(hold="H26-001", code=SERIAL), SIGN], []),
        (
            [HOLD, HoldLifted(hold="H26-001", code=SERIAL), allotted(), SIGN],
            [
                "the allotment of L26-001-01.C1 to 26-0001-8",
                "step brace (did) of 26-0001-8",
            ],
        ),
    ],
)
def test_what_is_said_between_a_hold_and_its_end_is_found(
    events: list[Event], told: list[str]
) -> None:
    """Each allotment, signature and certificate with wood in doubt, to any depth."""
    findings = found(*events)

    assert [each.detail.partition(" was said under")[0] for each in findings] == told
    assert {each.cause for each in findings} <= {"held"}


def test_work_with_a_batch_in_doubt_is_found_after_its_use() -> None:
    """The use came before the doubt; what was signed after it rests on it."""
    use = StepSigned(serial=SERIAL, step="glue", meaning="did", materials=("M26-001",))
    hold = HoldPlaced(hold="H26-001", on="batch", code="M26-001")
    (finding,) = found(GLUE, use, hold, SIGN)

    assert finding.detail.startswith("step brace (did) of 26-0001-8")


PAPER = DocumentFiled(document="D26-0001", paper="permit", sha256="5a" * 32)
DOUBTED = HoldPlaced(hold="H26-001", on="document", code="D26-0001")
JOINED = LotPaperAdded(lot="L26-001", document="D26-0001")
# The first entry after the wood, the paper and what else is said before it is joined.
FIRST = len(WOOD) + 1


@pytest.mark.parametrize(
    ("events", "told"),
    [
        (
            [JOINED, DOUBTED, allotted()],
            ["the allotment of L26-001-01.C1 to 26-0001-8"],
        ),
        ([DOUBTED, allotted(), JOINED], []),
        (
            [DOUBTED, JOINED, allotted()],
            ["the allotment of L26-001-01.C1 to 26-0001-8"],
        ),
        ([DOUBTED, allotted(), JOINED, SIGN], ["step brace (did) of 26-0001-8"]),
        ([JOINED, DOUBTED, strike(FIRST), allotted()], []),
        (
            [JOINED, DOUBTED, allotted(), strike(FIRST)],
            ["the allotment of L26-001-01.C1 to 26-0001-8"],
        ),
        ([DOUBTED, LIFT, JOINED, allotted()], []),
    ],
    ids=[
        "joined before the doubt",
        "allotted before it was joined",
        "joined under the doubt",
        "signed after it was joined",
        "struck before the allotment",
        "struck after the allotment",
        "joined after the doubt",
    ],
)
def test_a_paper_in_doubt_covers_wood_while_it_is_a_paper_of_it(
    events: list[Event], told: list[str]
) -> None:
    """Nobody is blamed for what only later came under a doubt, or excused by it."""
    findings = found(PAPER, *events)

    assert [each.detail.partition(" was said under")[0] for each in findings] == told


def test_an_allotment_that_was_struck_is_no_finding(loft: Loft) -> None:
    """It counts for nothing any more."""
    loft.supplier()
    code = loft.receive()
    (neck,) = loft.number(code, NECK)
    loft.model()
    serial = loft.begin()
    loft.say(HoldPlaced(hold="H26-001", on="lot", code=str(code)))
    index = loft.say(BoardAllotted(board=neck, serial=serial, part="neck")).index
    (finding,) = audit(loft.shop).findings
    corrections.correct(loft.shop, index, reason="wrong board", hands=loft.hands())

    assert (finding.index, finding.cause) == (index, "held")
    assert audit(loft.shop).findings == ()


def test_what_leaves_under_a_hold_is_found() -> None:
    """A shipment and a loan, of the instrument or of a board; a mending is none."""
    told: list[Event] = [allotted(), ISSUED, HOLD]
    trips = [
        InstrumentSent(serial=SERIAL, on="2026-01-05", errand=errand)
        for errand in ("service", "loan")
    ]
    home = InstrumentReturned(serial=SERIAL, on="2026-01-05")
    sent = replace(PLANNED, serials=(SERIAL,), boards=())
    of_board = replace(sent, shipment="X26-0009", serials=(), boards=(board(1, 2),))
    *_, other = lot(1, 2)
    findings = found(other, *told, trips[0], home, trips[1], sent, of_board)

    assert [each.detail.partition(" was said under")[0] for each in findings] == [
        "shipment X26-0009 of L26-001-02",
        f"shipment {sent.shipment} of {SERIAL}",
        f"a way out (loan) of {SERIAL}",
    ]
