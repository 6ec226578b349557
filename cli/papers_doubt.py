"""What of a shipment is in doubt, and which papers on file are not to be counted."""

from collections.abc import Iterable, Sequence

from sqlmodel import Session

from ledger.acts.described import PIECE
from ledger.acts.shipments import Plan
from ledger.views.doubt import doubts_in, doubts_of
from ledger.views.holds import Hold, open_holds


def holds_on(
    session: Session,
    *,
    boards: Sequence[str],
    lots: Iterable[str],
    papers: Iterable[str],
) -> tuple[Hold, ...]:
    """Return the open holds on one wood: by its boards, its batch or its papers.

    What was cleared of a doubt is out of it, and its paper counts again. What was not
    made here has papers alone.
    """
    ours = [lot for lot in lots if not lot.startswith(PIECE)]
    if boards:
        found = [hold for hold, _ in doubts_in(session, boards=boards)]
    elif ours:
        found = [hold for hold, _ in doubts_of(session, batches=ours)]
    else:
        named = set(papers)
        found = [
            hold
            for hold in open_holds(session)
            if hold.on == "document" and hold.code in named
        ]
    return tuple({hold.hold: hold for hold in found}.values())


def holds_in(session: Session, plan: Plan) -> tuple[str, ...]:
    """Return the numbers of all open holds on what is in a shipment, the oldest first.

    Those on a gauge or on a person reach an instrument, and no wood of it.
    """
    found = {
        hold.hold
        for each in plan.materials
        for hold in holds_on(
            session, boards=each.boards, lots=(each.lot,), papers=each.documents
        )
    }
    for serial in plan.goods.serials:
        found |= {hold.hold for hold, _ in doubts_in(session, serial=serial)}
    return tuple(hold.hold for hold in open_holds(session) if hold.hold in found)


def by_paper(holds: Iterable[Hold]) -> dict[str, str]:
    """Return of each paper in doubt the number of its hold."""
    return {hold.code: hold.hold for hold in holds if hold.on == "document"}
