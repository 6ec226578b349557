"""The views say the same whenever and wherever they are folded."""

from hashlib import sha256
from pathlib import Path

import pytest
from sqlalchemy import (
    Column,
    Index,
    Integer,
    MetaData,
    Table,
    UniqueConstraint,
    create_engine,
)
from sqlmodel import Session

from ledger.acts import copies
from ledger.acts.exchange import read_records
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.log.entry import Entry, parse_record
from ledger.views import fold
from tests import skerrymoor
from tests.ledger.audit.tampering import appended
from tests.skerrymoor import Loft
from tests.vectors.fold.make import RECORDS, UNRULY, busy

# The kept entries, the edition of today, and what they fold to in it.
KEPT = "829f0f2ffdf97d693af33134e21e3ec124a5eb8498f73f77b2d3696fda05b228"
EDITION = "c11aec1e5abc40c797a810fd08d3fed160d7dd9972a53ddec63834f7c6f83c0a"
ROWS = "3c40f2c048ec9cba1e81a654802f1ca6392482dac1acba8a535ab54b046a4246"


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


def test_an_edition_is_what_the_tables_hold_and_how_they_are_folded(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One table more, or another way to fold, is another edition."""
    now = fold.edition()
    monkeypatch.setattr(fold, "TABLES", fold.TABLES[:-1])
    fewer = fold.edition()
    monkeypatch.undo()
    monkeypatch.setattr(fold, "FOLDING", fold.FOLDING + 1)
    otherwise = fold.edition()
    monkeypatch.undo()

    assert len({now, fewer, otherwise}) == 3
    assert fold.edition() == now


def keyed(*more: Index | UniqueConstraint, by: str = "code") -> str:
    """Describe a table of two columns under a key."""
    columns = [
        Column(name, Integer, primary_key=name == by, nullable=False)
        for name in ("code", "idx")
    ]
    return fold._described(Table("thing", MetaData(), *columns, *more))


def test_an_edition_knows_keys_and_what_is_there_once() -> None:
    """The same columns under another key take other rows."""
    tables = {
        keyed(),
        keyed(by="idx"),
        keyed(UniqueConstraint("idx")),
        keyed(UniqueConstraint("code", "idx")),
    }

    assert len(tables) == 4
    assert keyed(Index("by_idx", "idx", unique=True)) == keyed(UniqueConstraint("idx"))
    assert keyed(Index("by_idx", "idx")) == keyed()


def test_what_old_entries_fold_to_changes_only_with_the_edition() -> None:
    """Who folds kept entries otherwise must say so, or stored views go on unseen."""
    engine = create_engine("sqlite://")
    fold.make(engine)
    with Session(engine) as session:
        for data in read_records(RECORDS):
            fold.fold(session, parse_record(data).entry)
        session.flush()
        folded = list(fold.rows(session))
    engine.dispose()
    rows_made = sha256("\n".join(map(repr, folded)).encode()).hexdigest()
    kept, edition = sha256(RECORDS.read_bytes()).hexdigest(), fold.edition()
    next_step = (
        "kept entries fold to other rows in the same tables: raise FOLDING in "
        "ledger/views/fold.py, then run this test again"
        if (kept, edition) == (KEPT, EDITION)
        else f"the tables or FOLDING are others, or the entries were made anew: write "
        f"above KEPT = {kept!r}, EDITION = {edition!r} and ROWS = {rows_made!r}"
    )

    assert {name for name, _ in folded} == {v.__tablename__ for v in fold.TABLES}, (
        "a view has no row: run python -m tests.vectors.fold.make"
    )
    assert (kept, edition, rows_made) == (KEPT, EDITION, ROWS), next_step


def test_views_of_another_edition_are_nothing_to_rest_on(loft_on_each: Loft) -> None:
    """Whoever asks is told what to do, also where no edition is named at all."""
    engine = loft_on_each.shop.store.engine
    for statement in (
        "UPDATE viewedition SET digest = 'older'",
        "DELETE FROM viewedition",
        "DROP TABLE viewedition",
    ):
        with engine.begin() as connection:
            connection.exec_driver_sql(statement)
        with loft_on_each.shop.store.reading() as session:
            with pytest.raises(RefusedError, match="run flitchbook record rebuild"):
                fold.require_this_edition(session)
            assert fold.has_columns_of_today(session)
    copies.rebuild(loft_on_each.shop)
    with loft_on_each.shop.store.reading() as session:
        fold.require_this_edition(session)


@pytest.mark.parametrize(
    "statement",
    [
        "ALTER TABLE board DROP COLUMN place",
        "ALTER TABLE board ADD COLUMN shelf VARCHAR",
        "DROP TABLE lot",
    ],
)
def test_tables_with_other_columns_are_not_those_of_today(
    loft_on_each: Loft, statement: str
) -> None:
    """One less, one more, or none."""
    with loft_on_each.shop.store.engine.begin() as connection:
        connection.exec_driver_sql(statement)
    with loft_on_each.shop.store.reading() as session:
        assert not fold.has_columns_of_today(session)


def test_views_that_are_made_are_of_this_edition(loft_on_each: Loft) -> None:
    """And tables that are there stay as they are, whatever edition they are of."""
    engine = loft_on_each.shop.store.engine
    with loft_on_each.shop.store.reading() as session:
        assert fold.is_of_this_edition(session)
    with engine.begin() as connection:
        connection.exec_driver_sql("UPDATE viewedition SET digest = 'older'")
    fold.make(engine)
    with loft_on_each.shop.store.reading() as session:
        assert not fold.is_of_this_edition(session)
