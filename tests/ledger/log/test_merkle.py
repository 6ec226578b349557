"""The tree and its proofs: published values, every small tree, every broken path."""

import base64
from collections.abc import Callable, Sequence
from typing import Any

import pymerkle
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.log import merkle
from tests.ledger.log.damage import broken_paths

Standards = Callable[[str], Any]

# The eight leaves known from the tests of RFC 6962 logs, and their roots by size.
LEAVES = (
    *("", "00", "10", "2021", "3031", "40414243", "5051525354555657"),
    "606162636465666768696a6b6c6d6e6f",
)
ROOTS = (
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
)
MANY = [merkle.leaf_hash(b"%d" % n) for n in range(600)]


def recursive_root(leaves: Sequence[bytes]) -> bytes:
    """Hash a tree just as RFC 6962 section 2.1 defines it."""
    if len(leaves) <= 1:
        return leaves[0] if leaves else merkle.EMPTY_ROOT
    k = 1
    while 2 * k < len(leaves):
        k *= 2
    return merkle.node_hash(recursive_root(leaves[:k]), recursive_root(leaves[k:]))


def complete_nodes(leaves: Sequence[bytes]) -> merkle.NodeReader:
    """Return a look-up of complete subtrees, each built level by level."""
    levels = [list(leaves)]
    while len(levels[-1]) > 1:
        row = levels[-1]
        pairs = zip(row[::2], row[1::2], strict=False)
        levels.append([merkle.node_hash(left, right) for left, right in pairs])
    return lambda level, number: levels[level][number]


NODE = complete_nodes(MANY)
TOP = [recursive_root(MANY[:size]) for size in range(258)]


@pytest.mark.parametrize("size", range(9))
def test_the_published_trees_have_their_roots(size: int) -> None:
    """The eight leaves of RFC 6962's test data hash to the published roots."""
    leaves = [merkle.leaf_hash(bytes.fromhex(leaf)) for leaf in LEAVES[:size]]

    assert merkle.root(leaves).hex() == ROOTS[size]


@pytest.mark.parametrize("number", range(98))
def test_an_inclusion_probe_is_judged_as_published(
    standards: Standards, number: int
) -> None:
    """Each published probe of an inclusion verifier is taken or refused as it says."""
    probe = standards("merkle_probes.json")["inclusion"][number]
    leaf, root = (base64.b64decode(probe[name] or "") for name in ("leafHash", "root"))
    path = [base64.b64decode(node) for node in probe["proof"] or []]
    top = merkle.root_from_path(leaf, probe["leafIdx"], probe["treeSize"], path)

    assert (top == root) is not probe["wantErr"], probe["desc"]


@pytest.mark.parametrize("number", range(98))
def test_a_consistency_probe_is_judged_as_published(
    standards: Standards, number: int
) -> None:
    """Each published probe of a consistency verifier is taken or refused as it says.

    One of them has roots of twelve bytes, which are no hashes: here that is refused.
    """
    probe = standards("merkle_probes.json")["consistency"][number]
    old, new = (base64.b64decode(probe[name] or "") for name in ("root1", "root2"))
    path = [base64.b64decode(node) for node in probe["proof"] or []]
    good = merkle.is_consistent(probe["size1"], probe["size2"], old, new, path)

    assert good is (not probe["wantErr"] and len(old) == 32), probe["desc"]


def test_the_proofs_of_the_published_tree_are_those_of_a_second_writer(
    standards: Standards,
) -> None:
    """All 36 inclusion and 36 consistency proofs over the eight leaves are the same."""
    known = standards("merkle_rfc6962.json")
    node = complete_nodes([merkle.leaf_hash(bytes.fromhex(leaf)) for leaf in LEAVES])

    for case in known["inclusion"]:
        path = merkle.inclusion_path(case["index"], case["size"], node)
        assert [h.hex() for h in path] == case["proof"]
    for case in known["consistency"]:
        path = merkle.consistency_path(case["size1"], case["size2"], node)
        assert [h.hex() for h in path] == case["proof"]


def test_large_trees_have_the_roots_of_a_second_writer(standards: Standards) -> None:
    """Trees of up to 70,000 leaves hash to roots that were computed elsewhere."""
    known = standards("merkle_rfc6962.json")["big_roots"]
    leaves = [merkle.leaf_hash(b"%d" % n) for n in range(max(k["size"] for k in known))]

    for case in known:
        assert merkle.root(leaves[: case["size"]]).hex() == case["root"]


@given(st.lists(st.binary(max_size=40), max_size=70))
def test_an_independent_library_finds_the_same_root(leaves: list[bytes]) -> None:
    """A Merkle library that was written elsewhere agrees on the root of any leaves."""
    tree = pymerkle.InmemoryTree(algorithm="sha256")
    for leaf in leaves:
        tree.append_entry(leaf)

    assert merkle.root(map(merkle.leaf_hash, leaves)) == tree.get_root()


