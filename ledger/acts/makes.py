"""How many instruments of a model the rack still allows, part by part.

A board or set counts for the part that it is meant for by name, where its species is
one of the model's and no known size is below the finished one; a part is made of one
board or one set. What is allotted, reserved or in doubt is not counted.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sqlmodel import Session, col, func, select

from ledger.acts.lots import require_no_trade_name
from ledger.acts.models import find_model
from ledger.acts.reserving import is_kept
from ledger.acts.stock import Stocked, stock
from ledger.craft.fitting import is_of
from ledger.events import ModelDefined
from ledger.events.route import PlannedPart
from ledger.ids import BoardId
from ledger.scales import in_a_row
from ledger.views.boards import Board
from ledger.views.builds import Build
from ledger.views.doubt import reached, source_of
from ledger.views.holds import open_holds

YEAR_DAYS = 365


@dataclass(frozen=True, slots=True, kw_only=True)
class PartStock:
    """The wood for one part: boards and sets ready today, and those that wait."""

    part: str
    is_optional: bool
    ready: tuple[str, ...]
    waiting: tuple[str, ...]
    unmeasured: tuple[str, ...]

    @property
    def boards(self) -> tuple[str, ...]:
        """Every code that a board of it can have: its own, or one of the two halves."""
        codes = (*self.ready, *self.waiting)
        halves = (f"{code}.{half}" for code in codes for half in "AB")
        return (*codes, *halves)

    @property
    def all(self) -> int:
        """How many there are with those that wait."""
        return len(self.ready) + len(self.waiting)


@dataclass(frozen=True, slots=True, kw_only=True)
class Makes:
    """How many instruments the rack allows, and what the count does not know.

    `begun` is how many of the model were begun in the last 365 days.
    """

    model: str
    version: int
    parts: tuple[PartStock, ...]
    begun: int
    not_counted: tuple[str, ...]

    @property
    def needed(self) -> tuple[PartStock, ...]:
        """The parts that no instrument goes without; all, where each may be left out.

        Where all are optional none holds the number down.
        """
        return tuple(p for p in self.parts if not p.is_optional) or self.parts

    @property
    def ready(self) -> int:
        """How many instruments there is ready wood for."""
        return min(len(part.ready) for part in self.needed)

    @property
    def all(self) -> int:
        """How many there would be if all that waits became ready."""
        return min(part.all for part in self.needed)

    @property
    def scarcest(self) -> tuple[str, ...]:
        """The parts of which there is the least ready wood."""
        return tuple(p.part for p in self.needed if len(p.ready) == self.ready)

    @property
    def lasts_days(self) -> int | None:
        """For how many days that is enough at the last year's pace; None of none."""
        return self.all * YEAR_DAYS // self.begun if self.begun else None


def makes(
    session: Session,
    name: str,
    *,
    today: str,
    version: int | None = None,
    species: str | None = None,
) -> Makes:
    """Return how many instruments of a model the rack allows.

    species  only parts that may be made of it are counted, and only its wood
    """
    if species is not None:
        require_no_trade_name(species)
    model = find_model(session, name, version)
    rack = stock(session, today=today, species=species)
    kept, doubted = _reserved(session, today), _doubted(session, rack)
    halves = {each.code for each in rack if not _is_whole(each)}
    taken = kept | doubted
    free = [
        each
        for each in rack
        if each.code not in halves and taken.isdisjoint(each.boards)
    ]
    parts = [
        part for part in model.parts if species is None or _may_be(part, species)
    ] or list(model.parts)
    return Makes(
        model=name,
        version=model.version,
        parts=tuple(_of_part(part, free) for part in parts),
        begun=_begun(session, name, today),
        not_counted=(
            *_left_out(rack, kept, doubted, halves),
            *_not_fitting(model, free),
        ),
    )


def _of_part(part: PlannedPart, rack: Sequence[Stocked]) -> PartStock:
    fitting = [each for each in rack if _fits(part, each)]
    return PartStock(
        part=part.part,
        is_optional=bool(part.optional),
        ready=tuple(each.code for each in fitting if each.verdict),
        waiting=tuple(each.code for each in fitting if not each.verdict),
        unmeasured=tuple(each.code for each in fitting if None in _sizes(each)),
    )


def _fits(part: PlannedPart, stocked: Stocked) -> bool:
    if stocked.meant_for.casefold() != part.part.casefold():
        return False
    if part.species and not any(is_of(stocked.species, s) for s in part.species):
        return False
    finished = (part.length_um, part.width_um, part.thickness_um)
    return all(
        has is None or needs is None or has >= needs
        for has, needs in zip(_sizes(stocked), finished, strict=True)
    )


def _sizes(stocked: Stocked) -> tuple[int | None, int | None, int | None]:
    return stocked.length_um, stocked.width_um, stocked.thickness_um


def _may_be(part: PlannedPart, species: str) -> bool:
    """Tell whether a part may be made of a species, or of one of a genus."""
    named = part.species or (species,)
    return any(is_of(species, each) or is_of(each, species) for each in named)


def _is_whole(stocked: Stocked) -> bool:
    """Tell whether a set has both halves, or a board is none of a set."""
    if len(stocked.boards) > 1:
        return True
    return not BoardId.parse(stocked.code).half


def _reserved(session: Session, today: str) -> set[str]:
    """Return the boards that are kept for somebody, as long as that holds."""
    query = select(Board).where(col(Board.reserved_for).is_not(None))
    kept = session.exec(query).all()
    return {board.code for board in kept if is_kept(session, board, today=today)}


def _doubted(session: Session, rack: Sequence[Stocked]) -> set[str]:
    """Return the boards in the rack that an open hold reaches."""
    in_rack = {code for each in rack for code in each.boards}
    found: set[str] = set()
    for hold in open_holds(session):
        found |= in_rack & reached(session, source_of(session, hold)).keys()
    return found


def _begun(session: Session, model: str, today: str) -> int:
    since = (date.fromisoformat(today) - timedelta(days=YEAR_DAYS)).isoformat()
    query = select(func.count()).where(
        col(Build.model) == model, col(Build.begun_at) >= since
    )
    return session.exec(query).one()


def _left_out(
    rack: Sequence[Stocked], kept: set[str], doubted: set[str], halves: set[str]
) -> Iterator[str]:
    """Say what may not be taken, or is half of a set that is no more."""
    for codes, why in (
        ([s.code for s in rack if kept & {*s.boards}], "reserved"),
        ([s.code for s in rack if doubted & {*s.boards}], "in doubt"),
        ([s.code for s in rack if s.code in halves], "half of a set only"),
    ):
        if codes:
            yield f"{in_a_row(codes)}: {why}"


def _not_fitting(model: ModelDefined, free: Sequence[Stocked]) -> Iterator[str]:
    """Say what is meant for no part of the model, and what does not do for its part."""
    parts = {part.part.casefold(): part for part in model.parts}
    others = Counter(s.meant_for for s in free if s.meant_for.casefold() not in parts)
    if others:
        words = [f"{count} meant for {use}" for use, count in sorted(others.items())]
        yield f"{in_a_row(words)}: the model calls no part so"
    unfit = [
        s.code
        for s in free
        if (part := parts.get(s.meant_for.casefold())) and not _fits(part, s)
    ]
    if unfit:
        yield f"{in_a_row(unfit)}: of other species, or too small"
