"""Which builds stand still: late, or without an entry for days, and what they wait for.

A build is over with its certificate; a part taken off afterwards opens it again.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlmodel import Session, col, exists, func, select

from ledger.acts.progress import doubt_told, without_wood
from ledger.acts.roads import Road, next_words, roads_of
from ledger.acts.shop import Shop
from ledger.craft import route
from ledger.scales import in_a_row
from ledger.views.allotting import Stay
from ledger.views.boards import Board
from ledger.views.builds import Build, PrintedTag, SignedStep
from ledger.views.certificates import Certificate
from ledger.views.doubt import first_doubts
from ledger.views.graduations import Graduation
from ledger.views.orders import BuildOrder, ChangeNote, Concession, Scrap
from ledger.views.readings import VoiceTapping
from ledger.views.rows import columns_of, plain_rows
from ledger.views.said import entry_said
from ledger.views.service import RemovedPart, Service, Trip

LONGEST_STILL_DAYS = 14
# Which entries are about a build: the one that gave a row, and those that ended it.
SAID = (
    (SignedStep, ("idx", "reworked_idx", "struck_idx")),
    (Stay, ("idx", "ended_idx")),
    (PrintedTag, ("idx",)),
    (BuildOrder, ("idx",)),
    (ChangeNote, ("idx",)),
    (Concession, ("idx",)),
    (Scrap, ("idx",)),
    (VoiceTapping, ("idx",)),
    (Graduation, ("idx",)),
    (RemovedPart, ("idx",)),
    (Service, ("idx",)),
    (Trip, ("idx", "returned_idx")),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Still:
    """A build of which nothing was said for so many days, or that is late.

    `idx` is the newest entry about it, of the day `since`.
    """

    serial: str
    model: str
    since: str
    days: int
    idx: int
    due: str | None
    late_days: int
    waits: str


def stuck(
    shop: Shop, session: Session, *, days: int = LONGEST_STILL_DAYS
) -> list[Still]:
    """Return the builds that are late or of which nothing was said for so many days.

    The late ones come first, the latest of them before the others. A build is over
    with its certificate, and one that is void is none. Of one that is open again, for
    a part was taken off, the day is over on which it was due.
    """
    today = date.fromisoformat(shop.today())
    builds = _open_builds(session)
    newest = _newest_entries(session, builds)
    dues = _dues(session, builds)
    found: list[Still] = []
    waiting: list[Build] = []
    for build in builds:
        idx = newest[build.serial]
        # A record each, of builds in the making only.
        since = entry_said(session, idx).at[:10]
        due = dues.get(build.serial)
        still = (today - date.fromisoformat(since)).days
        late = max(0, (today - date.fromisoformat(due)).days) if due else 0
        if still >= days or late:
            told = Still(
                serial=build.serial,
                model=build.model,
                since=since,
                days=still,
                idx=idx,
                due=due,
                late_days=late,
                waits="",
            )
            found.append(told)
            waiting.append(build)
    waits = _waits(session, waiting, today.isoformat())
    found = [replace(still, waits=waits[still.serial]) for still in found]
    return sorted(found, key=lambda s: (-s.late_days, -s.days, s.serial))


def _open_builds(session: Session) -> list[Build]:
    """Return the builds without a certificate, or with a part taken off since."""
    off, certified = (_newest_of_each(view) for view in (RemovedPart, Certificate))
    query = select(Build).where(col(Build.voided_idx).is_(None), off >= certified)
    return list(session.exec(query.order_by(col(Build.idx))).all())


def _newest_of_each(view: Any) -> Any:
    """Ask for the newest entry of a view about each build, or 0."""
    newest = select(func.max(view.idx)).where(view.serial == Build.serial)
    return func.coalesce(newest.correlate(Build).scalar_subquery(), 0)


def _newest_entries(session: Session, builds: Sequence[Build]) -> dict[str, int]:
    """Return the newest entry about each build."""
    newest = {build.serial: build.idx for build in builds}
    for table, columns in SAID:
        told: Any = table
        said = (func.max(getattr(told, column)) for column in columns)
        query: Any = select(told.serial, *said).group_by(told.serial)
        of_builds = query.where(told.serial.in_(newest))
        for of, *entries in plain_rows(session, of_builds):
            newest[of] = max(newest[of], *(idx for idx in entries if idx is not None))
    return newest


def _dues(session: Session, builds: Sequence[Build]) -> dict[str, str]:
    """Return the day on which each build that never had a certificate is due."""
    query = columns_of(BuildOrder, ("serial", "due")).where(
        col(BuildOrder.serial).in_([build.serial for build in builds]),
        col(BuildOrder.due).is_not(None),
        ~exists().where(col(Certificate.serial) == col(BuildOrder.serial)),
    )
    return dict(map(tuple, plain_rows(session, query)))


def _waits(session: Session, builds: Sequence[Build], today: str) -> dict[str, str]:
    """Say of each build what it waits for: a doubt before all else."""
    held: dict[str, set[str]] = {build.serial: set() for build in builds}
    query = columns_of(Board, ("serial", "part")).where(col(Board.serial).in_(held))
    for serial, part in plain_rows(session, query):
        held[serial].add(part)
    doubts, waits = first_doubts(session, held), {}
    for serial, road in roads_of(session, builds).items():
        hold = doubts.get(serial)
        doubt = doubt_told(session, hold) if hold else None
        waits[serial] = doubt or _wait_of(road, held[serial], today)
    return waits


def _wait_of(road: Road, held: set[str], today: str) -> str:
    """Say what a build waits for.

    Whoever has to look at what was done comes first, then the next step, then the wood
    that it lacks.
    """
    states = route.stands(road.steps, road.signed)
    for step in road.steps:
        if states[step.name] not in (route.OPEN, route.DONE):
            return route.waits_words(step, states[step.name])
    lacking = without_wood(road, held)
    lacks = ""
    for step in road.steps:
        # The rule is asked only where what comes right before is done.
        is_near = all(states.get(other) == route.DONE for other in step.after)
        if states[step.name] != route.OPEN or not is_near:
            continue
        if lacking[step.name]:
            lacks = lacks or f"{step.name}: {'; '.join(lacking[step.name])}"
        elif route.may_begin(road.steps, road.signed, step.name, today=today):
            return f"next step: {step.name}"
    parts = (p.part for p in road.model.parts if not p.optional)
    bare = [part for part in parts if part not in held]
    if bare and all(state == route.DONE for state in states.values()):
        return f"no wood is allotted to the {in_a_row(bare)}"
    return lacks or next_words(road, today=today)
