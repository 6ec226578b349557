"""The head of the tree, signed, and proofs of what is under it.

The log's key signs nothing but the head of a tree whose newest records it has just
hashed again. Every head it signed is kept in the database and in the file
`checkpoints` beside it.
"""

import os
import re
from collections.abc import Collection, Sequence
from pathlib import Path

from ledger.acts.layout import CHECKPOINTS
from ledger.acts.outside import learn, require_no_gap
from ledger.acts.shop import Shop
from ledger.acts.signing import LOG_KEY, log_key
from ledger.errors import RefusedError, TamperError
from ledger.log import merkle
from ledger.log.checkpoint import (
    Checkpoint,
    checkpoint_by,
    cosigned_note,
    parse_checkpoint,
    parse_note,
    sign_note,
)
from ledger.log.keys import SecretKey
from ledger.log.proof import Proof

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
    if newest is not None:
        # Nothing is built upon a head that somebody else slipped into the table.
        checkpoint_by(newest[1], standing.log_keys_at)
        if newest[0] == head.size:
            return newest[1]
    origin = standing.origin
    checkpoint = Checkpoint(origin=origin, size=head.size, root=head.root)
    note = _signed(shop, newest, checkpoint)
    shop.store.add_checkpoint(head.size, note)
    return note


def sign_first_head(shop: Shop, size: int, old: SecretKey | None) -> str:
    """Return the head from which on a new key of the log signs.

    The `old` key signs it too, if it is there still, so that whoever knows only that
    one sees the new one begin.
    """
    (shop.folder / CHECKPOINTS).touch()
    newest, origin = shop.store.newest_checkpoint(), shop.standing().origin
    if newest is not None and newest[0] >= size:
        # Another station was quicker, and this head is behind it.
        return newest[1]
    root = merkle.edge_root(merkle.edge_at(size, shop.store.node))
    note = _signed(shop, newest, Checkpoint(origin=origin, size=size, root=root))
    if old is not None:
        note = cosigned_note(note, name=origin, secret=old)
    shop.store.add_checkpoint(size, note)
    _keep_in_file(shop.folder / CHECKPOINTS, [n for _, n in shop.store.checkpoints()])
    return note


def _signed(shop: Shop, newest: tuple[int, str] | None, head: Checkpoint) -> str:
    """Hash the newest records again, and sign their head with the log's own key."""
    edge = _rehashed_edge(shop, newest, head.size)
    if merkle.edge_root(edge) != head.root:
        raise TamperError(
            f"the newest records do not hash to the head of {head.size} entries that "
            f"is stored: nothing is signed, run flitchbook record audit"
        )
    secret = log_key(shop)
    if secret.public != shop.standing().log_key:
        raise RefusedError(
            f"key {secret.id} in the shop's folder is not the log's of today, and its "
            f"signature would count for nothing: bring back {LOG_KEY}, or make a new "
            f"key with flitchbook shop replace-log-key"
        )
    return sign_note(head.text, name=head.origin, secret=secret)


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
