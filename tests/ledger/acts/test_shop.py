"""One person's turn, and what the clock may do to it."""

from dataclasses import fields
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from ledger.acts import clock as clocks
from ledger.acts import copies
from ledger.acts.shop import open_shop, read_standing
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.events import LabelPrinted, QualificationGranted
from ledger.log.entry import Entry, at_moment, parse_record
from ledger.log.standing import Standing
from ledger.views.standing import GoverningEntry
from tests.conftest import entropy_from
from tests.ledger.audit.tampering import appended, behind_the_guards
from tests.skerrymoor import Loft

LABEL = LabelPrinted(codes=(), paper="51 x 22", sha256="ab" * 32)


def say(loft: Loft) -> Entry:
    """Say something small at the station's time."""
    with loft.shop.turn() as turn:
        return turn.say(LABEL, loft.hands())


def stand_at(loft: Loft, moment: datetime) -> datetime:
    """Let the clock stand still at a moment."""
    loft.clock.moment, loft.clock.step = moment, timedelta()
    return moment


def newest_at(loft: Loft) -> datetime:
    """Return the time of the newest entry."""
    record = loft.shop.store.record(loft.shop.store.head().size - 1)
    return at_moment(parse_record(record).entry.at)


def doubt(loft: Loft, since: datetime, until: datetime) -> None:
    """Say that times between two moments are false."""
    words = [moment.strftime("%Y-%m-%dT%H:%M:%SZ") for moment in (since, until)]
    hands = loft.hands("01", "12")
    clocks.doubt(loft.shop, since=words[0], until=words[1], hands=hands)


@pytest.mark.parametrize(
    "behind", [timedelta(), timedelta(seconds=1), timedelta(minutes=10)]
)
def test_a_clock_that_is_a_little_behind_gives_the_newest_time(
    loft: Loft, behind: timedelta
) -> None:
    """Two stations never agree to the second; no entry is older than the one before."""
    last = newest_at(loft)
    stand_at(loft, last - behind)

    assert at_moment(say(loft).at) == last
    assert audit(loft.shop).findings == ()


def test_a_clock_that_is_further_behind_is_refused(loft: Loft) -> None:
    """The refusal tells both times, and nothing is recorded."""
    size = loft.shop.store.head().size
    stand_at(loft, newest_at(loft) - timedelta(minutes=10, seconds=1))
    with pytest.raises(RefusedError, match="before the newest entry") as refusal:
        say(loft)

    assert newest_at(loft).strftime("%H:%M:%SZ") in str(refusal.value)
    assert loft.shop.store.head().size == size


@pytest.mark.parametrize("wait", [timedelta(days=31), timedelta(days=31, seconds=1)])
def test_after_a_long_pause_somebody_looks_at_the_clock(
    loft: Loft, wait: timedelta
) -> None:
    """A year typed wrong would else stand in the log for ever."""
    stand_at(loft, newest_at(loft) + wait)
    if wait > timedelta(days=31):
        with pytest.raises(RefusedError, match="31 days later; look at the clock"):
            say(loft)
        object.__setattr__(loft.shop, "pause_confirmed", True)

    assert at_moment(say(loft).at) == loft.clock.moment


@pytest.mark.parametrize("ahead", [timedelta(minutes=6), timedelta(days=20)])
def test_until_the_real_time_catches_up_each_entry_says_when_it_happened(
    loft: Loft, ahead: timedelta
) -> None:
    """The clock ran ahead, by little or by much; the audit is content throughout."""
    true = newest_at(loft)
    wrong = stand_at(loft, true + ahead)
    say(loft)
    stand_at(loft, true)
    doubt(loft, true + timedelta(minutes=5), wrong + timedelta(minutes=1))
    for minutes in (0, 4):
        stand_at(loft, true + timedelta(minutes=minutes))
        said = say(loft)

        assert at_moment(said.at) == wrong
        assert at_moment(said.event["happened_at"]) == loft.clock.moment
    stand_at(loft, wrong + timedelta(seconds=30))

    assert at_moment(say(loft).event["happened_at"]) == loft.clock.moment
    stand_at(loft, wrong + timedelta(minutes=2))
    assert "happened_at" not in say(loft).event
    assert audit(loft.shop).findings == ()


@pytest.mark.parametrize(
    ("since", "until", "said"),
    [
        ("2026-01-05", "2026-01-06", "is no time"),
        ("2026-01-06T00:00:00Z", "2026-01-05T00:00:00Z", "is after"),
        ("", "", "is no time"),
    ],
)
def test_a_doubt_is_about_a_span_of_time(
    loft: Loft, since: str, until: str, said: str
) -> None:
    """Two moments, the first one first."""
    with pytest.raises(RefusedError, match=said):
        clocks.doubt(loft.shop, since=since, until=until, hands=loft.hands("01", "12"))


@pytest.mark.parametrize("hands", [("01",), ("12", "01"), ("01", "03"), ("01", "01")])
def test_the_clock_is_doubted_by_a_lead_and_another(
    loft: Loft, hands: tuple[str, ...]
) -> None:
    """Nobody turns back the time alone."""
    times = {"since": "2026-01-05T00:00:00Z", "until": "2026-01-06T00:00:00Z"}
    with pytest.raises(RefusedError):
        clocks.doubt(loft.shop, hands=loft.hands(*hands), **times)


