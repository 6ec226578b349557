"""The road of a model: every step reached, one end, each part used up once."""

import graphlib
from itertools import pairwise

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.road import road_faults

STEPS = ("join", "brace", "close", "string")
AFTER = {"join": (), "brace": ("join",), "close": ("brace",), "string": ("close",)}
USES = {"join": ("top",), "brace": (), "close": ("back",), "string": ()}


def faults(
    after: dict[str, tuple[str, ...]] | None = None,
    uses: dict[str, tuple[str, ...]] | None = None,
    parts: tuple[str, ...] = ("top", "back"),
    steps: tuple[str, ...] = STEPS,
) -> list[str]:
    """Return the faults of the road above with something changed."""
    return road_faults(
        parts=parts,
        steps=steps,
        after=AFTER | (after or {}),
        uses_up=USES | (uses or {}),
    )


def test_a_road_without_fault_is_not_spoken_of() -> None:
    """Nor one that says no order at all."""
    assert faults() == []
    assert faults(after=dict.fromkeys(STEPS, ())) == []


@pytest.mark.parametrize(
    ("after", "said"),
    [
        ({"brace": ("joint",)}, "'brace' comes after 'joint', and there is no such"),
        ({"join": ("close",)}, "in a circle, 'join' after 'close' after 'brace' after"),
        ({"close": ("close",)}, "in a circle, 'close' after 'close'"),
        ({"close": ()}, "'brace' leads nowhere: let a later one come after it, for"),
    ],
)
def test_an_order_that_cannot_be_gone_is_named(
    after: dict[str, tuple[str, ...]], said: str
) -> None:
    """A step that is not there, a circle, and an end that is none."""
    (fault,) = faults(after=after)

    assert said in fault


@pytest.mark.parametrize(
    ("uses", "said"),
    [
        ({"join": ()}, "no step uses up the part 'top'"),
        ({"brace": ("top",)}, "'top' is used up twice, by 'join' and 'brace'"),
        ({"brace": ("rosette",)}, "'rosette', and there is no such part"),
    ],
)
def test_each_part_is_used_up_once(uses: dict[str, tuple[str, ...]], said: str) -> None:
    """Never twice, and never not at all."""
    (fault,) = faults(uses=uses)

    assert said in fault


def test_two_of_one_name_are_named() -> None:
    """Of steps and of parts."""
    told = faults(parts=("top", "back", "top"), steps=(*STEPS, "join"))

    assert "two of the part 'top'" in told[0]
    assert "two of the step 'join'" in told[1]


@given(
    st.integers(min_value=1, max_value=8).flatmap(
        lambda size: st.lists(
            st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)), max_size=16
        ).map(lambda edges: (size, edges))
    )
)
def test_a_circle_is_found_where_two_libraries_find_one(
    road: tuple[int, list[tuple[int, int]]],
) -> None:
    """And what is named is one: each of it comes after the next."""
    size, edges = road
    steps = [f"step {n}" for n in range(size)]
    after = {
        step: tuple(dict.fromkeys(steps[b] for a, b in edges if a == n))
        for n, step in enumerate(steps)
    }
    found = road_faults(
        parts=[], steps=steps, after=after, uses_up=dict.fromkeys(steps, ())
    )
    circles = [fault for fault in found if "in a circle" in fault]
    graph = networkx.DiGraph([(s, o) for s, others in after.items() for o in others])
    try:
        graphlib.TopologicalSorter(after).prepare()
        is_free = True
    except graphlib.CycleError:
        is_free = False

    assert is_free == networkx.is_directed_acyclic_graph(graph)
    assert is_free == (not circles)
    if circles:
        named = circles[0].split("circle, ")[1].split(": none")[0]
        ring = [word.strip("'") for word in named.split(" after ")]
        pairs = pairwise(ring)
        assert all(other in after[step] for step, other in pairs)
        assert ring[0] == ring[-1]
