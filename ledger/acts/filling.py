"""A new log filled with records that were verified: an import's, or a server's."""

import itertools
from collections.abc import Iterable
from contextlib import closing

from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.log.entry import parse_record
from ledger.log.store import Store
from ledger.views import fold

BATCH = 1000


def fill(store: Store, records: Iterable[bytes], notes: Iterable[str]) -> None:
    """Append every record and fold it, keep every signed head, and close the log."""
    with closing(store):
        fold.make(store.engine)
        coming = iter(records)
        while batch := list(itertools.islice(coming, BATCH)):
            with store.appending() as appending:
                for data in batch:
                    appending.append(parse_record(data), fold.fold)
        for note in notes:
            store.add_checkpoint(parse_checkpoint(parse_note(note)).size, note)
