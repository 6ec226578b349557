"""Shipments: what leaves together, what it asks for, and the list that goes with it.

The answer is looked up when a shipment is planned and stands in the log as it was that
day; a paper is drawn from a fresh one.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from ledger.acts.determined import all_determined, changes
from ledger.acts.freight import (
    Goods,
    day_of,
    materials_of,
    require_finished,
    require_room,
)
from ledger.acts.holds import require_no_hold
from ledger.acts.law import law_in_force
from ledger.acts.names import place_from, purpose_from
from ledger.acts.numbers import next_shipment
from ledger.acts.shop import Hands, Shop
from ledger.acts.soundness import paper_faults
from ledger.errors import NotFoundError, RefusedError
from ledger.events import (
    ShipmentPapersPrinted,
    ShipmentPlanned,
    ShipmentPlannedV1,
    codec,
)
from ledger.events.shipment import Paper
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.trade.edition import tables_sha256
from ledger.trade.law import Law
from ledger.trade.movement import Movement, owner_changes_by
from ledger.trade.question import hts_number_from
from ledger.trade.shipment import (
    Material,
    ShipmentDetermination,
    determine_shipment,
)
from ledger.views.materials import Material as Batch
from ledger.views.said import entry_said
from ledger.views.shipments import Shipment, prints_of
from ledger.views.wood import Document, Lot

# Further ahead nobody knows the law, and a typed year is wrong (common practice).
LONGEST_AHEAD_DAYS = 3 * 365


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

    `entries` are those of the lots, the batches and the papers that it rests on.
    """

    journey: Journey
    goods: Goods
    materials: tuple[Material, ...]
    law: Law
    found: ShipmentDetermination
    entries: tuple[int, ...]
    faults: tuple[str, ...] = ()  # of the papers on file for what is in it
    number: str | None = None
    changes: tuple[str, ...] = ()  # what is answered otherwise than when it was planned


def foresee(shop: Shop, *, goods: Goods, journey: Journey) -> Plan:
    """Tell what a shipment would ask for, and record nothing."""
    with shop.store.reading() as session:
        made = _planned(session, goods, journey)
        require_room(shop, session, goods)
    return replace(made, faults=paper_faults(shop, made.materials))


def plan(shop: Shop, *, goods: Goods, journey: Journey, hands: Hands) -> Plan:
    """Plan a shipment: look up what it asks for, and give it a number.

    It moves on the day on which that is said or later; the law of another day is looked
    into with `foresee`.
    """
    _require_to_come(shop, journey)
    with shop.turn() as turn:
        made = _planned(turn.session, goods, journey)
        require_room(shop, turn.session, goods)
        require_finished(turn.session, goods.serials)
        for serial in goods.serials:
            require_no_hold(turn.session, serial=serial)
        require_no_hold(turn.session, boards=goods.boards)
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
            serials=goods.serials,
            boards=goods.boards,
            described=goods.described,
            determined=all_determined(made.found),
            tables_sha256=tables_sha256(made.law),
            hts_number=_hts_number(journey),
        )
        turn.say(event, hands)
    return replace(made, number=number, faults=paper_faults(shop, made.materials))


def planned(shop: Shop, number: str) -> Plan:
    """Return a planned shipment, looked up afresh, and what has changed since."""
    with shop.store.reading() as session:
        row = session.get(Shipment, number)
        if row is None:
            raise NotFoundError(
                f"there is no shipment {number}: plan one with flitchbook shipment plan"
            )
        event = codec.parse(entry_said(session, row.idx).event)
        if not isinstance(event, ShipmentPlanned | ShipmentPlannedV1):
            raise NotFoundError(f"entry {row.idx} plans no shipment")
        journey = Journey(
            legs=event.legs,
            moves_on=event.moves_on,
            purpose=event.purpose,
            owner_changes=event.owner_changes,
            hts_number=event.hts_number,
        )
        made = _planned(session, _goods_of(event), journey)
    changed = tuple(changes(event, made.found, made.law))
    faults = paper_faults(shop, made.materials)
    return replace(made, number=number, changes=changed, faults=faults)


