"""How things stand today, without a walk over everything: what was entered since.

    told = lately(shop)

A whole audit leaves a line beside the log. Whoever asks later has the tree compared
with that line, with the newest checkpoint and with the stored head, and the newest
entries read again: hashes, chain, signatures, and who might say what. What was walked
then is not read again, and a byte that changed in it since is not seen.
"""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session

from ledger.acts.jottings import jot, newest_jotting
from ledger.acts.shop import Judged, Shop, judged_before
from ledger.audit import Report
from ledger.audit.findings import Finding
from ledger.audit.tree import (
    Outside,
    head_findings,
    kept_notes,
    note_findings,
    note_size,
    outside_findings,
    read_kept,
)
from ledger.audit.walk import ALL, Walk
from ledger.errors import TamperError
from ledger.log import merkle, queries, tiles
from ledger.log.checkpoint import NoteKey
from ledger.log.entry import NO_PREVIOUS, at_text, parse_record
from ledger.views.standing import doubted_times

AUDITS = "audits"
# So many of the newest entries are read again at once: about a day of a busy shop.
AT_ONCE = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Audited:
    """A whole audit: when, over how many entries, their root, and changes found."""

    at: str
    size: int
    root: str
    changes: int

    @property
    def day(self) -> str:
        """The day on which it was made."""
        return self.at[:10]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lately:
    """How a log of `size` entries stands: the last audit, and what was read since.

    `read` is how many of the newest entries were read again now, and `unread` how many
    between the audit and these were not.
    """

    size: int
    root: str
    audited: Audited | None
    read: int
    unread: int
    findings: tuple[Finding, ...]

    @property
    def is_whole(self) -> bool | None:
        """Tell whether nothing was found, then or since; None where nobody knows."""
        if any(not found.is_open for found in self.findings):
            return False
        if self.audited is None:
            return None
        return False if self.audited.changes else None if self.unread else True


def note_audit(shop: Shop, report: Report, now: datetime) -> None:
    """Keep that an audit was made: a whole one, or one that found changes.

    Where the folder may not be written, as a copy to be judged, nothing is kept.
    """
    changes = sum(not found.is_open for found in report.findings)
    if report.is_clouded or not (changes or report.level == ALL):
        return
    made = Audited(
        at=at_text(now), size=report.size, root=report.root.hex(), changes=changes
    )
    with suppress(OSError):
        jot(shop.folder / AUDITS, made)


def lately(shop: Shop) -> Lately:
    """Return how the log stands, as far as a look shows; never raises for what it is.

    It takes as long for a large log as for a small one.
    """
    audited = newest_jotting(shop.folder / AUDITS, Audited)
    with shop.store.reading() as session:
        heads = queries.heads(session.connection())
        size, root, _ = heads[0] if heads else (0, merkle.EMPTY_ROOT, b"")
        done = min(audited.size, size) if audited else 0
        start = max(done, size - AT_ONCE, 0)
        findings: list[Finding] = []
        try:
            for found in _findings(shop, session, start, audited):
                findings.append(found)
        except TamperError as fault:
            findings.append(Finding(None, "tile", str(fault)))
    return Lately(
        size=size,
        root=root.hex(),
        audited=audited,
        read=size - start,
        unread=start - done,
        findings=tuple(findings),
    )


def _findings(
    shop: Shop, session: Session, start: int, audited: Audited | None
) -> Iterator[Finding]:
    connection = session.connection()
    try:
        before = judged_before(session, start)
    except TamperError as fault:
        yield Finding(None, "authority", str(fault))
        return
    walk = _going_on(session, start, before)
    for index, data, leaf in queries.all_entries(connection, start):
        walk.feed(index, data, leaf)
    yield from walk.findings
    walked = (walk.size, walk.root, b"".join(walk.edge))
    yield from head_findings(walked, queries.heads(connection))
    standing = walk.standing
    keys = [NoteKey(standing.origin, standing.log_key)] if standing.log_key else []
    newest = [queries.newest_note(connection)]
    in_table = [found[1] for found in newest if found is not None]
    kept, lacking = kept_notes(read_kept(shop.folder), in_table)
    yield from lacking
    notes = [*in_table, *kept[-1:]]
    sizes = {size for size in map(note_size, notes) if size is not None}
    if audited is not None:
        sizes.add(audited.size)
    roots = {size: _root_at(session, size) for size in sizes if size <= walk.size}
    yield from note_findings(notes, keys, roots, walk.size)
    if audited is not None:
        then = Outside(size=audited.size, root_start=bytes.fromhex(audited.root))
        yield from outside_findings(then, keys, roots, walk.size)


def _going_on(session: Session, start: int, before: Judged) -> Walk:
    """Return a walk that goes on behind the first `start` entries."""
    connection = session.connection()

    def earlier(index: int) -> bytes | None:
        return queries.record(connection, index) if 0 <= index < start else None

    last = earlier(start - 1)
    return Walk(
        earlier=earlier,
        standing=before.standing,
        onces=set(before.onces),
        size=start,
        next_index=start,
        edge=_edge_at(session, start),
        previous=NO_PREVIOUS if last is None else merkle.leaf_hash(last).hex(),
        newest_at="" if last is None else parse_record(last).entry.at,
        doubts=doubted_times(session, before=start),
    )


def _root_at(session: Session, size: int) -> bytes:
    return merkle.edge_root(_edge_at(session, size))


def _edge_at(session: Session, size: int) -> tuple[bytes, ...]:
    """Return the right edge of the first `size` entries, out of the tiles."""
    connection = session.connection()

    def tile(level: int, number: int) -> bytes:
        return queries.tile(connection, level, number)

    return merkle.edge_at(size, lambda level, number: tiles.node(level, number, tile))
