"""The drill: one lot followed to everything it became, one product back to the trees.

Everything that is told on the way is checked: each entry by its inclusion proof under
the newest checkpoint that was signed, each file by its digest, the masses by the scale.
Nothing is recorded, and no head is signed for it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from hashlib import sha256

from sqlmodel import Session, col, select

from ledger.acts.balances import sheet_of_lot
from ledger.acts.builds import find_build
from ledger.acts.drillcheck import (
    Fault,
    Ground,
    checked,
    ground_of,
    over_drawn,
    unbalanced,
    uncertified,
    unnamed,
)
from ledger.acts.shop import Shop
from ledger.errors import NotFoundError
from ledger.trade.balance import Sheet
from ledger.views.boards import Board, boards_in
from ledger.views.builds import Build, weighed_parts
from ledger.views.certificates import certificates_of
from ledger.views.family import family, firsts_of, lots_of
from ledger.views.shipments import shipments_of
from ledger.views.trace import Line, trace
from ledger.views.wood import Lot, Supplier, documents_of

Clock = Callable[[], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Forward:
    """A lot followed to what it became.

    sheet  its balance [mg]; None where no board of it was numbered yet
    """

    lot: str
    species: str
    is_picked: bool
    lines: tuple[Line, ...]
    serials: tuple[str, ...]
    certificates: tuple[str, ...]
    shipments: tuple[str, ...]
    papers: tuple[str, ...]
    sheet: Sheet | None
    entries: tuple[int, ...]
    files: int
    seconds: float
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Back:
    """A product followed to the lots, sawyers and papers that it comes from.

    sawyers   whom each lot came from, by the code that the record knows them by
    parts_mg  [mg]  what its parts weighed together
    """

    serial: str
    model: str
    is_picked: bool
    lines: tuple[Line, ...]
    lots: tuple[str, ...]
    sawyers: tuple[str, ...]
    papers: tuple[str, ...]
    certificates: tuple[str, ...]
    parts_mg: int
    entries: tuple[int, ...]
    files: int
    seconds: float
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drilled:
    """A drill: both halves, on which day and head, and the checkpoint it rests on.

    proved_under  the size of the newest signed checkpoint; None where there is none
    unproved      how many entries came after it, and rest on the stored head alone
    """

    day: str
    size: int
    root: str
    proved_under: int | None
    unproved: int
    forward: Forward
    back: Back | None
    faults: tuple[Fault, ...]

    @property
    def all_faults(self) -> tuple[Fault, ...]:
        """All that did not add up, each once."""
        back = self.back.faults if self.back else ()
        return tuple(dict.fromkeys((*self.faults, *self.forward.faults, *back)))


def drill(
    shop: Shop, *, lot: str | None = None, serial: str | None = None, clock: Clock
) -> Drilled:
    """Follow one lot forward and one product back, and check all that is told.

    Without a lot or a serial one is taken by the day and the head. Raises NotFoundError
    where nothing is there to be followed.
    """
    head, day = shop.store.head(), shop.today()
    ground, faults = ground_of(shop)
    seed = seed_of(day, head.root.hex())
    with shop.store.reading() as session:
        taken = lot or _taken(_lots(session), seed)
        if taken is None:
            raise NotFoundError(
                "no lot came in yet, so that there is nothing to follow: receive one "
                "with flitchbook lot receive"
            )
        forward = _forward(shop, session, taken, ground, clock, is_picked=lot is None)
        product = serial or _taken(_products(session), seed)
        back = None
        if product is not None:
            picked = serial is None
            back = _back(shop, session, product, ground, clock, is_picked=picked)
    told = {*forward.entries, *(back.entries if back else ())}
    return Drilled(
        day=day,
        size=head.size,
        root=head.root.hex(),
        proved_under=ground.signed_size or None,
        unproved=sum(entry >= ground.signed_size for entry in told),
        forward=forward,
        back=back,
        faults=tuple(faults),
    )


def seed_of(day: str, root: str) -> int:
    """Return the number of a day and a head: SHA-256 of the two, a space between.

    Divided by how many there are, what is left over is which one is taken.
    """
    return int(sha256(f"{day} {root}".encode()).hexdigest(), 16)


def _taken(codes: Sequence[str], seed: int) -> str | None:
    return codes[seed % len(codes)] if codes else None


def _lots(session: Session) -> list[str]:
    return list(session.exec(select(Lot.code).order_by(col(Lot.idx))).all())


def _products(session: Session) -> list[str]:
    """Return the instruments that hold wood, in the order they were begun."""
    holding = select(Board.serial).where(col(Board.serial).is_not(None))
    query = select(Build.serial).where(
        col(Build.serial).in_(holding), col(Build.voided_idx).is_(None)
    )
    return list(session.exec(query.order_by(col(Build.idx))).all())


def _forward(
    shop: Shop,
    session: Session,
    code: str,
    ground: Ground,
    clock: Clock,
    *,
    is_picked: bool,
) -> Forward:
    begun = clock()
    lot = session.get(Lot, code)
    if lot is None:
        raise NotFoundError(f"there is no lot {code}: look at its label again")
    lines = trace(session, code)
    kin = family(session, firsts_of(session, code), "pieces").boards.values()
    serials = sorted({board.serial for board in kin if board.serial})
    issued = [each for serial in serials for each in certificates_of(session, serial)]
    things = [*serials, *(board.code for board in kin)]
    sent = {s.number: s.idx for thing in things for s in shipments_of(session, thing)}
    papers = [paper.code for paper in documents_of(session, code)]
    entries = {line.entry for line in lines} | {each.idx for each in issued}
    entries |= {*sent.values(), *(session.get_one(Build, s).idx for s in serials)}
    sheet = sheet_of_lot(shop, session, code) if kin else None
    files, faults = checked(shop, session, entries, ground)
    faults += [*unnamed(shop, lines), *over_drawn(shop, papers)]
    if sheet is not None:
        faults += unbalanced(shop, session, code, sheet)
    return Forward(
        lot=code,
        species=lot.species,
        is_picked=is_picked,
        lines=tuple(lines),
        serials=tuple(serials),
        certificates=tuple(each.number for each in issued),
        shipments=tuple(sorted(sent)),
        papers=tuple(papers),
        sheet=sheet,
        entries=tuple(sorted(entries)),
        files=files,
        seconds=clock() - begun,
        faults=tuple(faults),
    )


def _back(
    shop: Shop,
    session: Session,
    serial: str,
    ground: Ground,
    clock: Clock,
    *,
    is_picked: bool,
) -> Back:
    begun = clock()
    build = find_build(session, serial)
    lines = trace(session, serial)
    boards = [board.code for board in boards_in(session, serial)]
    lots = sorted({lot for board in boards for lot in lots_of(session, board)})
    rows = [session.get_one(Lot, lot) for lot in lots]
    sawyers = list(dict.fromkeys(row.supplier for row in rows if row.supplier))
    papers = [paper.code for lot in lots for paper in documents_of(session, lot)]
    entries = {line.entry for line in lines}
    entries |= {session.get_one(Supplier, subject).idx for subject in sawyers}
    files, faults = checked(shop, session, entries, ground)
    faults += [*unnamed(shop, lines), *uncertified(shop, session, serial)]
    return Back(
        serial=serial,
        model=build.model,
        is_picked=is_picked,
        lines=tuple(lines),
        lots=tuple(lots),
        sawyers=tuple(sawyers),
        papers=tuple(dict.fromkeys(papers)),
        certificates=tuple(each.number for each in certificates_of(session, serial)),
        parts_mg=sum(weighed_parts(session, serial).values()),
        entries=tuple(sorted(entries)),
        files=files,
        seconds=clock() - begun,
        faults=tuple(faults),
    )
