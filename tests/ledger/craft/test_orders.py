"""Orders: as many as can be, the earlier first, and the best over all of them."""

from itertools import combinations, permutations
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from ledger.craft.orders import Assignment, best_for_orders
from ledger.craft.wanted import Wanted
from ledger.craft.wishes import Band, Near, Unit, Wish, points_of, unit_faults
from ledger.errors import RefusedError
from tests.ledger.craft.racks import FIRST, TOP, half

NECK = Wanted(
    part="neck", length_um=500_000, width_um=60_000, thickness_um=4_000, pieces=1
)


def wish(order: int, near: int = 420, **changes: Any) -> Wish:
    """Return an order, due in its turn, that wishes a board near a density [kg/m3]."""
    told: dict[str, Any] = {
        "order": f"26-{order:04d}",
        "due": f"2026-{order:02d}-01",
        "wanted": NECK,
        "near": (Near(trait="density", value=near * 1_000),),
    }
    return Wish(**told | changes)


def one(number: int, density: int = 420) -> Unit:
    """Return a single board with a density [kg/m3]."""
    return Unit(boards=(half(f"L26-001-{number:02d}", density),))


def given_out(found: Assignment) -> dict[str, str]:
    """Return the board's number by order."""
    return {s.order[3:]: str(s.boards[0])[8:] for s in found.served}


WISHES = st.lists(
    st.tuples(
        st.sampled_from([400, 420, 440]),
        st.sampled_from([None, 405_000, 425_000]),
    ),
    min_size=1,
    max_size=5,
).map(
    lambda rows: [
        wish(n, near, bands=(Band(trait="density", most=most),) if most else ())
        for n, (near, most) in enumerate(rows, start=1)
    ]
)
UNITS = st.lists(st.sampled_from([396, 400, 410, 420, 430]), max_size=5).map(
    lambda rows: [one(n, density) for n, density in enumerate(rows, start=1)]
)


def best_by_trying(wishes: list[Wish], units: list[Unit]) -> tuple[Any, int]:
    """Return which orders are served and the least points, by trying all ways."""
    ways = []
    for size in range(min(len(wishes), len(units)) + 1):
        for takers in combinations(range(len(wishes)), size):
            for chosen in permutations(units, size):
                pairs = [(wishes[t], u) for t, u in zip(takers, chosen, strict=True)]
                if not any(unit_faults(*pair) for pair in pairs):
                    points = sum(points_of(w, u, FIRST) for w, u in pairs)
                    ways.append((-size, takers, points))
    _, takers, points = min(ways)
    return takers, points


@settings(max_examples=80)
@given(WISHES, UNITS)
def test_no_other_way_to_serve_the_orders_is_better(
    wishes: list[Wish], units: list[Unit]
) -> None:
    """Every way is tried: most orders, then the earlier ones, then least points."""
    found = best_for_orders(wishes, units, FIRST)
    takers, points = best_by_trying(wishes, units)

    assert [s.order for s in found.served] == [wishes[t].order for t in takers]
    assert found.points_milli == points
    assert len(found.served) + len(found.unserved) == len(wishes)


@given(WISHES, UNITS, st.randoms(use_true_random=False))
def test_the_order_in_which_they_are_given_is_nothing(
    wishes: list[Wish], units: list[Unit], dice: Any
) -> None:
    """However orders and boards are shuffled, the answer is the same."""
    shuffled = [*wishes], [*units]
    for each in shuffled:
        dice.shuffle(each)

    assert best_for_orders(*shuffled, FIRST) == best_for_orders(wishes, units, FIRST)


@settings(max_examples=20)
@given(
    st.lists(st.integers(380, 460), min_size=12, max_size=12),
    st.lists(st.integers(380, 460), min_size=20, max_size=20),
)
def test_an_independent_solver_finds_the_same_points(
    wished: list[int], densities: list[int]
) -> None:
    """Twelve orders and twenty boards cost what another solver finds for them."""
    wishes = [wish(n, near) for n, near in enumerate(wished, start=1)]
    units = [one(n, density) for n, density in enumerate(densities, start=1)]
    costs = np.array([[points_of(w, u, FIRST) for u in units] for w in wishes])
    rows, columns = linear_sum_assignment(costs)

    assert best_for_orders(wishes, units, FIRST).points_milli == (
        costs[rows, columns].sum()
    )


