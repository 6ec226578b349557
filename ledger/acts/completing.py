"""Whether an instrument is finished: all signed, all weighed, of wood that is on it.

After a first certificate only what was done since is asked for anew: a part of other
wood is weighed again, and so is the whole.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.closing import news_since, require_not_void
from ledger.acts.roads import road_of
from ledger.acts.service import services_said
from ledger.acts.shop import Turn
from ledger.craft.route import DONE, OPEN, stands, waits_words
from ledger.errors import RefusedError
from ledger.events.build import Measure
from ledger.quantities import grams
from ledger.views.allotting import Stay, stays_in
from ledger.views.boards import boards_in
from ledger.views.builds import (
    Build,
    measures_of,
    newest_weighings,
    weighed_parts,
)
from ledger.views.certificates import certificates_of
from ledger.views.models import plan_of

MASS = "mass"
MOST_NAMED = 8
# How wood left that was in the instrument as it stood on the scale.
BUILT_IN = ("scrapped", "removed")


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A measure of an instrument, and the entry in which it was taken."""

    index: int
    measure: Measure


def require_complete(turn: Turn, build: Build) -> None:
    """Refuse a certificate, with what is missing for it in one sentence.

    Of more than people read at once the first are named and the rest is counted.
    """
    require_not_void(turn.session, build.serial)
    issued = certificates_of(turn.session, build.serial)
    since = issued[-1].idx if issued else -1
    stands = bool(issued) and issued[-1].withdrawn_idx is None
    if stands and not news_since(turn.session, build.serial, since):
        raise RefusedError(
            f"{build.serial} has its certificate {issued[-1].number} already, and "
            f"nothing was done to it since: draw it again with flitchbook certificate "
            f"print {issued[-1].number}"
        )
    missing = [*_missing(turn, build), *_stale(turn, build, since)]
    if missing:
        said = "; ".join(missing[:MOST_NAMED])
        more = len(missing) - MOST_NAMED
        rest = f"; and {more} more: see flitchbook build show {build.serial}"
        raise RefusedError(
            f"{build.serial} is not finished: {said}{rest if more > 0 else ''}"
        )


def _missing(turn: Turn, build: Build) -> Iterator[str]:
    """Say what was never signed, has no wood, or was never weighed."""
    road = road_of(turn.session, build)
    states = stands(road.steps, road.signed)
    parts = parts_on(turn.session, build)
    held = {board.part for board in boards_in(turn.session, build.serial)}
    weighed = weighed_parts(turn.session, build.serial)
    mass = measured(turn, build).get(MASS)
    for step in road.steps:
        if states[step.name] == OPEN:
            again = road.again.get(step.name)
            yield f"step {step.name} is not signed{f' again: {again}' if again else ''}"
        elif states[step.name] != DONE:
            yield f"step {waits_words(step, states[step.name])}"
    yield from (f"part {p} has no board" for p in parts if p not in held)
    for board in boards_in(turn.session, build.serial):
        took = next((s.name for s in road.steps if board.part in s.uses_up), None)
        if took and states[took] != OPEN and board.consumed_idx is None:
            yield (
                f"board {board.code} never went in as the {board.part}: have {took} "
                f"done again with flitchbook build rework"
            )
    for part in parts:
        if part not in weighed:
            yield f"part {part} is not weighed ({_weigh_words(part)})"
    if mass is None or mass.measure.mass_mg is None:
        yield "the finished instrument is not weighed (measure: mass)"
    elif (wood := sum(weighed.get(part, 0) for part in parts)) > mass.measure.mass_mg:
        heaviest = max(parts, key=lambda part: weighed.get(part, 0))
        yield (
            f"its parts weigh {grams(wood)} and the whole {grams(mass.measure.mass_mg)}"
            f": weigh again what was worked since ({_weigh_words(heaviest)})"
        )


def _stale(turn: Turn, build: Build, since: int) -> Iterator[str]:
    """Say what has to be weighed again, for its wood is other wood since."""
    stays = stays_in(turn.session, build.serial)
    here = [stay for stay in stays if stay.ended_idx is None]
    weighed = newest_weighings(turn.session, build.serial)
    for part, stay in {stay.part: stay for stay in here}.items():
        index = weighed[part].idx if part in weighed else stay.idx
        before = (each for each in stays if each.part == part)
        if index < stay.idx and (stay.idx > since >= 0 or _left_after(before, index)):
            yield (
                f"part {part} is other wood since entry {stay.idx} and was not weighed "
                f"again ({_weigh_words(part)})"
            )
    mass = measured(turn, build).get(MASS)
    if mass is None:
        return
    fresh = [stay.idx for stay in here if stay.idx > max(since, mass.index)]
    # Of a part that still waits for its wood that is said already.
    lacking = {*parts_on(turn.session, build)} - {stay.part for stay in here}
    left = (s for s in stays if s.how in BUILT_IN and s.part not in lacking)
    gone = _left_after(left, mass.index)
    changed = max([*gone, *(fresh if since >= 0 else ())], default=None)
    if changed is not None:
        how = "instrument service" if since >= 0 else "build sign"
        yield (
            f"the instrument was not weighed since entry {changed} (flitchbook {how} "
            f"--measured 'mass=1990 g')"
        )


def _left_after(stays: Iterable[Stay], index: int) -> list[int]:
    """Return by which entries wood left that was there when something was weighed."""
    return [
        stay.ended_idx
        for stay in stays
        if stay.ended_idx is not None
        and stay.how != "struck"
        and stay.idx < index < stay.ended_idx
    ]


def _weigh_words(part: str) -> str:
    return f"flitchbook build sign --weighed '{part}=190 g'"


def parts_on(session: Session, build: Build) -> list[str]:
    """Return the parts that an instrument has to have, and those it has besides."""
    plan = plan_of(session, build.model, build.version)
    held = {board.part for board in boards_in(session, build.serial)}
    return [p.part for p in plan.parts if not p.optional or p.part in held]


def measured(turn: Turn, build: Build) -> dict[str, Taken]:
    """Return the newest measure of each thing: taken at a step, or at a service."""
    steps = [
        Taken(index=row.idx, measure=Measure(what=row.what, **{row.unit: row.value}))
        for row in measures_of(turn.session, build.serial)
    ]
    serviced = [
        Taken(index=index, measure=measure)
        for index, event in services_said(turn.shop, turn.session, build.serial)
        for measure in event.measures
    ]
    newest: dict[str, Taken] = {}
    for taken in (*steps, *serviced):
        before = newest.get(taken.measure.what)
        if before is None or before.index < taken.index:
            newest[taken.measure.what] = taken
    return newest
