"""Plates that were gauged are shown by instrument, by entry and by gauge."""

from dataclasses import replace

import pytest

from ledger.errors import TamperError
from ledger.events import GaugeListed
from ledger.views.graduations import (
    graduated_by,
    graduation_at,
    graduations_by,
    graduations_of,
    newest_graduations,
    places_of,
)
from tests.sentences_build import GRADUATED
from tests.skerrymoor import Loft


def test_a_graduation_is_shown_with_its_places_in_the_order_given(
    certified: Loft,
) -> None:
    """And with what it comes to, which need not be worked out again."""
    entry = certified.say(GRADUATED, "03")
    with certified.shop.store.reading() as session:
        row = graduation_at(session, entry.index)
        places = places_of(session, entry.index)
        assert row is not None

        assert (row.number, row.thinnest_um, row.thickest_um) == (4, 3_400, 6_100)
        assert (row.day, row.stage) == ("2026-01-05", "before closing")
        assert [(p.x_um, p.y_um, p.thickness_um) for p in places] == [
            (p.x_um, p.y_um, p.thickness_um) for p in GRADUATED.places
        ]


def test_the_newest_is_the_one_that_was_gauged_last(certified: Loft) -> None:
    """Not the one that was entered last."""
    newer = certified.say(GRADUATED, "03")
    late = replace(GRADUATED, gauge="old caliper")
    older = certified.say(late, "03", happened_at="2026-01-01T08:00:00Z")
    with certified.shop.store.reading() as session:
        rows = [row.idx for row in graduations_of(session, GRADUATED.serial)]
        newest = [row.idx for row in newest_graduations(session, GRADUATED.serial)]
        by = [row.idx for row in graduations_by(session, ["old caliper"])]
        since = graduations_by(session, ["old caliper"], since="2026-01-02")

    assert rows == [older.index, newer.index] and newest == [newer.index]
    assert by == [older.index] and since == []
    certified.say(certified.strike(older.index))
    with certified.shop.store.reading() as session:
        serial = GRADUATED.serial
        now = [row.idx for row in graduations_of(session, serial)]
        then = [row.idx for row in graduations_of(session, serial, older.index)]
    assert now == [newer.index] and then == [older.index, newer.index]


def test_a_plate_of_no_instrument_is_no_entry(certified: Loft) -> None:
    """Nobody gauges what was never begun."""
    with pytest.raises(TamperError, match="there is no build 26-0099-9"):
        certified.say(replace(GRADUATED, serial="26-0099-9"), "03")


def test_a_gauge_reaches_instruments_by_its_code_and_by_its_name(
    certified: Loft,
) -> None:
    """Since a moment, or by what was entered after it was doubted."""
    listed = GaugeListed(
        gauge="G26-001", what="dial caliper", measures="length", mark="SN 4471"
    )
    certified.say(listed)
    rows = [
        certified.say(
            replace(GRADUATED, gauge=name), "03", happened_at="2026-01-05T08:00:00Z"
        )
        for name in ("G26-001", "dial caliper", "SN 4471", "another")
    ]
    numbers = [(GRADUATED.serial, row.index) for row in rows]

    def found(since: str, placed: int) -> list[tuple[str, int]]:
        with certified.shop.store.reading() as session:
            return graduated_by(session, "G26-001", since=since, placed=placed)

    assert found("", 10**6) == numbers[:3]
    assert found("2026-01-06", 10**6) == []
    assert found("2026-01-06", rows[0].index) == numbers[1:3]
