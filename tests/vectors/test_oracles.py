"""Two libraries that were written elsewhere judge what leaves the building.

metamorphic_log (Rust, Apache-2.0 or MIT) reads C2SP signed notes and checkpoints and
checks proofs of inclusion and of consistency; scitt_cose (Python, Apache-2.0) builds
and checks proofs by the recursion of RFC 6962. Neither shares code with the other or
with this project. Cosignatures neither of them reads: openssl verifies those, over a
message that is put together here by the text of C2SP tlog-cosignature.
"""

import base64
import random
import struct
import subprocess
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest

from ledger.log import merkle
from ledger.log.checkpoint import Checkpoint, NoteKey, sign_note, verified_checkpoint
from ledger.log.keys import SecretKey
from ledger.log.keysfile import read_keys_file
from ledger.log.merkle import leaf_hash
from ledger.log.proof import parse_proof
from tests.ledger.log.damage import broken_paths, damaged
from tests.ledger.log.workshop import VECTORS, secret

WHY = "is not installed (extra dev): nothing is compared with it"
notes = pytest.importorskip("metamorphic_log", reason=f"metamorphic-log {WHY}")
trees = pytest.importorskip("scitt_cose.merkle", reason=f"scitt-cose {WHY}")

CHECKPOINT = (VECTORS / "checkpoint").read_text()
PROOF = (VECTORS / "certificate.tlog-proof").read_text()
VKEY = str(read_keys_file((VECTORS / "keys.json").read_bytes()).log_keys_at(14)[0])
SMALL = 64
ENTRIES = [b"%d" % n for n in range(SMALL)]
HEX = [entry.hex() for entry in ENTRIES]
LEAVES = [leaf_hash(entry) for entry in ENTRIES]
ROOTS = [merkle.root(LEAVES[:size]) for size in range(SMALL + 1)]
# Up to where a whole number is a fact here.
LARGEST = 2**53 - 1
# The bytes before a raw Ed25519 key in a SubjectPublicKeyInfo, RFC 8410 section 4.
SPKI = bytes.fromhex("302a300506032b6570032100")
WITNESS = SecretKey(
    # The second test key of RFC 8032 section 7.1.
    bytes.fromhex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")
)


def node(level: int, number: int) -> bytes:
    """Return the root over 2^level of the leaves."""
    return merkle.root(LEAVES[number << level : (number + 1) << level])


def alike(level: int, _: int) -> bytes:
    """Return a node of a tree whose leaves are all alike, however large it is."""
    top = leaf_hash(b"the same in every place")
    for _ in range(level):
        top = merkle.node_hash(top, top)
    return top


def says_yes(check: Callable[..., None], *said: object) -> bool:
    """Tell whether the Rust library takes something."""
    try:
        check(*said)
    except notes.VerifyError:
        return False
    return True


def hexes(path: Sequence[bytes]) -> list[str]:
    """Return hashes as the Python library has them."""
    return [each.hex() for each in path]


def test_both_libraries_read_the_checkpoint_of_the_vectors() -> None:
    """Its head is the one that is read here, and no byte of it can change."""
    head = notes.checkpoint_verify(CHECKPOINT, [VKEY])
    own = verified_checkpoint(CHECKPOINT, [NoteKey.parse(VKEY)])

    assert (head.origin, head.size, head.root) == (own.origin, own.size, own.root)
    for bad in damaged(CHECKPOINT.encode()):
        text = bad.decode("utf-8", errors="replace")
        assert not says_yes(notes.checkpoint_verify, text, [VKEY]), text


@pytest.mark.parametrize("size", [0, 1, 255, 256, 70_000, LARGEST])
def test_a_checkpoint_that_is_signed_here_is_read_there(size: int) -> None:
    """Whatever the size; and only by the key that signed it."""
    key = NoteKey("example.org/benchlog", secret("log").public)
    head = Checkpoint(origin=key.name, size=size, root=leaf_hash(b"%d" % size))
    note = sign_note(head.text, name=key.name, secret=secret("log"))
    other = NoteKey(key.name, secret("another").public)
    read = notes.checkpoint_verify(note, [str(key)])

    assert (read.origin, read.size, read.root) == (key.name, size, head.root)
    assert notes.verify_signed_note(note, [str(key), str(other)]) == 1
    assert not says_yes(notes.checkpoint_verify, note, [str(other)])


def test_the_proof_of_the_vectors_holds_there_too() -> None:
    """Record, leaf, path and checkpoint of the certificate hang together."""
    proof = parse_proof(PROOF)
    leaf = leaf_hash(proof.extra or b"")
    said = (proof.checkpoint, [VKEY], proof.index)

    assert says_yes(notes.checkpoint_verify_inclusion, *said, leaf, list(proof.path))
    for bad in broken_paths(proof.path):
        assert not says_yes(notes.checkpoint_verify_inclusion, *said, leaf, bad)
    assert not says_yes(
        notes.checkpoint_verify_inclusion, *said, LEAVES[0], list(proof.path)
    )


def all_within(size: int) -> Iterator[tuple[int, int]]:
    """Yield every pair of a smaller and a larger number up to a size."""
    for large in range(1, size + 1):
        yield from ((small, large) for small in range(large))


