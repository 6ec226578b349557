"""Shipments: what leaves together, what it asks for, and the list that goes with it.

The answer is looked up when a shipment is planned and stands in the log as it was that
day; a paper is drawn from a fresh one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from ledger.acts.boards import one_board
from ledger.acts.builds import find_build
from ledger.acts.closing import parts_off
from ledger.acts.completing import parts_on
from ledger.acts.determined import all_determined, changes
from ledger.acts.holds import require_no_hold
from ledger.acts.names import checked_day
from ledger.acts.numbers import next_shipment
from ledger.acts.shop import Hands, Shop
from ledger.errors import NotFoundError, RefusedError
from ledger.events import ShipmentPapersPrinted, ShipmentPlanned, codec
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.scales import in_a_row, shared
from ledger.trade.edition import tables_sha256
from ledger.trade.movement import Movement, owner_changes_by, place_for, purpose_for
from ledger.trade.question import hts_number_from
from ledger.trade.shipment import (
    Material,
    ShipmentDetermination,
    determine_shipment,
)
from ledger.trade.tables import form_for
from ledger.views.boards import Board, boards_in
from ledger.views.builds import weighed_parts
from ledger.views.certificates import certificates_of
from ledger.views.family import shares_of
from ledger.views.said import entry_said
from ledger.views.shipments import Shipment
from ledger.views.wood import Lot, documents_of

FINISHED = "finished_instruments"
# Up to this thickness sawn wood is a veneer sheet to the tariff and to the Convention.
VENEER_UM = 6_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Journey:
    """Where things go, when and what for, as it was said.

    `legs` are countries in two letters or by name, the first one where it starts.
    """

    legs: tuple[str, ...]
    moves_on: str
    purpose: str
    owner_changes: bool | None = None
    hts_number: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A shipment, what is in it, and what the tables say of it.

    `entries` are those of the lots and of the papers that it rests on.
    """

    journey: Journey
    serials: tuple[str, ...]
    boards: tuple[str, ...]
    materials: tuple[Material, ...]
    found: ShipmentDetermination
    entries: tuple[int, ...]
    number: str | None = None
    changes: tuple[str, ...] = ()  # what is answered otherwise than when it was planned


def foresee(
    shop: Shop, *, serials: Sequence[str], boards: Sequence[str], journey: Journey
) -> Plan:
    """Tell what a shipment would ask for, and record nothing."""
    with shop.store.reading() as session:
        return _planned(session, serials, boards, journey)


def plan(
    shop: Shop,
    *,
    serials: Sequence[str],
    boards: Sequence[str],
    journey: Journey,
    hands: Hands,
) -> Plan:
    """Plan a shipment: look up what it asks for, and give it a number."""
    with shop.turn() as turn:
        made = _planned(turn.session, serials, boards, journey)
        _require_finished(turn.session, made.serials)
        for serial in made.serials:
            require_no_hold(turn.session, serial=serial)
        require_no_hold(turn.session, boards=made.boards)
        number = next_shipment(turn)
        movement = _movement(journey)
        if movement.purpose is None or movement.owner_changes is None:
            raise RefusedError(
                f"{journey.purpose!r} leaves open whether the owner changes: say it "
                f"with --owner-changes or --owner-stays"
            )
        event = ShipmentPlanned(
            shipment=number,
            legs=movement.legs,
            purpose=movement.purpose,
            owner_changes=movement.owner_changes,
            moves_on=journey.moves_on,
            serials=made.serials,
            boards=made.boards,
            determined=all_determined(made.found),
            tables_sha256=tables_sha256(),
            hts_number=_hts_number(journey),
        )
        turn.say(event, hands)
    return Plan(
        journey=journey,
        serials=made.serials,
        boards=made.boards,
        materials=made.materials,
        found=made.found,
        entries=made.entries,
        number=number,
    )


def planned(shop: Shop, number: str) -> Plan:
    """Return a planned shipment, looked up afresh, and what has changed since."""
    with shop.store.reading() as session:
        row = session.get(Shipment, number)
        if row is None:
            raise NotFoundError(
                f"there is no shipment {number}: plan one with flitchbook shipment plan"
            )
        event = codec.parse(entry_said(session, row.idx).event)
        if not isinstance(event, ShipmentPlanned):
            raise NotFoundError(f"entry {row.idx} plans no shipment")
        journey = Journey(
            legs=event.legs,
            moves_on=event.moves_on,
            purpose=event.purpose,
            owner_changes=event.owner_changes,
            hts_number=event.hts_number,
        )
        made = _planned(session, event.serials, event.boards, journey)
    return Plan(
        journey=journey,
        serials=made.serials,
        boards=made.boards,
        materials=made.materials,
        found=made.found,
        entries=made.entries,
        number=number,
        changes=tuple(changes(event, made.found)),
    )


