"""How things stand today, without a walk over everything: what was entered since.

    told = lately(shop)

A whole audit leaves a line beside the log. Whoever asks later has the tree compared
with that line, with the newest signed checkpoint and with the stored head, and the
newest entries read again: hashes, tiles, chain, signatures, and who might say what.
What was walked then is not read again, and neither are views, files and the vault: a
byte that changed in them since is an audit's to find.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session

from ledger.acts.outside import kept_heads
from ledger.acts.shop import Judged, Shop, judged_before
from ledger.audit import Paper
from ledger.audit.audited import Audited, governing_digest, last_audit
from ledger.audit.findings import Finding
from ledger.audit.present import OTHER, guard_findings
from ledger.audit.tree import (
    head_findings,
    kept_notes,
    note_findings,
    note_size,
    outside_findings,
    read_kept,
    remembered_findings,
)
from ledger.audit.walk import ALL, Walk
from ledger.check.outside import Outside
from ledger.errors import LedgerError, TamperError
from ledger.events import Event
from ledger.log import merkle, queries, tiles
from ledger.log.entry import NO_PREVIOUS, Entry, parse_record
from ledger.log.standing import Closed
from ledger.views import fold
from ledger.views.standing import doubted_times, onces_used

# So many of the newest entries are read again at once: about a day of a busy shop.
AT_ONCE = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Lately:
    """How a log of `size` entries stands: the last audit, and what was read since.

    `read` is how many of the newest entries were read again now, and `unread` how many
    between the audit and these were not. `newest_outside` is the newest head that a
    paper carried out, as far as is known, and the day it did.
    """

    size: int
    root: str
    audited: Audited | None
    read: int
    unread: int
    findings: tuple[Finding, ...]
    newest_outside: tuple[int, str] | None = None
    clouded_by: str | None = None
    closed: tuple[Closed, ...] = ()

    @property
    def is_whole(self) -> bool | None:
        """Tell whether nothing was found, then or since; None where nobody knows.

        It is as far as was looked: True is less than what an audit says.
        """
        found = {each.cause for each in self.findings if not each.is_open}
        if found - {"edition"} or (self.audited and self.audited.changes):
            return False
        is_open = found or self.audited is None or self.unread or self.clouded_by
        return None if is_open else True


@dataclass(slots=True)
class _Look:
    """One look under way: what is compared, and what it found."""

    shop: Shop
    session: Session
    kept: bytes | Finding | None
    audited: Audited | None
    size: int
    start: int
    findings: list[Finding] = field(default_factory=list)
    outside: tuple[int, str] | None = None
    clouded_by: str | None = None
    closed: tuple[Closed, ...] = ()


def lately(shop: Shop, now: datetime) -> Lately:
    """Return how the log stands, as far as a look shows; never raises for what it is.

    It takes hardly longer for a large log than for a small one.
    """
    # First: whatever is in the file was in the table before.
    kept = read_kept(shop.folder)
    audited = last_audit(shop.folder, now)
    with shop.store.reading() as session:
        heads = queries.heads(session.connection())
        size, root, _ = heads[0] if heads else (0, merkle.EMPTY_ROOT, b"")
        done = min(audited.size, size) if audited else 0
        start = max(done, size - AT_ONCE, 0)
        look = _Look(shop, session, kept, audited, size, start)
        if audited is not None and audited.outside_size:
            look.outside = (audited.outside_size, audited.outside_day)
        try:
            look.findings.extend(_findings(look))
        except (LedgerError, SQLAlchemyError) as fault:
            look.findings.append(Finding(None, "tile", str(fault).partition("\n")[0]))
    return Lately(
        size=size,
        root=root.hex(),
        audited=audited,
        read=max(size - start, 0),
        unread=start - done,
        findings=tuple(look.findings),
        newest_outside=look.outside,
        clouded_by=look.clouded_by,
        closed=look.closed,
    )


def _findings(look: _Look) -> Iterator[Finding]:
    session, connection = look.session, look.session.connection()
    yield from _gaps(look)
    yield from guard_findings(session)
    if not fold.is_of_this_edition(session):
        yield Finding(None, "edition", OTHER)
        return
    yield from _standing_findings(look)
    try:
        before = judged_before(session, look.start)
    except TamperError as fault:
        yield Finding(None, "authority", str(fault))
        return
    walk = _going_on(look, before)
    roots: dict[int, bytes] = {}
    for index, data, leaf in queries.all_entries(connection, look.start):
        walk.feed(index, data, leaf)
        roots[walk.size] = walk.root
    look.clouded_by = walk.standing.clouded_by
    look.closed = tuple(walk.standing.closed)
    yield from walk.findings
    walked = (walk.size, walk.root, b"".join(walk.edge))
    yield from head_findings(walked, queries.heads(connection))
    if _edge_at(session, walk.size) != walk.edge:
        yield Finding(None, "tile", "the newest tiles do not hold the newest entries")
    yield from _outside(look, walk, roots)


def _gaps(look: _Look) -> Iterator[Finding]:
    """Yield whether entries are gone, or stand where there is no place."""
    count, first, last = queries.span(look.session.connection())
    if (count, first, last) != (look.size, 0, look.size - 1) and look.size:
        detail = (
            f"{count} entries from {first} to {last} are here, and the head says "
            f"{look.size}"
        )
        yield Finding(None, "gap", detail)


def _standing_findings(look: _Look) -> Iterator[Finding]:
    """Yield whether the views say that other entries govern than at the audit."""
    then = look.audited
    if then is None or then.size > look.size or then.changes:
        return
    if governing_digest(look.session, then.size) != then.governing:
        detail = (
            f"which of the first {then.size} entries govern, or which times are "
            f"doubted, is told otherwise than when they were audited"
        )
        yield Finding(None, "view", detail)


def _outside(look: _Look, walk: Walk, roots: dict[int, bytes]) -> Iterator[Finding]:
    """Yield what the newest checkpoints, and the audit's line, say otherwise."""
    newest = queries.newest_note(look.session.connection())
    in_table = [newest[1]] if newest is not None else []
    kept, lacking = kept_notes(look.kept, in_table)
    yield from lacking
    notes = [*in_table, *kept[-1:]]
    sizes = {size for size in map(note_size, notes) if size is not None}
    then, shop = look.audited, look.shop
    if then is not None:
        sizes.add(then.size)
    remembered = kept_heads(shop.store, shop.folder, shop.state)
    sizes |= {known.signed.head.size for known in remembered}
    # Of what was walked now, the walk tells; of what stands before it, the tiles.
    for size in sizes - roots.keys():
        if size <= walk.size:
            roots[size] = merkle.edge_root(_edge_at(look.session, size))
    standing = walk.standing
    yield from note_findings(notes, standing, roots, walk.size)
    yield from remembered_findings(remembered, standing, roots, walk.size)
    if then is not None:
        head = Outside(size=then.size, root_start=bytes.fromhex(then.root))
        yield from outside_findings(head, standing, roots, walk.size)