def test_every_small_path_is_the_same_and_is_taken_both_ways() -> None:
    """Of all leaves of all trees up to 64; with a bit flipped nobody takes it."""
    for n, (index, size) in enumerate(all_within(SMALL)):
        path = merkle.inclusion_path(index, size, node)
        root, leaf = ROOTS[size], LEAVES[index]
        theirs = trees.inclusion_proof(HEX[:size], index)

        assert hexes(path) == theirs
        assert merkle.root_from_path(leaf, index, size, path) == root
        assert says_yes(notes.verify_inclusion, index, size, leaf, list(path), root)
        assert trees.verify_inclusion(HEX[index], index, size, theirs, root.hex())
        for bad in one_broken(path, n):
            assert merkle.root_from_path(leaf, index, size, bad) != root
            assert not says_yes(notes.verify_inclusion, index, size, leaf, bad, root)
            assert not trees.verify_inclusion(
                HEX[index], index, size, hexes(bad), root.hex()
            )


def test_every_small_growth_is_the_same_and_is_taken_both_ways() -> None:
    """Of all pairs of sizes up to 64; with a bit flipped nobody takes it."""
    for n, (old, new) in enumerate(all_within(SMALL)):
        if old == 0:
            continue
        path = merkle.consistency_path(old, new, node)
        theirs = trees.consistency_proof(HEX, old, new)
        before, after = ROOTS[old], ROOTS[new]

        assert hexes(path) == theirs
        assert merkle.is_consistent(old, new, before, after, path)
        assert says_yes(notes.verify_consistency, old, new, list(path), before, after)
        assert trees.verify_consistency(before.hex(), after.hex(), old, new, theirs)
        for bad in one_broken(path, n):
            assert not merkle.is_consistent(old, new, before, after, bad)
            assert not says_yes(notes.verify_consistency, old, new, bad, before, after)
            assert not trees.verify_consistency(
                before.hex(), after.hex(), old, new, hexes(bad)
            )


def one_broken(path: Sequence[bytes], n: int) -> list[list[bytes]]:
    """Return a path broken in one way, another way for each number."""
    # A hash that was cut is no hash: the Rust library says so by another error.
    ways = [p for p in broken_paths(path) if all(len(each) == 32 for each in p)]
    return [ways[n % len(ways)]]


def large_pairs() -> Iterator[tuple[int, int]]:
    """Yield pairs of large numbers, near powers of two and anywhere."""
    chance = random.Random(9162)  # noqa: S311 (repeatable input, nothing secret)
    yield LARGEST - 1, LARGEST
    for bits in range(8, 53):
        top = 1 << bits
        yield top - 1, top + 1
        new = chance.randrange(top // 2 + 1, top)
        yield chance.randrange(1, new), new


def test_large_trees_are_proved_to_both_libraries() -> None:
    """Up to the largest size there is, of trees whose leaves are all alike."""
    leaf = alike(0, 0)
    for small, large in large_pairs():
        path = list(merkle.inclusion_path(small, large, alike))
        root = merkle.edge_root(merkle.edge_at(large, alike))
        before = merkle.edge_root(merkle.edge_at(small, alike))
        grown = list(merkle.consistency_path(small, large, alike))

        assert says_yes(notes.verify_inclusion, small, large, leaf, path, root)
        assert not says_yes(notes.verify_inclusion, small, large, leaf, path[1:], root)
        assert says_yes(notes.verify_consistency, small, large, grown, before, root)
        assert trees.verify_consistency(
            before.hex(), root.hex(), small, large, hexes(grown)
        )
        assert not says_yes(notes.verify_consistency, small, large, grown, root, before)


def verified_by_openssl(public: bytes, message: bytes, signed: bytes, at: Path) -> bool:
    """Tell whether openssl finds an Ed25519 signature good."""
    (at / "key").write_bytes(SPKI + public)
    (at / "message").write_bytes(message)
    (at / "signature").write_bytes(signed)
    command = "openssl pkeyutl -verify -pubin -keyform DER -rawin"
    files = ["-inkey", "key", "-in", "message", "-sigfile", "signature"]
    done = subprocess.run([*command.split(), *files], cwd=at, capture_output=True)
    return done.returncode == 0


def test_a_cosignature_that_openssl_verifies_is_passed_over_by_readers(
    tmp_path: Path,
) -> None:
    """It is over the time and the head: type 04, eight bytes of time, a signature."""
    time = 1_767_225_600
    head = CHECKPOINT.partition("\n\n")[0] + "\n"
    message = f"cosignature/v1\ntime {time}\n{head}".encode()
    signed = struct.pack(">Q", time) + WITNESS.sign(message)
    line = base64.b64encode(b"abcd" + signed).decode()
    note = f"{CHECKPOINT}— example.org/watch {line}\n"
    public = WITNESS.public.raw
    later = message.replace(b"1767225600", b"1767225601")

    assert verified_by_openssl(public, message, signed[8:], tmp_path)
    assert not verified_by_openssl(public, later, signed[8:], tmp_path)
    assert verified_checkpoint(note, [NoteKey.parse(VKEY)]).size == 14
    assert notes.checkpoint_verify(note, [VKEY]).size == 14
