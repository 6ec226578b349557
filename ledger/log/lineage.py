"""The lineage of a shop's keys: its founding, changed roots, new keys of the log."""

from ledger.errors import TamperError
from ledger.log.authority import judge_lineage
from ledger.log.entry import parse_record
from ledger.log.standing import Standing, apply


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
        if not newest < record.entry.index < size:
            raise TamperError("the keys file's lineage is not in order")
        newest = record.entry.index
        judgement = judge_lineage(standing, record)
        if not judgement:
            raise TamperError(
                f"the keys file's lineage: {'; '.join(judgement.reasons)}"
            )
        apply(standing, newest, record.entry.event, record.entry.key)
    return standing
