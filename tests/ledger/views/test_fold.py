"""The views say the same whenever and wherever they are folded."""

from pathlib import Path

import pytest
from sqlalchemy import create_engine
from sqlmodel import Session

from ledger.acts import clock, copies, people
from ledger.audit import audit
from ledger.log.entry import Entry, parse_record
from ledger.views import fold
from tests import skerrymoor
from tests.ledger.audit.tampering import appended
from tests.sentences import say_everything
from tests.skerrymoor import Loft

# Names that alphabets put in another order than their bytes.
UNRULY = ("tidewarden", "Slipway", "a b", "ab", "Ünder", "Under", "under-2", "ünder")


def busy(loft: Loft) -> None:
    """Let something happen in every view."""
    for name in UNRULY:
        loft.model(name)
    serial = loft.build()
    loft.issue(serial)
    loft.sell(serial)
    say_everything(loft)
    people.retire(loft.shop, loft.person("03"), loft.hands("03"))
    people.erase(loft.shop, loft.person("10").subject, loft.hands("12", "01"))
    times = {"since": "2025-01-01T00:00:00Z", "until": "2025-01-02T00:00:00Z"}
    clock.doubt(loft.shop, hands=loft.hands("01", "12"), **times)


def rows(loft: Loft) -> list[tuple[str, tuple[object, ...]]]:
    """Return every row of every view."""
    with loft.shop.store.reading() as session:
        return list(fold.rows(session))


def test_what_was_folded_entry_by_entry_is_what_rebuilding_gives(
    loft_on_each: Loft,
) -> None:
    """Every view has rows, and rebuilding changes none of them."""
    busy(loft_on_each)
    before = rows(loft_on_each)
    copies.rebuild(loft_on_each.shop)

    assert rows(loft_on_each) == before
    assert {name for name, _ in before} == {v.__tablename__ for v in fold.TABLES}


def test_the_rows_come_in_the_same_order_from_each_database(
    database_url: str, tmp_path: Path
) -> None:
    """Also where a server sorts as people do and not by bytes."""
    lofts = [
        skerrymoor.opened(tmp_path / "here", database=database_url),
        skerrymoor.opened(tmp_path / "there"),
    ]
    if database_url.startswith("postgresql"):
        with lofts[0].shop.store.engine.begin() as connection:
            for statement in ("model ALTER name", "modelpart ALTER model"):
                connection.exec_driver_sql(
                    f'ALTER TABLE {statement} TYPE VARCHAR COLLATE "und-x-icu"'
                )
    for loft in lofts:
        for name in UNRULY:
            loft.model(name)
    here, there = (rows(loft) for loft in lofts)
    report = audit(lofts[0].shop)
    for loft in lofts:
        loft.shop.close()

    assert here == there
    assert report.findings == ()


def test_an_entry_that_is_not_understood_is_passed_over(loft: Loft) -> None:
    """A later kind, or members that do not fit: the log keeps it, the views do not."""
    before = rows(loft)
    record = appended(loft, {"kind": "board.sung/1"})
    for event in ({"kind": "board.sung/1"}, {"kind": "lot.received/1", "lot": "L26-9"}):
        entry = Entry(
            at=record.entry.at,
            event=event,
            index=record.entry.index,
            key=record.entry.key,
            origin=record.entry.origin,
            previous=record.entry.previous,
        )
        with loft.shop.store.appending() as appending:
            fold.fold(appending.session, entry)

    assert rows(loft) == before


def test_the_views_fold_in_memory_as_well(loft: Loft) -> None:
    """Any database will do, for whoever has the records."""
    busy(loft)
    engine = create_engine("sqlite://")
    fold.make(engine)
    fold.make(engine)
    with Session(engine) as session:
        for _, data in loft.shop.store.records():
            fold.fold(session, parse_record(data).entry)
        session.flush()
        folded = list(fold.rows(session))
        fold.empty(session)
        left = list(fold.rows(session))
    engine.dispose()

    assert folded == rows(loft)
    assert left == []


@pytest.mark.parametrize("view", fold.TABLES, ids=lambda view: str(view.__tablename__))
def test_every_view_has_a_key(view: type) -> None:
    """Else its rows would come in no order."""
    table = fold._table(view)

    assert len(table.primary_key.columns) >= 1
