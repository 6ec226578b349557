"""What of a shipment is in doubt."""

from sqlmodel import Session

from ledger.acts.holds import holds_on
from ledger.acts.shipments import Plan
from ledger.views.doubt import doubts_in
from ledger.views.holds import open_holds


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
