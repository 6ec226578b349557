"""What goes in a shipment, piece by piece, as the tables are asked about it."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from math import prod
from typing import get_args

from sqlmodel import Session

from ledger.acts.boards import one_board
from ledger.acts.builds import find_build
from ledger.acts.closing import parts_off
from ledger.acts.completing import MASS, parts_on
from ledger.acts.described import described_materials
from ledger.acts.names import checked_day
from ledger.acts.service import services_said
from ledger.acts.shop import Shop
from ledger.craft.wares import Use
from ledger.errors import NotFoundError, RefusedError
from ledger.events.shipment import DescribedPiece
from ledger.quantities import grams
from ledger.scales import in_a_row, shared
from ledger.trade.law import Law
from ledger.trade.names import read_name
from ledger.trade.shipment import Material
from ledger.trade.tables import form_for
from ledger.views.boards import Board, boards_in
from ledger.views.builds import measures_of, weighed_parts
from ledger.views.certificates import certificates_of, require_standing
from ledger.views.family import shares_of
from ledger.views.materials import Material as Batch
from ledger.views.materials import papers_of
from ledger.views.usage import batches_in
from ledger.views.wood import Document, Lot, documents_of

FINISHED = "finished_instruments"
# Up to this thickness sawn wood is a veneer sheet to the tariff and to the Convention.
VENEER_UM = 6_000
UM3_PER_MM3 = 10**9


@dataclass(frozen=True, slots=True, kw_only=True)
class Goods:
    """What is to go: instruments, boards, and pieces that were not made here.

    masses_mg  [mg]  how much of a batch, such as shell, is in the instruments in all
    """

    serials: tuple[str, ...] = ()
    boards: tuple[str, ...] = ()
    described: tuple[DescribedPiece, ...] = ()
    masses_mg: Mapping[str, int] = field(default_factory=dict)


def materials_of(session: Session, goods: Goods, law: Law) -> list[Material]:
    """Return what is to go, each piece once for each lot in it.

    Raises RefusedError for what cannot be told yet: a part without wood or not weighed.
    """
    _require_filed(session, goods.described)
    return [
        *(m for serial in goods.serials for m in _of_instrument(session, serial)),
        *_of_batches(session, goods, law),
        *(m for code in goods.boards for m in _of_board(session, code)),
        *described_materials(goods.described),
    ]


def require_room(shop: Shop, session: Session, goods: Goods) -> None:
    """Refuse more shell than there is room for in what is sent, and none at all.

    Beside its weighed parts an instrument holds what the whole weighs more; where the
    whole was never weighed, no more than those parts weigh themselves.
    """
    for code, mass_mg in goods.masses_mg.items():
        if mass_mg < 1:
            raise RefusedError(
                f"{grams(mass_mg)} of {code} is none: leave its --mass out where "
                f"nobody knows how much of it there is"
            )
    known_mg = sum(goods.masses_mg.values())
    room_mg = sum(_room_mg(shop, session, serial) for serial in goods.serials)
    if known_mg > room_mg:
        raise RefusedError(
            f"{grams(known_mg)} of {in_a_row(list(goods.masses_mg))} is more than the "
            f"{grams(room_mg)} that {in_a_row(goods.serials)} can hold beside the "
            f"weighed parts: look at the mass again"
        )


def _room_mg(shop: Shop, session: Session, serial: str) -> int:
    parts_mg = sum(weighed_parts(session, serial).values())
    whole_mg = _whole_mg(shop, session, serial)
    return parts_mg if whole_mg is None else max(whole_mg - parts_mg, 0)


def _whole_mg(shop: Shop, session: Session, serial: str) -> int | None:
    """Return what an instrument weighed last, at a step or at a service."""
    steps = [
        (row.idx, row.value)
        for row in measures_of(session, serial)
        if (row.what, row.unit) == (MASS, "mass_mg")
    ]
    serviced = [
        (index, measure.mass_mg)
        for index, event in services_said(shop, session, serial)
        for measure in event.measures
        if measure.what == MASS and measure.mass_mg is not None
    ]
    return max((*steps, *serviced), default=(0, None))[1]


def day_of(text: str) -> date:
    """Return a day that somebody wrote, or refuse what is none."""
    checked_day(text)
    return date.fromisoformat(text)


def _of_instrument(session: Session, serial: str) -> Iterator[Material]:
    build = find_build(session, serial)
    weighed = weighed_parts(session, serial)
    held = {str(board.part): board for board in boards_in(session, serial)}
    parts = parts_on(session, build)
    missing = [part for part in parts if part not in held or part not in weighed]
    if missing:
        raise RefusedError(
            f"{serial} cannot be sent on paper yet: {', '.join(missing)} without wood "
            f"or not weighed"
        )
    for part in parts:
        board = held[part]
        yield from _materials(session, board, serial, (part, FINISHED, weighed[part]))


def _of_batches(session: Session, goods: Goods, law: Law) -> Iterator[Material]:
    """Yield the batches of a plant or an animal that went into the instruments.

    What there is of a batch in all is shared alike by the instruments that have it.
    """
    batches: dict[str, Batch] = {}
    holders: dict[str, list[str]] = defaultdict(list)
    for serial in goods.serials:
        for batch in batches_in(session, [serial], get_args(Use)):
            if batch.species is not None:
                batches[batch.batch] = batch
                holders[batch.batch].append(serial)
    strange = sorted(set(goods.masses_mg) - set(batches))
    if strange:
        raise RefusedError(
            f"{strange[0]} is no batch of a plant or an animal in what is sent: see "
            f"what is in it with flitchbook build show"
        )
    for code, batch in batches.items():
        mass_mg = goods.masses_mg.get(code)
        alike = dict.fromkeys(holders[code], Fraction(1, len(holders[code])))
        masses = {} if mass_mg is None else shared(mass_mg, alike)
        papers = tuple(papers_of(session, code))
        for serial in holders[code]:
            told = _of_batch(batch, serial, law)
            yield replace(told, mass_mg=masses.get(serial), documents=papers)


def _of_batch(batch: Batch, serial: str, law: Law) -> Material:
    species = str(batch.species)
    name = read_name(species, law).name
    is_plant = name is not None and name.kind == "plant"
    of_animal = "inlay" if batch.use == "shell" else "part"
    return Material(
        taxon=species,
        part=batch.what,
        form=FINISHED if is_plant else of_animal,
        mass_mg=None,
        lot=batch.batch,
        acquired=day_of(batch.received_on),
        origin=batch.harvested_in,
        may_be_from=tuple(batch.may_be_from.split()),
        thing=serial,
    )


def _require_filed(session: Session, described: Sequence[DescribedPiece]) -> None:
    for code in (code for piece in described for code in piece.documents):
        if session.get(Document, code) is None:
            raise NotFoundError(
                f"there is no document {code}: file it with flitchbook document file"
            )


def _of_board(session: Session, code: str) -> Iterator[Material]:
    board = one_board(session, code)
    if board.serial is not None:
        raise RefusedError(
            f"board {code} is the {board.part} of {board.serial}: send the instrument"
        )
    if board.mass_mg is None:
        raise RefusedError(
            f"board {code} was never weighed: weigh it before it is sent"
        )
    lot = session.get_one(Lot, board.lot)
    # A form that the tables do not know is asked about, never taken for a known one.
    form = form_for(lot.form) or lot.form
    if form == "sawn_wood" and (board.thickness_um or VENEER_UM + 1) <= VENEER_UM:
        form = "veneer_sheets"
    yield from _materials(session, board, code, (board.meant_for, form, board.mass_mg))


def _materials(
    session: Session, board: Board, thing: str, told: tuple[str, str, int]
) -> Iterator[Material]:
    """Yield a piece once for each lot in it, with that lot's share of it.

    told  which part it is, in which form, and its mass [mg]
    """
    part, form, mass_mg = told
    shares = shares_of(session, board.code)
    volume_mm3 = _volume_mm3(board, mass_mg)
    volumes = {} if volume_mm3 is None else shared(volume_mm3, shares)
    for code, mass in shared(mass_mg, shares).items():
        lot = session.get_one(Lot, code)
        yield Material(
            taxon=lot.species,
            part=part,
            form=form,
            mass_mg=mass,
            volume_mm3=volumes.get(code),
            lot=code,
            acquired=_acquired(lot),
            origin=lot.harvested_in,
            may_be_from=tuple(lot.may_be_from.split()),
            documents=tuple(paper.code for paper in documents_of(session, code)),
            thing=thing,
            boards=(board.code,),
        )


def _volume_mm3(board: Board, mass_mg: int) -> int | None:
    """Return the volume of so much of a board; None where a size or mass is not known.

    Worked wood keeps its density, so that its mass tells how much of it is left.
    """
    sizes = (board.length_um, board.width_um, board.thickness_um)
    if board.mass_mg is None or not board.mass_mg or None in sizes:
        return None
    whole_um3 = prod(size or 0 for size in sizes)
    return round(Fraction(whole_um3 * mass_mg, board.mass_mg * UM3_PER_MM3))


def _acquired(lot: Lot) -> date | None:
    """Return the day wood came in; of old stock nobody can prove, no day counts."""
    is_unproven = lot.is_opening and lot.evidence == "none"
    return None if is_unproven else day_of(lot.received_on)


def require_finished(session: Session, serials: Sequence[str]) -> None:
    """Refuse to send what has no certificate, or lost a part since it was issued."""
    for serial in serials:
        issued = certificates_of(session, serial)
        if not issued:
            raise RefusedError(
                f"{serial} has no certificate yet: what is in it is not settled; issue "
                f"it first, or look ahead with --look-ahead"
            )
        require_standing(issued[-1])
        off = parts_off(session, serial)
        if off:
            raise RefusedError(
                f"the {in_a_row(off)} of {serial} was taken off since its certificate: "
                f"issue the next one first, or look ahead with --look-ahead"
            )
