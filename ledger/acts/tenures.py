"""The names and keys that a log had, each for which heads, out of its own entries.

They are read without being judged: a look at a damaged log goes on, and an audit names
the damage. Whoever stole a key that was replaced can sign heads of any size with it
still; here it counts for those only that it was the log's key for.
"""

from contextlib import suppress
from functools import lru_cache

from sqlalchemy.exc import SQLAlchemyError

from ledger.errors import LedgerError, TamperError
from ledger.log import queries
from ledger.log.checkpoint import (
    Checkpoint,
    NoteKey,
    parse_checkpoint,
    parse_note,
    verified_checkpoint,
)
from ledger.log.entry import parse_record
from ledger.log.standing import Standing, apply
from ledger.log.store import Store
from ledger.log.tenures import LogTenure
from ledger.views.standing import governing_rows

BEGINS, REPLACES = b'"kind":"shop.continued/', b'"kind":"log.key-'
# A program looks at one log, and perhaps at a copy of it.
FOLDED = 2


def lineage(store: Store) -> Standing:
    """Return the volumes and keys of a log; an empty one before its founding.

    Its entries are read each time, and folded anew where a byte of them differs. What
    is returned is everybody's: nobody changes it.
    """
    rows: list[bytes] = []
    with store.reading() as session:
        founding = queries.record(session.connection(), 0)
        with suppress(SQLAlchemyError):  # views that cannot be read name no other key
            rows = [
                data
                for _, data in governing_rows(session)
                if BEGINS in data or REPLACES in data
            ]
    return _folded(tuple(filter(None, (founding, *rows))))


@lru_cache(maxsize=FOLDED)
def _folded(records: tuple[bytes, ...]) -> Standing:
    standing = Standing()
    for data in records:
        with suppress(LedgerError, KeyError):
            entry = parse_record(data).entry
            apply(standing, entry.index, entry.event, entry.key)
    return standing


def origin_of(store: Store) -> str | None:
    """Return the origin of a log's newest volume; None before its founding."""
    return lineage(store).origin or None


def log_keys(store: Store) -> tuple[NoteKey, ...]:
    """Return every key that the log's heads were signed with, the newest first."""
    return tuple(_key(tenure) for tenure in reversed(lineage(store).log_tenures))


def signer(known: Standing, note: str) -> NoteKey | None:
    """Return the log's key that signed a head which it may sign; None where none did.

    The head may be of entries that a closed volume lost.
    """
    with suppress(TamperError):
        size = parse_checkpoint(parse_note(note)).size
        for tenure in reversed(known.log_tenures):
            key = _key(tenure)
            if _covers(known, tenure, size) and _has_signed(key, note):
                return key
    return None


def ended_before(known: Standing, key: NoteKey, head: Checkpoint) -> int | None:
    """Return with which size a key of the log ended, if a head is of a larger one."""
    for tenure in known.log_tenures:
        if _key(tenure) == key and not _covers(known, tenure, head.size):
            return tenure.until_size
    return None


def signed_too_late(known: Standing, note: str) -> str | None:
    """Say of a head that a key of the log signed after its time; None for any other."""
    with suppress(TamperError):
        head = parse_checkpoint(parse_note(note))
        for tenure in known.log_tenures:
            until = ended_before(known, _key(tenure), head)
            if until is not None and _has_signed(_key(tenure), note):
                return (
                    f"a head of {head.size:,} entries, signed with a key of the log "
                    f"that was replaced after {until:,}: whoever has that key can "
                    f"make it, and it stops nothing"
                )
    return None


def _key(tenure: LogTenure) -> NoteKey:
    return NoteKey(tenure.origin, tenure.public)


def _covers(known: Standing, tenure: LogTenure, size: int) -> bool:
    """Tell whether a key may sign a head of this size, lost ones of its own included.

    The last key of a volume that was closed signed heads of the entries it lost.
    """
    last = [each for each in known.log_tenures if each.origin == tenure.origin][-1]
    return tenure.covers(size) or (tenure == last and tenure.from_size <= size)


def _has_signed(key: NoteKey, note: str) -> bool:
    with suppress(TamperError):
        return bool(verified_checkpoint(note, [key]))
    return False
