"""A logger's file taken over: its days, what was told before, and what is refused."""

from datetime import date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts import corrections, roomlogs
from ledger.acts.plausible import UnlikelyError
from ledger.acts.roomlogs import METHOD, HowRead, Logged, how_read, method_of
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.log import attachments
from ledger.log.entry import LARGEST_RECORD
from ledger.views.readings import RoomReading, air_since
from tests.skerrymoor import Loft

# The shop's clock stands at the fifth of January.
START = datetime(2026, 1, 1)  # noqa: DTZ001 - a logger's clock has no zone


def rows(count: int, *, start: datetime = START, damp: str = "45.0") -> str:
    """Return a log of so many hours."""
    moments = [start + timedelta(hours=n) for n in range(count)]
    lines = [f"{at:%Y-%m-%d %H:%M},20.{at.hour % 7},{damp}" for at in moments]
    return "\n".join(["time,temp C,rh", *lines, ""])


def log(loft: Loft, text: str, **facts: Any) -> Logged:
    """Take over a log of the crib."""
    told: dict[str, Any] = {"room": "crib", "hands": loft.hands("02")} | facts
    return roomlogs.log_room(loft.shop, data=text.encode(), **told)


def air(loft: Loft, room: str = "crib") -> list[RoomReading]:
    """Return what the record holds of a room's air."""
    with loft.shop.store.reading() as session:
        return air_since(session, room, "2000-01-01")


def test_each_day_goes_into_the_record_and_the_file_onto_the_shelf(loft: Loft) -> None:
    """With its means, its extremes, its gap and how many readings it has."""
    text = rows(48)
    done = log(loft, text)
    (entry,) = done.entries

    assert entry.event["method"] == METHOD
    assert [day["day"] for day in entry.event["days"]] == ["2026-01-01", "2026-01-02"]
    assert entry.event["days"][0] == {
        "day": "2026-01-01",
        "gap_seconds": 3600,
        "humidity_ppm": 450_000,
        "least_humidity_ppm": 450_000,
        "most_humidity_ppm": 450_000,
        "number": 24,
        "temperature_millikelvin": done.days[0].temperature_millikelvin,
    }
    assert attachments.read(loft.shop.attachments, done.sha256) == text.encode()
    assert [(row.day, row.number) for row in air(loft)] == [
        ("2026-01-01", 24),
        ("2026-01-02", 24),
    ]
    assert audit(loft.shop).findings == ()


def test_a_dry_run_tells_the_same_and_records_nothing(loft: Loft) -> None:
    """Neither an entry nor a file."""
    text, size = rows(48), loft.shop.store.head().size
    seen = roomlogs.look_at_log(loft.shop, room="crib", data=text.encode())

    assert (seen.entries, loft.shop.store.head().size) == ((), size)
    assert list(attachments.digests(loft.shop.attachments)) == []
    assert log(loft, text).days == seen.days


def test_the_same_file_is_taken_over_once(loft: Loft) -> None:
    """Under whatever room; the refusal names the entry. Struck, it may come again."""
    (entry,) = log(loft, rows(24)).entries
    for room in ("crib", "attic"):
        with pytest.raises(
            RefusedError, match=f"as the log of crib by entry {entry.index}"
        ):
            log(loft, rows(24), room=room)
    corrections.correct(
        loft.shop, entry.index, reason="another room's", hands=loft.hands("02")
    )

    assert log(loft, rows(24), room="attic").days[0].day == "2026-01-01"
    assert audit(loft.shop).findings == ()


def test_days_that_were_told_before_are_left_out_if_they_are_the_same(
    loft: Loft,
) -> None:
    """A logger that is read out every week tells the old weeks again."""
    log(loft, rows(48))
    done = log(loft, rows(96))

    assert [day.day for day in done.days] == ["2026-01-03", "2026-01-04"]
    assert done.notes[-1] == (
        "2026-01-01 to 2026-01-02, 2 days: in the record already, and the same; "
        "left out"
    )
    with pytest.raises(RefusedError, match="tells nothing new of crib"):
        log(loft, rows(96).replace("time,", "Time,"))


def test_of_a_day_that_was_told_in_part_the_fuller_half_counts(loft: Loft) -> None:
    """Read out at noon, a day is half told; the next file has all of it."""
    log(loft, rows(36))
    fuller = log(loft, rows(72))
    shorter = log(loft, rows(60, start=START + timedelta(hours=36)))

    assert [day.day for day in fuller.days] == ["2026-01-02", "2026-01-03"]
    assert "the fuller one counts from now on" in fuller.notes[-1]
    assert [day.day for day in shorter.days] == ["2026-01-04"]
    assert any("the fuller one stays" in note for note in shorter.notes)


def test_a_day_at_the_edge_of_a_file_is_the_same_day(loft: Loft) -> None:
    """Its last reading stands a little shorter there, which is nothing to look at."""
    edge = "2026-01-02 00:20,20.9,45.0\n"
    log(loft, rows(24))
    done = log(loft, rows(24) + edge)

    assert [day.day for day in done.days] == ["2026-01-02"]
    assert done.notes[-1].startswith("2026-01-01: in the record already, and the same")


