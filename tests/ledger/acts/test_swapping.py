"""Wood swapped for other wood: one turn, a lead, a reason, and all lists agree."""

import pytest

from ledger.acts import reserving, swapping
from ledger.acts.allotting import BoardRestingError
from ledger.acts.swapping import Swapped
from ledger.audit import audit
from ledger.errors import LedgerError, RefusedError
from ledger.events import BoardConsumed
from ledger.views.boards import boards_in
from tests.skerrymoor import NECK, TOP, Loft

FIRST, SECOND = "26-0001-8", "26-0002-6"
ONE, TWO, THREE = "L26-001-02", "L26-001-03", "L26-001-04"


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give two instruments, of which the first has a top and a neck."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK, NECK, TOP)
    loft.model()
    loft.begin()
    loft.begin()
    loft.allot(FIRST, "top", "L26-001-01")
    loft.allot(FIRST, "neck", ONE)
    return loft


def swap(loft: Loft, badge: str = "01", **told: str) -> Swapped:
    """Swap the first instrument's neck, or as told."""
    facts = {"serial": FIRST, "out": ONE, "into": TWO, "reason": "a knot"} | told
    return swapping.swap(loft.shop, **facts, hands=loft.hands(badge))


def wood(loft: Loft, serial: str) -> dict[str, str]:
    """Return which board is which part."""
    with loft.shop.store.reading() as session:
        return {board.code: str(board.part) for board in boards_in(session, serial)}


def test_a_swap_is_two_entries_with_a_reason(bench: Loft) -> None:
    """The wood that came out is free."""
    done = swap(bench)

    assert (done.part, done.out, done.into, done.left) == ("neck", (ONE,), (TWO,), None)
    assert wood(bench, FIRST)[TWO] == "neck"
    assert ONE not in wood(bench, FIRST)
    assert bench.allot(SECOND, "neck", ONE) == [ONE]
    assert audit(bench.shop).findings == ()


def test_a_swap_with_another_instrument_leaves_both_lists_true(bench: Loft) -> None:
    """Of a set its half stands for the whole, in either instrument."""
    bench.allot(SECOND, "top", "L26-001-05")
    done = swap(bench, out="L26-001-01.A", into="L26-001-05")

    assert done.left == (SECOND, "top")
    assert wood(bench, SECOND) == {}
    assert set(wood(bench, FIRST)) == {"L26-001-05.A", "L26-001-05.B", ONE}
    assert len(done.entries) == 6
    assert audit(bench.shop).findings == ()


def test_a_swap_takes_wood_that_is_kept_for_another(bench: Loft) -> None:
    """The reservation ends with an entry and the same reason."""
    reserving.reserve(
        bench.shop, code=TWO, wanted=SECOND, part="neck", hands=bench.hands("03")
    )
    done = swap(bench)

    assert len(done.entries) == 3
    assert wood(bench, FIRST)[TWO] == "neck"


def test_wood_that_was_only_kept_for_a_part_is_swapped_too(bench: Loft) -> None:
    """It is let go, and the other one is allotted."""
    reserving.reserve(
        bench.shop, code=THREE, wanted=SECOND, part="neck", hands=bench.hands("03")
    )
    done = swap(bench, serial=SECOND, out=THREE, into=TWO)

    assert (done.part, done.out) == ("neck", (THREE,))
    assert wood(bench, SECOND) == {TWO: "neck"}


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"badge": "03"}, "only a lead swaps the wood of 26-0001-8"),
        ({"out": TWO}, "in no instrument and not in 26-0001-8"),
        ({"serial": SECOND}, "in 26-0001-8 and not in 26-0002-6"),
        ({"serial": "26-0009-1"}, "no instrument 26-0009-1"),
        ({"into": "L26-001-01"}, "is the top of 26-0001-8 itself"),
        ({"into": "L26-001-77"}, "no board L26-001-77"),
        ({"reason": ""}, "the reason has 1 to"),
    ],
)
def test_a_swap_that_cannot_be_leaves_all_as_it_was(
    bench: Loft, told: dict[str, str], said: str
) -> None:
    """Nothing is let go for wood that could not follow."""
    size, before = bench.shop.store.head().size, wood(bench, FIRST)
    with pytest.raises(LedgerError, match=said):
        swap(bench, **told)

    assert bench.shop.store.head().size == size
    assert wood(bench, FIRST) == before


def test_what_is_built_in_is_swapped_neither_out_nor_in(bench: Loft) -> None:
    """It was used up, in this instrument or the other."""
    bench.say(BoardConsumed(board=ONE, serial=FIRST))
    with pytest.raises(RefusedError, match="was used up in 26-0001-8"):
        swap(bench)
    bench.allot(SECOND, "neck", TWO)
    with pytest.raises(RefusedError, match="was used up in 26-0001-8"):
        swap(bench, serial=SECOND, out=TWO, into=ONE)


def test_a_swap_for_young_wood_says_why_twice(bench: Loft) -> None:
    """Why it goes in, and why it may before it is ready."""
    bench.adopt()
    with pytest.raises(BoardRestingError):
        swap(bench)
    swap(bench, override="kiln-dried")

    assert wood(bench, FIRST)[TWO] == "neck"
    assert audit(bench.shop).findings == ()


def test_whether_somebody_may_swap_is_told_before_the_reason_is_asked(
    bench: Loft,
) -> None:
    """With the same words as afterwards."""
    swapping.require_lead(bench.shop, FIRST, bench.hands())
    with pytest.raises(RefusedError, match="only a lead swaps the wood of"):
        swapping.require_lead(bench.shop, FIRST, bench.hands("03"))
