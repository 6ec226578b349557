"""How the tree is kept so that any of its hashes is found at once: in tiles.

A tile of level t holds up to 256 neighbouring hashes end to end, each the root of a
subtree of 2^(8t) leaves. A tile only ever grows at its end; when it is full, its own
root is the next hash of the level above, and the tile never changes again.

Source: C2SP tlog-tiles (tiles of height 8).
"""

from collections.abc import Callable, Iterator

from ledger.errors import TamperError
from ledger.log import merkle
from ledger.log.merkle import HASH_SIZE, TILE_WIDTH

FULL = TILE_WIDTH * HASH_SIZE

# Tells the hashes of the tile (level, number), end to end; nothing where there is none.
TileReader = Callable[[int, int], bytes]


def grown(size: int, leaf: bytes, tile: TileReader) -> Iterator[tuple[int, int, bytes]]:
    """Tell what the tiles that a leaf touches hold once it follows `size` others.

    They come as (level, number, hashes) from level 0 upwards. Raises TamperError where
    a tile does not hold as many hashes as a tree of that size has there.
    """
    level, place, node = 0, size, leaf
    while True:
        number, offset = divmod(place, TILE_WIDTH)
        before = tile(level, number) if offset else b""
        if len(before) != offset * HASH_SIZE:
            raise TamperError(_misfit(level, number, len(before), offset))
        hashes = before + node
        yield level, number, hashes
        if len(hashes) < FULL:
            return
        level, place, node = level + 1, number, merkle.root(split(hashes))


def node(level: int, number: int, tile: TileReader) -> bytes:
    """Return the hash of a complete subtree of 2^level leaves out of its tile.

    Raises TamperError where the tile does not hold it.
    """
    tile_level, above = divmod(level, merkle.TILE_HEIGHT)
    tile_number, offset = divmod(number << above, TILE_WIDTH)
    hashes = tile(tile_level, tile_number)
    if len(hashes) < (offset + (1 << above)) * HASH_SIZE:
        needed = offset + (1 << above)
        raise TamperError(_misfit(tile_level, tile_number, len(hashes), needed))
    return merkle.tile_node(level, number, lambda *_: hashes)


def root_of(size: int, tile: TileReader) -> bytes:
    """Return the root of the first `size` leaves; TamperError where tiles lack it."""

    def at(level: int, number: int) -> bytes:
        return node(level, number, tile)

    return merkle.edge_root(merkle.edge_at(size, at))


def between(old: int, new: int) -> Iterator[tuple[int, int, int]]:
    """Tell which tiles a tree of `new` leaves has that one of `old` had not.

    They come as (level, number, width): those that are full, and at the end of each
    level the one that is not, if there is any.
    """
    level, before, count = 0, old, new
    while count:
        full, rest = divmod(count, TILE_WIDTH)
        for number in range(before // TILE_WIDTH, full):
            yield level, number, TILE_WIDTH
        if rest:
            yield level, full, rest
        level, before, count = level + 1, before // TILE_WIDTH, full


def path(level: int, number: int, width: int = TILE_WIDTH) -> str:
    """Return where a tile lies below the address of a log.

    >>> path(0, 1234067, 8)
    'tile/0/x001/x234/067.p/8'
    """
    digits = f"{number:03d}"
    digits = digits.zfill(-(-len(digits) // 3) * 3)
    groups = [digits[n : n + 3] for n in range(0, len(digits), 3)]
    place = "/".join([*(f"x{group}" for group in groups[:-1]), groups[-1]])
    return f"tile/{level}/{place}" + ("" if width == TILE_WIDTH else f".p/{width}")


def split(hashes: bytes) -> list[bytes]:
    """Return the hashes that were written end to end."""
    return [hashes[i : i + HASH_SIZE] for i in range(0, len(hashes), HASH_SIZE)]


def _misfit(level: int, number: int, length: int, needed: int) -> str:
    return (
        f"tile {number} of level {level} has {length} bytes where "
        f"{needed * HASH_SIZE} are needed: audit the log before anything else"
    )
