"""Tiles are judged against the tree itself and against an independent library."""

import hashlib
import random
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from pymerkle import InmemoryTree

from ledger.errors import TamperError
from ledger.log import merkle, tiles

Kept = dict[tuple[int, int], bytes]


def kept_for(leaves: list[bytes]) -> Kept:
    """Return all tiles of a tree, grown one leaf at a time."""
    kept: Kept = {}
    for size, leaf in enumerate(leaves):
        add(kept, size, leaf)
    return kept


def add(kept: Kept, size: int, leaf: bytes) -> None:
    """Let the tiles grow by one leaf."""
    for level, number, hashes in tiles.grown(size, leaf, lambda *at: kept[at]):
        kept[level, number] = hashes


def nodes_of(kept: Kept) -> merkle.NodeReader:
    """Return how the tree's nodes are looked up in these tiles."""
    return lambda level, number: tiles.node(level, number, lambda *at: kept[at])


def some_leaves(count: int) -> list[bytes]:
    """Return leaf hashes over the numbers from 0."""
    return [merkle.leaf_hash(b"%d" % n) for n in range(count)]


def test_every_node_of_a_small_tree_is_found_in_its_tile() -> None:
    """Whatever the subtree, its tile gives the root over its own leaves."""
    leaves = some_leaves(600)
    kept = kept_for(leaves)

    for level in range(10):
        for number in range(600 >> level):
            under = leaves[number << level : (number + 1) << level]
            found = nodes_of(kept)(level, number)
            assert found == merkle.root(under), (level, number)


@pytest.mark.parametrize("size", [65_535, 65_536, 65_537, 66_049])
def test_a_tile_of_the_third_level_begins_with_the_65536th_leaf(size: int) -> None:
    """Three levels carry over at once, and the roots still agree with the tree's."""
    leaves = some_leaves(size)
    kept = kept_for(leaves)
    widths = {at: len(hashes) // 32 for at, hashes in kept.items()}
    expected = {
        (level, number): min(256, (size >> 8 * level) - 256 * number)
        for level in range(3)
        for number in range(-(-(size >> 8 * level) // 256))
    }
    edge = merkle.edge_at(size, nodes_of(kept))

    assert widths == expected
    assert merkle.edge_root(edge) == merkle.root(leaves)


def test_roots_out_of_tiles_agree_with_an_independent_library() -> None:
    """For random entries, the root at every size is the one that pymerkle tells."""
    chance = random.Random(6962)  # noqa: S311 (repeatable input, nothing secret)
    other = InmemoryTree(algorithm="sha256")
    kept: Kept = {}
    for size in range(800):
        data = chance.randbytes(chance.randrange(1, 200))
        other.append_entry(data)
        add(kept, size, merkle.leaf_hash(data))
        edge = merkle.edge_at(size + 1, nodes_of(kept))

        assert merkle.edge_root(edge) == other.get_root(), size + 1


@given(st.integers(1, 700))
def test_a_tile_only_grows_at_its_end(size: int) -> None:
    """The hashes a leaf adds stand behind those that were there."""
    kept = kept_for(some_leaves(size))

    for level, number, hashes in tiles.grown(size, b"x" * 32, lambda *at: kept[at]):
        before = kept.get((level, number), b"")
        assert hashes.startswith(before)
        assert len(hashes) == len(before) + 32


@pytest.mark.parametrize("damaged", [b"", b"x" * 32 * 9, b"x" * 32 * 11, b"x" * 319])
def test_a_tile_of_the_wrong_length_stops_the_growing(damaged: bytes) -> None:
    """A tree of ten leaves needs ten hashes there, neither more nor fewer."""
    with pytest.raises(TamperError, match=r"tile 0 of level 0 has \d+ bytes where 320"):
        list(tiles.grown(10, b"y" * 32, lambda *_: damaged))


def test_a_node_beyond_its_tile_is_damage_and_never_an_empty_hash() -> None:
    """A node whose tile is too short is refused, at the very next hash."""
    kept = kept_for(some_leaves(300))

    with pytest.raises(
        TamperError, match="tile 1 of level 0 has 1408 bytes where 1440"
    ):
        tiles.node(0, 300, lambda *at: kept[at])
    with pytest.raises(TamperError, match="tile 0 of level 1 has 32 bytes where 64"):
        tiles.node(9, 0, lambda *at: kept[at])


def test_the_root_of_every_smaller_tree_is_found_in_the_tiles_of_a_larger() -> None:
    """Tiles that grew since still hold the root of each size that was signed."""
    leaves = some_leaves(520)
    kept = kept_for(leaves)
    for size in (0, 1, 2, 255, 256, 257, 511, 512, 513, 520):
        found = tiles.root_of(size, lambda *at: kept[at])
        assert found == merkle.root(leaves[:size]), size
    with pytest.raises(TamperError, match="has 256 bytes where 288"):
        tiles.root_of(521, lambda *at: kept[at])


def test_hashes_are_split_as_they_were_joined() -> None:
    """What was written end to end comes apart again."""
    hashes = [hashlib.sha256(b"%d" % n).digest() for n in range(5)]

    assert tiles.split(b"".join(hashes)) == hashes


def test_tiles_lie_where_the_standard_says(standards: Callable[[str], Any]) -> None:
    """Three digits a folder, all but the last behind an x, a part by its width."""
    known = standards("notes_checkpoints.json")["tile_paths_c2sp_height8"]
    for path, of in known:
        # Bundles of entries have paths too, and are never laid out.
        if of["level"] != "entries":
            assert tiles.path(of["level"], of["index"], of["width"]) == path


@given(st.integers(0, 70_000), st.integers(0, 70_000))
@example(3, 512)
@example(256, 65_536)
def test_what_came_between_two_sizes_is_what_the_larger_one_has_more(
    one: int, other: int
) -> None:
    """Tile by tile, by its width: nothing is missing and nothing comes twice."""
    old, new = sorted((one, other))
    found = list(tiles.between(old, new))
    had = {at for at in tiles.between(0, old) if at[2] == 256}
    ends = {at for at in found if at[2] < 256}

    assert len(found) == len(set(found))
    assert set(found) - ends == set(tiles.between(0, new)) - ends - had


def test_the_tiles_of_a_larger_tree_are_told_and_no_older_ones() -> None:
    """Whole ones of each level, and the one at its end that is not whole."""
    assert list(tiles.between(0, 256)) == [(0, 0, 256), (1, 0, 1)]
    assert list(tiles.between(0, 257)) == [(0, 0, 256), (0, 1, 1), (1, 0, 1)]
    assert list(tiles.between(256, 513)) == [(0, 1, 256), (0, 2, 1), (1, 0, 2)]
    assert list(tiles.between(300, 512)) == [(0, 1, 256), (1, 0, 2)]
    assert list(tiles.between(0, 65_536))[-2:] == [(1, 0, 256), (2, 0, 1)]
    assert len(list(tiles.between(65_280, 65_536))) == 3
