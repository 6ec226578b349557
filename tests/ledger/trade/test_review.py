"""How the tables stand: their age, how sure they are, and each weak row with why."""

import csv
from datetime import date, timedelta
from importlib.resources import files
from pathlib import Path

from ledger.trade.confidence import CONFIDENCE, MEMORY
from ledger.trade.law import compiled
from ledger.trade.listings import is_stale
from ledger.trade.review import KINDS, review
from ledger.trade.tables import stands
from tests.ledger.trade.overlays import LISTING, MEETING, OWN, law_with, row_of

FOLDER = Path(str(files("ledger.trade")))
DAY = date(2026, 11, 30)
CHECKED = date(2026, 11, 24)


def rows_on_disk() -> dict[str, list[dict[str, str]]]:
    """Return every table whose rows say how far they were checked."""
    read = {
        path.stem: list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
        for path in FOLDER.glob("*.csv")
    }
    return {name: rows for name, rows in read.items() if "confidence" in rows[0]}


def test_every_row_of_every_table_is_counted_once() -> None:
    """By its own word of confidence, as an independent reading of the files counts."""
    counted = {count.table: count for count in review(compiled(), day=DAY).counts}
    disk = rows_on_disk()

    assert counted.keys() == disk.keys()
    for name, rows in disk.items():
        assert counted[name].rows == len(rows)
        assert counted[name].own == 0
        for word in CONFIDENCE:
            said = sum(row["confidence"] == word for row in rows)
            assert counted[name].by_confidence[word] == said


def test_the_tables_tell_their_day_their_newest_source_and_their_age() -> None:
    """The day is that of the newest look, the source that of the newest read."""
    found = review(compiled(), day=DAY)
    rows = [row for table in rows_on_disk().values() for row in table]

    assert str(found.compiled_on) == max(row["checked_on"] for row in rows)
    assert str(found.newest_source) == max(row["newest_source"] for row in rows)
    assert found.age_days == (DAY - found.compiled_on).days


def test_every_row_that_is_not_verified_is_weak() -> None:
    """Once, by its id, those of the listings first."""
    weak = [row for row in review(compiled(), day=DAY).weak if row.kind != "stale"]
    disk = [(name, row) for name, rows in rows_on_disk().items() for row in rows]
    wanted = sum(row["confidence"] != "verified" for _, row in disk)

    assert len(weak) == len({(row.table, row.id) for row in weak}) == wanted
    assert weak[0].table == "listings" and weak[0].kind == "from memory"
    assert {row.id for row in weak} >= {"betula-not-listed", "fagus-not-listed"}
    assert KINDS == ("from memory", "partly verified", "stale")


def test_a_row_that_may_have_been_overtaken_is_weak_with_its_meeting() -> None:
    """As a determination of the day takes it; a row that ended is not."""
    law = compiled()
    weak = {
        row.id: row
        for row in review(law, day=DAY).weak
        if row.kind == "stale" and row.table == "listings"
    }
    wanted = {
        row.id
        for row in law.listings.values()
        if stands(row.valid_from, row.valid_until, DAY) and is_stale(row, DAY)
    }

    assert weak.keys() == wanted
    assert "took effect on" in weak["swietenia-macrophylla"].reason
    assert "dalbergia-before" not in weak


def test_400_days_after_the_last_look_every_row_in_force_is_stale() -> None:
    """The day before only those are that a meeting overtook."""
    law = compiled()
    last = CHECKED + timedelta(days=400)
    before = [row for row in review(law, day=last).weak if row.kind == "stale"]
    after = review(law, day=last + timedelta(days=1)).weak
    aged = [row for row in after if "401 days ago, more than 400" in row.reason]

    assert not any("days ago" in row.reason for row in before)
    assert {"rules", "names", "meetings", "listings"} <= {row.table for row in aged}


def test_rows_of_the_shops_own_are_counted_and_marked() -> None:
    """A row in another's place, an added one, and a meeting that overtakes others."""
    memory = {"sources": "M", "confidence": MEMORY}
    law = law_with(
        ("listings", LISTING),
        ("listings", row_of("listings", "dalbergia-nigra", **memory)),
        ("meetings", {**MEETING, "took_effect": "2026-11-29"}),
    )
    found = review(law, day=DAY)
    counted = {count.table: count for count in found.counts}
    marked = {(row.table, row.id) for row in found.weak if row.own == OWN}

    assert counted["listings"].own == 2
    assert counted["listings"].rows == len(compiled().listings) + 1
    assert counted["meetings"].own == 1
    assert marked >= {("listings", "dalbergia-nigra"), ("listings", LISTING["id"])}
    assert found.compiled_on == CHECKED
    met = [row for row in found.weak if "CoP21 took effect" in row.reason]
    assert met and all(row.own == OWN for row in met)
