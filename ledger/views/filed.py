"""Every file that entries name by its digest: papers, photographs, recordings."""

from dataclasses import dataclass

from sqlmodel import Session, select

from ledger.views.readings import Photograph, RoomLog, Tapping, VoiceTapping
from ledger.views.wood import Document


@dataclass(frozen=True, slots=True, kw_only=True)
class Filed:
    """A file on the shelf: its digest, what it belongs to, the entry that names it."""

    digest: str
    what: str
    idx: int
    is_salted: bool = False


def filed(session: Session) -> list[Filed]:
    """Return every file, in the order of the entries that name them."""
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
    for log in session.exec(select(RoomLog)).all():
        what = f"log of room {log.room}"
        files.append(Filed(digest=log.digest, what=what, idx=log.idx))
    return sorted(files, key=lambda file: file.idx)
