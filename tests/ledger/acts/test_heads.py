"""The log's key signs what was hashed again, and nothing else."""

import pytest

from ledger.acts.heads import prove, read_notes, sign_head
from ledger.acts.layout import CHECKPOINTS
from ledger.acts.signing import log_key
from ledger.errors import NotFoundError, TamperError
from ledger.log import merkle
from ledger.log.checkpoint import (
    Checkpoint,
    NoteKey,
    parse_checkpoint,
    parse_note,
    sign_note,
    verified_checkpoint,
)
from tests.ledger.audit.tampering import (
    behind_the_guards,
    rechained,
    records_of,
    refit,
)
from tests.skerrymoor import NECK, Loft


def log_keys(loft: Loft) -> list[NoteKey]:
    """Return the key by which a shop's checkpoints are checked."""
    standing = loft.shop.standing()
    assert standing.log_key is not None
    return [NoteKey(standing.origin, standing.log_key)]


def file_of(loft: Loft) -> str:
    """Return the checkpoints file."""
    return (loft.shop.folder / CHECKPOINTS).read_text(encoding="utf-8")


def test_a_signed_head_is_kept_in_the_table_and_in_the_file(loft: Loft) -> None:
    """Once for each size, however often it is asked for."""
    first = sign_head(loft.shop)
    assert sign_head(loft.shop) == first
    loft.model()
    second = sign_head(loft.shop)

    head = verified_checkpoint(second, log_keys(loft))
    assert (head.size, head.root) == (
        loft.shop.store.head().size,
        loft.shop.store.head().root,
    )
    assert read_notes(file_of(loft)) == [first, second]
    assert [note for _, note in loft.shop.store.checkpoints()] == [first, second]


@pytest.mark.parametrize("count", [0, 1, 2, 3])
def test_notes_end_to_end_are_read_back(loft: Loft, count: int) -> None:
    """A blank line stands between two, and within each."""
    notes = []
    for n in range(count):
        notes.append(sign_head(loft.shop))
        loft.model(f"Slipway {n}")

    assert read_notes("\n".join(notes)) == notes


def test_a_record_changed_since_the_last_checkpoint_stops_the_signing(
    loft: Loft,
) -> None:
    """Nothing is signed, neither in the table nor in the file."""
    note = sign_head(loft.shop)
    loft.model()
    loft.model("Nightferry")
    with behind_the_guards(loft) as connection:
        connection.execute(
            "UPDATE entry SET record = CAST(replace(CAST(record AS TEXT), "
            "'Tidewarden', 'Tidewarder') AS BLOB) WHERE idx = "
            "(SELECT max(idx) - 1 FROM entry)"
        )
    with pytest.raises(TamperError, match="nothing is signed"):
        sign_head(loft.shop)

    assert [kept for _, kept in loft.shop.store.checkpoints()] == [note]
    assert read_notes(file_of(loft)) == [note]


def test_a_past_that_was_signed_for_is_not_signed_for_otherwise(loft: Loft) -> None:
    """Old records, tiles and head changed together contradict the last checkpoint."""
    loft.model()
    sign_head(loft.shop)
    records = records_of(loft)
    index = len(records) - 1
    changed = records[index].replace(b"Tidewarden", b"Tidewarder")
    refit(loft, rechained(records, index, changed))
    loft.model("Nightferry")
    with pytest.raises(TamperError, match="no longer holds the checkpoint"):
        sign_head(loft.shop)


def test_a_checkpoint_that_the_log_never_signed_is_not_built_upon(loft: Loft) -> None:
    """Else whoever can write to the table would choose the past that is signed."""
    loft.model()
    head = loft.shop.store.head()
    forged = Checkpoint(
        origin=loft.shop.standing().origin, size=head.size, root=head.root
    )
    note = sign_note(forged.text, name=forged.origin, secret=loft.keys["03"])
    loft.shop.store.add_checkpoint(head.size, note)
    with pytest.raises(TamperError):
        sign_head(loft.shop)
    loft.model("Nightferry")
    with pytest.raises(TamperError):
        sign_head(loft.shop)


def test_every_entry_is_proved_under_the_newest_head(certified: Loft) -> None:
    """And no entry by another's proof."""
    shop, size = certified.shop, certified.shop.store.head().size
    proofs = [prove(shop, index) for index in range(size)]
    leaves = [merkle.leaf_hash(record) for record in records_of(certified)]

    for index, proof in enumerate(proofs):
        verified_checkpoint(proof.checkpoint, log_keys(certified))
        assert [proof.covers(leaf) for leaf in leaves].count(True) == 1
        assert proof.covers(leaves[index])


@pytest.mark.parametrize("beyond", [0, 1, 1000])
def test_an_entry_that_is_not_there_is_not_proved(loft: Loft, beyond: int) -> None:
    """The next one is not, and none after it."""
    with pytest.raises((NotFoundError, IndexError)):
        prove(loft.shop, loft.shop.store.head().size + beyond)


def test_the_log_key_signs_checkpoints_of_its_own_origin(loft: Loft) -> None:
    """The note's name is the log's, and its key the founding's."""
    note = parse_note(sign_head(loft.shop))
    (name, key_hash, _) = note.signatures[0]

    assert parse_checkpoint(note).origin == name == loft.shop.standing().origin
    assert key_hash == NoteKey(name, log_key(loft.shop).public).hash


def test_it_signs_and_proves_on_each_database(loft_on_each: Loft) -> None:
    """More than one tile's worth of entries under one head."""
    loft_on_each.supplier()
    loft_on_each.number(loft_on_each.receive(boards=300), *[NECK] * 300)
    proof = prove(loft_on_each.shop, 7)

    assert proof.covers(merkle.leaf_hash(loft_on_each.shop.store.record(7)))
    assert proof.head.size > 300


def test_a_note_that_a_power_cut_left_half_is_made_whole(loft: Loft) -> None:
    """Wherever it was cut, the next signing begins on a clean line."""
    first = sign_head(loft.shop)
    loft.model()
    second = sign_head(loft.shop)
    path, whole = loft.shop.folder / CHECKPOINTS, file_of(loft).encode()
    for left in range(len(first.encode()), len(whole)):
        path.write_bytes(whole[:left])
        sign_head(loft.shop)
        assert read_notes(file_of(loft)) == [first, second], f"cut after {left}"
    path.write_bytes(whole[:-30])
    loft.model("Nightferry")
    third = sign_head(loft.shop)

    assert read_notes(file_of(loft)) == [first, second, third]


def test_notes_that_the_file_lacks_are_appended_at_the_next_signing(loft: Loft) -> None:
    """Also where nothing was said since the last of them."""
    notes = []
    for n in range(3):
        notes.append(sign_head(loft.shop))
        loft.model(f"Slipway {n}")
    path = loft.shop.folder / CHECKPOINTS
    path.write_text(notes[0], encoding="utf-8")
    newest = sign_head(loft.shop)
    assert read_notes(file_of(loft)) == [*notes, newest]
    path.unlink()
    sign_head(loft.shop)

    assert read_notes(file_of(loft)) == [*notes, newest]


def test_what_somebody_wrote_behind_the_notes_is_kept(loft: Loft) -> None:
    """It is no note of ours, and an audit is to see it."""
    first = sign_head(loft.shop)
    (loft.shop.folder / CHECKPOINTS).write_text(f"{first}\nso", encoding="utf-8")
    loft.model()
    second = sign_head(loft.shop)

    assert read_notes(file_of(loft)) == [first, "so", second]
