"""Who relies on what came after a lot or a batch, a paper or a country of harvest.

A certificate says of its wood where it grew; the plan of a shipment names the papers of
all that goes in it.
"""

from collections.abc import Iterable, Iterator

from sqlmodel import Session, col, select

from ledger.views.allotting import Stay
from ledger.views.builds import StepMaterial
from ledger.views.certificates import Certificate
from ledger.views.family import family, firsts_of
from ledger.views.harvests import HarvestNaming
from ledger.views.materials import Material, MaterialDocument
from ledger.views.shipments import Shipment, ShippedThing
from ledger.views.wood import Lot, LotDocument


def came_with_it(session: Session, join: LotDocument | MaterialDocument) -> bool:
    """Tell whether a paper came in with its lot or batch, and was not joined later."""
    if isinstance(join, LotDocument):
        return session.get_one(Lot, join.lot).idx == join.idx
    return session.get_one(Material, join.batch).idx == join.idx


def relies_on(
    session: Session, given: LotDocument | MaterialDocument | HarvestNaming
) -> str | None:
    """Return the first certificate or shipment since that relies on what was said."""
    lot = session.get(Lot, _code(given))
    if lot is None:
        sent = _shipped_with_batch(session, _code(given), given.idx)
        return next((shipment.number for shipment in sent), None)
    issued = _issued_since(session, lot, given.idx)
    planned = _planned_since(session, given.idx)
    if not (issued or planned):
        return None
    boards = family(session, firsts_of(session, lot.code), "pieces").boards
    stays = _stays(session, boards)
    for certificate in issued:
        if _was_in(stays, [certificate.serial], certificate.idx):
            return certificate.number
    for shipment in planned:
        things = _things(session, shipment)
        if boards.keys() & things or _was_in(stays, things, shipment.idx):
            return shipment.number
    return None


def _code(given: LotDocument | MaterialDocument | HarvestNaming) -> str:
    """Return the lot or the batch that something was said of."""
    if isinstance(given, LotDocument):
        return given.lot
    return given.batch if isinstance(given, MaterialDocument) else given.code


def _issued_since(session: Session, lot: Lot, index: int) -> list[Certificate]:
    """Return the certificates that may name the country which an entry made known."""
    if lot.harvested_idx != index:
        return []
    query = select(Certificate).where(col(Certificate.idx) > index)
    return list(session.exec(query.order_by(col(Certificate.idx))).all())


def _planned_since(session: Session, index: int) -> list[Shipment]:
    query = select(Shipment).where(col(Shipment.idx) > index)
    return list(session.exec(query.order_by(col(Shipment.idx))).all())


def _things(session: Session, shipment: Shipment) -> set[str]:
    """Return the serials and the boards in a shipment."""
    query = select(ShippedThing.code).where(
        col(ShippedThing.shipment) == shipment.number
    )
    return set(session.exec(query).all())


def _stays(session: Session, boards: Iterable[str]) -> list[Stay]:
    """Return in which instruments boards ever were."""
    query = select(Stay).where(col(Stay.board).in_(list(boards)))
    return list(session.exec(query).all())


def _was_in(stays: Iterable[Stay], serials: Iterable[str], index: int) -> bool:
    """Tell whether wood was in one of these instruments when an entry was said."""
    named = set(serials)
    return any(
        stay.serial in named
        and stay.idx < index
        and (stay.ended_idx is None or stay.ended_idx > index)
        for stay in stays
    )


def _shipped_with_batch(session: Session, batch: str, index: int) -> Iterator[Shipment]:
    """Yield the shipments since with an instrument that a batch had gone into."""
    query = select(StepMaterial).where(col(StepMaterial.batch) == batch)
    used = list(session.exec(query).all())
    for shipment in _planned_since(session, index):
        things = _things(session, shipment)
        if any(
            row.serial in things
            and row.idx < shipment.idx
            and (row.struck_idx is None or row.struck_idx > shipment.idx)
            for row in used
        ):
            yield shipment
