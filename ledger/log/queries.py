"""What is asked of the log's tables, and written to them, within one transaction.

Every statement is built once: to build one takes longer than to run it. Whatever comes
back is judged here as far as one look allows; the rest is the audit's.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sqlalchemy import (
    Connection,
    LargeBinary,
    and_,
    bindparam,
    cast,
    func,
    or_,
    select,
)

from ledger.errors import TamperError
from ledger.log import merkle, tiles
from ledger.log.entry import Record, parse_record
from ledger.log.tables import CHECKPOINT, ENTRY, HEAD, TILE

# At most 16 MiB of records in memory at once.
CHUNK = 256
# Beyond any index: the smallest and the largest number that both databases hold.
NO_START, NO_STOP = -(2**63), 2**63 - 1

# Cast, so that what was stored as text past the guards is read as bytes and judged.
_RECORD = cast(ENTRY.c.record, LargeBinary).label("record")
_LEAF = cast(ENTRY.c.leaf, LargeBinary).label("leaf")
_HASHES = cast(TILE.c.hashes, LargeBinary).label("hashes")

_ROOT = cast(HEAD.c.root, LargeBinary).label("root")
_EDGE = cast(HEAD.c.edge, LargeBinary).label("edge")
_NOTE = cast(CHECKPOINT.c.note, LargeBinary).label("note")

_READ_HEAD = select(HEAD.c.size, _ROOT, _EDGE)
_LOCK_HEAD = _READ_HEAD.with_for_update()
_WRITE_HEAD = HEAD.update().values(
    size=bindparam("size"), root=bindparam("root"), edge=bindparam("edge")
)

_ENTRIES = select(ENTRY.c.idx, _RECORD, _LEAF)
_READ_RECORD = select(_RECORD).where(ENTRY.c.idx == bindparam("index"))
_READ_NEWEST = _ENTRIES.order_by(ENTRY.c.idx.desc()).limit(1)
_READ_ENTRIES = (
    _ENTRIES.where(ENTRY.c.idx >= bindparam("start"), ENTRY.c.idx < bindparam("stop"))
    .order_by(ENTRY.c.idx)
    .limit(CHUNK)
)
_READ_SPAN = select(
    func.count(ENTRY.c.idx), func.min(ENTRY.c.idx), func.max(ENTRY.c.idx)
)
_ADD_ENTRY = ENTRY.insert()

_THERE = and_(TILE.c.level == bindparam("at"), TILE.c.number == bindparam("place"))
_LATER = or_(
    TILE.c.level > bindparam("at"),
    and_(TILE.c.level == bindparam("at"), TILE.c.number > bindparam("place")),
)
_READ_TILE = select(_HASHES).where(_THERE)
_READ_TILES = (
    select(TILE.c.level, TILE.c.number, _HASHES)
    .where(_LATER)
    .order_by(TILE.c.level, TILE.c.number)
    .limit(CHUNK)
)
_WRITE_TILE = TILE.update().where(_THERE).values(hashes=bindparam("hashes"))
_ADD_TILE = TILE.insert()

_NOTES = select(CHECKPOINT.c.size, _NOTE)
_READ_NOTES = _NOTES.order_by(CHECKPOINT.c.size, CHECKPOINT.c.note)
_READ_NEWEST_NOTE = _NOTES.order_by(
    CHECKPOINT.c.size.desc(), CHECKPOINT.c.note.desc()
).limit(1)
_ADD_NOTE = CHECKPOINT.insert()


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The tree as it stands."""

    size: int
    root: bytes
    edge: tuple[bytes, ...]


def head(connection: Connection, *, locked: bool = False) -> Head:
    """Read the head, and hold it against other writers if asked.

    Raises TamperError where there is not one, or its parts do not fit.
    """
    found = connection.execute(_LOCK_HEAD if locked else _READ_HEAD).all()
    if len(found) != 1:
        raise TamperError(
            f"the log has {len(found)} heads where there is one: "
            f"put back the newest copy, and audit that"
        )
    size, root, edge = found[0]
    there = Head(size=size, root=root, edge=tuple(tiles.split(edge)))
    if len(there.edge) != size.bit_count() or merkle.edge_root(there.edge) != root:
        raise TamperError(
            f"the head of size {size} and its right edge do not give the root "
            f"{root.hex()}: audit the log before anything else"
        )
    return there


def heads(connection: Connection) -> list[tuple[int, bytes, bytes]]:
    """Read size, root and right edge of every head as stored."""
    return [(size, root, edge) for size, root, edge in connection.execute(_READ_HEAD)]


