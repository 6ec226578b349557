"""One hash for all that was said, and short proofs that something is under it.

The tree of RFC 6962 section 2.1 over SHA-256: a leaf is hashed behind the byte 00, a
node behind 01, and an odd node is never doubled. The tree's right edge is enough to
add leaves and to tell the root, in log n hashes. Proofs are built
through a function that looks nodes up, so that they cost log n reads, and are checked
by pure functions that need nothing else.

    >>> root([leaf_hash(b"")]).hex()[:16]
    '6e340b9cffb37a98'

Source: RFC 6962 sections 2.1.1 and 2.1.2; RFC 9162 sections 2.1.3.2 and 2.1.4.2
(how proofs are checked); C2SP tlog-tiles (tiles of 256 hashes).
"""

import hashlib
from collections.abc import Callable, Iterable, Sequence

HASH_SIZE = 32
TILE_HEIGHT = 8
TILE_WIDTH = 1 << TILE_HEIGHT
EMPTY_ROOT = hashlib.sha256(b"").digest()

# Tells the hash of the complete subtree of 2^level leaves that is number `number`.
NodeReader = Callable[[int, int], bytes]


def leaf_hash(data: bytes) -> bytes:
    """Return the hash of a leaf."""
    return hashlib.sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """Return the hash of a node over its two children."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def root(leaves: Iterable[bytes]) -> bytes:
    """Return the root hash over leaf hashes."""
    edge: tuple[bytes, ...] = ()
    for size, leaf in enumerate(leaves):
        edge = extend(edge, size, leaf)
    return edge_root(edge)


def extend(edge: tuple[bytes, ...], size: int, leaf: bytes) -> tuple[bytes, ...]:
    """Return the right edge of the tree after one more leaf.

    The edge holds the roots of the complete subtrees of the tree of `size` leaves,
    the largest first: one for each 1 in the binary form of `size`.
    """
    joined, left = leaf, size
    kept = list(edge)
    while left & 1:
        joined = node_hash(kept.pop(), joined)
        left >>= 1
    return (*kept, joined)


def edge_root(edge: Sequence[bytes]) -> bytes:
    """Return the root hash of the tree whose right edge this is."""
    if not edge:
        return EMPTY_ROOT
    top = edge[-1]
    for node in reversed(edge[:-1]):
        top = node_hash(node, top)
    return top


def edge_at(size: int, node: NodeReader) -> tuple[bytes, ...]:
    """Return the right edge of the tree of `size` leaves from its stored nodes."""
    edge, start = [], 0
    for level in reversed(range(size.bit_length())):
        if size >> level & 1:
            edge.append(node(level, start >> level))
            start += 1 << level
    return tuple(edge)


def inclusion_path(index: int, size: int, node: NodeReader) -> tuple[bytes, ...]:
    """Return the hashes that lead from leaf `index` to the root, the lowest first.

    Raises IndexError when there is no such leaf.
    """
    if not 0 <= index < size:
        raise IndexError(f"leaf {index} is not in a tree of {size}")
    return tuple(_path(index, 0, size, node))


def root_from_path(
    leaf: bytes, index: int, size: int, path: Sequence[bytes]
) -> bytes | None:
    """Return the root to which a path leads, or None where it cannot be a path.

    Source: RFC 9162 section 2.1.3.2.
    """
    if not 0 <= index < size or not _are_hashes([leaf, *path]):
        return None
    place, last, top = index, size - 1, leaf
    for sibling in path:
        if last == 0:
            return None
        if place & 1 or place == last:
            top = node_hash(sibling, top)
            place, last = _climb_left_edge(place, last)
        else:
            top = node_hash(top, sibling)
        place, last = place >> 1, last >> 1
    return top if last == 0 else None


def consistency_path(old: int, new: int, node: NodeReader) -> tuple[bytes, ...]:
    """Return the hashes that show a tree of `old` leaves to be the start of `new`.

    Raises IndexError unless 0 < old <= new.
    """
    if not 0 < old <= new:
        raise IndexError(f"a tree of {old} is not the start of a tree of {new}")
    return tuple(_subproof(old, 0, new, node, whole=True))


def is_consistent(
    old: int, new: int, old_root: bytes, new_root: bytes, path: Sequence[bytes]
) -> bool:
    """Tell whether a path shows that the old tree is the start of the new one.

    A proof from size 0 proves nothing and is never accepted.

    Source: RFC 9162 section 2.1.4.2.
    """
    if not 0 < old <= new or not _are_hashes([old_root, new_root, *path]):
        return False
    if old == new:
        return not path and old_root == new_root
    hashes = list(path) if old & (old - 1) else [old_root, *path]
    if not hashes:
        return False
    place, last = old - 1, new - 1
    while place & 1:
        place, last = place >> 1, last >> 1
    before = after = hashes[0]
    for sibling in hashes[1:]:
        if last == 0:
            return False
        if place & 1 or place == last:
            before, after = node_hash(sibling, before), node_hash(sibling, after)
            place, last = _climb_left_edge(place, last)
        else:
            after = node_hash(after, sibling)
        place, last = place >> 1, last >> 1
    return before == old_root and after == new_root and last == 0


def tile_node(level: int, number: int, tile: Callable[[int, int], bytes]) -> bytes:
    """Return the hash of a complete subtree out of tiles.

    A tile of level t holds the hashes of up to 256 neighbouring subtrees of 2^(8t)
    leaves. `tile(level, number)` returns the hashes of one tile, end to end.

    Source: C2SP tlog-tiles.
    """
    tile_level, above = divmod(level, TILE_HEIGHT)
    tile_number, offset = divmod(number << above, TILE_WIDTH)
    data = tile(tile_level, tile_number)
    hashes = [
        data[i * HASH_SIZE : (i + 1) * HASH_SIZE]
        for i in range(offset, offset + (1 << above))
    ]
    while len(hashes) > 1:
        pairs = zip(hashes[::2], hashes[1::2], strict=True)
        hashes = [node_hash(left, right) for left, right in pairs]
    return hashes[0]


def _climb_left_edge(place: int, last: int) -> tuple[int, int]:
    while not place & 1 and place:
        place, last = place >> 1, last >> 1
    return place, last


def _are_hashes(values: Sequence[bytes]) -> bool:
    return all(len(value) == HASH_SIZE for value in values)


def _largest_power_below(size: int) -> int:
    return 1 << (size - 1).bit_length() - 1


def _subtree(start: int, end: int, node: NodeReader) -> bytes:
    """Return the root over leaves start to end, where start is a tree's own start."""
    size = end - start
    if size & (size - 1) == 0:
        level = size.bit_length() - 1
        return node(level, start >> level)
    k = _largest_power_below(size)
    left = _subtree(start, start + k, node)
    return node_hash(left, _subtree(start + k, end, node))


def _path(index: int, start: int, end: int, node: NodeReader) -> list[bytes]:
    if end - start == 1:
        return []
    middle = start + _largest_power_below(end - start)
    if index < middle:
        return [*_path(index, start, middle, node), _subtree(middle, end, node)]
    return [*_path(index, middle, end, node), _subtree(start, middle, node)]


def _subproof(
    old: int, start: int, end: int, node: NodeReader, *, whole: bool
) -> list[bytes]:
    if old == end:
        return [] if whole else [_subtree(start, end, node)]
    middle = start + _largest_power_below(end - start)
    if old <= middle:
        left = _subproof(old, start, middle, node, whole=whole)
        return [*left, _subtree(middle, end, node)]
    right = _subproof(old, middle, end, node, whole=False)
    return [*right, _subtree(start, middle, node)]
