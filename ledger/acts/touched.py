"""What a hold touches, on one screen: wood, builds, instruments that left, papers.

Nothing here says that anything is wrong: it is in doubt, and each line names the entry
it rests on.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from sqlalchemy import func
from sqlalchemy import select as sql_select
from sqlmodel import Session, col, select

from ledger.views.boards import Board, BoardParent
from ledger.views.builds import Build
from ledger.views.certificates import Certificate, Owner
from ledger.views.doubt import (
    AT_ONCE,
    Source,
    Touched,
    instruments,
    reached,
    source_of,
)
from ledger.views.family import Member, family, shares_of_each
from ledger.views.holds import Hold, HoldClearing, clearings_of
from ledger.views.people import erased_subjects
from ledger.views.service import Trip
from ledger.views.shipments import shipments_of
from ledger.views.wood import Document, Lot, documents_of

UM3_IN_A_MM3 = 10**9


class Wood(NamedTuple):
    """What is told of a board; plain columns, for there may be ten thousand."""

    code: str
    lot: str
    serial: str | None
    length_um: int | None
    width_um: int | None
    thickness_um: int | None
    mass_mg: int | None
    became_idx: int | None
    struck_idx: int | None
    returned_idx: int | None
    consumed_idx: int | None
    off_idx: int | None

    @property
    def is_there(self) -> bool:
        """Tell whether it lies in the rack: in nothing, and not gone."""
        ends = (self.serial, *self[Wood._fields.index("became_idx") :])
        return all(end is None for end in ends)

    @property
    def sizes(self) -> tuple[int | None, int | None, int | None]:
        """Its length, width and thickness."""
        return self.length_um, self.width_um, self.thickness_um


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperThen:
    """A paper of a lot, and whether by its own dates it was in force at the purchase.

    None where the paper does not say its dates.
    """

    document: Document
    was_in_force: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTouched:
    """A lot in doubt, and its papers as they stood on the day it came in."""

    lot: Lot
    boards: int
    papers: tuple[PaperThen, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """Wood of one species in doubt, as last weighed and measured.

    `unweighed` and `unmeasured` count the pieces of which nobody knows the mass or the
    sizes; they are in no sum.
    """

    species: str
    where: str  # "rack" or "instruments"
    pieces: int
    mass_mg: int
    unweighed: int
    volume_mm3: int
    unmeasured: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildTouched:
    """An instrument that a doubt reaches, by which wood and which entries.

    `where` is the newest that is known of where it is; `owner` is the subject of
    whoever is registered, and `is_erased` says that the name is gone.
    """

    serial: str
    model: str
    by: Touched
    certificate: str | None
    issued_on: str | None
    where: str
    owner: str | None = None
    is_erased: bool = False
    entry: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """All that a hold touches."""

    hold: Hold
    lots: tuple[LotTouched, ...]
    batches: tuple[str, ...]
    gauges: tuple[str, ...]
    rack: tuple[str, ...]
    in_builds: tuple[str, ...]
    worked: int  # boards that are pieces by now, and in no sum
    building: tuple[BuildTouched, ...]
    finished: tuple[BuildTouched, ...]
    left: tuple[BuildTouched, ...]
    amounts: tuple[Amount, ...]
    cleared: tuple[HoldClearing, ...]


def report(session: Session, hold: Hold) -> Report:
    """Tell all that a hold touches today, at any depth, without what was cleared."""
    source = source_of(session, hold)
    wood = reached(session, source)
    boards = _rows(session, wood)
    rack = [b for b in boards if b.is_there]
    built = [b for b in boards if b.serial is not None]
    touched = instruments(session, source, wood.values())
    gone = erased_subjects(session)
    told = _told(session, list(touched))
    standing = [
        _build(session, told, build, by, gone)
        for serial, by in touched.items()
        if (build := told.builds[serial]).voided_idx is None
    ]
    return Report(
        hold=hold,
        lots=tuple(_lot(session, code, wood) for code in sorted(source.lots)),
        batches=tuple(sorted(source.batches)),
        gauges=tuple(sorted(source.gauges)),
        rack=tuple(board.code for board in rack),
        in_builds=tuple(board.code for board in built),
        worked=sum(board.became_idx is not None for board in boards),
        building=tuple(b for b in standing if b.certificate is None),
        finished=tuple(b for b in standing if b.certificate and not _has_left(b)),
        left=tuple(b for b in standing if b.certificate and _has_left(b)),
        amounts=_amounts(session, source, {"rack": rack, "instruments": built}),
        cleared=tuple(clearings_of(session, hold.hold)),
    )


def was_in_force(document: Document, day: str) -> bool | None:
    """Tell whether a paper was in force on a day, by the dates that stand on it."""
    if document.issued_on is None and document.expires_on is None:
        return None
    is_late = document.expires_on is not None and document.expires_on < day
    is_early = document.issued_on is not None and document.issued_on > day
    return not (is_late or is_early)


def _rows(session: Session, wood: Mapping[str, Member]) -> list[Wood]:
    """Return the boards in the order in which they were reached."""
    codes = list(wood)
    columns = [getattr(Board, name) for name in Wood._fields]
    rows: dict[str, Wood] = {}
    for start in range(0, len(codes), AT_ONCE):
        some = codes[start : start + AT_ONCE]
        query = sql_select(*columns).where(col(Board.code).in_(some))
        found = session.connection().execute(query)
        rows |= {row.code: Wood._make(row) for row in found}
    return [rows[code] for code in codes]


def _lot(session: Session, code: str, wood: Mapping[str, Member]) -> LotTouched:
    lot = session.get_one(Lot, code)
    papers = (
        PaperThen(document=paper, was_in_force=was_in_force(paper, lot.received_on))
        for paper in documents_of(session, code)
    )
    boards = sum(member.lot == code for member in wood.values())
    return LotTouched(lot=lot, boards=boards, papers=tuple(papers))


class _Told(NamedTuple):
    """Instruments by serial, and of each the newest certificate, owner and trip."""

    builds: dict[str, Build]
    issued: dict[str, Certificate]
    owners: dict[str, Owner]
    trips: dict[str, Trip]


def _told(session: Session, serials: Sequence[str]) -> _Told:
    """Read what is told of instruments, in as many questions for one as for all."""
    told = _Told({}, {}, {}, {})
    for start in range(0, len(serials), AT_ONCE):
        some = serials[start : start + AT_ONCE]
        builds = select(Build).where(col(Build.serial).in_(some))
        issued = select(Certificate).where(col(Certificate.serial).in_(some))
        owners = select(Owner).where(col(Owner.serial).in_(some))
        trips = select(Trip).where(
            col(Trip.serial).in_(some), col(Trip.struck_idx).is_(None)
        )
        told.builds.update({row.serial: row for row in session.exec(builds).all()})
        # The newest of each comes last, and stays.
        for paper in session.exec(issued.order_by(col(Certificate.idx))).all():
            told.issued[paper.serial] = paper
        for owner in session.exec(owners.order_by(col(Owner.idx))).all():
            told.owners[owner.serial] = owner
        for trip in session.exec(trips.order_by(col(Trip.idx))).all():
            told.trips[trip.serial] = trip
    return told


def _build(
    session: Session, told: _Told, build: Build, by: Touched, gone: Collection[str]
) -> BuildTouched:
    """Return what is known of an instrument."""
    serial = build.serial
    issued, registered = told.issued.get(serial), told.owners.get(serial)
    owner = registered.subject if registered else None
    return BuildTouched(
        serial=serial,
        model=build.model,
        by=by,
        certificate=issued.number if issued else None,
        issued_on=issued.issued_on if issued else None,
        where=_where(session, serial, owner, told.trips.get(serial)),
        owner=owner,
        is_erased=owner in gone,
        entry=issued.idx if issued else build.idx,
    )


def _where(session: Session, serial: str, owner: str | None, trip: Trip | None) -> str:
    """Say where an instrument is, as far as the record knows: newest first."""
    if trip is not None and trip.returned_idx is None:
        to = f" to {trip.to}" if trip.to else ""
        return f"out on {trip.errand}{to} since {trip.sent_on}"
    if owner is not None:
        return "with its registered owner"
    shipments = shipments_of(session, serial)
    if shipments and trip is None:
        last = shipments[-1]
        return f"in shipment {last.number} to {last.to}, {last.moves_on}"
    return "in the shop"


def _has_left(build: BuildTouched) -> bool:
    return build.where != "in the shop"


def _amounts(
    session: Session, source: Source, places: Mapping[str, Sequence[Wood]]
) -> tuple[Amount, ...]:
    """Add up mass and volume of each species; of a joint only the share in doubt."""
    shares = _shares(session, [b.code for some in places.values() for b in some])
    held = source.lots | _lots_of(session, source.boards)
    species = {lot: session.get_one(Lot, lot).species for lot in held}
    found = []
    for where, boards in places.items():
        by_species: dict[str, list[tuple[Wood, Fraction]]] = defaultdict(list)
        for board in boards:
            for lot, share in shares.get(board.code, {board.lot: Fraction(1)}).items():
                if lot in held:
                    by_species[species[lot]].append((board, share))
        found += [
            _amount(name, where, rows) for name, rows in sorted(by_species.items())
        ]
    return tuple(found)


def _amount(species: str, where: str, rows: Iterable[tuple[Wood, Fraction]]) -> Amount:
    mass, volume = Fraction(0), Fraction(0)
    boards: dict[str, Wood] = {}
    for board, share in rows:
        boards[board.code] = board
        mass += share * (board.mass_mg or 0)
        length, width, thickness = (size or 0 for size in board.sizes)
        volume += share * Fraction(length * width * thickness, UM3_IN_A_MM3)
    return Amount(
        species=species,
        where=where,
        pieces=len(boards),
        mass_mg=round(mass),
        unweighed=sum(board.mass_mg is None for board in boards.values()),
        volume_mm3=round(volume),
        unmeasured=sum(None in board.sizes for board in boards.values()),
    )


def _shares(session: Session, codes: Collection[str]) -> dict[str, dict[str, Fraction]]:
    """Return the lots of those pieces that came of several boards; others are of one.

    Only these are walked, because most wood is of the lot that its code names.
    """
    several = (
        select(BoardParent.piece)
        .group_by(col(BoardParent.piece))
        .having(func.count() > 1)
    )
    joints = list(session.exec(several).all())
    mixed: set[str] = set()
    for start in range(0, len(joints), AT_ONCE):
        kin = family(session, joints[start : start + AT_ONCE], "pieces")
        mixed |= kin.boards.keys()
    wanted = sorted(mixed & set(codes))
    found: dict[str, dict[str, Fraction]] = {}
    for start in range(0, len(wanted), AT_ONCE):
        found |= shares_of_each(session, wanted[start : start + AT_ONCE])
    return found


def _lots_of(session: Session, boards: Iterable[str]) -> set[str]:
    codes = list(boards)
    if not codes:
        return set()
    shares = shares_of_each(session, codes)
    return {lot for code in codes for lot in shares[code]}