def paper_printed(
    shop: Shop, *, number: str, paper: Paper, note: str, sha256_hex: str, hands: Hands
) -> int:
    """Record that a paper was drawn, with its checkpoint; return which print of it.

    `note` is the signed head that the paper goes out under.
    """
    head = parse_checkpoint(parse_note(note))
    with shop.turn() as turn:
        if turn.session.get(Shipment, number) is None:
            raise NotFoundError(f"there is no shipment {number}")
        count = prints_of(turn.session, number, paper) + 1
        event = ShipmentPapersPrinted(
            shipment=number,
            paper=paper,
            number=count,
            size=head.size,
            root=head.root.hex(),
            sha256=sha256_hex,
        )
        turn.say(event, hands)
    return count


def _require_to_come(shop: Shop, journey: Journey) -> None:
    """Refuse a plan for a day that is over, or further off than anybody plans."""
    moves, today = day_of(journey.moves_on), date.fromisoformat(shop.day())
    if moves < today:
        raise RefusedError(
            f"{journey.moves_on} is over, and today is {today}: look at the day again, "
            f"or look back with --look-ahead, which records nothing"
        )
    if (moves - today).days > LONGEST_AHEAD_DAYS:
        raise RefusedError(
            f"{journey.moves_on} is more than {LONGEST_AHEAD_DAYS // 365} years off, "
            f"and the law of that day is not known: look at the day again"
        )


def _goods_of(event: ShipmentPlanned | ShipmentPlannedV1) -> Goods:
    """Return what was to go, as it was said."""
    if isinstance(event, ShipmentPlannedV1):
        return Goods(serials=event.serials, boards=event.boards)
    shares = [share for one in event.determined for share in one.shares]
    return Goods(
        serials=event.serials,
        boards=event.boards,
        described=event.described,
        masses_mg={s.batch: s.mass_mg for s in shares if s.batch and s.mass_mg},
    )


def _planned(session: Session, goods: Goods, journey: Journey) -> Plan:
    things = [*goods.serials, *goods.boards]
    if not things and not goods.described:
        raise RefusedError(
            "a shipment holds something: name serials or boards, or describe with "
            "--described what was not made here"
        )
    twice = next((code for code in things if things.count(code) > 1), None)
    if twice is not None:
        raise RefusedError(f"{twice} is named twice: it is sent once")
    law = law_in_force(session)
    materials = materials_of(session, goods, law)
    found = determine_shipment(
        materials,
        movement=_movement(journey),
        day=day_of(journey.moves_on),
        hts_number=_hts_number(journey),
        law=law,
    )
    return Plan(
        journey=journey,
        goods=goods,
        materials=tuple(materials),
        law=law,
        found=found,
        entries=_entries_behind(session, materials),
    )


def _entries_behind(session: Session, materials: Sequence[Material]) -> tuple[int, ...]:
    """Return the entries of the lots and batches in it, and of their papers."""
    told: set[int] = set()
    for code in {material.lot for material in materials}:
        known = session.get(Lot, code) or session.get(Batch, code)
        told |= {known.idx} if known is not None else set()
    papers = {code for material in materials for code in material.documents}
    told |= {session.get_one(Document, code).idx for code in papers}
    return tuple(sorted(told))


def _movement(journey: Journey) -> Movement:
    legs = tuple(place_from(leg) for leg in journey.legs)
    if len(legs) < 2:
        raise RefusedError("a shipment goes from one country to another: give both")
    purpose = purpose_from(journey.purpose)
    owner_changes = journey.owner_changes
    if owner_changes is None:
        owner_changes = owner_changes_by(purpose)
    return Movement(legs=legs, purpose=purpose, owner_changes=owner_changes)


def _hts_number(journey: Journey) -> str | None:
    return None if journey.hts_number is None else hts_number_from(journey.hts_number)
