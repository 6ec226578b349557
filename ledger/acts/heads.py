"""The head of the tree, signed, and proofs of what is under it.

The log's key signs nothing but the head of a tree whose newest records it has just
hashed again. Every head it signed is kept in the database and in the file
`checkpoints` beside it.
"""

import os
from pathlib import Path

from ledger.acts.shop import Shop
from ledger.acts.signing import log_key
from ledger.errors import TamperError
from ledger.log import merkle
from ledger.log.checkpoint import (
    Checkpoint,
    NoteKey,
    parse_checkpoint,
    parse_note,
    sign_note,
    verified_checkpoint,
)
from ledger.log.proof import Proof

CHECKPOINTS = "checkpoints"


def sign_head(shop: Shop) -> str:
    """Return a signed checkpoint of the tree as it stands.

    Raises TamperError where the records since the last checkpoint do not hash to the
    head that is stored.
    """
    # In this order: what another station signs meanwhile is never behind our head.
    newest = shop.store.newest_checkpoint()
    head = shop.store.head()
    standing = shop.standing()
    if newest is not None and standing.log_key is not None:
        # Nothing is built upon a head that somebody else slipped into the table.
        verified_checkpoint(newest[1], [NoteKey(standing.origin, standing.log_key)])
        if newest[0] == head.size:
            return newest[1]
    edge = _rehashed_edge(shop, newest, head.size)
    if merkle.edge_root(edge) != head.root:
        raise TamperError(
            f"the newest records do not hash to the head of {head.size} entries that "
            f"is stored: nothing is signed, run flitchbook record audit"
        )
    checkpoint = Checkpoint(origin=standing.origin, size=head.size, root=head.root)
    note = sign_note(checkpoint.text, name=standing.origin, secret=log_key(shop))
    shop.store.add_checkpoint(head.size, note)
    _append_file(shop.folder / CHECKPOINTS, note)
    return note


def prove(shop: Shop, index: int) -> Proof:
    """Return the proof that an entry is under a signed head."""
    note = sign_head(shop)
    size = parse_checkpoint(parse_note(note)).size
    path = merkle.inclusion_path(index, size, shop.store.node)
    return Proof(index=index, path=path, checkpoint=note)


def read_notes(text: str) -> list[str]:
    """Return the notes of a `checkpoints` file: end to end, a blank line between."""
    parts = text.removesuffix("\n").split("\n\n") if text else []
    pairs = zip(parts[::2], parts[1::2], strict=False)
    return [f"{head}\n\n{tail}\n" for head, tail in pairs]


def _rehashed_edge(
    shop: Shop, newest: tuple[int, str] | None, size: int
) -> tuple[bytes, ...]:
    start = newest[0] if newest else 0
    edge = merkle.edge_at(start, shop.store.node)
    if newest is not None:
        signed = parse_checkpoint(parse_note(newest[1]))
        if merkle.edge_root(edge) != signed.root:
            raise TamperError(
                f"the tree no longer holds the checkpoint of {start} entries: nothing "
                f"is signed, run flitchbook record audit"
            )
    for index, record in shop.store.records(start, size):
        edge = merkle.extend(edge, index, merkle.leaf_hash(record))
    return edge


def _append_file(path: Path, note: str) -> None:
    with path.open("ab") as file:
        between = b"\n" if file.tell() else b""
        file.write(between + note.encode("utf-8"))
        file.flush()
        os.fsync(file.fileno())