def test_the_whole_is_better_than_each_in_turn() -> None:
    """The first order gives up the board it likes best, where another needs it more."""
    units = [one(1, 420), one(2, 415)]
    wishes = [wish(1, 418), wish(2, 440)]
    found = best_for_orders(wishes, units, FIRST)

    assert given_out(found) == {"0001": "02", "0002": "01"}


def test_of_equals_the_older_wood_goes_to_the_earlier_order() -> None:
    """Three boards alike for two orders: in turn, and the tie is told."""
    found = best_for_orders([wish(2), wish(1)], [one(3), one(2), one(1)], FIRST)

    assert given_out(found) == {"0001": "01", "0002": "02"}
    assert found.served[0].runner_up is not None
    assert found.served[0].runner_up.words == (
        "L26-001-03 for 26-0001 would do as well, as would 1 other exchange"
    )


def test_the_next_best_says_what_it_would_cost() -> None:
    """A swap of two orders is told with its points."""
    found = best_for_orders([wish(1, 420), wish(2, 400)], [one(1), one(2, 400)], FIRST)
    other = found.served[0].runner_up

    assert other is not None
    assert other.extra_milli == 39_024
    assert other.words == (
        "nearest exchange: L26-001-02 for 26-0001 and L26-001-01 for 26-0002, "
        "39.0 points more in all"
    )


def test_what_is_dealt_out_anew_among_like_orders_is_no_next_best() -> None:
    """Two alike swap for nothing; what is told is the board that nobody has."""
    units = [one(1, 421), one(2, 421), one(3, 430)]
    found = best_for_orders([wish(1), wish(2)], units, FIRST)

    assert found.alike == (("26-0001", "26-0002"),)
    for served in found.served:
        assert served.runner_up is not None
        assert served.runner_up.words == (
            f"nearest exchange: L26-001-03 for {served.order}, 8.5 points more in all"
        )


def test_the_next_best_of_an_order_begins_with_it() -> None:
    """A swap with another wish is told from the side of the order that is spoken of."""
    found = best_for_orders([wish(1, 420), wish(2, 400)], [one(1), one(2, 400)], FIRST)
    other = found.served[1].runner_up

    assert other is not None
    assert other.words.startswith(
        "nearest exchange: L26-001-01 for 26-0002 and L26-001-02 for 26-0001, "
    )
    assert [order for order, _ in other.served] == ["26-0002", "26-0001"]


def test_a_long_exchange_is_told_in_short() -> None:
    """Each of five has the board that only it and the one before could have."""
    bands = [
        (Band(trait="density", least=low * 1_000, most=(low + 10) * 1_000),)
        for low in (400, 410, 420, 430, 440)
    ]
    wishes = [
        wish(n, low, bands=band)
        for n, (low, band) in enumerate(
            zip((400, 410, 420, 430, 440), bands, strict=True), start=1
        )
    ]
    units = [one(n, 390 + 10 * n) for n in range(1, 7)]
    other = best_for_orders(wishes, units, FIRST).served[0].runner_up

    assert other is not None and len(other.served) == 5
    assert other.words.startswith(
        "nearest exchange: L26-001-02 for 26-0001, with other boards for 4 other "
        "orders, "
    )
    assert other.words.endswith(" points more in all")


def test_where_like_orders_could_only_swap_it_is_said() -> None:
    """Two orders alike have the only two boards."""
    found = best_for_orders([wish(1), wish(2)], [one(1), one(2)], FIRST)

    assert [s.runner_up and s.runner_up.words for s in found.served] == [
        "nothing else would do: 26-0001 and 26-0002 wish the same and could only swap"
    ] * 2
    assert found.served[1].runner_up is not None
    assert [str(codes[0]) for _, codes in found.served[1].runner_up.served] == [
        "L26-001-01",
        "L26-001-02",
    ]


