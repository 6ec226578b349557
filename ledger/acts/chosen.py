"""The wood chosen for an instrument, or allowed by its model, as the tables ask of it.

A part that was never weighed has two masses: by its finished size and the board's
density, and that of the whole board, which it cannot exceed.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import get_args

from sqlmodel import Session

from ledger.acts.evidence import (
    Occasion,
    batch_holding,
    holding_of,
    of_batch,
    wood_of,
)
from ledger.acts.law import law_in_force
from ledger.acts.measuring import density_of
from ledger.acts.reserving import kept_for
from ledger.craft.wares import Use
from ledger.events import ModelDefined
from ledger.events.route import PlannedPart
from ledger.scales import shared
from ledger.trade.names import read_name
from ledger.trade.question import Part
from ledger.trade.requirements import Requirement
from ledger.views.boards import Board, boards_in
from ledger.views.builds import Build, weighed_parts
from ledger.views.family import shares_of_each
from ledger.views.usage import batches_in
from ledger.views.wood import Lot

FINISHED = "finished_instruments"
# From cubic micrometres times grams in a cubic metre to milligrams.
UM3_GRAMS = 10**15


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """Wood for a part, or a batch: of what it is, how it was chosen, how heavy.

    how      allotted, reserved, used, in the rack, or allowed by the model
    mass_mg  [mg]  as weighed, or by the finished size; None where nobody knows
    most_mg  [mg]  what it cannot exceed: the whole board; None where nobody knows
    """

    part: str
    how: str
    boards: tuple[str, ...] = ()
    lot: str = ""
    species: str
    form: str = FINISHED
    acquired: date | None = None
    origin: str | None = None
    may_be_from: tuple[str, ...] = ()
    mass_mg: int | None = None
    most_mg: int | None = None
    is_weighed: bool = False
    missing: tuple[Requirement, ...] = ()

    def asked(self, mass_mg: int | None) -> Part:
        """Return what the tables are asked about, with this mass."""
        return Part(
            taxon=self.species,
            form=self.form,
            mass_mg=mass_mg,
            acquired=self.acquired,
            origin=self.origin,
            may_be_from=self.may_be_from,
        )


def chosen_for(
    session: Session, build: Build, plan: ModelDefined, *, today: str, until: str
) -> Iterator[Chosen]:
    """Yield the wood allotted to the parts of an instrument, or kept for them.

    until  the words that what is missing is told to be got by
    """
    weighed = weighed_parts(session, build.serial)
    allotted: dict[str, list[Board]] = defaultdict(list)
    for board in boards_in(session, build.serial):
        allotted[str(board.part)].append(board)
    for part in plan.parts:
        boards, how = allotted.get(part.part, []), "allotted"
        if not boards:
            how = "reserved"
            boards = kept_for(session, build.serial, part.part, today=today)
        mass_mg = weighed.get(part.part) if how == "allotted" else None
        day = date.fromisoformat(today)
        yield from _of_part(
            session, part, boards, how, mass_mg, Occasion(today=day, until=until)
        )


def woods_of(session: Session, codes: Sequence[str]) -> dict[str, tuple[Chosen, ...]]:
    """Return of boards or sets of the rack what each is of, lot by lot, unweighed.

    A set is of what its halves are of. However many there are, each lot is read once.
    """
    boards = [board for code in codes for board in (code, f"{code}.A", f"{code}.B")]
    shares = shares_of_each(session, boards)
    lots = {lot for each in shares.values() for lot in each}
    known = {lot: _of_lot(session, lot) for lot in sorted(lots)}
    return {
        code: tuple(
            known[lot]
            for lot in dict.fromkeys(
                lot
                for board in (code, f"{code}.A", f"{code}.B")
                for lot in shares.get(board, ())
            )
        )
        for code in codes
    }


def batches_used(
    session: Session, serial: str, *, today: str, until: str
) -> Iterator[Chosen]:
    """Yield the batches of an animal or a plant that went in with a step so far.

    How much of them is in the instrument nobody weighs.
    """
    when = Occasion(today=date.fromisoformat(today), until=until)
    law = law_in_force(session)
    for batch in batches_in(session, [serial], get_args(Use)):
        if batch.species is None:
            continue
        name = read_name(batch.species, law).name
        is_plant = name is not None and name.kind == "plant"
        held = batch_holding(session, batch)
        traced = of_batch(session, batch, when)
        yield Chosen(
            part=batch.what,
            how="used",
            lot=batch.batch,
            species=batch.species,
            form=FINISHED if is_plant else held.form,
            acquired=held.acquired,
            origin=held.origin,
            may_be_from=held.may_be_from,
            missing=traced.missing,
        )


def allowed_by(part: PlannedPart) -> Iterator[Chosen]:
    """Yield the woods that a model names for a part; a genus is all of its species."""
    for species in part.species or ():
        taxon = species if " " in species.strip() else f"{species.strip()} spp."
        yield Chosen(part=part.part, how="allowed", species=taxon)


def _of_part(
    session: Session,
    part: PlannedPart,
    boards: Sequence[Board],
    how: str,
    weighed_mg: int | None,
    told: Occasion,
) -> Iterator[Chosen]:
    """Yield the wood of a part once for each lot in it, with that lot's share."""
    shares = _shares(session, boards)
    mass_mg, most_mg = weighed_mg, weighed_mg
    if weighed_mg is None:
        most_mg = _whole_mg(boards)
        mass_mg = _finished_mg(part, boards, most_mg)
    masses, most = _split(mass_mg, shares), _split(most_mg, shares)
    traced = {each.code: each for each in wood_of(session, boards, told)}
    for code in shares:
        held = holding_of(session, session.get_one(Lot, code))
        yield Chosen(
            part=part.part,
            how=how,
            boards=traced[code].boards,
            lot=code,
            species=held.species,
            acquired=held.acquired,
            origin=held.origin,
            may_be_from=held.may_be_from,
            mass_mg=masses.get(code),
            most_mg=most.get(code),
            is_weighed=weighed_mg is not None,
            missing=traced[code].missing,
        )


