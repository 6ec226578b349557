"""Plates of an instrument gauged for their thickness, and two such maps compared.

The frame is the plate's own and needs no strings: as seen from outside with the neck
end up, x runs from the centre line to the right and y from the lower end towards the
neck, of a back as of a top.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sqlmodel import Session

from ledger.acts.builds import find_build
from ledger.acts.closing import part_at
from ledger.acts.gauges import named_gauge
from ledger.acts.holds import require_no_hold
from ledger.acts.names import checked_words
from ledger.acts.platefile import Gauged
from ledger.acts.plates import (
    AFTER_ALL,
    LONGEST_UM,
    WIDEST_UM,
    closed_notes,
    require_part,
    require_places,
    require_plate,
    require_size,
)
from ledger.acts.shop import Hands, Shop
from ledger.errors import NotFoundError, RefusedError
from ledger.events import PlateGraduated
from ledger.events.plate import GaugedPlace
from ledger.log.entry import Entry
from ledger.quantities import millimetres
from ledger.scales import LARGEST
from ledger.views.builds import Build
from ledger.views.graduations import (
    Graduation,
    graduation_at,
    graduations_of,
    places_of,
)
from ledger.views.models import plan_of

# Places of two maps that lie no farther apart than this are taken for one: a hand
# holds a gauge no nearer to its mark. Common practice, no source.
SAME_PLACE_UM = 2_000
# What a hand gauge reads to on a plate. Common practice, no source.
GAUGE_UM = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class GraduationDraft:
    """A plate as it was gauged; what is not given is looked for, or left open.

    length_um  of the plate; else as it was taken before, or as the model has it
    stage      how far the plate is made, such as: before closing
    """

    serial: str
    part: str
    places: Sequence[Gauged]
    length_um: int | None = None
    width_um: int | None = None
    gauge: str | None = None
    stage: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Likeness:
    """How far two maps of a plate differ at the places that both have.

    Both are 0 where no place is in both.
    """

    number: int
    most_um: int
    mean_um: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A map beside an older one: the entry of that, its day, and how far they differ.

    `other_wood` is what the part was made of then, where it is of other wood since.
    """

    idx: int
    serial: str
    part: str
    day: str
    likeness: Likeness
    other_wood: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Graduated:
    """A graduation that was recorded, or only looked at, and what it is told beside."""

    event: PlateGraduated
    entry: Entry | None
    before: Compared | None
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateMap:
    """A plate as it was gauged last, beside the map before that or another one."""

    row: Graduation
    places: tuple[GaugedPlace, ...]
    before: Compared | None


def graduate(shop: Shop, draft: GraduationDraft, *, hands: Hands) -> Graduated:
    """Record how thick a plate is, place by place.

    Raises NotFoundError for a part that the model does not have, RefusedError for
    places that no plate has or that are on record already, HeldError for a gauge in
    doubt.
    """
    with shop.turn() as turn:
        told = _read(turn.session, draft, _moment(shop))
        event = told.event
        _require_news(turn.session, event, shop)
        entry = turn.say(event, hands)
    return replace(told, entry=entry)


def look(shop: Shop, draft: GraduationDraft) -> Graduated:
    """Read a graduation as it would be recorded, and record nothing.

    What is on record to the letter is compared as well, and said to be.
    """
    with shop.store.reading() as session:
        told = _read(session, draft, _moment(shop))
        alike = _alike(session, told.event)
    notes = told.notes
    if alike:
        notes += (
            f"entry {alike[-1].idx} of {alike[-1].day} has the same places with the "
            f"same thicknesses",
        )
    return replace(told, notes=notes)


def _moment(shop: Shop) -> str | None:
    """Return when a plate was gauged, where that is not now."""
    return shop.beside.happened_at


def newest_maps(
    session: Session, serial: str, part: str = "", *, against: int | None = None
) -> list[PlateMap]:
    """Return the newest map of each plate of an instrument, or of one plate.

    against  the entry of the map to compare with, else the one before

    Raises NotFoundError where no such plate was gauged, or no such entry says so.
    """
    build = find_build(session, serial)
    if part:
        require_part(session, build, part)
    rows = [row for row in graduations_of(session, serial) if part in ("", row.part)]
    if not rows and part:
        raise NotFoundError(
            f"nobody graduated the {part} of {serial} yet: gauge it, and enter it with "
            f"flitchbook build graduate"
        )
    newest = {row.part: row for row in rows}
    other = _named(session, against, list(newest.values()))
    return [
        PlateMap(
            row=row,
            places=gauged_at(session, row.idx),
            before=_beside(session, row, other or _last(rows, row)),
        )
        for row in newest.values()
    ]


def gauged_at(session: Session, index: int) -> tuple[GaugedPlace, ...]:
    """Return the places of one graduation, in the order given."""
    return tuple(
        GaugedPlace(x_um=row.x_um, y_um=row.y_um, thickness_um=row.thickness_um)
        for row in places_of(session, index)
    )


def likeness(one: Sequence[GaugedPlace], other: Sequence[GaugedPlace]) -> Likeness:
    """Compare two maps at the places that both have, each place with its nearest.

    The nearest two are taken for one place first, then the next nearest of the rest.
    """
    near = sorted(
        (_apart(a, b), n, m)
        for n, a in enumerate(one)
        for m, b in enumerate(other)
        if _apart(a, b) <= SAME_PLACE_UM * SAME_PLACE_UM
    )
    left, right, off = set[int](), set[int](), list[int]()
    for _, n, m in near:
        if n not in left and m not in right:
            left.add(n)
            right.add(m)
            off.append(abs(one[n].thickness_um - other[m].thickness_um))
    number = len(off)
    mean = (2 * sum(off) + number) // (2 * number) if number else 0
    return Likeness(number=number, most_um=max(off, default=0), mean_um=mean)


