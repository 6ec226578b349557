"""The line that a whole audit leaves beside the log, and what it can be held against.

It is no part of the record and proves nothing by itself: whoever owns the machine may
write it. Held against the log it shows what was entered, or changed, since.
"""

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from re import fullmatch

from sqlmodel import Session, col, select

from ledger.acts.jottings import jot, last_jotting
from ledger.acts.shop import Shop
from ledger.audit import Report
from ledger.audit.walk import ALL
from ledger.log.entry import at_moment, at_text
from ledger.views.standing import DoubtedTime, OnceUsed, governing_rows

AUDITS = "audits"
# What an audit may find that is no change of anything: the views' own version, and a
# checkpoint that somebody typed or that is of another log.
NO_CHANGES = frozenset({"edition", "outside"})
LONGEST_DAY = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Audited:
    """An audit: when, over how many entries, their root, and how many changes it found.

    `governing` is the digest of which entries govern, what was approved, and which
    times are doubted. The newest head that a paper carried out is of `outside_size`
    entries, 0 where none did, on `outside_day`.
    """

    at: str
    size: int
    root: str
    changes: int
    governing: str
    outside_size: int
    outside_day: str

    @property
    def day(self) -> str:
        """The day on which it was made."""
        return self.at[:LONGEST_DAY]


def note_audit(shop: Shop, report: Report, now: datetime) -> bool:
    """Keep that an audit was made: a whole one, or one that found changes.

    Tells whether it could be kept: the folder of a copy may not be written to.
    """
    changes = sum(
        not found.is_open and found.cause not in NO_CHANGES for found in report.findings
    )
    is_whole = report.level == ALL and not report.is_clouded
    others = any(found.cause in NO_CHANGES for found in report.findings)
    if not changes and (others or not is_whole):
        return True
    outside_size, outside_day = report.newest_outside or (0, "")
    with suppress(OSError), shop.store.reading() as session:
        made = Audited(
            at=at_text(now),
            size=report.size,
            root=report.root.hex(),
            changes=changes,
            governing=governing_digest(session, report.size),
            outside_size=outside_size,
            outside_day=outside_day,
        )
        jot(shop.folder / AUDITS, made)
        return True
    return False


def last_audit(folder: Path, now: datetime) -> Audited | None:
    """Return the last line that an audit left, or None where it is none that can be."""
    said = last_jotting(folder / AUDITS, Audited)
    return said if said is not None and _can_be(said, now) else None


def governing_digest(session: Session, size: int) -> str:
    """Return the digest of what the views say governs the first `size` entries.

    Lower-case hex digits of SHA-256, over one line for each.
    """
    lines = [
        f"{idx} {sha256(data).hexdigest()}"
        for idx, data in governing_rows(session)
        if idx < size
    ]
    onces = select(OnceUsed).where(col(OnceUsed.idx) < size)
    used = session.exec(onces.order_by(col(OnceUsed.idx), col(OnceUsed.once))).all()
    lines += [f"{row.idx} once {row.once}" for row in used]
    doubts = select(DoubtedTime).where(col(DoubtedTime.idx) < size)
    doubted = session.exec(doubts.order_by(col(DoubtedTime.idx))).all()
    lines += [f"{row.idx} doubts {row.since} {row.until}" for row in doubted]
    return sha256("\n".join(lines).encode()).hexdigest()


def _can_be(said: Audited, now: datetime) -> bool:
    """Tell whether a line says what an audit can have found by now."""
    digests = all(fullmatch("[0-9a-f]{64}", d) for d in (said.root, said.governing))
    try:
        is_past = at_moment(said.at) <= now
    except ValueError:
        return False
    is_day = not said.outside_day or fullmatch(r"[0-9-]{10}", said.outside_day)
    least = (said.size - 1, said.changes, said.outside_size)
    return bool(digests and is_past and is_day) and min(least) >= 0