def test_an_order_that_is_alone_with_its_board_has_no_next_best() -> None:
    """Nothing else would do, and there is nobody to swap with."""
    (served,) = best_for_orders([wish(1)], [one(1)], FIRST).served

    assert served.runner_up is None


@settings(max_examples=80)
@given(WISHES, UNITS)
def test_the_next_best_is_the_best_of_all_that_differ(
    wishes: list[Wish], units: list[Unit]
) -> None:
    """Every way to serve the same orders is tried, with all units offered to each."""
    found = best_for_orders(wishes, units, FIRST)
    by_name = {wish.order: wish for wish in wishes}
    takers = [by_name[served.order] for served in found.served]
    for served in found.served:
        like = by_name[served.order].likes
        others = []
        for chosen in permutations(units, len(takers)):
            pairs = [*zip(takers, chosen, strict=True)]
            stays = any(
                wish.likes == like and unit.codes == served.boards
                for wish, unit in pairs
            )
            if not stays and not any(unit_faults(*pair) for pair in pairs):
                others.append(sum(points_of(w, u, FIRST) for w, u in pairs))
        other = served.runner_up
        if others:
            assert other is not None
            assert other.extra_milli == min(others) - found.points_milli
        elif other is not None:
            assert other.words.startswith("nothing else would do: ")
            assert {by_name[order].likes for order, _ in other.served} == {like}


def test_reasons_have_both_numbers() -> None:
    """Each order hears how its board meets the wish."""
    (served,) = best_for_orders([wish(1, 430)], [one(1)], FIRST).served

    assert [each.replace("\u2009", " ") for each in served.reasons] == [
        "density 420 kg/m³, 2.4 % off the 430 kg/m³ wished"
    ]


def test_an_order_that_nothing_fits_says_why() -> None:
    """The reason counts the rack by what is against each board."""
    long = Wanted(
        part="neck", length_um=700_000, width_um=60_000, thickness_um=1, pieces=1
    )
    found = best_for_orders([wish(1, wanted=long)], [one(1), one(2)], FIRST)

    assert found.unserved[0].reason == "none of 2 on the rack will do: 2 too short"


def test_an_order_that_comes_too_late_says_who_has_the_wood() -> None:
    """The earlier order is served, and named to the later one."""
    found = best_for_orders([wish(2), wish(1, 400)], [one(1)], FIRST)

    assert given_out(found) == {"0001": "01"}
    assert found.unserved[0].order == "26-0002"
    assert found.unserved[0].reason == "every board that would do goes to 26-0001"


def test_a_bare_rack_is_told() -> None:
    """Without boards nobody is served; without orders nothing is given."""
    (left,) = best_for_orders([wish(1, wanted=TOP)], [], FIRST).unserved

    assert left.reason == "there is no pair on the rack"
    assert best_for_orders([], [one(1)], FIRST).served == ()


def test_pairs_and_boards_lie_on_one_rack() -> None:
    """A top takes the pair, a neck the single board."""
    pair = Unit(boards=(half("L26-001-07.A"), half("L26-001-07.B")))
    found = best_for_orders([wish(1), wish(1, wanted=TOP)], [pair, one(1)], FIRST)

    assert [(s.part, len(s.boards)) for s in found.served] == [("neck", 1), ("top", 2)]


def test_what_is_offered_or_asked_twice_is_refused() -> None:
    """A board lies in one unit, and an order asks for a part once."""
    pair = Unit(boards=(half("L26-001-01"), half("L26-001-02")))

    with pytest.raises(RefusedError, match="board L26-001-01 is in two pairs at once"):
        best_for_orders([wish(1)], [pair, one(1)], FIRST)
    with pytest.raises(RefusedError, match="order 26-0001 asks for neck twice"):
        best_for_orders([wish(1), wish(1)], [one(1)], FIRST)
