"""A build is closed by its certificate, and opened by a part that was taken off."""

import pytest

from ledger.acts import closing
from ledger.errors import NotFoundError, RefusedError
from tests.aftersale import OLD_TOP, SERIAL, retopped, serviced, top_off
from tests.skerrymoor import Loft


def test_only_the_part_that_is_off_is_open(certified: Loft) -> None:
    """Before, nothing is; after the next certificate, nothing is again."""
    with certified.shop.store.reading() as session:
        for part in (None, "top"):
            with pytest.raises(RefusedError, match="remove-part"):
                closing.require_open(session, SERIAL, part=part)
    top_off(certified)
    with certified.shop.store.reading() as session:
        closing.require_open(session, SERIAL)
        closing.require_open(session, SERIAL, part="top")
        with pytest.raises(RefusedError, match="closed, but for the top"):
            closing.require_open(session, SERIAL, part="neck")
        with pytest.raises(NotFoundError):
            closing.require_open(session, "26-0009-1")


def test_a_further_certificate_closes_it_again(certified: Loft) -> None:
    """It names the newest one."""
    retopped(certified)
    certified.issue(SERIAL)
    with certified.shop.store.reading() as session:
        assert closing.parts_off(session, SERIAL) == []
        with pytest.raises(RefusedError, match="certificate C-2026-00002: its build"):
            closing.require_open(session, SERIAL, part="top")


def test_news_are_what_a_certificate_would_tell(certified: Loft) -> None:
    """Service, parts, wood and steps, by entry; a struck service is none."""
    with certified.shop.store.reading() as session:
        issued = certified.shop.store.head().size - 1
        assert closing.news_since(session, SERIAL, issued) == []
    serviced(certified)
    with certified.shop.store.reading() as session:
        assert closing.news_since(session, SERIAL, issued) == [issued + 1]
        assert closing.news_since(session, SERIAL, issued + 1) == []


def test_wood_and_steps_are_told_as_they_were(certified: Loft) -> None:
    """The old top before it came off, the new one since."""
    issued = certified.shop.store.head().size - 1
    new = retopped(certified)
    now = certified.shop.store.head().size
    with certified.shop.store.reading() as session:
        before = closing.wood_at(session, SERIAL, issued)
        steps = closing.steps_at(session, SERIAL, issued)

        assert [stay.board for stay in before if stay.part == "top"] == list(OLD_TOP)
        assert closing.part_at(session, SERIAL, "top", issued) == "L26-001-01"
        assert closing.part_at(session, SERIAL, "top", now) == new
        assert closing.part_at(session, SERIAL, "back", now) is None
        assert [step.step for step in steps] == ["join the top", "brace"]
        assert all(step.idx < issued for step in steps)
        assert len(closing.steps_at(session, SERIAL, now)) == 2
