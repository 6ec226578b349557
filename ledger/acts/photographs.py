"""The photographs of an instrument and its wood, and which a certificate names."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from sqlmodel import Session, col, select

from ledger.acts.closing import steps_at, wood_at
from ledger.views.allotting import Stay
from ledger.views.builds import StepPhotograph
from ledger.views.filed import pictures_of_erased
from ledger.views.readings import photographs_of
from ledger.views.said import entry_said, record_in
from ledger.views.service import removed_parts, services_of

MOST_NAMED = 4  # by a certificate: its evidence pages show each of them


@dataclass(frozen=True, slots=True, kw_only=True)
class Pictured:
    """A photograph that an entry names, and what it shows; `is_off` came off it."""

    entry: int
    digest: str
    board: str = ""
    part: str = ""
    face: str = ""
    step: str = ""
    is_off: bool = False


def pictures_at(session: Session, serial: str, index: int) -> list[Pictured]:
    """Return the photographs that counted after an entry, each once, by their entries.

    They are of the steps that were signed, of service, and of the wood that was in it.
    """
    found = [
        *_at_steps(session, serial, index),
        *_in_service(session, serial, index),
        *_of_wood(session, wood_at(session, serial, index), index),
    ]
    once = {each.digest: each for each in reversed(found)}
    return sorted(once.values(), key=_in_order)


def showable(session: Session, pictures: Sequence[Pictured]) -> list[Pictured]:
    """Leave out what somebody signed whose name was erased: it may show them."""
    digests = {each.digest for each in pictures}
    kept_back = pictures_of_erased(session, partial(record_in, session), among=digests)
    return [each for each in pictures if each.digest not in kept_back]


def chosen(pictures: Sequence[Pictured]) -> list[Pictured]:
    """Choose what a certificate names: the newest of the instrument, and its wood.

    Half the room is for each of the two, and what one of them leaves is the other's;
    of wood each part comes once before any comes twice, and its front first. What came
    off it is on no instrument, and nothing to compare one with.
    """
    wood = [each for each in pictures if each.board]
    wood.sort(key=lambda each: each.face != "front")
    firsts = {each.part: each for each in reversed(wood)}
    wood.sort(key=lambda each: each is not firsts[each.part])
    made = [each for each in reversed(pictures) if not (each.board or each.is_off)]
    of_wood = wood[: max(MOST_NAMED // 2, MOST_NAMED - len(made))]
    of_made = made[: MOST_NAMED - len(of_wood)]
    return sorted((*of_wood, *of_made), key=_in_order)


def _in_order(picture: Pictured) -> tuple[int, str]:
    return picture.entry, picture.digest


def _at_steps(session: Session, serial: str, index: int) -> Iterator[Pictured]:
    steps = {step.idx: step.step for step in steps_at(session, serial, index)}
    query = select(StepPhotograph).where(col(StepPhotograph.serial) == serial)
    by_entry = (col(StepPhotograph.idx), col(StepPhotograph.position))
    for row in session.exec(query.order_by(*by_entry)).all():
        if row.idx in steps:
            yield Pictured(entry=row.idx, digest=row.digest, step=steps[row.idx])


def _in_service(session: Session, serial: str, index: int) -> Iterator[Pictured]:
    """Yield the photographs of work that counted, and of parts that came off."""
    served = [(row.idx, "") for row in services_of(session, serial, index)]
    off = {row.idx: row.part for row in removed_parts(session, serial)}
    for told, part in (*served, *off.items()):
        if told > index:
            continue
        for digest in entry_said(session, told).event.get("photographs", ()):
            yield Pictured(entry=told, digest=digest, part=part, is_off=bool(part))


def _of_wood(session: Session, stays: Sequence[Stay], index: int) -> Iterator[Pictured]:
    parts = {stay.board: stay.part for stay in stays}
    for row in photographs_of(session, list(parts), index):
        yield Pictured(
            entry=row.idx,
            digest=row.digest,
            board=row.board,
            part=parts[row.board],
            face=row.face,
        )
