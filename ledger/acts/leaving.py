"""Which head is the newest outside this machine, and how it left.

Papers carry heads out, and the log knows which; witnesses sign them; slips and backups
on other disks are remembered by the account that made them. Back to the newest of these
nothing can be changed unseen; what came since rests on the shop's word alone.
"""

from contextlib import suppress

from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session, col, func, select

from ledger.acts import outside, witnesses
from ledger.acts.backups import Backup
from ledger.acts.shop import Shop
from ledger.errors import LedgerError
from ledger.events import (
    ShipmentPapersPrinted,
    ShipmentPapersPrintedV1,
    SlipPrinted,
    TagPrinted,
    codec,
)
from ledger.log import queries
from ledger.log.checkpoint import Checkpoint
from ledger.log.entry import parse_record
from ledger.log.seen import Left
from ledger.views.builds import PrintedTag
from ledger.views.fold import is_of_this_edition
from ledger.views.ownership import TransferCode
from ledger.views.shipments import ShipmentPrint

PRINTED = "printed"
ON_A_SLIP = "drawn as a witness slip"


def newest_left(shop: Shop) -> Left | None:
    """Return the newest head that left, as far as a look shows, or None.

    Certificates are not looked at: only an audit tells which heads they carried. What
    is damaged says nothing here, and is told by an audit and by the list of witnesses.
    """
    found = []
    for look in (_by_this_account, _on_paper, witnesses.newest_left):
        with suppress(LedgerError, SQLAlchemyError):
            found.append(look(shop))
    return max(filter(None, found), key=lambda left: left.size, default=None)


def on_paper(newest: tuple[int, str] | None) -> Left | None:
    """Return what an audit found of papers in the same form."""
    if newest is None:
        return None
    return Left(size=newest[0], root="", day=newest[1], how=PRINTED)


def backup_left(shop: Shop, made: Backup) -> None:
    """Remember a backup as outside if it lies on another disk.

    The same disk is lost with the shop. Another one may still stand in this machine:
    nobody can see that from here, and so it is said which.
    """
    if not made.is_elsewhere:
        return
    head = Checkpoint(
        origin=shop.standing().origin, size=made.size, root=bytes.fromhex(made.root)
    )
    how = f"in backup {made.name} on another disk since"
    outside.leave(shop.state, head, day=made.day, how=how)


def _by_this_account(shop: Shop) -> Left | None:
    return outside.newest_left(shop.store, shop.state)


def _on_paper(shop: Shop) -> Left | None:
    """Return the head of the newest tag, slip or shipment's paper, if it is held."""
    with shop.store.reading() as session:
        index = _newest_print(session) if is_of_this_edition(session) else None
        data = queries.record(session.connection(), index) if index else None
    if data is None:
        return None
    try:
        entry = parse_record(data).entry
        event = codec.parse(entry.event)
    except LedgerError:
        return None
    if not isinstance(
        event,
        TagPrinted | SlipPrinted | ShipmentPapersPrinted | ShipmentPapersPrintedV1,
    ):
        return None
    left = Left(size=event.size, root=event.root, day=entry.at[:10], how=PRINTED)
    return left if outside.holds(shop.store, left) else None


def _newest_print(session: Session) -> int | None:
    prints = (PrintedTag.idx, TransferCode.carried_idx, ShipmentPrint.idx)
    found = [session.exec(select(func.max(col(idx)))).one() for idx in prints]
    return max(filter(None, found), default=None)
