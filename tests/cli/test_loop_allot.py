"""An instrument in hand: wood allotted, and the ways out of a wrong scan."""

import pytest

from ledger.views.boards import boards_in
from tests.cli.rounds import SERIAL, Walk, scan


def wood(walk: Walk, serial: str = SERIAL) -> dict[str, str]:
    """Return the parts of an instrument's boards."""
    shop = walk.shop()
    with shop.store.reading() as session:
        found = {board.code: str(board.part) for board in boards_in(session, serial)}
    shop.close()
    return found


def test_a_board_scanned_after_the_tag_becomes_its_part(walk: Walk) -> None:
    """What it is meant for says which; the tag stays in hand for the next board."""
    said = walk.answers(SERIAL, scan("L26-001-01"), "L26-002-01", options="--by 03")

    assert wood(walk) == {
        "L26-001-01.A": "top",
        "L26-001-01.B": "top",
        "L26-002-01": "neck",
    }
    assert said[1].startswith("L26-001-01.A and L26-001-01.B: top of 26-0001-8, entry")
    assert said[1].endswith("without wood: neck")
    assert said[2].endswith("every part has its wood")


def test_the_same_scan_within_two_seconds_allots_once(walk: Walk) -> None:
    """The board is shown again, and stays the part that it is."""
    before = walk.size()
    said = walk.answers(SERIAL, "L26-002-01", "L26-002-01", options="--by 03")

    assert "it is the neck of 26-0001-8, entry" in said[2]
    assert walk.size() == before + 1


def test_wood_that_rests_is_refused_with_its_day(walk: Walk) -> None:
    """Nothing is used up, and the way out is named."""
    said = walk.says([SERIAL, scan("L26-003-01")], options="--by 03")

    assert (
        "nothing was used up: board L26-003-01.A is not ready: rested 0 of" in said.out
    )
    assert "earliest 2026-04-05" in said.out and "board override" in said.out
    assert wood(walk) == {}


def test_a_wrong_board_is_refused_with_three_ways_out(walk: Walk) -> None:
    """The right one, a swap with a reason, or the pencilled code."""
    said = walk.says([SERIAL, "L26-001-01", scan("L26-001-02")], options="--by 03")

    assert (
        "nothing was used up: L26-001-02 is not the top of 26-0001-8, which is "
        "L26-001-01.A and L26-001-01.B, allotted by Jakub Wolański on 2026-01-05"
    ) in said.out
    assert (
        "scan L26-001-01.A and L26-001-01.B; or 'swap' to take L26-001-02" in said.out
    )
    assert "the code that is pencilled on the wood" in said.out
    assert set(wood(walk)) == {"L26-001-01.A", "L26-001-01.B"}


def test_a_swap_lets_the_one_go_and_allots_the_other(walk: Walk) -> None:
    """Both are entries with a name and a reason; the first board is free again."""
    walk.says(
        [
            *(SERIAL, "L26-001-01", "L26-001-02", "swap", "a knot in the first one"),
            *("26-0002-6", "L26-001-01"),
        ],
        options="--by 01",
    )

    assert set(wood(walk)) == {"L26-001-02.A", "L26-001-02.B"}
    assert set(wood(walk, "26-0002-6")) == {"L26-001-01.A", "L26-001-01.B"}


@pytest.mark.parametrize("lines", [("swap", "cancel"), ("swap", ""), ("burn it",)])
def test_a_swap_without_a_reason_is_none(walk: Walk, lines: tuple[str, ...]) -> None:
    """Nothing is struck before the reason is there."""
    before = walk.size()
    walk.says([SERIAL, "L26-001-01", "L26-001-02", *lines], options="--by 01")

    assert walk.size() == before + 2


def test_nobody_swaps_for_wood_that_rests(walk: Walk) -> None:
    """What was allotted stays, for nothing could follow it."""
    said = walk.says([SERIAL, "L26-001-01", "L26-003-01", "swap"], options="--by 01")

    assert "L26-003-01.A is not ready: rested 0 of 90 days" in said.out
    assert "flitchbook board override" in said.out
    assert set(wood(walk)) == {"L26-001-01.A", "L26-001-01.B"}


def test_wood_that_a_lead_let_through_is_swapped_in(walk: Walk) -> None:
    """It rests, and may be used in this instrument and in no other."""
    walk.bench.does(f"board override L26-003-01 {SERIAL} --why dry --by 01")
    swap = ["L26-001-01", "L26-003-01", "swap", "a finer grain"]
    said = walk.says([SERIAL, *swap], options="--by 01")

    assert "top of 26-0001-8 instead of L26-001-01.A" in said.out
    assert set(wood(walk)) == {"L26-003-01.A", "L26-003-01.B"}
    other = walk.says(["26-0002-6", *swap], options="--by 01")
    assert "L26-003-01.A is not ready: rested 0 of" in other.out
    assert set(wood(walk, "26-0002-6")) == {"L26-001-01.A", "L26-001-01.B"}


