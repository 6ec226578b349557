"""Whether wood would be trouble where a customer lives, asked before it is built in.

What is chosen for an instrument is asked about together, as one thing that goes there;
what a model allows is asked about species by species.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from ledger.acts.builds import find_build
from ledger.acts.chosen import Chosen, allowed_by, batches_used, chosen_for, woods_of
from ledger.acts.closing import require_not_void
from ledger.acts.evidence import until_words
from ledger.acts.law import law_in_force
from ledger.acts.makes import makes
from ledger.acts.models import find_model
from ledger.acts.names import checked_day, place_from, purpose_from
from ledger.acts.shop import Shop
from ledger.events import ModelDefined
from ledger.scales import in_a_row
from ledger.trade.answers import Determination, merged
from ledger.trade.coverage import NOT_NEEDED, ORDER
from ledger.trade.determination import determine
from ledger.trade.law import Law
from ledger.trade.movement import Movement, owner_changes_by
from ledger.trade.question import Part, Question
from ledger.views.certificates import certificates_of
from ledger.views.models import plan_of
from ledger.views.orders import order_of

# How many are offered instead, the ones that ask for least first.
MOST_OFFERED = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Whither an instrument is to go: from where, what for, and on which day.

    day  YYYY-MM-DD; without one the day it is promised for, else today
    """

    start: str
    to: str
    purpose: str = "sale"
    day: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """Wood in the rack that is ready, fits the part, and would ask for less."""

    code: str
    species: str
    answer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Wood for a part, and what the tables say of it on this way.

    heavier       what they say where it weighs as much as it can, if that is another
                  answer
    open_for_age  why it is to ask, of unlisted wood that only the age of the tables
                  leaves open; empty of all other
    """

    wood: Chosen
    found: Determination
    heavier: Determination | None
    open_for_age: str
    instead: tuple[Offer, ...]

    @property
    def answer(self) -> str:
        """The answer that weighs more of the two."""
        both = [self.found.answer, *([self.heavier.answer] if self.heavier else [])]
        return min(both, key=ORDER.index)


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What an instrument would ask for: what is needed first, then what is to ask.

    unchosen  parts for which no wood is chosen and the model names none
    also      what laws beside the Convention ask
    """

    what: str
    model: str
    legs: tuple[str, ...]
    purpose: str
    day: date
    why_day: str
    choices: tuple[Choice, ...]
    unchosen: tuple[str, ...]
    also: tuple[Determination, ...]

    def count(self, answer: str) -> int:
        """Return of how much of the wood this is the answer."""
        return sum(choice.answer == answer for choice in self.choices)


def check_instrument(shop: Shop, serial: str, way: Way) -> Checked:
    """Tell what the wood chosen for an instrument would ask for.

    Parts without wood are told by the species that the model allows.
    """
    movement, today = _movement(way), shop.today()
    with shop.store.reading() as session:
        build = find_build(session, serial)
        require_not_void(session, serial)
        plan = plan_of(session, build.model, build.version)
        is_done = bool(certificates_of(session, serial))
        order = order_of(session, serial)
        due = order.due if order and not is_done else None
        until = until_words(due, date.fromisoformat(today))
        chosen = [
            *chosen_for(session, build, plan, today=today, until=until),
            *batches_used(session, serial, today=today, until=until),
        ]
        on = _day(way, today, due)
        if is_done:
            # What may be left out was left out.
            has = {wood.part for wood in chosen}
            plan = replace(plan, parts=tuple(p for p in plan.parts if p.part in has))
        return _checked(session, (serial, plan), movement, on, chosen, today=today)


def check_model(shop: Shop, name: str, way: Way) -> Checked:
    """Tell what the woods that a model allows would ask for, part by part."""
    movement, today = _movement(way), shop.today()
    with shop.store.reading() as session:
        plan = find_model(session, name)
        on = _day(way, today, None)
        return _checked(session, (plan.model, plan), movement, on, [], today=today)


