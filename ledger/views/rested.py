"""The entries that an instrument rested on after one of them, whatever came since.

Wood that came off later still counts, and a step or a paper that was struck later. Of
what was struck or to be done again by then the entry counts that said so.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from sqlmodel import Session, col, func, select

from ledger.craft.policy import HOUSE_FORMAT
from ledger.trade.overlay import LAW_FORMAT
from ledger.views.allotting import stays_at, stays_in
from ledger.views.boards import Board
from ledger.views.builds import Build, SignedStep, StepMaterial
from ledger.views.doubt import doubts_in
from ledger.views.family import family, lots_of
from ledger.views.graduations import Graduation
from ledger.views.harvests import HarvestNaming
from ledger.views.house import AdoptedPolicy
from ledger.views.materials import Material, MaterialDocument
from ledger.views.measures import Sizing, Weighing, stands
from ledger.views.models import Model
from ledger.views.orders import (
    BuildOrder,
    ChangeNote,
    Concession,
    Misstamp,
    changes_of,
)
from ledger.views.ownership import open_reports
from ledger.views.plots import LotPlots
from ledger.views.readings import Photograph, Tapping, VoiceTapping, newest_air
from ledger.views.service import Service, ServiceMaterial, Trip, trips_of
from ledger.views.trace import trace
from ledger.views.wood import Document, Lot, LotDocument, Supplier

# What is said of an instrument, of a board and of a lot, and can be struck.
OF_BUILD = (VoiceTapping, Graduation, Service, Concession, Trip)
OF_BOARD = (Sizing, Weighing, Tapping, Photograph)
OF_LOT = (LotPlots, LotDocument)


def entries_at(session: Session, serial: str, at: int) -> set[int]:
    """Return the entries behind an instrument: its wood, its making and its life."""
    # Of the deeper lines only those of wood that was in it: below, board by board.
    found = {line.entry for line in trace(session, serial) if line.depth <= 1}
    found |= {*_made(session, serial, at), *_lived(session, serial, at)}
    for batch in _gone_in(session, serial, at):
        found |= set(_of_batch(session, batch, at))
    stays = stays_at(session, serial, at)
    for stay in stays:
        found |= {stay.idx, session.get_one(Board, stay.board).consumed_idx or stay.idx}
    found |= set(_of_wood(session, [stay.board for stay in stays], at))
    return {entry for entry in found if entry <= at}


def entries_of_goods(session: Session, codes: Iterable[str], at: int) -> set[int]:
    """Return the entries behind boards and batches that go as such."""
    found: set[int] = set()
    for code in codes:
        if session.get(Material, code) is not None:
            found |= set(_of_batch(session, code, at))
        elif session.get(Board, code) is not None:
            found |= set(_of_wood(session, [code], at))
    return {entry for entry in found if entry <= at}


def entries_beside(session: Session, serial: str, at: int) -> set[int]:
    """Return what papers of an instrument say beside it: rules, air, doubts, reports.

    The house's limits and its own rows of the law, and the air of its rooms, as they
    were after an entry; of doubts and reports of theft those that are open today.
    """
    limits = select(func.max(AdoptedPolicy.idx)).where(
        col(AdoptedPolicy.format).in_((HOUSE_FORMAT, LAW_FORMAT)),
        col(AdoptedPolicy.idx) <= at,
    )
    found = set(session.exec(limits.group_by(col(AdoptedPolicy.format))).all())
    air = newest_air(session, at=at)
    found |= {air.idx} if air is not None else set()
    found |= {hold.idx for hold, _ in doubts_in(session, serial=serial)}
    found |= {row.idx for row in open_reports(session, serial)}
    return {entry for entry in found if entry <= at}


def _made(session: Session, serial: str, at: int) -> Iterator[int]:
    """Yield the model, the order and its changes, and what was signed and misstamped.

    Of a signature that counts no more the entry that struck it, or had it done again.
    """
    build = session.get_one(Build, serial)
    notes = [note for note in changes_of(session, serial) if note.idx <= at]
    followed = {build.begun_version, *(note.version for note in notes)}
    models = select(Model.idx).where(
        col(Model.name) == build.model, col(Model.version).in_(followed - {None})
    )
    yield from session.exec(models).all()
    for view in (BuildOrder, ChangeNote, Misstamp):
        yield from session.exec(select(view.idx).where(view.serial == serial)).all()
    steps = select(SignedStep).where(
        col(SignedStep.serial) == serial, col(SignedStep.idx) <= at
    )
    for step in session.exec(steps).all():
        ends = [step.struck_idx, step.reworked_idx]
        yield from _counted(step.idx, [idx for idx in ends if idx is not None], at)
    for stay in stays_in(session, serial):
        if stay.how == "struck":
            yield int(stay.ended_idx or stay.idx)


def _lived(session: Session, serial: str, at: int) -> Iterator[int]:
    """Yield what was read of an instrument, let pass and done to it, and its trips."""
    for view in OF_BUILD:
        yield from _said(session, view, col(view.serial) == serial, at)
    for trip in trips_of(session, serial, at):
        yield trip.returned_idx or trip.idx


def _of_wood(session: Session, codes: Sequence[str], at: int) -> Iterator[int]:
    """Yield what boards rested on: all that they came from, and what was read of it."""
    kin = family(session, codes, "parents").boards
    yield from (board.idx for board in kin.values())
    for view in OF_BOARD:
        yield from _said(session, view, col(view.board).in_(kin), at)
    for code in codes:
        yield from (line.entry for line in trace(session, code) if line.code != code)
    for lot in sorted({lot for code in codes for lot in lots_of(session, code)}):
        yield from _of_lot(session, lot, at)


def _of_lot(session: Session, code: str, at: int) -> Iterator[int]:
    lot = session.get_one(Lot, code)
    yield lot.idx
    yield from _of_sender(session, lot.supplier)
    for view in OF_LOT:
        yield from _said(session, view, col(view.lot) == code, at)
    yield from _named(session, code, at)
    yield from _filed(session, LotDocument, col(LotDocument.lot) == code, at)


def _gone_in(session: Session, serial: str, at: int) -> set[str]:
    """Return the batches that had gone into an instrument, with steps or service."""
    found: set[str] = set()
    for view in (StepMaterial, ServiceMaterial):
        query = select(view.batch).where(view.serial == serial, stands(view, at))
        found |= set(session.exec(query).all())
    return found


def _of_batch(session: Session, code: str, at: int) -> Iterator[int]:
    batch = session.get_one(Material, code)
    yield batch.idx
    yield from _of_sender(session, batch.supplier)
    of_batch = col(MaterialDocument.batch) == code
    yield from _said(session, MaterialDocument, of_batch, at)
    yield from _named(session, code, at)
    yield from _filed(session, MaterialDocument, of_batch, at)


def _of_sender(session: Session, subject: str | None) -> Iterator[int]:
    sender = session.get(Supplier, subject) if subject else None
    if sender is not None:
        yield sender.idx


def _named(session: Session, code: str, at: int) -> Iterator[int]:
    """Yield who named the countries that a lot or a batch grew in."""
    yield from _said(session, HarvestNaming, col(HarvestNaming.code) == code, at)


def _filed(session: Session, view: Any, where: Any, at: int) -> Iterator[int]:
    """Yield by which entries the papers of a lot or a batch were filed."""
    query = select(Document.idx).join(view, view.document == col(Document.code))
    yield from session.exec(query.where(where, stands(view, at))).all()


def _said(session: Session, view: Any, where: Any, at: int) -> Iterator[int]:
    """Yield each row that counted after an entry, and what had struck any other."""
    query = select(view.idx, view.struck_idx).where(where, view.idx <= at)
    for idx, struck in session.exec(query).all():
        yield from _counted(idx, [] if struck is None else [struck], at)


def _counted(idx: int, ends: Iterable[int], at: int) -> Iterator[int]:
    ended = [end for end in ends if end <= at]
    yield from ended or [idx]
