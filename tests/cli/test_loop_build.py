"""An instrument in hand: wood allotted, ways out of a wrong scan, steps signed."""

import pytest

from ledger.views.boards import boards_in
from ledger.views.builds import measures_of, signed_steps, weighed_parts
from tests.cli.rounds import SERIAL, Walk, scan


def wood(walk: Walk, serial: str = SERIAL) -> dict[str, str]:
    """Return the parts of an instrument's boards."""
    shop = walk.shop()
    with shop.store.reading() as session:
        found = {board.code: str(board.part) for board in boards_in(session, serial)}
    shop.close()
    return found


def signed(walk: Walk) -> list[tuple[str, str]]:
    """Return what was signed of the instrument."""
    shop = walk.shop()
    with shop.store.reading() as session:
        found = [(row.step, row.meaning) for row in signed_steps(session, SERIAL)]
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


def test_a_swap_strikes_the_one_and_allots_the_other(walk: Walk) -> None:
    """Both are entries with a name and a reason; the first board is free again."""
    walk.says(
        [
            *(SERIAL, "L26-001-01", "L26-001-02", "swap", "a knot in the first one"),
            *("26-0002-6", "L26-001-01"),
        ],
        options="--by 03",
    )

    assert set(wood(walk)) == {"L26-001-02.A", "L26-001-02.B"}
    assert set(wood(walk, "26-0002-6")) == {"L26-001-01.A", "L26-001-01.B"}


@pytest.mark.parametrize("lines", [("swap", "cancel"), ("swap", ""), ("burn it",)])
def test_a_swap_without_a_reason_is_none(walk: Walk, lines: tuple[str, ...]) -> None:
    """Nothing is struck before the reason is there."""
    before = walk.size()
    walk.says([SERIAL, "L26-001-01", "L26-001-02", *lines], options="--by 03")

    assert walk.size() == before + 2


def test_nobody_swaps_for_wood_that_rests(walk: Walk) -> None:
    """What was allotted stays, for nothing could follow it."""
    said = walk.says([SERIAL, "L26-001-01", "L26-003-01", "swap"], options="--by 03")

    assert "L26-003-01 is not ready: rested 0 of 90 days" in said.out
    assert set(wood(walk)) == {"L26-001-01.A", "L26-001-01.B"}


def test_somebody_elses_allotting_is_swapped_by_a_lead_only(walk: Walk) -> None:
    """Scanned right after one another by two people."""
    walk.answers(SERIAL, "L26-001-01", options="--by 03")
    swap = [SERIAL, "L26-001-02", "swap", "a knot"]

    assert "was said by somebody else" in walk.says(swap, options="--by 02").out
    assert set(wood(walk)) == {"L26-001-01.A", "L26-001-01.B"}
    walk.says(swap, options="--by 01")
    assert set(wood(walk)) == {"L26-001-02.A", "L26-001-02.B"}


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


@pytest.mark.parametrize("step", ["1", "join the top", "JOIN", "j"])
def test_a_step_is_named_by_number_or_name(walk: Walk, step: str) -> None:
    """The sentence is shown before it is signed."""
    said = walk.answers(SERIAL, step, "did", options="--by 03")

    assert said[1].startswith(
        'Jakub Wolański signs "I did: join the top of 26-0001-8" or "I inspected:'
    )
    assert "join the top: did, signed by Jakub Wolański, entry" in said[2]
    assert said[2].endswith("next step: 2 brace")
    assert signed(walk) == [("join the top", "did")]


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        (("3",), "'3' is no step of 26-0001-8, which are: 1 join the top, 2 brace"),
        (("did",), "name the step of 26-0001-8 before 'did'"),
        (("1", "yes"), "'yes' signs nothing"),
        (("1", "inspected"), "needs the qualification inspect"),
        (("1", "approved"), "needs the qualification lead"),
        (("1", "did", "1", "did"), "was signed (did) by badge 03 in entry"),
    ],
)
def test_what_nobody_may_sign_is_not_signed(
    walk: Walk, lines: tuple[str, ...], why: str
) -> None:
    """One sentence says why, and that nothing was recorded."""
    said = walk.says([SERIAL, *lines], options="--by 03")

    assert "nothing was recorded: " in said.out and why in said.out
    assert len(signed(walk)) == lines.count("1") - 1 or signed(walk) == []


def test_another_inspects_what_one_did(walk: Walk) -> None:
    """Two people on one round of the same scanner."""
    walk.answers(
        SERIAL, "1", "did", "lock", "10", SERIAL, "1", "inspected", options="--by 03"
    )

    assert signed(walk) == [("join the top", "did"), ("join the top", "inspected")]


def scales(walk: Walk) -> tuple[dict[str, int], list[tuple[str, str, int]]]:
    """Return the masses of the instrument's parts, and what else was measured."""
    shop = walk.shop()
    with shop.store.reading() as session:
        weighed = weighed_parts(session, SERIAL)
        measured = [(m.what, m.unit, m.value) for m in measures_of(session, SERIAL)]
    shop.close()
    return weighed, measured


@pytest.mark.parametrize(
    "typed",
    [
        "did top=190 g, relief=0.18 mm",
        "did, top=190 g, relief=0,18 mm",
        "DID Top = 190; relief=180 µm",
        "did relief=0,18 mm , top=0.19 kg",
    ],
)
def test_a_step_takes_what_was_weighed_and_measured(walk: Walk, typed: str) -> None:
    """Behind the signature, in one line; a part's bare number is in grams."""
    said = walk.answers(SERIAL, "1", typed, "2", options="--by 03")

    assert "did top=190 g, relief=0.18 mm; not weighed yet: top, neck" in said[1]
    assert "join the top: did, " in said[2] and ", top 190 g" in said[2]
    assert "signed by Jakub Wolański, entry" in said[2]
    assert said[3].endswith("not weighed yet: neck")
    assert scales(walk) == ({"top": 190_000}, [("relief", "length_um", 180)])


def test_a_part_weighed_is_no_longer_asked_for(walk: Walk) -> None:
    """Struck, it is asked for again."""
    said = walk.answers(
        *(SERIAL, "1", "did top=190, neck=300 g", "2", "undo", "the wrong one", "1"),
        options="--by 03",
    )

    assert said[3].endswith("What was measured may follow: did relief=0.18 mm")
    assert said[-1].endswith("not weighed yet: top, neck")
    assert scales(walk) == ({}, [])


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("did relief=0.18", "write it with its unit"),
        ("did top", "'top' needs a name and a value, such as 'top=190 g'"),
        ("did top=", "needs a name and a value"),
        ("did top=190 g, top=191 g", "'top' is weighed twice"),
        ("did top=0", "0 mg is no mass: weigh it again"),
        ("did 190 g", "'190 g' needs a name and a value"),
        ("did top=190 gramms", "is no length, mass, frequency or humidity"),
    ],
)
def test_what_cannot_be_weighed_is_not_signed(walk: Walk, typed: str, why: str) -> None:
    """The step stays unsigned, and nothing of the line is kept."""
    before = walk.size()
    said = walk.says([SERIAL, "1", typed], options="--by 03")

    assert "nothing was recorded: " in said.out and why in said.out
    assert (signed(walk), walk.size()) == ([], before)
