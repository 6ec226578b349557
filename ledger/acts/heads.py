"""The head of the tree, signed, and proofs of what is under it.

The log's key signs nothing but the head of a tree whose newest records it has just
hashed again. Every head it signed is kept in the database and in the file
`checkpoints` beside it.
"""

import os
import re
from collections.abc import Collection, Sequence
from pathlib import Path

from ledger.acts.outside import learn, require_no_gap
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
# A C2SP signed note: text, a blank line, and signature lines that begin with a dash.
NOTE = re.compile(rb"(?:[^\n]+\n)+\n(?:\xe2\x80\x94 [^\n]+\n)+")


def sign_head(shop: Shop) -> str:
    """Return a signed checkpoint of the tree as it stands.

    Raises TamperError where the records since the last checkpoint do not hash to the
    head that is stored, and where a kept head proves entries that are not here.
    """
    require_no_gap(shop.store, shop.folder, shop.state)
    # There before the first note is: where it is missing later, somebody took it.
    (shop.folder / CHECKPOINTS).touch()
    note = _newest_head(shop)
    _keep_in_file(shop.folder / CHECKPOINTS, [n for _, n in shop.store.checkpoints()])
    learn(shop.store, shop.folder, shop.state)
    return note


def _newest_head(shop: Shop) -> str:
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
    return note


def head_now(shop: Shop) -> Checkpoint:
    """Return the head of the log as it stands, which nobody has signed yet."""
    head = shop.store.head()
    origin = shop.standing().origin
    return Checkpoint(origin=origin, size=head.size, root=head.root)


def prove(shop: Shop, index: int) -> Proof:
    """Return the proof that an entry is under a signed head."""
    note = sign_head(shop)
    size = parse_checkpoint(parse_note(note)).size
    path = merkle.inclusion_path(index, size, shop.store.node)
    return Proof(index=index, path=path, checkpoint=note)


def read_notes(text: str) -> list[str]:
    """Return the notes of a `checkpoints` file: end to end, a blank line between.

    What is no whole note is returned as it stands, and will not verify.
    """
    notes, rest = split_notes(text.encode("utf-8", errors="replace"))
    return [*notes, rest.decode("utf-8")] if rest else notes


def split_notes(data: bytes) -> tuple[list[str], bytes]:
    """Return the pieces of a `checkpoints` file, and what behind them is unfinished."""
    pieces, end = [], 0
    for found in NOTE.finditer(data):
        between = data[end : found.start()].strip(b"\n")
        pieces += [between, found.group()] if between else [found.group()]
        end = found.end()
    rest = data[end:].lstrip(b"\n")
    return [piece.decode("utf-8", errors="replace") for piece in pieces], rest


def is_unfinished(rest: bytes, notes: Collection[str]) -> bool:
    """Tell whether what ends a file was meant to become one of these notes."""
    return any(note.encode("utf-8").startswith(rest) for note in notes)


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


def _keep_in_file(path: Path, notes: Sequence[str]) -> None:
    """Append the notes that the file lacks, over one that a power cut left half."""
    with path.open("a+b") as file:
        file.seek(0)
        data = file.read()
        there, rest = split_notes(data)
        lacking = [note for note in notes if note not in there]
        if rest and is_unfinished(rest, notes):
            data = data[: len(data) - len(rest)]
            file.truncate(len(data))
        if not lacking:
            return
        while data and not data.endswith(b"\n\n"):
            data += b"\n"
            file.write(b"\n")
        file.write("\n".join(lacking).encode("utf-8"))
        file.flush()
        os.fsync(file.fileno())
