"""Lost records found later: what is left of a volume judges them as far as it can."""

import pytest

from ledger.errors import RefusedError
from ledger.log.entry import Record
from ledger.log.recovery import recovered
from ledger.log.standing import Standing
from tests.ledger.log.volumes import continued
from tests.ledger.log.workshop import (
    Workshop,
    enrolled,
    plain,
    replaced,
    retired,
    staffed,
)

BOTH = ("root-1", "root-2")


@pytest.fixture(scope="module")
def lost() -> tuple[Standing, list[Record]]:
    """Give a shop that went on, and the records that it lost before."""
    shop = staffed()
    shop.says(retired("helper"), by="helper")
    held = Workshop(standing=shop.standing, records=list(shop.records))
    left = len(shop.records)
    gone = staffed()
    gone.says(retired("helper"), by="helper")
    gone.says(plain("lot.seen/1"), by="lead")
    gone.says(replaced("builder", "builder-2"), by="office", yes=("lead",))
    gone.says(enrolled("late"), by="root-1", yes=BOTH)
    gone.says(plain("board.seen/1"), by="lead")
    held.says(continued(held, "log-2"), by="lead", yes=BOTH)
    return held.standing, gone.records[left:]


def judged(standing: Standing, record: Record, **otherwise: object) -> Record:
    """Judge a record as it stood, or as being another."""
    told = {
        "origin": record.entry.origin,
        "index": record.entry.index,
        "text": record.data.decode(),
    } | otherwise
    return recovered(standing, **told)  # type: ignore[arg-type]


def test_what_a_known_key_signed_is_taken_as_it_was_said(
    lost: tuple[Standing, list[Record]],
) -> None:
    """Every lost entry, whatever it says."""
    standing, records = lost

    assert len(records) == 4
    assert all(judged(standing, record) == record for record in records)


def test_what_nobody_here_can_judge_is_refused(
    lost: tuple[Standing, list[Record]],
) -> None:
    """Of no closed volume, held, of another place, by an unknown or an ended key."""
    standing, (first, *_) = lost
    shop = Workshop(records=[first] * first.entry.index)
    origin, index = first.entry.origin, first.entry.index

    def by(who: str, at: int = index) -> Record:
        shop.records = [first] * at
        return shop.record(plain("lot.seen/1"), who, origin)

    held, ended, late = by("lead", 3), by("helper"), by("late")
    torn = first.data.decode().replace("lot.seen", "lot.sung")
    for record, otherwise, said in (
        (first, {"origin": standing.origin}, "is no volume of this log"),
        (first, {"index": index + 1}, "and not entry"),
        (first, {"text": "{}"}, "this is no record"),
        (first, {"text": torn}, "the signature is not by key"),
        (held, {}, "is not lost"),
        (ended, {}, "did not count any more"),
        (late, {}, "which nobody knows who had"),
    ):
        with pytest.raises(RefusedError, match=said):
            judged(standing, record, **otherwise)