def _going_on(look: _Look, before: Judged) -> Walk:
    """Return a walk that goes on behind the entries that are not read again."""
    session, start = look.session, look.start
    connection = session.connection()

    def earlier(index: int) -> bytes | None:
        """Return an entry's record as long as it is the one that the tree holds."""
        data = queries.record(connection, index) if 0 <= index < start else None
        is_there = data and merkle.leaf_hash(data) == _node(session, 0, index)
        return data if is_there else None

    def hear(entry: Entry, event: Event | None) -> None:
        if isinstance(event, Paper):
            look.outside = max(look.outside or (0, ""), (event.size, entry.at[:10]))

    last = earlier(start - 1)
    return Walk(
        level=ALL,
        heard=hear,
        earlier=earlier,
        standing=before.standing,
        onces=onces_used(session, before=start),
        size=start,
        next_index=start,
        edge=_edge_at(session, start),
        previous=NO_PREVIOUS if last is None else merkle.leaf_hash(last).hex(),
        newest_at="" if last is None else parse_record(last).entry.at,
        doubts=doubted_times(session, before=start),
    )


def _edge_at(session: Session, size: int) -> tuple[bytes, ...]:
    """Return the right edge of the first `size` entries, out of the tiles."""
    return merkle.edge_at(size, lambda level, number: _node(session, level, number))


def _node(session: Session, level: int, number: int) -> bytes:
    connection = session.connection()
    return tiles.node(level, number, lambda *at: queries.tile(connection, *at))
