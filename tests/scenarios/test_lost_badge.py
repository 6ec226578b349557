"""A builder leaves, a badge is lost, a clock is set back: history stays good."""

from datetime import UTC, datetime, timedelta

import pytest

from ledger.acts import people
from ledger.acts.claims import signatures_of, signed_by
from ledger.acts.corrections import correct
from ledger.acts.signing import person_key
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.events import BoardMoved
from ledger.events.codec import plain
from ledger.views.people import Person, subject_of_key
from tests.ledger.audit.tampering import appended
from tests.skerrymoor import CHEAP, TOP, Loft

FRIDAY = datetime(2026, 1, 9, 17, tzinfo=UTC)
BOARD = "L26-001-01"


def staffed(loft: Loft) -> Loft:
    """Give wood, Hallvard at the finish and Noor at the set-up, and let both work."""
    loft.supplier()
    loft.number(loft.receive(), TOP, TOP)
    loft.enrol("Hallvard Ness", "05", qualifications=("finish",))
    loft.enrol("Noor Rahimi", "06", qualifications=("set-up",))
    for place in ("shelf A", "shelf B", "shelf C"):
        move(loft, "05", place)
    return loft


def move(loft: Loft, badge: str, place: str) -> int:
    """Put a board somewhere; return the entry."""
    return loft.say(BoardMoved(board=f"{BOARD}.A", place=place), badge).index


def retired(loft: Loft) -> Person:
    """End Hallvard's key on Friday at five."""
    loft.clock.moment, loft.clock.step = FRIDAY, timedelta()
    people.retire(loft.shop, loft.person("05"), loft.hands("12", "01"))
    return loft.person("05")


def test_what_a_retired_key_signed_stays_good(loft_on_each: Loft) -> None:
    """All of it, and it is counted; the badge is given to nobody else."""
    loft = staffed(loft_on_each)
    hallvard = retired(loft)
    with loft.shop.store.reading() as session:
        found = signatures_of(loft.shop, session, hallvard)

    assert hallvard.is_retired
    assert (found.count, found.bad) == (3, ())
    assert audit(loft.shop).findings == ()
    with pytest.raises(RefusedError, match=r"badge 05 is Hallvard Ness's and is not"):
        loft.enrol("Somebody Else", "05", qualifications=("finish",))


def test_nothing_is_signed_after_retirement(loft_on_each: Loft) -> None:
    """Neither through the PIN nor with the key that somebody kept."""
    loft = staffed(loft_on_each)
    kept = loft.keys["05"]
    hallvard = retired(loft)
    with pytest.raises(RefusedError, match="is retired and signs nothing more"):
        person_key(loft.shop, hallvard, "0505")
    with pytest.raises(RefusedError, match=f"key {kept.id} does not count at"):
        move(loft, "05", "the stove")


def test_a_clock_that_is_set_back_does_not_help(loft_on_each: Loft) -> None:
    """No entry is before the one it follows."""
    loft = staffed(loft_on_each)
    retired(loft)
    loft.clock.moment = FRIDAY - timedelta(minutes=30)
    with pytest.raises(RefusedError, match="before the newest entry of 2026-01-09T17"):
        move(loft, "03", "the stove")


def test_an_entry_slipped_in_with_an_earlier_time_is_flagged(loft: Loft) -> None:
    """By where it stands in the chain, whatever time it claims."""
    staffed(loft)
    kept = loft.keys["05"]
    retired(loft)
    loft.clock.moment = FRIDAY - timedelta(minutes=30)
    event = plain(BoardMoved(board=f"{BOARD}.A", place="the stove"))
    index = appended(loft, event, kept).entry.index
    found = {f.cause for f in audit(loft.shop).findings if f.index == index}

    assert found == {"time", "authority"}


def test_a_lost_badge_is_replaced_and_what_was_signed_between_is_listed(
    loft_on_each: Loft,
) -> None:
    """Same person, new key; she strikes what was not hers, one by one."""
    loft = staffed(loft_on_each)
    lost_at = loft.clock.moment.strftime("%Y-%m-%dT%H:%M:%SZ")
    mine, stolen = move(loft, "06", "shelf D"), move(loft, "06", "the stove")
    noor, old = loft.person("06"), loft.keys["06"]
    people.replace_key(
        loft.shop, noor, "6666", loft.hands("12", "01"), stretching=CHEAP
    )
    loft.keys["06"] = person_key(loft.shop, loft.person("06"), "6666")
    move(loft, "06", "shelf E")
    with loft.shop.store.reading() as session:
        assert subject_of_key(session, old.id) == noor.subject
        reported = loft.shop.store.record(stolen + 1)
        between = signed_by(loft.shop, session, noor, start=lost_at)
        kept = [claim.entry for claim in between if claim.key == old.id]
    assert kept == [mine, stolen]
    assert old.id.encode() not in reported.split(b'"event"')[0]

    correct(loft.shop, stolen, reason="that was not me", hands=loft.hands("06"))
    with loft.shop.store.reading() as session:
        struck = {
            claim.entry: claim.struck_by is not None
            for claim in signed_by(loft.shop, session, noor, start=lost_at)
        }
        found = signatures_of(loft.shop, session, loft.person("06"))
    assert (struck[mine], struck[stolen]) == (False, True)
    assert (len(found.keys), found.bad) == (2, ())
    assert audit(loft.shop).findings == ()


def test_the_leads_key_is_replaced_by_two(loft_on_each: Loft) -> None:
    """One person alone does not do it."""
    loft = staffed(loft_on_each)
    with pytest.raises(RefusedError):
        people.replace_key(
            loft.shop, loft.person("01"), "9999", loft.hands("12"), stretching=CHEAP
        )

    assert not loft.person("01").is_retired