def test_a_turn_writes_all_or_nothing(loft: Loft) -> None:
    """An error after the first sentence takes that one back too."""
    size = loft.shop.store.head().size
    with pytest.raises(RefusedError), loft.shop.turn() as turn:
        turn.say(LABEL, loft.hands())
        turn.say(LABEL, loft.hands("12"))

    assert loft.shop.store.head().size == size


def test_a_refusal_that_is_caught_leaves_the_turn_as_it_was(loft: Loft) -> None:
    """What may be said is said, what may not is as if it never was."""
    with loft.shop.turn() as turn:
        with pytest.raises(RefusedError):
            turn.say(LABEL, loft.hands("12"))
        turn.say(LABEL, loft.hands())

    assert audit(loft.shop).findings == ()


def test_an_approval_is_used_once(loft: Loft) -> None:
    """Chance that repeats itself is found out before anything is written."""
    object.__setattr__(loft.shop, "entropy", lambda size: b"\x07" * size)
    hands = loft.hands("01", "12")
    with loft.shop.turn() as turn:
        turn.say(LABEL, hands)
        with pytest.raises(RefusedError, match="were used before"):
            turn.say(LABEL, hands)


@pytest.mark.parametrize(
    ("name", "error"),
    [
        ("shop.toml", NotFoundError),
        ("ledger.sqlite3", NotFoundError),
        ("vault.sqlite3", NotFoundError),
    ],
)
def test_a_shop_without_one_of_its_files_does_not_open(
    loft: Loft, name: str, error: type[Exception]
) -> None:
    """A missing log or vault is never silently begun anew."""
    loft.shop.close()
    (loft.shop.folder / name).unlink()
    with pytest.raises(error):
        open_shop(loft.shop.folder, now=loft.clock, entropy=entropy_from("again"))

    assert not (loft.shop.folder / name).exists()


def test_a_shop_whose_log_was_cut_off_does_not_open(loft: Loft) -> None:
    """It says what to do with the file."""
    loft.shop.close()
    path = loft.shop.folder / "ledger.sqlite3"
    path.write_bytes(path.read_bytes()[:-100])

    with pytest.raises(TamperError, match="put back the newest copy"):
        open_shop(loft.shop.folder, now=loft.clock, entropy=entropy_from("again"))


def of_another_edition(loft: Loft) -> None:
    """Let the views be those of another version, and say that somebody was erased."""
    with behind_the_guards(loft) as connection:
        connection.execute("UPDATE viewedition SET digest = '00'")
        connection.execute(
            "INSERT INTO erasedsubject SELECT subject, 1 FROM person WHERE badge = '03'"
        )


def test_nothing_is_said_on_views_of_another_edition(loft: Loft) -> None:
    """What an act would look up there may be false; folded again it goes on."""
    size = loft.shop.store.head().size
    of_another_edition(loft)
    with pytest.raises(RefusedError, match="by another version: run flitchbook record"):
        say(loft)

    assert loft.shop.store.head().size == size
    copies.rebuild(loft.shop)
    assert say(loft).index == size


def test_a_shop_of_another_edition_opens_only_as_it_is(loft: Loft) -> None:
    """And nobody's name is erased on the word of its views."""
    of_another_edition(loft)
    loft.shop.close()
    told: dict[str, Any] = {"now": loft.clock, "entropy": entropy_from("another")}
    with pytest.raises(RefusedError, match="by another version: run flitchbook record"):
        open_shop(loft.shop.folder, **told)
    loft.shop = open_shop(loft.shop.folder, of_any_edition=True, **told)
    copies.rebuild(loft.shop)
    loft.shop.close()
    loft.shop = open_shop(loft.shop.folder, **told)

    assert audit(loft.shop).findings == ()


def test_today_is_the_day_in_greenwich(loft: Loft) -> None:
    """Stations in two zones count the same day."""
    told: dict[str, Any] = {"now": lambda: datetime(2026, 3, 1, 23, 59, tzinfo=UTC)}
    loft.shop.close()
    loft.shop = open_shop(loft.shop.folder, entropy=entropy_from("today"), **told)

    assert loft.shop.today() == "2026-03-01"


def slipped_in(loft: Loft, event: dict[str, Any], *, by: str = "03") -> int:
    """Put an entry into log and view that no act would have said."""
    index = appended(loft, event, loft.keys[by]).entry.index
    with loft.shop.store.appending() as appending:
        appending.session.add(GoverningEntry(idx=index))
    return index


@pytest.mark.parametrize(
    "event",
    [
        {"kind": "person.enrolled/1"},
        {"kind": "role.granted/1", "role": "lead", "subject": "0" * 32},
        {"kind": "lot.received/1"},
        {"approvals": 7, "kind": "key.retired/1", "key": ["x"]},
    ],
    ids=lambda event: str(event["kind"]),
)
def test_an_entry_slipped_in_gives_nobody_a_right(
    loft: Loft, event: dict[str, Any]
) -> None:
    """Malformed or not allowed: one sentence says what to do, and nothing is said."""
    index = slipped_in(loft, event)
    with pytest.raises(TamperError, match=f"entry {index} may not.*record audit"):
        loft.shop.standing()
    with pytest.raises(TamperError, match=f"entry {index} may not"):
        say(loft)

    assert loft.shop.store.head().size == index + 1


