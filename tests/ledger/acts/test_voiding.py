"""Serials that are void: never given again, and never quite forgotten."""

from typing import Any

import pytest

from ledger.acts import voiding
from ledger.acts.service import send
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.events import BoardConsumed
from ledger.serials import DEFAULT_PATTERN
from ledger.views.boards import Board
from ledger.views.builds import Build
from tests.skerrymoor import NECK, TOP, Loft

FIRST, SECOND, THIRD, FOURTH = "26-0001-8", "26-0002-6", "26-0003-4", "26-0004-2"


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with wood and two instruments begun."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK)
    loft.model()
    loft.begin()
    loft.begin()
    return loft


def void(loft: Loft, serial: str, badge: str = "01") -> voiding.Voided:
    """Give an instrument up."""
    return voiding.void(
        loft.shop, serial=serial, reason="the neck block split", hands=loft.hands(badge)
    )


def stamped(loft: Loft, wrong: str, serial: str = FIRST, badge: str = "01") -> int:
    """Say that a number was stamped by mistake; return the entry."""
    hands = loft.hands(badge)
    told: dict[str, Any] = {"stamped": wrong, "serial": serial, "hands": hands}
    return voiding.misstamped(loft.shop, reason="wrong wheel", **told).index


def test_a_void_instrument_gives_its_wood_back(bench: Loft) -> None:
    """But for what was built in; nothing more is done to it."""
    bench.allot(SECOND, "top", "L26-001-01")
    bench.allot(SECOND, "neck", "L26-001-02")
    used = bench.say(BoardConsumed(board="L26-001-02", serial=SECOND)).index
    done = void(bench, SECOND)

    assert done.freed == ("L26-001-01.A", "L26-001-01.B")
    assert done.built_in == ("L26-001-02",)
    with bench.shop.store.reading() as session:
        assert session.get_one(Build, SECOND).voided_idx == done.entry.index
        assert session.get_one(Board, "L26-001-01.A").serial is None
    bench.allot(FIRST, "top", "L26-001-01")
    for work in (
        lambda: bench.sign(SECOND, "brace"),
        lambda: bench.allot(SECOND, "neck", "L26-001-02"),
        lambda: bench.issue(SECOND),
        lambda: void(bench, SECOND),
    ):
        with pytest.raises(RefusedError, match=f"{SECOND} is void, by entry"):
            work()
    # The wood was said to have gone in, and by no step.
    assert [finding.index for finding in audit(bench.shop).findings] == [used]


def test_a_void_number_is_never_given_again(bench: Loft) -> None:
    """The newest one is skipped as any other."""
    void(bench, SECOND)

    assert bench.begin() == THIRD


def test_what_has_a_certificate_or_is_out_is_not_void(certified: Loft) -> None:
    """Somebody relies on it, or has it."""
    with pytest.raises(
        RefusedError, match="has its certificate C-2026-00001: somebody"
    ):
        void(certified, FIRST)
    assert certified.begin() == SECOND
    told: dict[str, Any] = {"to": "the fair", "errand": "show"}
    send(certified.shop, serial=SECOND, hands=certified.hands(), **told)
    with pytest.raises(RefusedError, match="is out since 2026-01-05"):
        void(certified, SECOND)


@pytest.mark.parametrize("badge", ["02", "03", "12"])
def test_only_a_lead_makes_numbers_void(bench: Loft, badge: str) -> None:
    """Neither an instrument nor a stamp, whoever else asks."""
    with pytest.raises(
        RefusedError, match=r"giving an instrument up is for a lead|role lead"
    ):
        void(bench, FIRST, badge)
    with pytest.raises(
        RefusedError,
        match=r"voiding a number that was stamped by mistake is for|role lead",
    ):
        stamped(bench, "26-0009-1", badge=badge)


def test_a_wrong_stamp_leads_to_the_true_number(bench: Loft) -> None:
    """With its check digit wrong as it stands, typed or scanned."""
    index = stamped(bench, "26-0010-3")
    with bench.shop.store.reading() as session:
        for text in (
            "26-0010-3",
            "S/26-0010-3",
            "https://skerrymoor.example/S/26-0010-3",
        ):
            with pytest.raises(RefusedError) as refusal:
                voiding.true_serial(session, text, DEFAULT_PATTERN)
            assert str(refusal.value) == (
                f"26-0010-3 was stamped by mistake and is void, by entry {index}: the "
                f"instrument is {FIRST}"
            )
        assert voiding.true_serial(session, f"S/{FIRST}", DEFAULT_PATTERN) == FIRST
        with pytest.raises(RefusedError, match="check digit of 26-0011-3 is"):
            voiding.true_serial(session, "26-0011-3", DEFAULT_PATTERN)
        assert [m.stamped for m in voiding.misstamps_to(session, FIRST)] == [
            "26-0010-3"
        ]
        assert voiding.misstamps_to(session, SECOND) == []
    assert audit(bench.shop).findings == ()


def test_begin_skips_a_number_that_stands_stamped_somewhere(bench: Loft) -> None:
    """With the right check digit or a wrong one: two instruments would bear it."""
    stamped(bench, THIRD)

    assert bench.begin() == FOURTH


@pytest.mark.parametrize(
    ("wrong", "serial", "why"),
    [
        (FIRST, FIRST, "26-0001-8 is the true number"),
        (SECOND, FIRST, "26-0002-6 is the number of another instrument, a Tidewarden"),
        ("26-0010-3", FIRST, "26-0010-3 was stamped by mistake and is void"),
        ("0193", FIRST, "'0193' is not a serial of this shop"),
        ("26-0000-0", FIRST, "is not a serial of this shop"),
        ("26-0011-3", "26-0012-9", "there is no instrument 26-0012-9"),
    ],
)
def test_a_stamp_that_cannot_be_void(
    bench: Loft, wrong: str, serial: str, why: str
) -> None:
    """One sentence, and nothing is recorded."""
    stamped(bench, "26-0010-3")
    size = bench.shop.store.head().size
    with pytest.raises(LedgerError, match=why):
        stamped(bench, wrong, serial)

    assert bench.shop.store.head().size == size
