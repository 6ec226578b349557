"""A delivery from a sawyer's packing list: filed, received and numbered, or nothing.

The list itself is kept as a paper of the lot, so that what was counted can be laid
beside what was written.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import groupby

from ledger.acts.boards import BoardDraft, number_in
from ledger.acts.documents import file_in
from ledger.acts.filing import kept_file
from ledger.acts.lots import LotDraft, receive_in
from ledger.acts.packing import ListedRow, PackingList
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import LedgerError, RefusedError
from ledger.ids import LotId
from ledger.log import attachments
from ledger.log.keys import SecretKey
from ledger.log.sealing import KEY_SIZE
from ledger.log.standing import KeyRecord
from ledger.views.people import Person
from ledger.views.wood import document_of_digest, lots_with

PAPER = "packing list"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the shop says of a delivery beside its list.

    `lot` has all that is common to the lots; its species and count come from the list
    where that names them. `meant_for` is for rows that do not say it. `as_read` says
    that sizes and masses were looked at twice, however odd they are.
    """

    lot: LotDraft
    meant_for: str | None = None
    by_species: bool = False
    as_read: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """One lot of a delivery: what is known of it, and its boards as listed.

    `is_mass_left_over` tells that the list has masses of sets or of several boards
    together, which are no board's own and stand only as they were written.
    """

    lot: LotDraft
    boards: tuple[BoardDraft, ...]
    is_mass_left_over: bool = False

    @property
    def pieces(self) -> int:
        """How many pieces get a label: a set has two halves."""
        return sum(2 if board.is_set else 1 for board in self.boards)


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivered:
    """What came in: the list on file, and the boards of each new lot."""

    document: str
    lots: dict[str, list[str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What a list would bring in, and why it would be refused, if it would be."""

    parcels: tuple[Parcel, ...]
    refusal: str | None = None


class _GivenUpError(Exception):
    """Ends a turn of which nothing is to be kept."""


def parcels(listed: PackingList, told: Told) -> tuple[Parcel, ...]:
    """Return the lots that a packing list makes, without recording anything.

    Raises RefusedError with every bad row, where the list is of several species and
    nobody said to make a lot of each, or where nobody says what a board is for.
    """
    if listed.faults:
        bad = "; ".join(f"line {f.line}: {f.reason}" for f in listed.faults)
        raise RefusedError(
            f"nothing was received, for {_rows(len(listed.faults))} cannot be read: "
            f"{bad}"
        )
    species = _species_of(listed.rows, told)
    if len(set(species)) > 1 and not told.by_species:
        raise RefusedError(
            f"the list is of {len(set(species))} species ({_counts(species)}), and a "
            f"lot is of one: give --by-species to make a lot of each"
        )
    order = sorted(range(len(species)), key=lambda n: species.index(species[n]))
    made = []
    for name, group in groupby(order, key=lambda n: species[n]):
        rows = [listed.rows[n] for n in group]
        boards = tuple(board for row in rows for board in _boards(row, told))
        lot = replace(told.lot, species=name, boards=len(boards))
        named = next((r.trade_name for r in rows if r.trade_name), None)
        grown = next((r.harvested_in for r in rows if r.harvested_in), None)
        lot = replace(
            lot,
            trade_name=lot.trade_name or named,
            harvested_in=lot.harvested_in or grown,
        )
        left = any(row.masses_mg and not _fits(row) for row in rows)
        made.append(Parcel(lot=lot, boards=boards, is_mass_left_over=left))
    return tuple(made)


def deliver(
    shop: Shop, data: bytes, found: Sequence[Parcel], *, hands: Hands
) -> Delivered:
    """File the list, receive its lots and number their boards: all of it, or nothing.

    `data` is the list as it was read. Raises RefusedError where this very list came in
    before.
    """
    digest = attachments.digest_of(data)
    with kept_file(shop, data, announced=digest) as turn:
        return _deliver_in(turn, hands, digest, found)


def plan(
    shop: Shop, data: bytes, listed: PackingList, told: Told, *, by: Person
) -> Plan:
    """Return what a packing list would bring, and why it would be refused if it were.

    All is done as on the day itself, in a turn that is given up at its end: nothing is
    recorded, and the list is not put on the shelf, where another station may be about
    to file it. It needs no PIN of whoever is to sign.
    """
    try:
        found = parcels(listed, told)
    except LedgerError as refusal:
        return Plan(parcels=(), refusal=str(refusal))
    digest = attachments.digest_of(data)
    return _tried(shop, by, found, partial(_deliver_in, digest=digest, found=found))


def plan_counted(shop: Shop, parcel: Parcel, *, by: Person) -> Plan:
    """Return why a lot that came without a list would be refused, if it would be."""
    return _tried(shop, by, (parcel,), partial(_deliver_counted_in, parcel=parcel))


def _tried(
    shop: Shop,
    by: Person,
    found: tuple[Parcel, ...],
    delivering: Callable[[Turn, Hands], object],
) -> Plan:
    """Deliver in a turn that is given up at its end, and say how it went."""
    try:
        with shop.turn() as turn:
            delivering(turn, _stand_in(turn, by))
            raise _GivenUpError
    except _GivenUpError:
        return Plan(parcels=found)
    except LedgerError as refusal:
        return Plan(parcels=found, refusal=str(refusal))


def _deliver_in(
    turn: Turn, hands: Hands, digest: str, found: Sequence[Parcel]
) -> Delivered:
    _require_new(turn, digest)
    document = file_in(turn, paper=PAPER, digest=digest, hands=hands)
    lots = {}
    for parcel in found:
        papers = (*parcel.lot.documents, document)
        draft = replace(parcel.lot, documents=papers)
        code = receive_in(turn, draft, hands)
        lots[code] = number_in(turn, LotId.parse(code), parcel.boards, hands)
    return Delivered(document=document, lots=lots)


def _stand_in(turn: Turn, person: Person) -> Hands:
    """Return hands that count as somebody's in this turn, which is given up.

    Whoever is to say yes as well is asked on the day itself.
    """
    standing = turn.standing
    if standing.person_key(person.subject, turn.size) is None:
        raise RefusedError(
            f"the key of badge {person.badge} is retired and signs nothing more"
        )
    key = SecretKey(turn.shop.entropy(KEY_SIZE))
    standing.keys[key.id] = KeyRecord(
        public=key.public, purpose="person", subject=person.subject, from_index=0
    )
    standing.rules = tuple(replace(rule, approvals=0) for rule in standing.rules)
    return Hands(by=key)


def deliver_counted(
    shop: Shop, parcel: Parcel, *, hands: Hands
) -> tuple[str, list[str]]:
    """Receive a lot that came without a list and number its boards: all, or nothing."""
    with shop.turn() as turn:
        return _deliver_counted_in(turn, hands, parcel)


def _deliver_counted_in(
    turn: Turn, hands: Hands, parcel: Parcel
) -> tuple[str, list[str]]:
    code = receive_in(turn, parcel.lot, hands)
    return code, number_in(turn, LotId.parse(code), parcel.boards, hands)


def _species_of(rows: Sequence[ListedRow], told: Told) -> list[str]:
    given = told.lot.species
    species = [row.species or given for row in rows]
    unsaid = next((n for n, name in enumerate(species) if not name), None)
    if unsaid is not None:
        row = rows[unsaid]
        trade = f", only {row.trade_name!r}" if row.trade_name else ""
        raise RefusedError(
            f"line {row.line} names no species{trade}: say it in Latin with --species, "
            f"or 'unknown'"
        )
    other = next((r for r in rows if given and r.species not in (None, given)), None)
    if other is not None and not told.by_species:
        raise RefusedError(
            f"line {other.line} says {other.species} and you say {given}: look at the "
            f"wood, and leave --species out if the list is right"
        )
    return species


def _boards(row: ListedRow, told: Told) -> Iterator[BoardDraft]:
    meant_for = row.meant_for or told.meant_for
    if meant_for is None:
        raise RefusedError(
            f"line {row.line} does not say what its wood is for: give --for, such as "
            f"--for top"
        )
    count = row.quantity // 2 if row.per == "half" else row.quantity
    draft = BoardDraft(
        meant_for=meant_for,
        length_um=row.length_um,
        width_um=row.width_um,
        thickness_um=row.thickness_um,
        listed_mg=row.masses_mg if _fits(row) else (),
        listed_moisture_ppm=row.moisture_ppm,
        is_listed=True,
        is_set=row.per != "board",
        mark=row.label,
        supplier_grade=row.grade,
        as_written=row.as_written or None,
        as_read=told.as_read,
    )
    yield from [draft] * count


def _fits(row: ListedRow) -> bool:
    """Tell whether the list's masses are those of the pieces that get a code."""
    if row.is_mass_shared:
        return False
    return len(row.masses_mg) == (1 if row.per == "board" else 2)


def _require_new(turn: Turn, digest: str) -> None:
    known = document_of_digest(turn.session, digest)
    if known is None:
        return
    lots = ", ".join(lot.code for lot in lots_with(turn.session, known.code))
    raise RefusedError(
        f"this list came in before, as {known.code} with lot {lots or 'none'}: if it "
        f"is another delivery it has a list of its own"
    )


def _counts(species: Sequence[str]) -> str:
    return ", ".join(
        f"{name} in {_rows(species.count(name))}" for name in dict.fromkeys(species)
    )


def _rows(count: int) -> str:
    return f"{count} row" if count == 1 else f"{count} rows"