def test_a_day_that_is_told_otherwise_is_looked_at(loft: Loft) -> None:
    """Another room's log is soon taken for this one's."""
    (entry,) = log(loft, rows(48)).entries
    other = rows(48, damp="61.5")
    with pytest.raises(UnlikelyError) as caught:
        log(loft, other)
    taken = log(loft, other, as_read=True)

    assert str(caught.value).replace("\u2009", " ") == (
        f"2026-01-01 is in entry {entry.index} with 24 readings and 45.0 %RH, and here "
        f"with 24 readings and 61.5 %RH: see that it is the log of this room, or say "
        f"that it is so with --as-read"
    )
    assert [row.humidity_ppm for row in air(loft)] == [450_000, 615_000] * 2
    assert "this one counts from now on" in taken.notes[-1]


def test_of_another_room_all_days_are_new(loft: Loft) -> None:
    """Each room has its own air."""
    log(loft, rows(24))

    assert len(log(loft, rows(24, damp="50"), room="attic").days) == 1
    assert [row.humidity_ppm for row in air(loft, "attic")] == [500_000]


GAP = rows(24) + "\n".join(rows(12, start=START + timedelta(hours=36)).split("\n")[1:])
TWICE = rows(24) + "2026-01-01 23:00,20.2,45.0\n2026-01-01 22:00,20.9,49.0\n"


@pytest.mark.parametrize(
    ("text", "note"),
    [
        (GAP, "1 gap, the longest of 13.0 hours before line 26"),
        (TWICE, "the same reading again, left out"),
        (TWICE, "another reading for the same moment; the first is kept"),
        (rows(24) + "2026-01-02 01:00,--,--\n", "1 row without a value of the sensor"),
    ],
)
def test_what_a_log_lacks_is_told(loft: Loft, text: str, note: str) -> None:
    """Gaps, readings that stand there twice, and rows that say nothing."""
    assert any(note in each for each in log(loft, text).notes)


MIXED = "time,temp C,rh\n" + "\n".join(
    f"2026-01-0{n} 10:00,{68 if n % 2 else 20},44" for n in range(1, 6)
)


@pytest.mark.parametrize(
    ("text", "facts", "why"),
    [
        (rows(24, start=START + timedelta(days=5)), {}, "today is 2026-01-05: look"),
        (MIXED, {}, "write one unit in the whole log"),
        (rows(24, damp="0"), {}, "no humidity is above 1 %"),
        (rows(24, damp="100"), {}, "on 2026-01-01 is no air of a room: read the hygro"),
        (rows(24).replace(",20.", ",64."), {}, "say --unit temperature=F"),
        (rows(24).replace("temp C", "temp"), {}, "does not say °C or °F"),
        (rows(24).replace("2026-01-01", "1/2/2026"), {}, "can be read in two ways"),
        ("", {}, "the log is empty"),
        (
            "board,mass\nL26-001-01,412\n",
            {},
            "names a time, a temperature and a humidity",
        ),
        (rows(24), {"room": " "}, "the room has 1 to 200 characters"),
        (rows(24), {"hands": "12"}, r"entering a room's log needs"),
    ],
)
def test_what_is_no_log_of_a_room_leaves_nothing_behind(
    loft: Loft, text: str, facts: dict[str, Any], why: str
) -> None:
    """One sentence; no entry, no file."""
    size = loft.shop.store.head().size
    if "hands" in facts:
        facts = facts | {"hands": loft.hands(facts["hands"])}
    with pytest.raises(RefusedError, match=why):
        log(loft, text, **facts)

    assert loft.shop.store.head().size == size
    assert list(attachments.digests(loft.shop.attachments)) == []


def test_a_long_log_is_told_in_several_entries(loft: Loft) -> None:
    """Three years of days; no record comes near the largest one."""
    start = datetime(2023, 1, 1)  # noqa: DTZ001 - a logger's clock has no zone
    count = (date(2026, 1, 5) - date(2023, 1, 1)).days * 24
    text = rows(count, start=start, damp="45.123")
    done = log(loft, text)
    sizes = [len(loft.shop.store.record(entry.index)) for entry in done.entries]

    assert len(done.days) == 1100 and len(done.entries) == 5
    assert max(sizes) < LARGEST_RECORD * 4 // 5
    assert len({entry.event["sha256"] for entry in done.entries}) == 1
    assert audit(loft.shop).findings == ()


WORD = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1)


@given(
    columns=st.dictionaries(st.sampled_from(["temperature", "time"]), WORD),
    units=st.dictionaries(st.just("temperature"), st.sampled_from(["C", "F"])),
    dates=st.sampled_from(["", "day-first", "month-first"]),
)
def test_how_a_file_was_read_can_be_said_and_understood(
    columns: dict[str, str], units: dict[str, str], dates: str
) -> None:
    """In one line of the entry, for whoever reads the file again."""
    how = HowRead(columns=columns, units=units, dates=dates)

    assert how_read(method_of(how)) == how


@pytest.mark.parametrize(
    "method",
    [
        "logger file/2",
        f"{METHOD}, read with",
        f"{METHOD}, read with [1]",
        f"{METHOD}, read with {{}}",
        f'{METHOD}, read with {{"dates":1}}',
        f'{METHOD}, read with {{"more":"x"}}',
        f"{METHOD}, read with {'[' * 100_000}",
    ],
)
def test_a_method_that_is_none_of_ours_is_not_understood(method: str) -> None:
    """Whatever somebody wrote there past the act."""
    assert how_read(method) is None
