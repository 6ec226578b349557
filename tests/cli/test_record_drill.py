"""flitchbook record drill: a timed report, and 1 where something does not add up."""

import re

import pytest

from ledger.quantities import THIN_SPACE
from tests.cli.bench import SERIAL, Bench


def test_both_halves_are_told_with_their_seconds(bench: Bench) -> None:
    """How the lot and the product were taken is said."""
    said = bench.does("record drill")

    assert said.startswith("adds up: drill of 2026-01-05 at ")
    assert re.search(
        r"^forward: L26-00[12], Picea abies, [0-9]+\.[0-9]{2} s: ", said, re.M
    )
    assert re.search(
        rf"^back: {SERIAL}, Tidewarden, [0-9]+\.[0-9]{{2}} s: ", said, re.M
    )
    assert "Taken by the day: SHA-256 of the day" in said
    assert "in instruments" in said


def test_named_ones_are_followed_and_nothing_is_taken_by_the_day(bench: Bench) -> None:
    """With the masses of the lot to the gram."""
    before = bench.all_that_is_kept()
    said = bench.does(f"record drill --lot l26-001 --serial {SERIAL}")

    assert "Taken by the day" not in said
    masses = next(line for line in said.splitlines() if line.startswith("  in "))
    assert masses.replace(THIN_SPACE, " ") == (
        "  in 412 g, in instruments 190.5 g, shipped as wood 0 g, sent back 0 g, lost "
        "221.5 g, left 0 g"
    )
    assert "  0 sawn or glued into 0, 2 in instruments, 0 left" in said
    assert bench.all_that_is_kept() == before


def test_a_program_is_told_the_same(bench: Bench) -> None:
    """With every line of both traces."""
    told = bench.data(f"record drill --lot L26-001 --serial {SERIAL}")

    assert told.keys() == {
        *("adds_up", "day", "size", "root", "proved_under", "unproved"),
        *("faults", "forward", "back"),
    }
    assert (told["adds_up"], told["faults"]) == (True, [])
    assert told["forward"]["sheet"] == {
        "in_mg": 412_000,
        "built_in_mg": 190_500,
        "shipped_mg": 0,
        "sent_back_mg": 0,
        "lost_mg": 221_500,
        "left_mg": 0,
        "off_mg": 0,
    }
    assert told["back"]["lots"] == ["L26-001", "L26-002"]
    assert told["back"]["seconds"] >= 0
    assert told["back"]["lines"][0]["code"] == SERIAL


def test_what_does_not_add_up_comes_first_and_ends_with_one(bench: Bench) -> None:
    """As where a paper on file is another one."""
    for path in (bench.folder / "shop" / "attachments").iterdir():
        path.chmod(0o600)
        path.write_bytes(b"another")
    said = bench.run(f"record drill --lot L26-001 --serial {SERIAL}")

    assert (said.code, said.err) == (1, "")
    assert said.out.startswith("DOES NOT ADD UP in 1 place: drill of 2026-01-05")
    assert said.out.splitlines()[1].startswith("  D26-0001, entry ")


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("--lot L26-099", "there is no lot L26-099"),
        ("--lot L26-001-01.A", "is not the code of a lot"),
        ("--lot 材木", "is not the code of a lot"),
        ("--serial 26-0001-7", "the check digit of 26-0001-7 is 8, not 7"),
        ("--serial 26-0009-1", "there is no instrument 26-0009-1"),
        ("--serial L26-001", "is not a serial of this shop"),
        ("--lot HTTPS://OTHER.EXAMPLE/L/L26-0010", "that label is of other.example"),
    ],
)
def test_what_is_not_there_is_refused(bench: Bench, typed: str, why: str) -> None:
    """In one sentence."""
    bench.refuses(f"record drill {typed}", why)
