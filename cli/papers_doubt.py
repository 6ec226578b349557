"""What of a shipment is in doubt, and what of it is in dispute."""

from sqlmodel import Session

from ledger.acts.disputes import disputed_of_goods
from ledger.acts.holds import holds_on
from ledger.acts.shipments import Plan
from ledger.acts.shop import Shop
from ledger.views.doubt import doubts_in
from ledger.views.holds import open_holds
from ledger.views.shipments import Shipment


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


def disputed_in(shop: Shop, session: Session, plan: Plan) -> dict[int, int]:
    """Return what is in dispute behind a shipment, each with since when.

    That is of its instruments, its wood and batches and their papers, and of its own
    plan once that is recorded.
    """
    planned = session.get(Shipment, plan.number or "")
    return disputed_of_goods(
        session,
        shop.standing(),
        serials=plan.goods.serials,
        codes=[*plan.goods.boards, *(each.lot for each in plan.materials)],
        at=shop.store.head().size - 1,
        also=[*([planned.idx] if planned else []), *plan.entries],
    )
