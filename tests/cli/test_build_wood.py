"""flitchbook build allot, swap: wood into an instrument, and out again."""

import pytest

from tests.cli.bench import Bench

NEXT = "26-0002-6"


@pytest.fixture
def wooded(bench: Bench) -> Bench:
    """Give a bench where a second instrument has one of two necks."""
    bench.does("build begin Tidewarden --by 01")
    for _ in range(2):
        bench.does(
            "board number L26-002 --by 02 --for neck --length '810 mm' --width '95 mm' "
            "--thickness '24 mm' --mass '1040 g' --as-read"
        )
    bench.does(f"build allot {NEXT} L26-002-02 --part neck --by 03")
    return bench


def test_a_lead_swaps_wood_for_a_reason(wooded: Bench) -> None:
    """The trace tells of it, with the reason."""
    swap = f"build swap {NEXT} --out L26-002-02 --in L26-002-03 --why 'a shake'"
    wooded.refuses(f"{swap} --by 03", "only a lead swaps the wood of 26-0002-6")
    said = wooded.does(f"{swap} --by 01")

    assert said.startswith(f"L26-002-03: neck of {NEXT} instead of L26-002-02, entries")
    trace = wooded.does(f"trace {NEXT}")
    assert "was its neck since entry" in trace
    assert 'until it was released: "a shake"' in trace


def test_wood_of_a_closed_build_is_not_swapped_in(wooded: Bench) -> None:
    """Its certificate rests on it."""
    wooded.refuses(
        f"build swap {NEXT} --out L26-002-02 --in L26-002-01 --why x --by 01",
        "its build is closed",
    )


def test_nothing_to_override_says_so(wooded: Bench) -> None:
    """The wood is allotted without."""
    wooded.does("board release L26-002-02 --why 'a shake' --by 03")
    wooded.refuses(
        f"build allot {NEXT} L26-002-03 --part neck --override why --by 01",
        "allot it without --override",
    )
