"""The lineage of a shop's keys: foundings, changed roots, new keys of the log.

The records of all volumes stand one behind the other: a volume that goes on where an
older one was closed says up to which size that one counts.
"""

from ledger.errors import TamperError
from ledger.log.authority import CONTINUED, judge_lineage
from ledger.log.entry import Record, parse_record
from ledger.log.standing import Standing, apply

OUT_OF_ORDER = "the keys file's lineage is not in order"


def walk_lineage(lineage: object, size: int) -> Standing:
    """Return the roots, the threshold and the log's keys to which a lineage leads.

    `lineage` is records as text, `size` that of the head for which it is told. Raises
    TamperError where one of them may not stand behind those before it.
    """
    if not isinstance(lineage, list) or not lineage:
        raise TamperError("the keys file has no lineage: get a newer one from the shop")
    standing, newest = Standing(), -1
    for text in lineage:
        if not isinstance(text, str):
            raise TamperError("the keys file's lineage is records as text")
        record = parse_record(text.encode("utf-8"))
        if newest >= 0 and record.entry.kind == CONTINUED:
            _require_within(newest, _closed_size(record))
            newest = -1
        if record.entry.index <= newest:
            raise TamperError(OUT_OF_ORDER)
        newest = record.entry.index
        judgement = judge_lineage(standing, record)
        if not judgement:
            raise TamperError(
                f"the keys file's lineage: {'; '.join(judgement.reasons)}"
            )
        apply(standing, newest, record.entry.event)
    _require_within(newest, size)
    return standing


def _closed_size(record: Record) -> int:
    """Return the size of the volume that a new one closes; 0 where it says none."""
    closed = record.entry.event.get("closed")
    size = closed.get("size") if isinstance(closed, dict) else None
    return size if isinstance(size, int) else 0


def _require_within(newest: int, size: int) -> None:
    if newest >= size:
        raise TamperError(OUT_OF_ORDER)
