"""Density against stiffness along the grain, of all the tapped boards of lots at once.

A board counts by its newest tap as a plate in which the long mode was heard, whatever
became of it since. All is as it was measured on that day, unless one moisture is asked
for.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

from sqlmodel import Session, col, or_, select

from ledger.acts.boards import boards_there
from ledger.acts.newest_taps import Known, Progress, newest_known
from ledger.errors import NotFoundError, RefusedError
from ledger.ids import BoardId, LotId, parse_any
from ledger.views.boards import AnyBoard, Board, set_of
from ledger.views.measures import Sizing
from ledger.views.wood import Lot
from ledger.wood.gravity import density_at
from ledger.wood.stiffness_at import stiffness_at
from ledger.wood.uncertainty import Estimate

PERCENT_PPM = 10_000
GIGA = 10**9
# Of a meter, in percent of moisture; common practice, no source.
U_MOISTURE = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One tapped board on the map; what begins with `u` is a standard uncertainty."""

    board: str
    lot: str
    species: str
    state: str
    entry: int
    density_gram_per_m3: int
    u_density_gram_per_m3: int
    e_along_pa: int
    u_e_along_pa: int
    method: str

    @property
    def set(self) -> str:
        """The code of the pair that it is a half of, else its own."""
        return set_of(self.board)


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodMap:
    """All spots, the sets that were chosen, and what is to be said beside.

    `moisture_ppm` is the one moisture they were brought to, or None: as measured.
    """

    spots: tuple[Spot, ...]
    chosen: tuple[str, ...]
    moisture_ppm: int | None
    notes: tuple[str, ...]

    @property
    def typical(self) -> tuple[int, int] | None:
        """The median expanded uncertainty, k = 2: density [g/m3] and E [Pa]."""
        if not self.spots:
            return None
        return (
            round(2 * median(spot.u_density_gram_per_m3 for spot in self.spots)),
            round(2 * median(spot.u_e_along_pa for spot in self.spots)),
        )


def wood_map(
    session: Session,
    codes: Sequence[str],
    *,
    chosen: Sequence[str] = (),
    moisture_ppm: int | None = None,
    progress: Progress | None = None,
) -> WoodMap:
    """Return where the boards of lots lie, or boards and sets that are named.

    moisture_ppm  to which density and stiffness are brought, as far as the moisture of
                  a board at its tap is known; else all is as measured

    Raises RefusedError where a chosen board has no place on the map.
    """
    boards = _boards(session, codes)
    known = newest_known(session, [board.code for board in boards], progress=progress)
    species = _species(session, {board.lot for board in boards})
    notes: list[str] = []
    if len(known) < len(boards):
        notes.append(
            f"{len(boards) - len(known)} of {len(boards)} boards were not tapped as a "
            f"plate, or not along: they are left out"
        )
    spots = [
        _spot(board, species[board.lot], known[board.code])
        for board in boards
        if board.code in known
    ]
    if moisture_ppm is not None:
        moistures = _moistures(session, {board.lot for board in boards}, known)
        spots = list(_brought(spots, moistures, moisture_ppm, notes))
    return WoodMap(
        spots=tuple(spots),
        chosen=_chosen(session, chosen, spots),
        moisture_ppm=moisture_ppm,
        notes=tuple(notes),
    )


def _boards(session: Session, codes: Sequence[str]) -> list[Board]:
    """Return the boards of all these codes whose number stands, by code."""
    read = [parse_any(code) for code in codes]
    foreign = next((c for c in read if not isinstance(c, LotId | BoardId)), None)
    if foreign is not None:
        raise RefusedError(
            f"{foreign} is a {foreign.form.noun}: give lots, boards or sets"
        )
    lots = [str(code) for code in read if isinstance(code, LotId)]
    named = {
        board.code
        for code in read
        if isinstance(code, BoardId)
        for board in boards_there(session, str(code))
    }
    _require_lots(session, lots)
    query = select(Board).where(
        or_(col(Board.lot).in_(lots), col(Board.code).in_(named)),
        col(Board.struck_idx).is_(None),
    )
    by_number = (col(Board.lot), col(Board.idx), col(Board.code))
    return list(session.exec(query.order_by(*by_number)).all())