def _apart(one: GaugedPlace, other: GaugedPlace) -> int:
    """Return how far two places are apart, squared."""
    x, y = one.x_um - other.x_um, one.y_um - other.y_um
    return x * x + y * y


def _read(session: Session, draft: GraduationDraft, moment: str | None) -> Graduated:
    """Return a graduation as it can be said, or refuse it.

    moment  when it was gauged; None is now
    """
    build = find_build(session, draft.serial)
    odd = require_plate(session, build, draft.part, is_late=moment is not None)
    at = moment or AFTER_ALL
    before = [
        row
        for row in graduations_of(session, draft.serial)
        if row.part == draft.part and row.moment <= at
    ]
    length, notes = _length(session, build, draft, before)
    require_size("long", length, LONGEST_UM)
    if draft.width_um is not None:
        require_size("wide", draft.width_um, WIDEST_UM)
    require_places(draft.places, length, draft.width_um or WIDEST_UM)
    event = PlateGraduated(
        serial=draft.serial,
        part=draft.part,
        length_um=length,
        width_um=draft.width_um,
        places=tuple(
            GaugedPlace(x_um=p.x_um, y_um=p.y_um, thickness_um=p.thickness_um)
            for p in draft.places
        ),
        gauge=named_gauge(session, checked_words("gauge", draft.gauge), "length"),
        stage=checked_words("stage", draft.stage),
    )
    require_no_hold(session, gauges=(event.gauge,) if event.gauge else ())
    beside = None
    if before:
        beside = _compared(
            session, event.serial, event.part, LARGEST, event.places, before[-1]
        )
    notes += (*odd, *closed_notes(session, build, moment))
    return Graduated(event=event, entry=None, before=beside, notes=notes)


def _length(
    session: Session, build: Build, draft: GraduationDraft, before: list[Graduation]
) -> tuple[int, tuple[str, ...]]:
    """Return how long a plate is, and a note where nobody measured it now."""
    if draft.length_um is not None:
        return draft.length_um, ()
    if before:
        length, whence = before[-1].length_um, f"as by entry {before[-1].idx}"
    else:
        plan = plan_of(session, build.model, build.version)
        planned = next(p.length_um for p in plan.parts if p.part == draft.part)
        if planned is None:
            raise RefusedError(
                f"nobody said the length of the {draft.part} of {draft.serial}: "
                f"measure it on the centre line, and give --length"
            )
        length, whence = planned, f"as the model {build.model} has it"
    return length, (f"length of the {draft.part}: {millimetres(length)}, {whence}",)


def _require_news(session: Session, event: PlateGraduated, shop: Shop) -> None:
    """Refuse what is on record to the letter: a file that was entered twice.

    On one day the same thicknesses are the same finding, whatever stage or gauge is
    said with them; on another day they are where both are the same.
    """
    for row in _alike(session, event):
        is_same_way = (row.stage, row.gauge) == (event.stage, event.gauge)
        if is_same_way or row.day == shop.day():
            raise RefusedError(
                f"all {row.number} places of the {row.part} of {row.serial} are on "
                f"record as they are here, by entry {row.idx} of {row.day}: nothing is "
                f"new, so see that it is the right file"
            )


def _alike(session: Session, event: PlateGraduated) -> list[Graduation]:
    """Return the maps of a plate with the same places and thicknesses, by moment."""
    said = set(event.places)
    return [
        row
        for row in graduations_of(session, event.serial)
        if row.part == event.part and set(gauged_at(session, row.idx)) == said
    ]


def _last(rows: list[Graduation], row: Graduation) -> Graduation | None:
    """Return the map of a plate before its newest, or None."""
    older = [each for each in rows if each.part == row.part and each.idx != row.idx]
    return older[-1] if older else None


def _named(
    session: Session, against: int | None, newest: list[Graduation]
) -> Graduation | None:
    """Return the map that somebody wants to compare with."""
    if against is None:
        return None
    found = graduation_at(session, against)
    if found is None:
        raise NotFoundError(
            f"entry {against} is no graduation that counts: name one that flitchbook "
            f"record claims shows"
        )
    if len(newest) != 1:
        raise RefusedError(
            f"{len(newest)} plates were graduated: name the one to compare with entry "
            f"{against}"
        )
    return found


def _beside(
    session: Session, row: Graduation, other: Graduation | None
) -> Compared | None:
    if other is None or other.idx == row.idx:
        return None
    places = gauged_at(session, row.idx)
    return _compared(session, row.serial, row.part, row.idx, places, other)


def _compared(
    session: Session,
    serial: str,
    part: str,
    index: int,
    places: Sequence[GaugedPlace],
    other: Graduation,
) -> Compared:
    """Compare the places of a plate, of its wood after an entry, with another map."""
    is_same_plate = (other.serial, other.part) == (serial, part)
    then = part_at(session, serial, part, other.idx) if is_same_plate else None
    return Compared(
        idx=other.idx,
        serial=other.serial,
        part=other.part,
        day=other.day,
        likeness=likeness(places, gauged_at(session, other.idx)),
        other_wood=None if then == part_at(session, serial, part, index) else then,
    )
