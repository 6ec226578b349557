"""Boards at the bench: measured, weighed, put in their place, photographed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import prod
from pathlib import Path

from sqlmodel import Session

from ledger.acts import plausible
from ledger.acts.boards import boards_meant, boards_there, one_board, require_whole
from ledger.acts.filing import kept_file
from ledger.acts.gauges import named_gauge
from ledger.acts.names import checked_words
from ledger.acts.shop import Hands, Shop
from ledger.errors import RefusedError
from ledger.events import BoardMeasured, BoardMoved, BoardPhotographed, BoardWeighed
from ledger.events.board import Face
from ledger.ids import BoardId, LotId, parse_any
from ledger.log import attachments
from ledger.log.entry import Entry
from ledger.quantities import millimetres
from ledger.views.boards import AnyBoard, Board
from ledger.views.family import lots_of
from ledger.views.measures import Sizing, Weighing, sizings_of, weighings_of
from ledger.views.wood import Lot

SIZES = ("length_um", "width_um", "thickness_um")
MOST_POINTS = 100
# A board that has less than this of its volume left was worked.
WORKED_PPM = 980_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """A board on the scale: its entry, its density if its sizes are known, in words."""

    entry: Entry
    board: str
    mass_mg: int
    density_gram_per_m3: int | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A board whose sizes were taken: its entry, its density if it was weighed."""

    entry: Entry
    board: str
    thickness_um: int | None
    density_gram_per_m3: int | None
    words: str


def weigh(
    shop: Shop,
    code: str,
    mass_mg: int,
    *,
    hands: Hands,
    scale: str | None = None,
    as_read: bool = False,
) -> Weighed:
    """Put a board, or one half of a set, on the scale.

    Raises RefusedError for a mass that the wood cannot have, unless it is taken
    `as_read`: of no board, far from the last one without work between, or far from its
    species.
    """
    checked_words("scale", scale)
    if mass_mg <= 0:
        raise RefusedError(f"{mass_mg} mg is no mass: weigh it again")
    with shop.turn() as turn:
        board = one_board(turn.session, code)
        scale = named_gauge(turn.session, scale, "mass")
        if not as_read:
            _require_like_last(turn.session, board, mass_mg)
            plausible.require_mass(board.code, mass_mg)
        species = species_of(turn.session, board.code)
        density = _density(board, {"mass_mg": mass_mg})
        if density is not None and not as_read:
            plausible.require_density(board.code, species, density)
        event = BoardWeighed(board=board.code, mass_mg=mass_mg, scale=scale)
        return Weighed(
            entry=turn.say(event, hands),
            board=board.code,
            mass_mg=mass_mg,
            density_gram_per_m3=density,
            words=_words(density, species, "measure it, and it has a density"),
        )


def measure(
    shop: Shop,
    code: str,
    *,
    length_um: int | None = None,
    width_um: int | None = None,
    thicknesses_um: Sequence[int] = (),
    moisture_ppm: int | None = None,
    meter: str | None = None,
    hands: Hands,
    as_read: bool = False,
) -> Measured:
    """Measure a board, or one half of a set, again; what is not given stands.

    Thickness is the mean of its points. A board that was worked since it was weighed
    has no density until it is weighed again.
    """
    checked_words("meter", meter)
    points = tuple(thicknesses_um)
    sizes = _given(length_um, width_um, points)
    if not sizes and moisture_ppm is None:
        raise RefusedError(
            "nothing was measured: give a length, a width, thicknesses or a moisture"
        )
    if meter is not None and moisture_ppm is None:
        raise RefusedError(f"{meter} read nothing: give the moisture too")
    with shop.turn() as turn:
        board = one_board(turn.session, code)
        meter = named_gauge(turn.session, meter, "moisture")
        species = species_of(turn.session, board.code)
        is_stale = is_worked(turn.session, board, sizes)
        density = None if is_stale else _density(board, sizes)
        if not as_read:
            _require_likely(board, species, sizes, moisture_ppm, density)
        event = BoardMeasured(
            board=board.code,
            points_um=points if len(points) > 1 else None,
            moisture_ppm=moisture_ppm,
            meter=meter,
            **sizes,
        )
        return Measured(
            entry=turn.say(event, hands),
            board=board.code,
            thickness_um=sizes.get("thickness_um", board.thickness_um),
            density_gram_per_m3=density,
            words=_words(density, species, "weigh it, and it has a density"),
        )


def move(shop: Shop, codes: Sequence[str], place: str, *, hands: Hands) -> list[Entry]:
    """Put boards in another place: a board, both halves of a set, a lot's whole stock.

    Of a lot those move that lie in the rack: neither sawn up nor allotted.
    """
    where = str(checked_words("place", place))
    with shop.turn() as turn:
        moved: dict[str, Board] = {}
        for text in codes:
            moved |= {board.code: board for board in _moving(turn.session, text)}
        return [
            turn.say(BoardMoved(board=board, place=where), hands) for board in moved
        ]


