"""What keys said while they may have been in other hands, and nobody affirmed since.

It is no damage: the entry stands as it was written, and whoever may has to look at it.
What governs is named first, for others speak by its leave.
"""

from collections.abc import Iterator

from ledger.audit.findings import Finding
from ledger.audit.walk import Walk


def dispute_findings(walk: Walk) -> Iterator[Finding]:
    """Tell what is in dispute after a walk over the whole log, what governs first.

    An entry that was struck is settled. An approval in dispute is told even where
    enough others approved: whoever looks at the entry sees who they were.
    """
    found = sorted(_disputed(walk), key=lambda each: each[0])
    for governs in (True, False):
        for index, detail in found:
            if (index in walk.governing) is governs:
                yield Finding(index, "disputed", detail)


def _disputed(walk: Walk) -> Iterator[tuple[int, str]]:
    reported = {
        key
        for key, known in walk.standing.keys.items()
        if known.disputed_since is not None
    }
    if not reported:
        return
    for index, key in walk.keys.items():
        if key in reported and _is_open(walk, key, index):
            yield index, f"said by {_words(walk, key)}"
    for index, keys in walk.approvers.items():
        for key in reported.intersection(keys):
            if _is_open(walk, key, index):
                yield index, f"approved by {_words(walk, key)}"


def _is_open(walk: Walk, key: str, index: int) -> bool:
    known = walk.standing.keys[key]
    is_settled = index in walk.struck or not known.is_disputed_at(index)
    return not is_settled and known.counts_at(index)


def _words(walk: Walk, key: str) -> str:
    since = walk.standing.keys[key].disputed_since
    return f"key {key}, disputed since entry {since}, not affirmed"