def _require_lots(session: Session, lots: Sequence[str]) -> None:
    missing = set(lots) - set(_species(session, lots))
    if missing:
        raise NotFoundError(
            f"there is no lot {min(missing)}: look at the label again, or receive it "
            f"with flitchbook lot receive"
        )


def _species(session: Session, lots: Iterable[str]) -> dict[str, str]:
    query = select(Lot).where(col(Lot.code).in_(list(lots)))
    return {lot.code: lot.species for lot in session.exec(query).all()}


def _spot(board: Board, species: str, known: Known) -> Spot:
    figures = known.stiffness.figures
    density, along = figures["density_kg_m3"], figures["e_along_gpa"]
    return Spot(
        board=board.code,
        lot=board.lot,
        species=species,
        state=state_of(board),
        entry=known.tapping.idx,
        density_gram_per_m3=round(density.value * 1000),
        u_density_gram_per_m3=round(density.u * 1000),
        e_along_pa=round(along.value * GIGA),
        u_e_along_pa=round(along.u * GIGA),
        method=known.stiffness.method,
    )


def state_of(board: AnyBoard) -> str:
    """Say in a word or two what became of a board."""
    if board.returned_idx is not None:
        return "returned"
    if board.rejected_idx is not None:
        return "rejected"
    if board.serial is not None:
        return "in an instrument"
    return "sawn or glued" if board.became_idx is not None else "in the rack"


def _moistures(
    session: Session, lots: Iterable[str], known: Mapping[str, Known]
) -> dict[str, int]:
    """Return the moisture of each board when it was tapped, as it was last read."""
    query = (
        select(Sizing)
        .join(Board, col(Board.code) == col(Sizing.board))
        .where(
            col(Board.lot).in_(list(lots)),
            col(Sizing.moisture_ppm).is_not(None),
            col(Sizing.struck_idx).is_(None),
        )
    )
    by_time = query.order_by(col(Sizing.moment), col(Sizing.idx))
    found: dict[str, int] = {}
    for row in session.exec(by_time).all():
        tap = known.get(row.board)
        if tap and row.moment <= tap.tapping.moment and row.moisture_ppm is not None:
            found[row.board] = row.moisture_ppm
    return found


def _brought(
    spots: Sequence[Spot],
    moistures: Mapping[str, int],
    at_ppm: int,
    notes: list[str],
) -> Iterator[Spot]:
    """Yield the spots at one moisture, and note those of which nobody knows theirs."""
    unknown = [spot.board for spot in spots if spot.board not in moistures]
    if unknown:
        notes.append(
            f"no moisture of {unknown[0]}"
            + (f" and {len(unknown) - 1} more" if len(unknown) > 1 else "")
            + " was read before the tap: left out, for they cannot be brought to "
            "another"
        )
    for spot in spots:
        if spot.board in moistures:
            yield _at(spot, moistures[spot.board], at_ppm)


def _at(spot: Spot, moisture_ppm: int, at_ppm: int) -> Spot:
    water = Estimate(value=moisture_ppm / PERCENT_PPM, u=U_MOISTURE)
    at = at_ppm / PERCENT_PPM
    stiff = stiffness_at(
        modulus=Estimate(value=spot.e_along_pa, u=spot.u_e_along_pa),
        moisture=water,
        at=at,
        species=spot.species,
    )
    heavy = density_at(
        density=Estimate(
            value=spot.density_gram_per_m3 / 1000, u=spot.u_density_gram_per_m3 / 1000
        ),
        moisture=water,
        at=at,
    )
    return replace(
        spot,
        density_gram_per_m3=round(heavy.value * 1000),
        u_density_gram_per_m3=round(heavy.u * 1000),
        e_along_pa=round(stiff.modulus.value),
        u_e_along_pa=round(stiff.modulus.u),
        method=f"{spot.method}, {stiff.method}",
    )


def _chosen(
    session: Session, codes: Sequence[str], spots: Sequence[Spot]
) -> tuple[str, ...]:
    """Return the sets that were chosen, each once; each is on the map."""
    there = {spot.board for spot in spots}
    found: dict[str, None] = {}
    for code in codes:
        boards = boards_there(session, str(BoardId.parse(code)))
        bare = next((board for board in boards if board.code not in there), None)
        if bare is not None:
            raise RefusedError(
                f"{bare.code} is not on this map: name its lot, and tap it as a plate "
                f"along the grain"
            )
        found |= {set_of(board.code): None for board in boards}
    return tuple(found)