def photograph(
    shop: Shop, code: str, path: Path, *, face: Face, hands: Hands
) -> list[Entry]:
    """File a photograph of a board, or of a set that lies opened like a book.

    Raises RefusedError for a file that is no picture, or not all of one.
    """
    # Only here: whoever weighs a board does not wait for the library of pictures.
    from ledger.acts.pictures import picture_bytes

    with shop.store.reading() as session:
        _pictured(session, code)
    data = picture_bytes(path)
    digest = attachments.digest_of(data)
    with kept_file(shop, data, announced=digest) as turn:
        return [
            turn.say(
                BoardPhotographed(board=board.code, face=face, sha256=digest), hands
            )
            for board in _pictured(turn.session, code)
        ]


def species_of(session: Session, code: str) -> str:
    """Return the species of a board; of one glued from several woods, all of them."""
    return " and ".join(species_in(session, code))


def species_in(session: Session, code: str) -> list[str]:
    """Return the species that are in a board, by name."""
    lots = [session.get_one(Lot, lot) for lot in lots_of(session, code)]
    return sorted({lot.species for lot in lots})


def density_of(board: AnyBoard) -> int | None:
    """Return the density of a board by its newest sizes and mass [g/m3], if known."""
    return _density(board, {})


def is_worked(session: Session, board: AnyBoard, newer: Mapping[str, int]) -> bool:
    """Tell whether wood was taken off a board since it was last on the scale.

    `newer` are sizes just taken. A mass from before is no mass of today.
    """
    weighings = weighings_of(session, board.code)
    if not weighings:
        return False
    before: dict[str, int] = {}
    for row in sizings_of(session, board.code):
        # A list's sizes are nominal: what is measured below them was not worked off.
        if not row.is_listed and _moment(row) <= _moment(weighings[-1]):
            before |= {n: um for n in SIZES if (um := getattr(row, n)) is not None}
    now: dict[str, int] = {n: newer.get(n, getattr(board, n)) for n in before}
    left, whole = prod(now.values()), prod(before.values())
    return left * 1_000_000 < WORKED_PPM * whole


def _given(
    length_um: int | None, width_um: int | None, points: Sequence[int]
) -> dict[str, int]:
    """Return the sizes that were taken, thickness as the mean of its points."""
    if len(points) > MOST_POINTS:
        raise RefusedError(
            f"a board has at most {MOST_POINTS} points of thickness, not {len(points)}"
        )
    taken = [um for um in (length_um, width_um, *points) if um is not None]
    if min(taken, default=1) <= 0:
        raise RefusedError(f"{millimetres(min(taken))} is no size: measure it again")
    mean = (2 * sum(points) + len(points)) // (2 * len(points)) if points else None
    sizes = zip(SIZES, (length_um, width_um, mean), strict=True)
    return {name: um for name, um in sizes if um is not None}


def _density(board: AnyBoard, newer: dict[str, int]) -> int | None:
    known = {name: getattr(board, name) for name in (*SIZES, "mass_mg")}
    return plausible.density_gram_per_m3(**(known | newer))


def _require_like_last(session: Session, board: Board, mass_mg: int) -> None:
    """Compare a mass with the last one, where nobody worked the board since.

    A first one is compared with the sawyer's.
    """
    if board.mass_mg is None and board.listed_mg is not None:
        plausible.require_like_listed_mass(board.code, mass_mg, board.listed_mg)
    if board.mass_mg is not None and not is_worked(session, board, {}):
        plausible.require_like_last_mass(board.code, mass_mg, board.mass_mg)


def _require_likely(
    board: Board,
    species: str,
    sizes: dict[str, int],
    moisture_ppm: int | None,
    density: int | None,
) -> None:
    for name, um in sizes.items():
        last, what = getattr(board, name), name.removesuffix("_um")
        if last is not None:
            plausible.require_like_last_size(board.code, what, um, last)
        plausible.require_size(board.code, what, um)
    if density is not None and sizes:
        plausible.require_density(board.code, species, density)
    if moisture_ppm is not None:
        plausible.require_moisture(board.code, moisture_ppm)


def _moving(session: Session, text: str) -> list[Board]:
    boards = boards_meant(session, text)
    if isinstance(parse_any(text), LotId):
        here = [b for b in boards if b.became_idx is None and b.serial is None]
        if not here:
            raise RefusedError(f"no board of lot {text} lies in the rack any more")
        return here
    for board in boards:
        require_whole(board)
    return boards


def _pictured(session: Session, code: str) -> list[Board]:
    """Return the board of a code, or both halves of a set; a picture shows no lot."""
    code = str(BoardId.parse(code))
    boards = boards_there(session, code)
    for board in boards:
        require_whole(board)
    return boards


def _words(density: int | None, species: str, missing: str) -> str:
    return missing if density is None else plausible.density_words(density, species)


def _moment(row: Sizing | Weighing) -> tuple[str, int]:
    return row.day, row.idx
