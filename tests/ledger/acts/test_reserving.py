"""Boards kept until a day, and let go again by whoever bound them."""

from datetime import timedelta

import pytest

from ledger.acts import reserving
from ledger.acts.reserving import BoardKeptError
from ledger.acts.whose import who_and_when
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.events import BoardConsumed, BuildOrdered, BuildVoided
from ledger.log.entry import Entry
from ledger.views.allotting import stays_of
from ledger.views.boards import Board, boards_in
from tests.skerrymoor import NECK, TOP, Loft

FIRST, SECOND = "26-0001-8", "26-0002-6"


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with a set and two necks, a model and two instruments begun."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK)
    loft.model()
    loft.begin()
    loft.begin()
    return loft


def reserve(loft: Loft, badge: str = "03", **told: str) -> list[Entry]:
    """Keep the first neck for the first instrument, or as told."""
    facts = {"code": "L26-001-02", "wanted": FIRST, "part": "neck"} | told
    return reserving.reserve(loft.shop, **facts, hands=loft.hands(badge))


def release(loft: Loft, code: str, why: str | None, badge: str = "03") -> list[Entry]:
    """Let a board go."""
    return reserving.release(loft.shop, code=code, reason=why, hands=loft.hands(badge))


def test_a_board_is_kept_for_thirty_days_unless_somebody_says_longer(
    bench: Loft,
) -> None:
    """Both halves of a set are; whoever has it may have it longer."""
    first = reserve(bench)
    both = reserve(bench, code="L26-001-01", part="top", until="2028-01-01")
    longer = reserve(bench, until="2026-03-01")

    assert first[0].event["until"] == "2026-02-04"
    assert [entry.event["board"][-1] for entry in both] == ["A", "B"]
    assert longer[0].event["until"] == "2026-03-01"
    assert audit(bench.shop).findings == ()


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"until": "2026-01-04"}, "2026-01-04 is over, and today is 2026-01-05"),
        ({"until": "soon"}, "'soon' is no day"),
        ({"code": "L26-001-09"}, "there is no board L26-001-09"),
        ({"code": "L26-001"}, "is not the code of a board but of a lot"),
        ({"wanted": "26-0009-1"}, "there is no instrument 26-0009-1"),
        ({"part": "lid"}, "has no part 'lid': it has top, neck"),
        ({"wanted": " "}, "the order has 1 to"),
        ({"badge": "12"}, r"reserving a board needs"),
    ],
)
def test_what_cannot_be_kept_is_refused(
    bench: Loft, told: dict[str, str], said: str
) -> None:
    """Nothing is recorded of it."""
    size = bench.shop.store.head().size
    with pytest.raises(LedgerError, match=said):
        reserve(bench, **told)

    assert bench.shop.store.head().size == size


def test_nobody_keeps_what_another_has(bench: Loft) -> None:
    """Neither what is kept for another, nor what is in an instrument."""
    reserve(bench)
    with pytest.raises(BoardKeptError, match=f"is kept for {FIRST} as its neck"):
        reserve(bench, wanted=SECOND)
    bench.allot(SECOND, "neck", "L26-001-03")
    with pytest.raises(RefusedError, match=f"is the neck of {SECOND} already, allo"):
        reserve(bench, code="L26-001-03")


def test_wood_of_unknown_species_is_kept_for_nobody(bench: Loft) -> None:
    """It goes into no instrument."""
    (code,) = bench.number(bench.receive(species="unknown"), NECK)
    with pytest.raises(RefusedError, match="fit for jigs only"):
        reserve(bench, code=code)


def test_wood_for_an_order_goes_into_the_instrument_of_that_order(bench: Loft) -> None:
    """And into no other one."""
    reserve(bench, wanted="A-17")
    bench.say(BuildOrdered(serial=SECOND, order="A-17"))
    with pytest.raises(BoardKeptError, match="is kept for A-17"):
        bench.allot(FIRST, "neck", "L26-001-02")

    assert bench.allot(SECOND, "neck", "L26-001-02") == ["L26-001-02"]


def test_wood_kept_for_an_instrument_given_up_is_free(bench: Loft) -> None:
    """Nobody has to let it go."""
    reserve(bench)
    bench.say(BuildVoided(serial=FIRST))

    assert bench.allot(SECOND, "neck", "L26-001-02") == ["L26-001-02"]


def test_a_reservation_is_let_go_by_whoever_made_it_or_a_lead(bench: Loft) -> None:
    """Others are told who it was; a reason may be given."""
    reserve(bench)
    with pytest.raises(RefusedError, match=r"kept for .* by Jakub Wolański \(badge 03"):
        release(bench, "L26-001-02", None, "10")
    release(bench, "L26-001-02", None)
    reserve(bench)
    release(bench, "L26-001-02", "the order was called off", "01")
    with pytest.raises(RefusedError, match="it is free"):
        release(bench, "L26-001-02", None)

    assert audit(bench.shop).findings == ()


def test_an_allotment_is_let_go_with_a_reason(bench: Loft) -> None:
    """By whoever allotted it or a lead; that it was there stays known."""
    bench.allot(FIRST, "top", "L26-001-01")
    for why, badge, said in (
        (None, "03", "say why it is released"),
        ("a knot", "10", "that person releases it, or a lead"),
        (" ", "03", "the reason has 1 to"),
    ):
        with pytest.raises(RefusedError, match=said):
            release(bench, "L26-001-01", why, badge)
    entries = release(bench, "L26-001-01", "a knot")

    assert len(entries) == 2
    with bench.shop.store.reading() as session:
        assert boards_in(session, FIRST) == []
        (stay,) = stays_of(session, "L26-001-01.B")
        assert (stay.ended_idx, stay.how) == (entries[1].index, "released")
        given = bench.shop.vault.opening_of(entries[0].event["reason_commitment"])
        assert given is not None and given.value == "a knot"
    assert audit(bench.shop).findings == ()


def test_what_was_used_up_is_never_let_go(bench: Loft) -> None:
    """Not even by a lead."""
    bench.allot(FIRST, "neck", "L26-001-02")
    index = bench.say(BoardConsumed(board="L26-001-02", serial=FIRST)).index
    with pytest.raises(RefusedError, match=f"used up in {FIRST} by entry {index}"):
        release(bench, "L26-001-02", "a knot", "01")


def test_what_a_certificate_names_is_not_let_go(certified: Loft) -> None:
    """It rests on the wood it names."""
    with pytest.raises(RefusedError, match="has its certificate C-2026-00001, which"):
        release(certified, "L26-001-01", "a knot", "01")


def test_a_reservation_is_shown_as_over_after_its_day(bench: Loft) -> None:
    """The board row keeps it until somebody else has the board."""
    reserve(bench, until="2026-01-06")
    with bench.shop.store.reading() as session:
        board = session.get_one(Board, "L26-001-02")

        assert reserving.is_kept(session, board, today="2026-01-06")
        assert not reserving.is_kept(session, board, today="2026-01-07")


def test_whoever_said_an_entry_is_named_with_badge_and_time(bench: Loft) -> None:
    """In the day's own time, UTC."""
    bench.clock.step = timedelta()
    index = reserve(bench)[0].index
    with bench.shop.store.reading() as session:
        told = who_and_when(bench.shop, session, index)

    at = bench.clock.moment.strftime("%H:%M")
    assert told == f"Jakub Wolański (badge 03) on 2026-01-05 at {at} UTC"
