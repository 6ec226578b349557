"""The tree beside the records: tiles, head and checkpoints against what was walked."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from ledger.acts.heads import is_unfinished, split_notes
from ledger.acts.layout import CHECKPOINTS
from ledger.acts.outside import Gap, Kept, is_given_up
from ledger.acts.tenures import signed_too_late
from ledger.audit.findings import Finding
from ledger.check.outside import Outside
from ledger.errors import TamperError
from ledger.log import merkle
from ledger.log.checkpoint import checkpoint_by, parse_checkpoint, parse_note
from ledger.log.merkle import TILE_WIDTH
from ledger.log.standing import Closed, Standing

# So much of a root, in hex, do ten words tell.
WORDED = 20


@dataclass(slots=True)
class TileBuilder:
    """The tiles of a growing tree: hands out each one that is full."""

    open: list[list[bytes]] = field(default_factory=list)
    done: list[int] = field(default_factory=list)

    def add(self, leaf: bytes) -> Iterator[tuple[int, int, bytes]]:
        """Take one leaf hash; yield level, number and hashes of tiles now full."""
        level, node = 0, leaf
        while True:
            if level == len(self.open):
                self.open.append([])
                self.done.append(0)
            self.open[level].append(node)
            if len(self.open[level]) < TILE_WIDTH:
                return
            yield level, self.done[level], b"".join(self.open[level])
            node = merkle.root(self.open[level])
            self.open[level] = []
            self.done[level] += 1
            level += 1

    def rest(self) -> Iterator[tuple[int, int, bytes]]:
        """Yield the tiles that are begun and not full."""
        for level, hashes in enumerate(self.open):
            if hashes:
                yield level, self.done[level], b"".join(hashes)


def head_findings(
    walked: tuple[int, bytes, bytes], stored: list[tuple[int, bytes, bytes]]
) -> list[Finding]:
    """Compare the head of the walked records with the stored one: size, root, edge."""
    if stored == [walked]:
        return []
    if len(stored) != 1:
        detail = f"there are {len(stored)} heads where there is one"
    elif stored[0][0] != walked[0]:
        detail = f"{walked[0]} entries are here, and the head says {stored[0][0]}"
    else:
        detail = "the stored root or right edge is not the records'"
    return [Finding(None, "head", detail)]


def note_findings(
    notes: Iterable[str], standing: Standing, roots: dict[int, bytes], size: int
) -> list[Finding]:
    """Judge the shop's own checkpoints: signed by the log, and of this history.

    One of the entries that a next volume says are lost speaks of no entry here.
    """
    found = []
    for note in notes:
        try:
            if given_up(standing, note) is not None:
                continue
            head = checkpoint_by(note, standing.log_keys_at)
        except TamperError as fault:
            found.append(Finding(None, "checkpoint", str(fault)))
            continue
        found += _history_findings(Outside.of(head), roots, size, "checkpoint")
    return found


def given_up(standing: Standing, note: str) -> Closed | None:
    """Return the closed volume whose lost entries a signed head speaks of, or None.

    Raises TamperError where that volume's key did not sign it.
    """
    head = parse_checkpoint(parse_note(note))
    closed = standing.closed_as(head.origin)
    if closed is None or not closed.proves(head.size):
        return None
    checkpoint_by(note, lambda _: standing.log_keys_at(closed.size))
    return closed


def outside_findings(
    head: Outside,
    standing: Standing,
    roots: dict[int, bytes],
    size: int,
    leaf: bytes | None = None,
) -> list[Finding]:
    """Judge a head that was kept elsewhere against this history.

    leaf  the hash of the last of its entries, as it is here
    """
    names = {tenure.origin for tenure in standing.log_tenures}
    if head.origin not in (None, *names):
        detail = f"it is of the log {head.origin}, and this one is {standing.origin}"
        return [Finding(None, "outside", detail)]
    if head.note is not None:
        try:
            closed = given_up(standing, head.note)
            if closed is not None:
                return [Finding(closed.size, "lost", _lost_words(closed))]
            checkpoint_by(head.note, standing.log_keys_at)
        except TamperError as fault:
            late = signed_too_late(standing, head.note)
            why = f"it is {late}" if late is not None else str(fault)
            detail = f"what you gave was not signed by this log: {why}"
            return [Finding(None, "outside", detail)]
    found = _history_findings(head, roots, size, "outside")
    if not found and head.leaf not in (None, leaf):
        detail = f"entry {head.size - 1} is not the one that the card speaks of"
        found = [Finding(head.size - 1, "outside", detail)]
    return [_of_a_volume(head, standing, finding) for finding in found]


def _of_a_volume(head: Outside, standing: Standing, finding: Finding) -> Finding:
    """Say of a head that does not fit whether it is of entries that are lost.

    It is where it is the head that proved them. What else is typed, and a card, name no
    volume: such a head may be of either, and of both it cannot be known.
    """
    for closed in standing.closed:
        of_it = head.root_start.hex()[:WORDED], closed.proven_root[:WORDED]
        if head.size == closed.proven_size and of_it[0] == of_it[1]:
            return Finding(closed.size, "lost", _lost_words(closed))
    may_be = next((c for c in standing.closed if c.proves(head.size)), None)
    if may_be is None or head.origin is not None:
        return finding
    detail = f"{finding.detail}; or it is of entries that are lost: {may_be}"
    return Finding(finding.index, finding.cause, detail)


def _lost_words(closed: Closed) -> str:
    return f"what you gave speaks of entries that are lost: {closed}"


def remembered_findings(
    remembered: Iterable[Kept], standing: Standing, roots: dict[int, bytes], size: int
) -> list[Finding]:
    """Judge the heads that this account, or the shop's folder, still holds.

    One of a volume that was closed may prove more than was said to be lost.
    """
    found = []
    for kept in remembered:
        head = kept.signed.head
        if is_given_up(standing.closed, head):
            closed = standing.closed_as(head.origin)
            if closed is not None and head.size > max(closed.size, closed.proven_size):
                more = f"a checkpoint {kept.of_day}, proves {head.size:,}"
                found.append(Finding(closed.size, "lost", f"{closed}; {more}"))
            continue
        gap = Gap(kept=kept, proven=head, size=size)
        if gap.missing:
            found.append(Finding(size, "missing", str(gap)))
        elif roots.get(head.size) != head.root:
            found.append(Finding(None, "checkpoint", str(gap)))
    return found


def note_size(note: str) -> int | None:
    """Return the size a note speaks of, or None where it is no checkpoint."""
    try:
        return parse_checkpoint(parse_note(note)).size
    except TamperError:
        return None


def read_kept(folder: Path) -> bytes | Finding | None:
    """Read the file of checkpoints, or say why it cannot be read; None without one."""
    path = folder / CHECKPOINTS
    try:
        return path.read_bytes() if path.exists() else None
    except OSError as problem:
        detail = f"{CHECKPOINTS} cannot be read ({problem.strerror})"
        return Finding(None, "kept", detail)


def kept_notes(
    data: bytes | Finding | None, in_table: Sequence[str]
) -> tuple[list[str], list[Finding]]:
    """Return the notes that only the file of checkpoints has, and what it lacks.

    The table has a note before the file: the newest may have been cut off, half
    written or not at all.
    """
    if isinstance(data, Finding):
        return [], [data]
    notes, rest = split_notes(data or b"")
    if rest and not is_unfinished(rest, in_table):
        notes.append(rest.decode("utf-8", errors="replace"))
    lost = [note for note in notes if note not in in_table]
    needed = in_table if data is None else in_table[:-1]
    lacking = [note for note in needed if note not in notes]
    if not lacking:
        return lost, []
    detail = f"{CHECKPOINTS} lacks {len(lacking)} of the heads that were signed"
    return lost, [Finding(None, "kept", detail)]


def _history_findings(
    head: Outside, roots: dict[int, bytes], size: int, cause: str
) -> list[Finding]:
    if head.size > size:
        what = "a checkpoint" if head.leaf is None else "a card"
        are = "entry is" if head.size - size == 1 else "entries are"
        detail = (
            f"{what} proves that {head.size} entries existed, and this log ends "
            f"after {size}: {head.size - size} {are} missing"
        )
        return [Finding(size, "missing", detail)]
    root = roots.get(head.size, merkle.EMPTY_ROOT)
    if root[: len(head.root_start)] != head.root_start:
        detail = f"the first {head.size} entries are not those that were signed for"
        return [Finding(None, cause, detail)]
    return []
