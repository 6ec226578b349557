"""Wood and papers are followed both ways, each line with the entry it rests on."""

import pytest

from ledger.errors import NotFoundError
from ledger.log.entry import parse_record
from ledger.views.trace import Line, trace
from ledger.views.wood import boards_of
from tests.skerrymoor import NECK, Loft

SERIAL = "26-0001-8"


def traced(loft: Loft, code: str) -> list[Line]:
    """Follow a code."""
    with loft.shop.store.reading() as session:
        return trace(session, code)


def shown(loft: Loft, code: str) -> list[tuple[int, str]]:
    """Return depth and code of every line."""
    return [(line.depth, line.code) for line in traced(loft, code)]


def test_an_instrument_leads_to_its_wood_its_papers_and_its_people(
    certified: Loft,
) -> None:
    """Boards with their lots, steps, certificate and owner."""
    certified.sell(SERIAL)

    assert shown(certified, SERIAL) == [
        (0, SERIAL),
        (1, "L26-001-01.A"),
        (2, "L26-001"),
        (3, "D26-0001"),
        (1, "L26-001-01.B"),
        (2, "L26-001"),
        (3, "D26-0001"),
        (1, "L26-002-01"),
        (2, "L26-002"),
        (1, "step"),
        (1, "step"),
        (1, "C-2026-00001"),
        (1, "owner"),
    ]


def test_a_paper_leads_to_every_instrument_it_is_in(certified: Loft) -> None:
    """Through its lots and their boards, in the rack or not."""
    certified.number(certified.receive(), NECK)

    assert shown(certified, "D26-0001") == [
        (0, "D26-0001"),
        (1, "L26-001"),
        (2, "D26-0001"),
        (2, "L26-001-01.A"),
        (2, "L26-001-01.B"),
    ]
    said = [line.said for line in traced(certified, "L26-001")]
    assert said[-1] == f"top of {SERIAL}"
    assert [line.said for line in traced(certified, "L26-003")][-1] == "in the rack"


def test_a_set_is_followed_by_its_code_or_by_a_half_s(certified: Loft) -> None:
    """Both halves, or the one."""
    assert [line.depth for line in traced(certified, "L26-001-01")].count(0) == 2
    assert [line.depth for line in traced(certified, "L26-001-01.B")].count(0) == 1


def test_every_line_names_the_entry_it_rests_on(certified: Loft) -> None:
    """Whoever doubts it looks there, and finds the code in it."""
    certified.sell(SERIAL)
    for line in traced(certified, SERIAL):
        entry = parse_record(certified.shop.store.record(line.entry)).entry
        if line.code not in ("step", "owner"):
            assert line.code in str(entry.event)


@pytest.mark.parametrize("code", ["", "26-0002-6", "L26-001-99", "Jakub", "%"])
def test_what_was_never_recorded_is_not_found(certified: Loft, code: str) -> None:
    """It says so, and traces nothing."""
    with pytest.raises(NotFoundError, match="never recorded"):
        traced(certified, code)


def test_boards_come_in_the_order_in_which_they_were_numbered(loft: Loft) -> None:
    """The hundredth comes after the eleventh."""
    loft.supplier()
    lot = loft.receive(boards=101)
    codes = loft.number(lot, *[NECK] * 101)
    with loft.shop.store.reading() as session:
        assert [board.code for board in boards_of(session, str(lot))] == codes