def _of_lot(session: Session, code: str) -> Chosen:
    held = holding_of(session, session.get_one(Lot, code))
    return Chosen(
        part="",
        how="in the rack",
        lot=code,
        species=held.species,
        acquired=held.acquired,
        origin=held.origin,
        may_be_from=held.may_be_from,
    )


def _shares(session: Session, boards: Sequence[Board]) -> dict[str, Fraction]:
    """Return how much of several boards each lot is, by mass where all were weighed."""
    each = shares_of_each(session, [board.code for board in boards])
    whole = _whole_mg(boards)
    found: dict[str, Fraction] = defaultdict(Fraction)
    for board in boards:
        own = Fraction(board.mass_mg, whole) if whole and board.mass_mg else None
        weight = Fraction(1, len(boards)) if own is None else own
        for lot, share in each[board.code].items():
            found[lot] += share * weight
    return dict(sorted(found.items()))


def _whole_mg(boards: Sequence[Board]) -> int | None:
    """Return what boards weigh together; None where one was never weighed."""
    masses = [board.mass_mg for board in boards if board.mass_mg is not None]
    return sum(masses) if boards and len(masses) == len(boards) else None


def _finished_mg(
    part: PlannedPart, boards: Sequence[Board], whole_mg: int | None
) -> int | None:
    """Return what a part weighs by its finished size and its boards' mean density.

    It is the box around the part, and never more than the boards.
    """
    densities = [d for board in boards if (d := density_of(board)) is not None]
    sizes = (part.length_um, part.width_um, part.thickness_um)
    length, width, thickness = (size or 0 for size in sizes)
    um3 = length * width * thickness * max(part.pieces or 1, len(boards))
    if not um3 or not densities or len(densities) < len(boards):
        return None
    mg = um3 * sum(densities) // (len(densities) * UM3_GRAMS)
    return mg if whole_mg is None else min(mg, whole_mg)


def _split(mass_mg: int | None, shares: Mapping[str, Fraction]) -> dict[str, int]:
    return {} if mass_mg is None or not shares else shared(mass_mg, shares)