def test_an_entry_of_a_newer_version_leaves_the_rest_open(loft: Loft) -> None:
    """Nobody is accused, and nothing more is said until it is understood."""
    slipped_in(loft, {"kind": "policy.amended/1"}, by="01")
    with pytest.raises(RefusedError, match="not understood"):
        say(loft)

    assert loft.shop.standing().clouded_by is not None


def shared(standing: Standing, other: Standing) -> list[str]:
    """Return which lists, sets and mappings two standings have in common."""
    return [
        f.name
        for f in fields(Standing)
        if isinstance(getattr(standing, f.name), (list, set, dict))
        and getattr(standing, f.name) is getattr(other, f.name)
        # What was adopted is never changed, only replaced.
        and f.name != "policy"
    ]


def anew(loft: Loft) -> Standing:
    """Return the standing as somebody without a memory reads it."""
    with loft.shop.store.reading() as session:
        return read_standing(session)


def test_what_was_judged_is_not_judged_again(loft: Loft) -> None:
    """The same bytes give the same standing, in containers of its own."""
    first = loft.shop.standing()
    judged = loft.shop.memory.judged
    second = loft.shop.standing()

    assert loft.shop.memory.judged is judged
    assert first == second == anew(loft)
    assert shared(first, second) == shared(first, judged.standing) == []


def test_another_station_is_heard(loft: Loft) -> None:
    """Whoever it enrols or dismisses counts here from the next turn on."""
    mine = loft.shop
    other = open_shop(mine.folder, now=loft.clock, entropy=entropy_from("another"))
    before = len(mine.standing().keys)
    loft.shop = other
    loft.enrol()
    loft.shop = mine

    assert len(mine.standing().keys) == before + 1
    assert mine.standing() == anew(loft)
    other.close()


def test_what_was_rolled_back_was_never_judged(loft: Loft) -> None:
    """A right that was given and taken back within a turn is none afterwards."""
    before = loft.shop.standing()
    size = loft.shop.store.head().size
    subject = loft.person("03").subject
    grant = QualificationGranted(subject=subject, qualification="frets")
    with pytest.raises(RefusedError), loft.shop.turn() as turn:
        turn.say(grant, loft.hands())
        assert "frets" in turn.standing.qualifications_of(subject)
        turn.say(LABEL, loft.hands("12"))

    assert loft.shop.store.head().size == size
    assert loft.shop.standing() == before == anew(loft)
    with loft.shop.turn() as turn:
        assert "frets" not in turn.standing.qualifications_of(subject)


def test_a_right_given_in_a_turn_counts_in_the_next(loft: Loft) -> None:
    """Only the new entry is judged, and the outcome is that of all."""
    loft.shop.standing()
    subject = loft.person("03").subject
    with loft.shop.turn() as turn:
        turn.say(
            QualificationGranted(subject=subject, qualification="frets"), loft.hands()
        )

    assert "frets" in loft.shop.standing().qualifications_of(subject)
    assert loft.shop.standing() == anew(loft)


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM governingentry WHERE idx = (SELECT max(idx) FROM governingentry)",
        "DELETE FROM governingentry WHERE idx = (SELECT min(idx) FROM governingentry)",
        "DELETE FROM entry WHERE idx = 3",
        "UPDATE entry SET record = CAST(replace(record, 'a', 'b') AS BLOB) "
        "WHERE idx = 1",
        "UPDATE entry SET record = (SELECT record FROM entry WHERE idx = 2) "
        "WHERE idx = 1",
        "UPDATE governingentry SET idx = 9999 WHERE idx = 2",
    ],
)
def test_a_memory_hides_no_tampering(loft: Loft, statement: str) -> None:
    """Whoever remembers judges as somebody does who never saw the log before."""
    loft.shop.standing()
    with behind_the_guards(loft) as connection:
        connection.execute(statement)
    outcomes = []
    for read in (loft.shop.standing, lambda: anew(loft)):
        try:
            outcomes.append(repr(read()))
        except TamperError as fault:
            outcomes.append(str(fault))

    assert outcomes[0] == outcomes[1]


def test_after_a_tampering_is_mended_all_is_as_before(loft: Loft) -> None:
    """A refusal leaves nothing behind in the memory."""
    before = loft.shop.standing()
    with behind_the_guards(loft) as connection:
        row = connection.execute("SELECT record FROM entry WHERE idx = 1").fetchone()
        connection.execute("UPDATE entry SET record = x'00' WHERE idx = 1")
    with pytest.raises(TamperError):
        loft.shop.standing()
    with behind_the_guards(loft) as connection:
        connection.execute("UPDATE entry SET record = ? WHERE idx = 1", row)

    assert loft.shop.standing() == before