def papers_printed(
    shop: Shop, *, number: str, note: str, sha256_hex: str, hands: Hands
) -> int:
    """Record that a materials list was drawn, with its checkpoint; return which print.

    `note` is the signed head that the paper goes out under.
    """
    head = parse_checkpoint(parse_note(note))
    with shop.turn() as turn:
        row = turn.session.get(Shipment, number)
        if row is None:
            raise NotFoundError(f"there is no shipment {number}")
        count = row.prints + 1
        event = ShipmentPapersPrinted(
            shipment=number,
            number=count,
            size=head.size,
            root=head.root.hex(),
            sha256=sha256_hex,
        )
        turn.say(event, hands)
    return count


def _planned(
    session: Session, serials: Sequence[str], boards: Sequence[str], journey: Journey
) -> Plan:
    things = [*serials, *boards]
    if not things:
        raise RefusedError("a shipment holds something: name serials or boards")
    twice = next((code for code in things if things.count(code) > 1), None)
    if twice is not None:
        raise RefusedError(f"{twice} is named twice: it is sent once")
    materials = [m for serial in serials for m in _of_instrument(session, serial)]
    materials += [m for code in boards for m in _of_board(session, code)]
    found = determine_shipment(
        materials,
        movement=_movement(journey),
        day=_day(journey.moves_on),
        hts_number=_hts_number(journey),
    )
    return Plan(
        journey=journey,
        serials=tuple(serials),
        boards=tuple(boards),
        materials=tuple(materials),
        found=found,
        entries=_entries_behind(session, found),
    )


def _entries_behind(session: Session, found: ShipmentDetermination) -> tuple[int, ...]:
    """Return the entries of the lots that were asked about, and of their papers."""
    lots = {lot.lot for line in found.lines for lot in line.lots}
    told = {session.get_one(Lot, code).idx for code in lots}
    told |= {paper.idx for code in lots for paper in documents_of(session, code)}
    return tuple(sorted(told))


def _movement(journey: Journey) -> Movement:
    legs = [place_for(leg) for leg in journey.legs]
    unknown = next(
        (said for said, leg in zip(journey.legs, legs, strict=True) if not leg), None
    )
    if unknown is not None:
        raise RefusedError(
            f"{unknown!r} is no country: write two letters such as JP, or its name"
        )
    if len(legs) < 2:
        raise RefusedError("a shipment goes from one country to another: give both")
    purpose = purpose_for(journey.purpose)
    if purpose is None:
        raise RefusedError(
            f"{journey.purpose!r} is no purpose: say sale, personal, exhibition, "
            f"repair, loan, performance or gift"
        )
    owner_changes = journey.owner_changes
    if owner_changes is None:
        owner_changes = owner_changes_by(purpose)
    return Movement(
        legs=tuple(leg for leg in legs if leg),
        purpose=purpose,
        owner_changes=owner_changes,
    )


def _hts_number(journey: Journey) -> str | None:
    return None if journey.hts_number is None else hts_number_from(journey.hts_number)


def _day(text: str) -> date:
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
        yield from _materials(session, held[part], part, FINISHED, weighed[part])


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
    yield from _materials(session, board, board.meant_for, form, board.mass_mg)


def _materials(
    session: Session, board: Board, part: str, form: str, mass_mg: int
) -> Iterator[Material]:
    """Yield a piece once for each lot in it, with that lot's share of the mass."""
    masses = shared(mass_mg, shares_of(session, board.code))
    for code, mass in masses.items():
        lot = session.get_one(Lot, code)
        yield Material(
            taxon=lot.species,
            part=part,
            form=form,
            mass_mg=mass,
            lot=code,
            acquired=_acquired(lot),
            origin=lot.harvested_in,
            documents=tuple(paper.code for paper in documents_of(session, code)),
        )


def _acquired(lot: Lot) -> date | None:
    """Return the day wood came in; of old stock nobody can prove, no day counts."""
    is_unproven = lot.is_opening and lot.evidence == "none"
    return None if is_unproven else _day(lot.received_on)


def _require_finished(session: Session, serials: Sequence[str]) -> None:
    for serial in serials:
        if not certificates_of(session, serial):
            raise RefusedError(
                f"{serial} has no certificate yet: what is in it is not settled; issue "
                f"it first, or look ahead with --look-ahead"
            )
        off = parts_off(session, serial)
        if off:
            raise RefusedError(
                f"the {in_a_row(off)} of {serial} was taken off since its certificate: "
                f"issue the next one first, or look ahead with --look-ahead"
            )
