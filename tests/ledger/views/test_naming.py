"""Entries found by what stands in their records, the same on both databases."""

from ledger.log.entry import parse_record
from ledger.views import fold
from ledger.views.naming import entries_by, entries_naming, entries_on_boards
from tests.skerrymoor import Loft

SERIAL = "26-0001-8"


def test_what_names_a_code_is_found_and_nothing_else(loft_on_each: Loft) -> None:
    """By a walk over every record as by the query, and from an index on."""
    loft = loft_on_each
    loft.build()
    entries = [parse_record(data).entry for _, data in loft.shop.store.records()]
    named = [e.index for e in entries if e.event.get("serial") == SERIAL]
    with loft.shop.store.reading() as session:
        found = [entry.index for entry in entries_naming(session, SERIAL)]
        later = entries_naming(session, SERIAL, start=named[2])
        none = entries_naming(session, "26-0001")

    assert found == named
    assert [entry.index for entry in later] == named[2:]
    assert none == []


def test_several_codes_are_found_in_one_walk(loft_on_each: Loft) -> None:
    """Each entry once, in the order of the log, whichever of the codes it names."""
    loft = loft_on_each
    loft.build()
    codes = "L26-001-01.A", SERIAL
    with loft.shop.store.reading() as session:
        apart = [entries_naming(session, code) for code in codes]
        found = [entry.index for entry in entries_naming(session, *codes)]

    assert found == sorted({e.index for entries in apart for e in entries})
    assert all(len(entries) < len(found) for entries in apart)


def test_what_a_key_signed_is_found_where_it_signed(loft_on_each: Loft) -> None:
    """A key that another entry speaks of did not sign that one."""
    loft = loft_on_each
    loft.build()
    records = [data for _, data in loft.shop.store.records()]
    keys = {loft.keys[badge].id for badge in ("02", "03")}
    with loft.shop.store.reading() as session:
        found = entries_by(session, keys)

    assert found == [r for r in records if parse_record(r).entry.key in keys]
    assert found


def test_what_a_view_shows_of_boards_is_found(loft_on_each: Loft) -> None:
    """Their allotments, and after one of these only the later ones."""
    loft = loft_on_each
    loft.build()
    codes = ["L26-001-01.A", "L26-001-01.B"]
    with loft.shop.store.reading() as session:
        first, *rest = entries_on_boards(session, fold.TABLES, codes, after=-1)
        later = entries_on_boards(session, fold.TABLES, codes, after=first)

    assert later == rest
    kinds = {parse_record(loft.shop.store.record(i)).entry.kind for i in (first, *rest)}
    assert "board.allotted/1" in kinds
