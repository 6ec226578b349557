"""Anyone judges the whole log: walk everything again and say what was changed.

Level `tree` hashes every record and compares chain, tiles, head and checkpoints.
Level `roles` also judges who might say what, with every governing signature. Level
`all` checks every signature, folds the views again, hashes every file, hears every
recording, reads every meter and logger again, works out every grade, and opens every
commitment in the vault.

All of it is judged as it stood at one moment, however much is appended meanwhile.

What no audit of one copy can know: whether its last entries, with every head that
spoke of them, were taken away. A checkpoint that left the building shows it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from sqlmodel import Session

from ledger.acts.outside import kept_heads
from ledger.acts.shop import Shop
from ledger.audit.bench import Before, bench_findings
from ledger.audit.disputes import dispute_findings
from ledger.audit.findings import CAUSES, Finding
from ledger.audit.holds import hold_findings
from ledger.audit.judgements import grade_findings
from ledger.audit.logs import log_findings, meter_findings
from ledger.audit.present import (
    SecondViews,
    attachment_findings,
    custody_findings,
    guard_findings,
    vault_findings,
)
from ledger.audit.readings import reading_findings
from ledger.audit.tree import (
    TileBuilder,
    head_findings,
    kept_notes,
    note_findings,
    note_size,
    outside_findings,
    read_kept,
    remembered_findings,
)
from ledger.audit.walk import ALL, LEVELS, TREE, Walk
from ledger.check.outside import Outside
from ledger.events import (
    CertificatePrinted,
    Event,
    ShipmentPapersPrinted,
    ShipmentPapersPrintedV1,
    SlipPrinted,
    TagPrinted,
)
from ledger.log import queries
from ledger.log.entry import Entry
from ledger.log.merkle import EMPTY_ROOT
from ledger.log.standing import Closed

__all__ = ["ALL", "CAUSES", "LEVELS", "Finding", "Outside", "Report", "audit"]

Progress = Callable[[int, int], None]
# What carries a head out of the building and says which.
Paper = TagPrinted | SlipPrinted | ShipmentPapersPrinted | ShipmentPapersPrintedV1


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What an audit walked over and what it found."""

    level: str
    size: int
    root: bytes
    findings: tuple[Finding, ...]
    newest_outside: tuple[int, str] | None  # size and day, as papers carried it
    clouded_by: str | None = None  # the kind that leaves all roles after it open
    closed: tuple[Closed, ...] = ()  # older volumes, whose newest entries are lost

    @property
    def is_clouded(self) -> bool:
        """Tell whether nobody here can say who may say what any more."""
        return self.clouded_by is not None

    def __bool__(self) -> bool:
        is_sound = all(finding.is_open for finding in self.findings)
        return is_sound and not self.is_clouded


def audit(
    shop: Shop,
    *,
    level: str = ALL,
    against: Outside | None = None,
    progress: Progress | None = None,
) -> Report:
    """Walk over everything again and return what was found; never raises for it.

    `against` is a head that was kept outside this machine; those that this account saw
    are held against the log too. `progress` is told how many entries of how many are
    walked.
    """
    # First: whatever is in the file was in the table before.
    kept = read_kept(shop.folder)
    with shop.store.reading() as session:
        course = _Course(shop, session, kept, level, against)
        course.walk(progress)
        findings = tuple(course.findings())
    return Report(
        level=level,
        size=course.steps.size,
        root=course.steps.root,
        findings=findings,
        newest_outside=course.newest_outside,
        clouded_by=course.steps.standing.clouded_by,
        closed=tuple(course.steps.standing.closed),
    )


