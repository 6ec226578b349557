"""What was issued since keeps a joined paper; what went out before does not."""

from dataclasses import replace

import pytest

from ledger.errors import TamperError
from ledger.events import (
    BoardAllotted,
    BoardReleased,
    DocumentFiled,
    Event,
    LotPaperAdded,
    MaterialPaperAdded,
    MaterialReceived,
    StepSigned,
)
from ledger.views.corrections import correction_of
from tests.ledger.views.forests import ISSUED, begun, board, grown, lot, sawn, strike
from tests.sentences import PLANNED

SERIAL, CODE = "26-0001-8", "L26-001-01"
PAPER = DocumentFiled(document="D26-0001", paper="letter", sha256="5a" * 32)
JOINED = LotPaperAdded(lot="L26-001", document="D26-0001")
GIVING = replace(JOINED, harvested_in="FJ")
SHELL = MaterialReceived(
    batch="M26-001", what="shell", use="shell", received_on="2026-01-05"
)
TO_SHELL = MaterialPaperAdded(batch="M26-001", document="D26-0001")
USED = StepSigned(
    serial=SERIAL,
    step="brace",
    meaning="did",
    measures=(),
    weighed=(),
    materials=("M26-001",),
)
ALLOTTED = BoardAllotted(board=CODE, serial=SERIAL, part="neck")
RELEASED = BoardReleased(board=CODE)
SENT = replace(PLANNED, boards=(), serials=(SERIAL,))
PIECE = sawn([CODE], [board(1, 1, 1)])
OF_PIECE = replace(PLANNED, boards=(board(1, 1, 1),))
# Entries 0 to 4: a lot of two boards, a paper, an instrument, a batch of shell.
BEGUN: tuple[Event, ...] = (*lot(1, 2), PAPER, begun(), SHELL)
FIRST = len(BEGUN)


def struck(*said: Event, index: int) -> bool:
    """Fold these after the beginning, and strike one of them by its place."""
    with grown([*BEGUN, *said, strike(FIRST + index)]) as session:
        return correction_of(session, FIRST + index) is not None


@pytest.mark.parametrize(
    ("said", "index", "by"),
    [
        ((GIVING, ALLOTTED, ISSUED), 0, "C-2026-00001"),
        ((ALLOTTED, GIVING, ISSUED), 1, "C-2026-00001"),
        ((GIVING, ALLOTTED, ISSUED, RELEASED), 0, "C-2026-00001"),
        ((JOINED, PLANNED), 0, "X26-0001"),
        ((JOINED, PIECE, OF_PIECE), 0, "X26-0001"),
        ((ALLOTTED, ISSUED, JOINED, SENT), 2, "X26-0001"),
        ((USED, ISSUED, TO_SHELL, SENT), 2, "X26-0001"),
    ],
    ids=[
        "a certificate names its country",
        "of wood that was in it before",
        "and still does when the wood went out again",
        "a board of it was sent",
        "a piece of it was sent",
        "an instrument with it was sent",
        "an instrument with its shell was sent",
    ],
)
def test_a_paper_that_others_speak_of_is_kept(
    said: tuple[Event, ...], index: int, by: str
) -> None:
    """The first of them is named."""
    with pytest.raises(TamperError, match=f"is not struck, for {by} rests on it"):
        struck(*said, index=index)


@pytest.mark.parametrize(
    ("said", "index"),
    [
        ((JOINED, ALLOTTED, ISSUED), 0),
        ((ALLOTTED, ISSUED, GIVING), 2),
        ((GIVING, ISSUED, ALLOTTED), 0),
        ((ALLOTTED, RELEASED, GIVING, ISSUED), 2),
        ((PLANNED, JOINED), 1),
        ((*lot(2, 1), replace(JOINED, lot="L26-002"), PLANNED), 2),
        ((ISSUED, TO_SHELL, SENT, USED), 1),
        ((ISSUED, USED, SENT, TO_SHELL), 3),
    ],
    ids=[
        "a certificate names no paper",
        "the certificate was there before",
        "the wood went in after it",
        "the wood was out again before it",
        "it was sent before",
        "wood of another lot was sent",
        "the shell went in after it was sent",
        "the shell's paper came after it was sent",
    ],
)
def test_a_paper_that_nothing_rests_on_is_struck(
    said: tuple[Event, ...], index: int
) -> None:
    """Whatever else was issued."""
    assert struck(*said, index=index)