def write_head(connection: Connection, new: Head) -> None:
    """Let the head grow."""
    row = {"size": new.size, "root": new.root, "edge": b"".join(new.edge)}
    connection.execute(_WRITE_HEAD, row)


def record(connection: Connection, index: int) -> bytes | None:
    """Read the record at an index, or None."""
    return connection.scalar(_READ_RECORD, {"index": index})


def newest(connection: Connection, there: Head) -> Record | None:
    """Read the newest record, or None in an empty log.

    Raises TamperError where it is not where the head and the tiles say.
    """
    found = connection.execute(_READ_NEWEST).first()
    size = found.idx + 1 if found else 0
    if size != there.size:
        raise TamperError(
            f"the log has {size} entries, and its head says {there.size}: "
            f"audit the log before anything else"
        )
    if found is None:
        return None
    number, offset = divmod(found.idx, merkle.TILE_WIDTH)
    in_tile = b"".join(tiles.split(tile(connection, 0, number))[offset:])
    if not merkle.leaf_hash(found.record) == found.leaf == in_tile:
        raise TamperError(
            f"the newest entry, {found.idx}, and its leaf hash do not fit: "
            f"audit the log before anything else"
        )
    return parse_record(found.record)


def entries(
    connection: Connection, start: int, stop: int | None
) -> Sequence[tuple[int, bytes, bytes]]:
    """Read the next entries as (index, record, leaf hash), at most CHUNK of them."""
    place = {"start": start, "stop": NO_STOP if stop is None else stop}
    found = connection.execute(_READ_ENTRIES, place)
    return [(index, data, leaf) for index, data, leaf in found]


def span(connection: Connection) -> tuple[int, int, int]:
    """Tell how many entries there are, and the first and the last index; 0 of none."""
    count, first, last = connection.execute(_READ_SPAN).one()
    return count, first or 0, last or 0


def all_entries(
    connection: Connection, start: int = NO_START
) -> Iterator[tuple[int, bytes, bytes]]:
    """Read every row of entries from an index on, also what stands before the first."""
    while chunk := entries(connection, start, None):
        yield from chunk
        start = chunk[-1][0] + 1


def all_tiles(connection: Connection) -> Iterator[tuple[int, int, bytes]]:
    """Read every row of tiles, also one of no level that there is."""
    level, number = NO_START, NO_START
    while chunk := tiles_after(connection, level, number):
        yield from chunk
        level, number, _ = chunk[-1]


def add_entry(connection: Connection, index: int, data: bytes, leaf: bytes) -> None:
    """Add a record at the end."""
    connection.execute(_ADD_ENTRY, {"idx": index, "record": data, "leaf": leaf})


def tile(connection: Connection, level: int, number: int) -> bytes:
    """Read the hashes of a tile; nothing where there is none."""
    return connection.scalar(_READ_TILE, {"at": level, "place": number}) or b""


def tiles_after(
    connection: Connection, level: int, number: int
) -> Sequence[tuple[int, int, bytes]]:
    """Read the tiles behind one as (level, number, hashes), at most CHUNK of them."""
    found = connection.execute(_READ_TILES, {"at": level, "place": number})
    return [(there, place, hashes) for there, place, hashes in found]


def write_tile(connection: Connection, level: int, number: int, hashes: bytes) -> None:
    """Let a tile grow, or begin it."""
    row = {"at": level, "place": number, "hashes": hashes}
    if connection.execute(_WRITE_TILE, row).rowcount == 0:
        row = {"level": level, "number": number, "hashes": hashes}
        connection.execute(_ADD_TILE, row)


def notes(connection: Connection) -> list[tuple[int, str]]:
    """Read every checkpoint as (size, note), the smallest size first."""
    return [(size, _text(note)) for size, note in connection.execute(_READ_NOTES)]


def newest_note(connection: Connection) -> tuple[int, str] | None:
    """Read the checkpoint of the largest size, or None before the first."""
    found = connection.execute(_READ_NEWEST_NOTE).first()
    return (found.size, _text(found.note)) if found else None


def add_note(connection: Connection, size: int, note: str) -> None:
    """Add a checkpoint."""
    connection.execute(_ADD_NOTE, {"size": size, "note": note.encode("utf-8")})


def _text(note: bytes) -> str:
    # A damaged note is shown as it is; its signature will not fit.
    return note.decode("utf-8", errors="replace")
