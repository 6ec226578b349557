"""Every file that entries name by its digest: papers, photographs, recordings."""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass

from sqlmodel import Session, col, select

from ledger.log.entry import parse_record
from ledger.views.builds import StepPhotograph
from ledger.views.people import Person, PersonKey
from ledger.views.readings import Photograph, RoomLog, Tapping, VoiceTapping
from ledger.views.service import pictured_entries
from ledger.views.wood import Document


@dataclass(frozen=True, slots=True, kw_only=True)
class Filed:
    """A file on the shelf: its digest, what it belongs to, the entry that names it."""

    digest: str
    what: str
    idx: int
    is_salted: bool = False


def filed(
    session: Session, record: Callable[[int], bytes], *, before: int | None = None
) -> list[Filed]:
    """Return every file, in the order of the entries that name them.

    `record` gives a record by its index: what was photographed after sale stands in
    the entries only. With `before` those from that entry on are left out.
    """
    files = [
        Filed(digest=d.digest, what=d.code, idx=d.idx, is_salted=d.is_salted)
        for d in session.exec(select(Document)).all()
    ]
    for picture in session.exec(select(Photograph)).all():
        what = f"photograph of {picture.board}"
        files.append(Filed(digest=picture.digest, what=what, idx=picture.idx))
    for tap in session.exec(select(Tapping)).all():
        what = f"recording of {tap.board}"
        files.append(Filed(digest=tap.digest, what=what, idx=tap.idx))
    for voice in session.exec(select(VoiceTapping)).all():
        what = f"recording of {voice.serial}"
        files.append(Filed(digest=voice.digest, what=what, idx=voice.idx))
    for seen in session.exec(select(StepPhotograph)).all():
        what = f"photograph of {seen.serial}"
        files.append(Filed(digest=seen.digest, what=what, idx=seen.idx))
    files += _of_service(session, record, before)
    for log in session.exec(select(RoomLog)).all():
        what = f"log of room {log.room}"
        files.append(Filed(digest=log.digest, what=what, idx=log.idx))
    files = [file for file in files if before is None or file.idx < before]
    return sorted(files, key=lambda file: file.idx)


def pictures_of_erased(
    session: Session,
    record: Callable[[int], bytes],
    *,
    among: Collection[str] | None = None,
) -> set[str]:
    """Return the photographs that somebody signed for whose name was erased.

    One is among them, by its digest, if any entry that names it is such a person's,
    whoever filed it first and whether that entry counts: it may show them. `record`
    gives a record by its index.
    """
    of_erased = select(PersonKey.key).where(
        col(PersonKey.subject).in_(select(Person.subject).where(col(Person.is_erased)))
    )
    keys = set(session.exec(of_erased).all())
    if not keys:
        return set()
    named = [
        *session.exec(select(Photograph.idx, Photograph.digest)).all(),
        *session.exec(select(StepPhotograph.idx, StepPhotograph.digest)).all(),
        *((file.idx, file.digest) for file in _of_service(session, record, None)),
    ]
    return {
        digest
        for index, digest in named
        if (among is None or digest in among)
        and parse_record(record(index)).entry.key in keys
    }


def _of_service(
    session: Session, record: Callable[[int], bytes], before: int | None
) -> Iterator[Filed]:
    for index, serial in pictured_entries(session):
        if before is not None and index >= before:
            continue
        event = parse_record(record(index)).entry.event
        for digest in event.get("photographs", ()):
            yield Filed(digest=digest, what=f"photograph of {serial}", idx=index)
