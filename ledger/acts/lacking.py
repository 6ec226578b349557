"""Which wood in the rack or in open builds lacks a paper, the most urgent first."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session, col, select

from ledger.acts.evidence import Occasion, Traced, holding_of, of_lot, until_words
from ledger.acts.shop import Shop
from ledger.trade.holding import is_listed
from ledger.views.boards import Board, PlainBoard, plain_boards
from ledger.views.builds import Build
from ledger.views.certificates import Certificate
from ledger.views.family import shares_of_each
from ledger.views.orders import BuildOrder
from ledger.views.shipments import Shipment, ShippedThing
from ledger.views.wood import Lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Lacking:
    """A lot of which something is missing, by when, and for which instruments.

    by         the first day that was promised to anybody of it; None where none was
    is_listed  whether it stands in an Appendix today; None where nobody can tell
    """

    wood: Traced
    by: str | None
    serials: tuple[str, ...]
    is_listed: bool | None


def lacking(shop: Shop) -> tuple[Lacking, ...]:
    """Return the lots in the rack or in open builds of which something is missing.

    The first promised day comes first, then listed wood, then the rest by number.
    """
    with shop.store.reading() as session:
        today = date.fromisoformat(shop.today())
        open_builds = _open_builds(session)
        there = _boards_there(session, open_builds, today)
        bound = _kept(session, open_builds, today) | {
            b.code: b.serial for b in there if b.serial
        }
        shares = shares_of_each(session, [board.code for board in there])
        numbered = set(session.exec(select(Board.lot)).all())
        of_lot: dict[str, list[PlainBoard]] = {
            code: []
            for code in session.exec(select(Lot.code)).all()
            if code not in numbered
        }
        for board in there:
            for share in shares[board.code]:
                of_lot.setdefault(share, []).append(board)
        found = []
        for code, boards in of_lot.items():
            serials = {bound[b.code] for b in boards if b.code in bound}
            promised = {serial: open_builds.get(serial) for serial in sorted(serials)}
            lot = session.get_one(Lot, code)
            found.append(_lacking(session, lot, boards, promised, today))
    return tuple(sorted((each for each in found if each.wood.missing), key=_urgency))


def _lacking(
    session: Session,
    lot: Lot,
    boards: Sequence[PlainBoard],
    promised: Mapping[str, str | None],
    today: date,
) -> Lacking:
    by = min(filter(None, promised.values()), default=None)
    when = Occasion(today=today, until=until_words(by, today))
    return Lacking(
        wood=of_lot(session, lot, boards, when),
        by=by,
        serials=tuple(promised),
        is_listed=is_listed(holding_of(session, lot), today),
    )


def _urgency(each: Lacking) -> tuple[bool, str, int, str]:
    listed = (True, None, False).index(each.is_listed)
    return each.by is None, each.by or "", listed, each.wood.code


def _open_builds(session: Session) -> dict[str, str | None]:
    """Return the instruments in the making, and the day that each was promised for."""
    query = (
        select(Build.serial, BuildOrder.due)
        .join(BuildOrder, col(BuildOrder.serial) == col(Build.serial), isouter=True)
        .where(
            col(Build.voided_idx).is_(None),
            col(Build.serial).not_in(select(Certificate.serial)),
        )
    )
    return dict(session.exec(query).all())


def _kept(
    session: Session, open_builds: Mapping[str, str | None], today: date
) -> dict[str, str]:
    """Return for which open build each board is kept, by its serial or its order."""
    orders = select(BuildOrder.order, BuildOrder.serial).where(
        col(BuildOrder.order).is_not(None)
    )
    ordered = {str(order): serial for order, serial in session.exec(orders).all()}
    query = select(Board.code, Board.reserved_for).where(
        col(Board.reserved_until) >= today.isoformat()
    )
    kept = {
        code: ordered.get(str(wanted), str(wanted))
        for code, wanted in session.exec(query).all()
    }
    return {code: serial for code, serial in kept.items() if serial in open_builds}


def _boards_there(
    session: Session, open_builds: Mapping[str, str | None], today: date
) -> list[PlainBoard]:
    """Return the boards that lie in the rack, or are in an instrument in the making.

    What was to be shipped as wood by today is gone.
    """
    sent = (
        select(ShippedThing.code)
        .join(Shipment, col(Shipment.number) == col(ShippedThing.shipment))
        .where(col(Shipment.moves_on) <= today.isoformat())
    )
    boards = plain_boards(
        session,
        col(Board.became_idx).is_(None),
        col(Board.struck_idx).is_(None),
        col(Board.returned_idx).is_(None),
        col(Board.rejected_idx).is_(None),
        col(Board.off_idx).is_(None),
        col(Board.code).not_in(sent),
    )
    return [b for b in boards if b.serial is None or b.serial in open_builds]
