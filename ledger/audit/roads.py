"""What was signed, used up or certified of an instrument before its turn on the road.

Each entry is judged by the views as they were before it, as its act judges it: a step
waits for all that comes before it, wood goes in with the step that takes it, and a
certificate comes after the last step, the scales, and some news since the one before.
"""

from collections.abc import Callable, Iterator

from sqlmodel import Session

from ledger.acts.closing import news_since
from ledger.acts.completing import MASS, parts_on
from ledger.acts.roads import Road, road_of
from ledger.craft import route
from ledger.events import (
    BoardConsumed,
    CertificateIssued,
    InstrumentServiced,
    StepSigned,
    StepSignedV1,
    codec,
)
from ledger.log.entry import Entry, parse_record
from ledger.scales import in_a_row
from ledger.views.allotting import steps_that_took
from ledger.views.boards import Board, boards_in
from ledger.views.builds import Build, measures_of, weighed_parts
from ledger.views.certificates import certificates_of
from ledger.views.models import Model
from ledger.views.service import services_of

# Takes the index of an entry that was walked over, and gives its record.
Reading = Callable[[int], bytes | None]
THE_WHOLE = "the whole instrument"


def step_words(
    session: Session, entry: Entry, event: StepSigned | StepSignedV1
) -> Iterator[str]:
    """Say for what a step waited that was signed as done; the day it was done counts.

    Of a model that nobody set down the certificate is told, and no step.
    """
    build = _planned_build(session, event.serial)
    if build is None or event.meaning != "did":
        return
    road = road_of(session, build)
    what = f"{event.step} of {event.serial} was signed"
    if all(step.name != event.step for step in road.steps):
        yield f"{what}, and {build.model} has no such step"
        return
    day = entry.happened_at[:10]
    verdict = route.may_begin(road.steps, road.signed, event.step, today=day)
    if not verdict:
        yield f"{what} before its turn: {'; '.join(verdict.reasons)}"


def wood_words(session: Session, event: BoardConsumed) -> Iterator[str]:
    """Say of wood that went in for good that no step had taken it."""
    board = session.get(Board, event.board)
    if board is None or _planned_build(session, event.serial) is None:
        return
    if board.serial == event.serial and not steps_that_took(session, board):
        yield (
            f"board {event.board} went into {event.serial} for good, and no step that "
            f"takes its {board.part} was signed"
        )


def certificate_words(
    session: Session, event: CertificateIssued, read: Reading
) -> Iterator[str]:
    """Say what was missing when an instrument was certified.

    `read` gives the records of services, in which an instrument may be weighed.
    """
    build = session.get(Build, event.serial)
    if build is None:
        return
    what = f"{event.serial} was certified"
    if session.get(Model, (build.model, build.version)) is None:
        yield (
            f"{what}, and of {build.model}, version {build.version}, nobody said what "
            f"it is"
        )
        return
    road = road_of(session, build)
    missing = [*_undone(road), *_without_board(session, road)]
    missing += [*_unweighed(session, build, read), *_without_news(session, event)]
    yield from (f"{what}, and {each}" for each in missing)


def _planned_build(session: Session, serial: str) -> Build | None:
    """Return an instrument that was begun, of a model that somebody set down."""
    build = session.get(Build, serial)
    if build is None or session.get(Model, (build.model, build.version)) is None:
        return None
    return build


def _undone(road: Road) -> Iterator[str]:
    states = route.stands(road.steps, road.signed)
    for step in road.steps:
        if states[step.name] != route.DONE:
            waits = route.waits_words(step, states[step.name])
            why = road.again.get(step.name)
            yield f"{waits}: {why}" if why else waits


def _without_board(session: Session, road: Road) -> Iterator[str]:
    held = {board.part for board in boards_in(session, road.build.serial)}
    for part in road.model.parts:
        if part.part not in held and not part.optional:
            yield f"its {part.part} has no board"


def _unweighed(session: Session, build: Build, read: Reading) -> Iterator[str]:
    """Say which parts were never weighed, and whether the whole was not."""
    weighed = weighed_parts(session, build.serial)
    never = [part for part in parts_on(session, build) if part not in weighed]
    if not _is_weighed(session, build.serial, read):
        never.append(THE_WHOLE)
    if never:
        yield f"nobody ever weighed {in_a_row(never)}"


def _is_weighed(session: Session, serial: str, read: Reading) -> bool:
    """Tell whether an instrument was weighed: at a step, or else at a service."""
    if any(row.what == MASS for row in measures_of(session, serial)):
        return True
    records = filter(None, (read(row.idx) for row in services_of(session, serial)))
    said = (codec.parse(parse_record(record).entry.event) for record in records)
    services = (event for event in said if isinstance(event, InstrumentServiced))
    return any(each.what == MASS for event in services for each in event.measures)


def _without_news(session: Session, event: CertificateIssued) -> Iterator[str]:
    issued = certificates_of(session, event.serial)
    stands = bool(issued) and issued[-1].withdrawn_idx is None
    if stands and not news_since(session, event.serial, issued[-1].idx):
        yield (
            f"nothing was said of it since its certificate {issued[-1].number} of "
            f"entry {issued[-1].idx}"
        )