def _checked(
    session: Session,
    named: tuple[str, ModelDefined],
    movement: Movement,
    on: tuple[date, str],
    chosen: Sequence[Chosen],
    *,
    today: str,
) -> Checked:
    (what, plan), (day, why_day) = named, on
    has = {wood.part for wood in chosen}
    allowed = [w for p in plan.parts if p.part not in has for w in allowed_by(p)]
    trip = _Trip(movement=movement, day=day, law=law_in_force(session))
    asked = [*_together(chosen, trip), *_each(allowed, trip)]
    order = [part.part for part in plan.parts]
    asked.sort(key=lambda one: (*_weight(one), _place(order, one.part)))
    offers = _offers(session, plan, asked, trip, today=today)
    named_parts = has | {wood.part for wood in allowed}
    said = tuple(d for one in asked for d in (one.whole, one.whole_heavier))
    return Checked(
        what=what,
        model=plan.model,
        legs=movement.legs,
        purpose=str(movement.purpose),
        day=day,
        why_day=why_day,
        choices=tuple(
            Choice(
                wood=one.wood,
                found=one.found,
                heavier=one.heavier,
                open_for_age=one.open_for_age,
                instead=tuple(_better(offers.get(one.part, ()), one)),
            )
            for one in asked
        ),
        unchosen=tuple(part for part in order if part not in named_parts),
        also=tuple(other for other in merged(said) if other.answer != NOT_NEEDED),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Trip:
    """A movement on a day, and the edition of the tables that it is asked of."""

    movement: Movement
    day: date
    law: Law


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """Wood and its two answers, each within what is said of the whole."""

    wood: Chosen
    found: Determination
    most: Determination
    whole: Determination
    whole_heavier: Determination
    is_unlisted: bool  # by the row that decides

    @property
    def open_for_age(self) -> str:
        is_one = self.is_unlisted and self.heavier is None
        return self.found.open_for_age if is_one else ""

    @property
    def part(self) -> str:
        return self.wood.part

    @property
    def heavier(self) -> Determination | None:
        same = (self.found.answer, self.found.documents)
        return None if (self.most.answer, self.most.documents) == same else self.most

    @property
    def answer(self) -> str:
        return min((self.found.answer, self.most.answer), key=ORDER.index)


def _together(chosen: Sequence[Chosen], trip: _Trip) -> Iterator[_Asked]:
    """Yield what is said of the chosen wood, all of it in one instrument."""
    if not chosen:
        return
    light = _said(trip, [wood.asked(wood.mass_mg) for wood in chosen])
    heavy = _said(trip, [wood.asked(wood.most_mg or wood.mass_mg) for wood in chosen])
    pairs = zip(light.parts or (light,), heavy.parts or (heavy,), strict=True)
    for wood, (found, most) in zip(chosen, pairs, strict=True):
        row = trip.law.listings.get(found.row)
        yield _Asked(
            wood=wood,
            found=found,
            most=most,
            whole=light,
            whole_heavier=heavy,
            is_unlisted=row is not None and not row.is_listed,
        )


def _each(allowed: Sequence[Chosen], trip: _Trip) -> Iterator[_Asked]:
    """Yield what is said of each wood that the model allows, for itself."""
    for wood in allowed:
        yield from _together([wood], trip)


def _said(trip: _Trip, parts: Sequence[Part]) -> Determination:
    question = Question(parts=tuple(parts), date=trip.day, movement=trip.movement)
    return determine(question, law=trip.law)


def _offers(
    session: Session,
    plan: ModelDefined,
    asked: Sequence[_Asked],
    trip: _Trip,
    *,
    today: str,
) -> dict[str, list[Offer]]:
    """Return what is ready in the rack for each part in trouble, the best first."""
    parts = {one.part for one in asked if _is_trouble(one)}
    if not parts:
        return {}
    rack = makes(session, plan.model, today=today, version=plan.version)
    ready = {stock.part: stock.ready for stock in rack.parts if stock.part in parts}
    woods = woods_of(session, [code for codes in ready.values() for code in codes])
    lots = {wood.lot: wood for each in woods.values() for wood in each}
    answers = {
        lot: _said(trip, [wood.asked(None)]).answer for lot, wood in lots.items()
    }
    found: dict[str, list[Offer]] = {}
    for part, codes in ready.items():
        offers = [_offer(code, woods[code], answers) for code in codes if woods[code]]
        offers.sort(key=lambda offer: (-ORDER.index(offer.answer), offer.code))
        found[part] = offers
    return found


def _offer(code: str, woods: Sequence[Chosen], answers: Mapping[str, str]) -> Offer:
    worst = min((answers[wood.lot] for wood in woods), key=ORDER.index)
    species = dict.fromkeys(wood.species for wood in woods)
    return Offer(code=code, species=in_a_row(list(species)), answer=worst)


def _better(offers: Sequence[Offer], one: _Asked) -> list[Offer]:
    """Return the offers that ask for less than wood in trouble, a few of them."""
    less = (o for o in offers if ORDER.index(o.answer) > ORDER.index(one.answer))
    return list(less)[:MOST_OFFERED] if _is_trouble(one) else []


def _is_trouble(one: _Asked) -> bool:
    """Tell whether other wood may be better; older tables are against none."""
    return one.answer != NOT_NEEDED and not one.open_for_age


def _weight(one: _Asked) -> tuple[int, bool, bool]:
    """Return how much an answer weighs: of what is open, what stands on a list first.

    Most wood is asked about for the age of the tables alone, and comes last.
    """
    return ORDER.index(one.answer), bool(one.open_for_age), not one.found.is_listed


def _place(order: Sequence[str], part: str) -> int:
    """Return where a part comes; what is no part of the model comes last."""
    return order.index(part) if part in order else len(order)


def _movement(way: Way) -> Movement:
    legs = place_from(way.start), place_from(way.to)
    purpose = purpose_from(way.purpose)
    return Movement(legs=legs, purpose=purpose, owner_changes=owner_changes_by(purpose))


def _day(way: Way, today: str, due: str | None) -> tuple[date, str]:
    """Return the day whose law is asked, and why that one."""
    if way.day:
        checked_day(way.day)
        return date.fromisoformat(way.day), "as asked"
    if due and due > today:
        return date.fromisoformat(due), "the day it is promised for"
    return date.fromisoformat(today), "today"
