"""The committed vectors, against their own writer and against the ledger."""

import hashlib

from ledger.log import merkle
from ledger.log.authority import judge
from ledger.log.standing import Standing, apply
from tests.ledger.log.workshop import VECTORS, vector_records
from tests.vectors.log import make


def test_the_writer_of_the_vectors_still_writes_the_committed_bytes() -> None:
    """Every file is made again from the fixed seeds, byte for byte, none over."""
    made = make.vectors()

    assert {name: (VECTORS / name).read_bytes() for name in made} == made
    assert {path.name for path in VECTORS.iterdir() if path.suffix != ".py"} - {
        "__pycache__"
    } == set(made)


def test_the_seeds_are_made_of_their_names() -> None:
    """No seed of the vectors is anybody's key: each is the hash of a sentence."""
    for line in (VECTORS / "seeds").read_text().splitlines():
        name, seed = line.split()
        sentence = f"flitchbook vector seed: {name}"
        assert seed == hashlib.sha256(sentence.encode()).hexdigest()


def test_the_ledger_reads_the_vectors_and_finds_their_leaves_and_root() -> None:
    """Two writers of the formats agree on fourteen records, their leaves and root."""
    records = vector_records()
    leaves = (VECTORS / "leaves").read_text().split()
    root = (VECTORS / "root").read_text().strip()

    assert [record.leaf.hex() for record in records] == leaves
    assert merkle.root(record.leaf for record in records).hex() == root
    assert [record.entry.index for record in records] == list(range(14))
    assert [record.entry.previous for record in records][1:] == leaves[:-1]


def test_every_entry_of_the_vectors_may_stand() -> None:
    """Founding, people, roles, keys, policy, wood and erasure all pass the table."""
    standing = Standing()
    for record in vector_records():
        assert judge(standing, record), record.entry.kind
        apply(standing, record.entry.index, record.entry.event, record.entry.key)

    assert standing.root_version == 2
    assert standing.clouded_by is None
    assert [tenure.role for tenure in standing.tenures] == ["lead", "key-administrator"]