def test_only_a_lead_swaps(walk: Walk) -> None:
    """Whoever allotted it is told the way that is open to everybody."""
    swap = [SERIAL, "L26-001-01", "L26-001-02", "swap", "a knot"]
    said = walk.says(swap, options="--by 03").out

    assert "only a lead swaps the wood of 26-0001-8" in said
    assert "flitchbook board release" in said
    assert set(wood(walk)) == {"L26-001-01.A", "L26-001-01.B"}


def test_a_board_meant_for_nothing_here_is_asked_about(walk: Walk) -> None:
    """A part that there is not is asked again, and one that has its wood refused."""
    said = walk.says(
        [
            *(SERIAL, "L26-001-01", "L26-002-02", "bridge", "top"),
            *("L26-002-02", "Neck"),
        ],
        options="--by 03",
    )

    assert (
        "L26-002-02 is meant for a block: which part of 26-0001-8 does it become, neck?"
    ) in said.out
    assert "nothing was recorded: 'bridge' is no part of 26-0001-8" in said.out
    assert "L26-002-02 is not the top of 26-0001-8" in said.out
    assert wood(walk)["L26-002-02"] == "neck"


def test_a_board_for_a_build_that_has_all_its_wood_is_refused(walk: Walk) -> None:
    """Nobody is asked what it could become."""
    lines = [SERIAL, "L26-001-01", "L26-002-01", "L26-002-02"]
    said = walk.says(lines, options="--by 03")

    assert "every part of 26-0001-8 has its wood" in said.out.splitlines()[-2]
    assert len(wood(walk)) == 3


def test_a_board_that_another_instrument_has_is_told_with_who_has_it(
    walk: Walk,
) -> None:
    """Who, when, by which entry, and what lies beside it."""
    lines = ["26-0002-6", "L26-001-01", SERIAL, "L26-001-01"]
    said = walk.says(lines, options="--by 03")

    assert (
        "nothing was used up: board L26-001-01.A is already allotted to 26-0002-6 as "
        "its top, by Jakub Wolański (badge 03) on 2026-01-05 at "
    ) in said.out
    assert "ready and like it: L26-001-02, L26-001-03, or if the label" in said.out
    assert wood(walk) == {}


def test_a_board_scanned_where_another_is_kept_is_refused(walk: Walk) -> None:
    """Who kept it is named, and a lead may swap it at once."""
    walk.bench.does(f"board reserve L26-001-02 --for {SERIAL} --part top --by 02")
    said = walk.says([SERIAL, scan("L26-001-01")], options="--by 03")

    assert (
        "nothing was used up: L26-001-01 is not the top of 26-0001-8, for which "
        "L26-001-02.A and L26-001-02.B is kept, reserved by Maura Kiely on 2026-01-05"
    ) in said.out
    assert wood(walk) == {}
    lines = [SERIAL, "L26-001-01", "swap", "a knot in the other"]
    told = walk.answers(*lines[:1], options="--by 01")
    assert told[0].startswith("26-0001-8")
    walk.says(lines, options="--by 01")
    assert set(wood(walk)) == {"L26-001-01.A", "L26-001-01.B"}


def test_a_label_that_was_replaced_is_refused_at_the_scan(walk: Walk) -> None:
    """The code that is pencilled on the wood is taken."""
    walk.bench.does("label replace L26-001-01.A --why 'torn off' --by 02")
    said = walk.says([scan("L26-001-01.A"), "L26-001-01.A"])

    assert "this label of L26-001-01.A was replaced by number 1 on 2026-01-05" in (
        said.out
    )
    assert "look at the wood" in said.out
    assert "L26-001-01.A 205 g on" in said.out


def test_one_board_for_a_part_of_several_pieces_is_asked_about(walk: Walk) -> None:
    """One strip is no four of them, unless all are cut from it."""
    bench = walk.bench
    model = bench.file(
        "bound.txt",
        '[model]\ninstrument = "guitar"\n[[part]]\nname = "neck"\npieces = 4\n'
        '[[step]]\nname = "bind"\nneeds = "brace"\n'
        'uses_up = ["neck"]\n',
    )
    bench.does(f"model define Bound --from {model} --by 01")
    serial = bench.data("build begin Bound --by 01")["serial"]
    said = walk.answers(serial, "L26-002-01", "no", options="--by 03")

    assert said[1] == (
        f"the neck of {serial} is of 4 pieces, and L26-002-01 is one board: are all of "
        f"them cut from it, yes or no?"
    )
    assert wood(walk, serial) == {}
    walk.answers(serial, "L26-002-01", "yes", options="--by 03")
    assert wood(walk, serial) == {"L26-002-01": "neck"}