@pytest.mark.parametrize("size", range(257))
def test_a_path_proves_its_leaf_and_no_other(size: int) -> None:
    """Every leaf of every tree up to 256 is proved at its index, and at no other."""
    for index, leaf in enumerate(MANY[:size]):
        path = merkle.inclusion_path(index, size, NODE)
        assert merkle.root_from_path(leaf, index, size, path) == TOP[size]
        other = (index + 1) % size
        if size > 1:
            assert merkle.root_from_path(leaf, other, size, path) != TOP[size]


@pytest.mark.parametrize("size", range(1, 257))
def test_a_broken_path_proves_nothing(size: int) -> None:
    """Every path with a hash flipped, dropped, doubled, swapped or added is refused."""
    for index in range(size):
        path = merkle.inclusion_path(index, size, NODE)
        for bad in broken_paths(path):
            assert merkle.root_from_path(MANY[index], index, size, bad) != TOP[size]
        longer = [*path, MANY[0]]
        assert merkle.root_from_path(MANY[index], index, size, longer) is None


@pytest.mark.parametrize("new", [*range(1, 65), 100, 127, 128, 129, 200, 255, 256])
def test_a_tree_is_the_start_of_every_later_one_and_broken_proofs_fail(
    new: int,
) -> None:
    """Each pair of sizes is consistent, and no longer so with any hash broken."""
    step = 1 if new < 65 else 7
    for old in range(1, new + 1, step):
        path = merkle.consistency_path(old, new, NODE)
        assert merkle.is_consistent(old, new, TOP[old], TOP[new], path)
        for bad in broken_paths(path):
            assert not merkle.is_consistent(old, new, TOP[old], TOP[new], bad)
        assert not merkle.is_consistent(old, new, TOP[old - 1], TOP[new], path)
        assert not merkle.is_consistent(old, new, TOP[old], TOP[old - 1], path)


@pytest.mark.parametrize(
    ("old", "new"), [(0, 0), (0, 1), (0, 8), (-1, 8), (8, 7), (9, 8)]
)
def test_no_proof_starts_from_nothing_or_goes_back(old: int, new: int) -> None:
    """A proof from size 0, or to a smaller tree, is neither made nor taken."""
    with pytest.raises(IndexError, match="is not the start of"):
        merkle.consistency_path(old, new, NODE)

    assert not merkle.is_consistent(old, new, merkle.EMPTY_ROOT, TOP[8], ())


@pytest.mark.parametrize(("index", "size"), [(-1, 8), (8, 8), (0, 0), (9, 8)])
def test_a_leaf_outside_the_tree_has_no_path(index: int, size: int) -> None:
    """There is no path for an index below 0 or beyond the end, and none is taken."""
    with pytest.raises(IndexError, match=f"leaf {index} is not in a tree of {size}"):
        merkle.inclusion_path(index, size, NODE)

    assert merkle.root_from_path(MANY[0], index, size, ()) is None


@pytest.mark.parametrize("size", range(258))
def test_the_right_edge_grown_and_read_back_are_one(size: int) -> None:
    """Leaf after leaf, or from stored nodes: the edge is the same, and so is the root.

    It holds one hash for each 1 in the binary form of the size.
    """
    edge: tuple[bytes, ...] = ()
    for n, leaf in enumerate(MANY[:size]):
        edge = merkle.extend(edge, n, leaf)

    assert edge == merkle.edge_at(size, NODE)
    assert len(edge) == size.bit_count()
    assert merkle.edge_root(edge) == TOP[size] == merkle.root(MANY[:size])


@pytest.mark.parametrize("level", range(10))
def test_a_node_comes_out_of_its_tile_as_plain_recursion_gives_it(level: int) -> None:
    """Every complete subtree that tiles of 256 hashes hold has its recursive root."""
    rows = {t: [NODE(8 * t, n) for n in range(600 >> 8 * t)] for t in (0, 1)}

    def tile(tile_level: int, number: int) -> bytes:
        return b"".join(rows[tile_level][256 * number : 256 * (number + 1)])

    for number in range(600 >> level):
        leaves = MANY[number << level : (number + 1) << level]
        assert merkle.tile_node(level, number, tile) == recursive_root(leaves)


def test_a_proof_of_higher_trees_is_none_of_lower_ones() -> None:
    """Its last hashes have no place left, however well they lead to both roots."""
    path = merkle.consistency_path(7, 8, NODE)

    assert merkle.is_consistent(7, 8, TOP[7], TOP[8], path)
    assert not merkle.is_consistent(3, 4, TOP[7], TOP[8], path)


def test_no_byte_moves_from_one_hash_to_the_next() -> None:
    """Two hashes are told apart by their length alone, so each is measured."""
    path = merkle.consistency_path(3, 4, NODE)
    moved = [path[0] + path[1][:1], path[1][1:], *path[2:]]
    leaf, beside = MANY[0] + MANY[1][:1], MANY[1][1:]

    assert merkle.is_consistent(3, 4, TOP[3], TOP[4], path)
    assert not merkle.is_consistent(3, 4, TOP[3], TOP[4], moved)
    assert merkle.node_hash(leaf, beside) == TOP[2]
    assert merkle.root_from_path(leaf, 0, 2, [beside]) is None
    assert merkle.root_from_path(MANY[0], 0, 2, [MANY[1][:-1]]) is None
