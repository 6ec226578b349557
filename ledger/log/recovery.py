"""A record of lost entries, found later: judged as far as what is left can judge it."""

from ledger.errors import RefusedError, TamperError
from ledger.log.entry import Record, parse_record
from ledger.log.standing import Standing


def recovered(standing: Standing, *, origin: str, index: int, text: str) -> Record:
    """Read a record of a closed volume, of an entry behind those that are held.

    Whether its signer might say it nobody knows any more; but a key that the volume
    knew has to have signed it, and to have counted up to where it was closed. Raises
    RefusedError where not.
    """
    closed = standing.closed_as(origin)
    if closed is None:
        raise RefusedError(f"{origin} is no volume of this log that was closed")
    try:
        record = parse_record(text.encode("utf-8"))
    except TamperError as fault:
        raise RefusedError(f"this is no record of an entry: {fault}") from None
    if (record.entry.origin, record.entry.index) != (origin, index):
        raise RefusedError(
            f"this is entry {record.entry.index} of {record.entry.origin}, and not "
            f"entry {index} of {origin}"
        )
    if index < closed.size:
        raise RefusedError(
            f"entry {index} is not lost: {origin} is held up to entry {closed.size - 1}"
        )
    known = standing.keys.get(record.entry.key)
    if known is None or known.purpose not in ("root", "person"):
        raise RefusedError(
            f"it is signed by key {record.entry.key}, which nobody knows who had: it "
            f"was enrolled in lost entries, or never"
        )
    if not known.counts_at(closed.size):
        raise RefusedError(
            f"key {record.entry.key} did not count any more, or not yet, at entry "
            f"{closed.size}"
        )
    if not record.is_signed_by(known.public):
        raise RefusedError(f"the signature is not by key {record.entry.key}")
    return record
