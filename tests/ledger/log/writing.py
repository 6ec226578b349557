"""Records for tests of the log, signed by one key that everybody may know."""

from collections.abc import Iterator

from sqlmodel import Session

from ledger.log.entry import NO_PREVIOUS, Entry, Record, seal
from ledger.log.keys import SecretKey
from ledger.log.store import Appending, Store

KEY = SecretKey(b"a key that everybody may know...")
ORIGIN = "ledger-0123456789abcdef"


def record_after(newest: Record | None, says: str = "so much") -> Record:
    """Return the record that follows another, or the first."""
    return seal(
        Entry(
            at="2026-03-02T08:30:00Z",
            event={"kind": "board.weighed/1", "says": says},
            index=newest.entry.index + 1 if newest else 0,
            key=KEY.id,
            origin=ORIGIN,
            previous=newest.leaf.hex() if newest else NO_PREVIOUS,
        ),
        KEY,
    )


def chain(count: int, newest: Record | None = None) -> Iterator[Record]:
    """Yield that many records, one after the other."""
    for _ in range(count):
        newest = record_after(newest)
        yield newest


def add(appending: Appending, count: int, says: str = "so much") -> None:
    """Append that many records, and fold them into nothing."""
    for _ in range(count):
        appending.append(record_after(appending.newest, says), no_views)


def filled(url: str, count: int) -> Store:
    """Return a new log with that many entries."""
    store = Store.create(url)
    with store.appending() as appending:
        add(appending, count)
    return store


def no_views(session: Session, entry: Entry) -> None:
    """Fold an entry into no view at all."""
