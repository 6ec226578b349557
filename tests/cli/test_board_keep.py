"""flitchbook board reserve, release, kept: wood kept for somebody."""

import pytest

from tests.cli.bench import Bench

NEXT = "26-0002-6"


@pytest.fixture
def begun(bench: Bench) -> Bench:
    """Give a bench where a second instrument was begun, with a neck to be had."""
    bench.does("build begin Tidewarden --by 01")
    bench.does(
        "board number L26-002 --by 02 --for neck --length '810 mm' --width '95 mm' "
        "--thickness '24 mm' --mass '1040 g' --as-read"
    )
    return bench


def test_a_board_is_kept_until_a_day_and_listed(begun: Bench) -> None:
    """Typed or scanned; after its day it is shown as expired."""
    said = begun.does(
        f"board reserve L26-002-02 --for S/{NEXT} --part neck --until 2026-01-20 "
        f"--by 03"
    )
    assert said.startswith(f"L26-002-02: kept for {NEXT} as its neck until 2026-01-20")

    listed = begun.does("board kept")
    assert "Jakub Wolański (badge 03)" in listed
    assert "expired" not in listed
    begun.at = begun.at.replace(day=21)
    assert "expired: it blocks nobody" in begun.does("board kept")
    (row,) = begun.data("board kept")["kept"]
    assert row["in_force"] is False


def test_a_board_is_let_go(begun: Bench) -> None:
    """An allotment only with a reason."""
    begun.does("board reserve L26-002-02 --for A-17 --part neck --by 03")
    begun.does("board release L26-002-02 --by 03")
    assert begun.does("board kept") == "no board is kept for anybody.\n"
    begun.does(f"build allot {NEXT} L26-002-02 --part neck --by 03")
    begun.refuses("board release L26-002-02 --by 03", "say why it is released")

    data = begun.data("board release L26-002-02 --why 'a shake' --by 03")
    assert data["boards"] == ["L26-002-02"]


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("L26-002-02 --for A-17 --part neck --until x", "is no day such as"),
        ("L26-002-01 --for A-17 --part neck", "is the neck of 26-0001-8 already"),
        (f"L26-002-02 --for {NEXT} --part lid", "has no part 'lid'"),
        ("L26-002-02 --for 26-0001-8 --part neck", "its build is closed"),
        ("L26-002 --for A-17 --part neck", "is not the code of a board"),
    ],
)
def test_what_cannot_be_kept_says_why(begun: Bench, rest: str, why: str) -> None:
    """In one sentence, and nothing is recorded."""
    begun.refuses(f"board reserve {rest} --by 03", why)