class _Course:
    """One audit under way."""

    def __init__(
        self,
        shop: Shop,
        session: Session,
        kept: bytes | Finding | None,
        level: str,
        against: Outside | None,
    ) -> None:
        self._shop = shop
        self._session = session
        self._connection = session.connection()
        self._level = level
        self._against = against
        self._last_outside: bytes | None = None
        self._remembered = kept_heads(shop.store, shop.folder, shop.state)
        self._notes = queries.notes(self._connection)
        in_table = [note for _, note in self._notes]
        self._kept, self._kept_findings = kept_notes(kept, in_table)
        self._signed = {note_size(note) for note in (*in_table, *self._kept)}
        self._views = SecondViews() if level == ALL else None
        self._tiles = TileBuilder()
        self._tile_findings: list[Finding] = []
        self._tiles_seen: set[tuple[int, int]] = set()
        self._roots = {0: EMPTY_ROOT}
        self._carried: tuple[int, str] | None = None
        self._paper_findings: list[Finding] = []
        self._bench_findings: list[Finding] = []
        self.steps = Walk(level=level, heard=self._hear)

    @property
    def newest_outside(self) -> tuple[int, str] | None:
        """The newest checkpoint that left on a paper, and the day it did."""
        return self._carried

    def walk(self, progress: Progress | None) -> None:
        """Walk over every stored row, and build the tiles beside it."""
        sizes = self._signed | {kept.signed.head.size for kept in self._remembered}
        if self._against is not None:
            sizes.add(self._against.size)
        heads = queries.heads(self._connection)
        total = next((size for size, _, _ in heads), 0)
        for index, record, leaf in queries.all_entries(self._connection):
            hashed = self.steps.feed(index, record, leaf)
            if hashed is None:
                continue
            if self._against is not None and self.steps.size == self._against.size:
                self._last_outside = hashed
            for tile in self._tiles.add(hashed):
                self._compare_tile(*tile)
            if self.steps.size in sizes:
                self._roots[self.steps.size] = self.steps.root
            if progress is not None:
                progress(self.steps.size, total)

    def findings(self) -> Iterator[Finding]:
        """Return everything that was found, the records' own findings first."""
        yield from self.steps.findings
        yield from self._paper_findings
        yield from self._bench_findings
        yield from dispute_findings(self.steps)
        for tile in self._tiles.rest():
            self._compare_tile(*tile)
        yield from self._tile_findings
        for level, number, _ in queries.all_tiles(self._connection):
            if (level, number) not in self._tiles_seen:
                detail = f"tile {number} of level {level} belongs to no entry"
                yield Finding(None, "tile", detail)
        yield from self._beside_the_records()
        if self._level == TREE:
            return
        yield from custody_findings(self._shop, self.steps.standing)
        if self._views is not None:
            yield from self._views.findings
            yield from attachment_findings(self._shop, self._views.session)
            yield from reading_findings(self._shop, self._views.session)
            yield from grade_findings(self._views.session)
            yield from hold_findings(self._views.session)
            yield from meter_findings(self._views.session)
            yield from log_findings(self._shop, self._views.session)
            yield from vault_findings(self._shop, self._views.session)
            # Last: a view that cannot be read may end the transaction.
            yield from self._views.compare(self._session)
            self._views.close()

    def _beside_the_records(self) -> Iterator[Finding]:
        steps = self.steps
        walked = (steps.size, steps.root, b"".join(steps.edge))
        yield from head_findings(walked, queries.heads(self._connection))
        yield from guard_findings(self._session)
        yield from self._kept_findings
        standing = steps.standing
        yield from remembered_findings(
            self._remembered, standing, self._roots, steps.size
        )
        if standing.log_key is None:
            return
        in_table = [note for _, note in self._notes]
        for size, note in self._notes:
            if note_size(note) not in (size, None):
                detail = f"it is kept as one of {size} entries, and says another size"
                yield Finding(None, "checkpoint", detail)
        yield from note_findings(in_table, standing, self._roots, steps.size)
        yield from note_findings(self._kept, standing, self._roots, steps.size)
        if self._against is not None:
            yield from outside_findings(
                self._against, standing, self._roots, steps.size, self._last_outside
            )

    def _compare_tile(self, level: int, number: int, hashes: bytes) -> None:
        self._tiles_seen.add((level, number))
        if queries.tile(self._connection, level, number) != hashes:
            detail = f"tile {number} of level {level} holds other hashes"
            self._tile_findings.append(Finding(None, "tile", detail))

    def _hear(self, entry: Entry, event: Event | None) -> None:
        size = self._size_carried(entry, event)
        if size is not None and (self._carried is None or size >= self._carried[0]):
            self._carried = (size, entry.at[:10])
        if self._views is not None:
            self._judge_at_the_bench(self._views, entry, event)
            self._views.hear(entry)

    def _judge_at_the_bench(
        self, views: SecondViews, entry: Entry, event: Event | None
    ) -> None:
        if event is not None:
            before = Before(
                session=views.session,
                standing=self.steps.standing,
                keys=self.steps.keys,
                read=partial(queries.record, self._connection),
            )
            self._bench_findings += bench_findings(before, entry, event)

    def _size_carried(self, entry: Entry, event: Event | None) -> int | None:
        """Return the size of the head that a paper carried out, if it is one of ours.

        An owner's card carries none.
        """
        if isinstance(event, Paper):
            return event.size if self._is_ours(entry, event) else None
        if not isinstance(event, CertificatePrinted) or _is_card(event.paper):
            return None
        signed = {size for size, _ in self._notes if size <= entry.index}
        return max(signed, default=None)

    def _is_ours(self, entry: Entry, event: Paper) -> bool:
        """Tell whether a paper carried out a head that was signed, of this history."""
        root = self._roots.get(event.size)
        is_signed = event.size in self._signed and event.size <= entry.index
        if root is None or not is_signed:
            detail = f"the paper carries a head of {event.size} entries, never signed"
        elif root.hex() != event.root:
            detail = f"the paper carries another root of {event.size} entries"
        else:
            return True
        self._paper_findings.append(Finding(entry.index, "checkpoint", detail))
        return False


def _is_card(paper: str) -> bool:
    return paper == "card" or paper.startswith("owner-card")
