"""flitchbook label strip: thin wood, by its own thickness."""

import json

import pytest

from tests.cli.bench import Bench
from tests.labels import reading

STRIP = "label strip L26-001-01 --by 02"


def test_each_half_has_a_strip_of_its_thickness(bench: Bench) -> None:
    """As it was last measured; the log says that it was printed."""
    said = bench.run(f"{STRIP} --out s.pdf --json")
    told = json.loads(said.out)

    assert told["boards"] == ["L26-001-01.A", "L26-001-01.B"]
    assert told["lengths_mm"][0] == told["lengths_mm"][1]
    assert reading.pages((bench.folder / "s.pdf").read_bytes()) == 2
    assert "whole: " in bench.does("record audit")


def test_a_pair_has_one_strip_round_both(bench: Bench) -> None:
    """And the answer says what to do with it."""
    said = bench.run(f"{STRIP} --pair --on roll-300 --out s.pdf")
    drawn = (bench.folder / "s.pdf").read_bytes()

    assert said.code == 0
    assert said.out.startswith("s.pdf: 1 strip, 25 × ")
    assert "slit it along the middle to part the halves.\n" in said.out
    assert reading.pages(drawn) == 1
    assert "L26-001-01.B" in reading.text(drawn)


def test_the_thickness_may_be_told(bench: Bench) -> None:
    """Three millimetres more are three millimetres of strip, in any unit."""
    lengths = [
        json.loads(bench.run(f"{STRIP} --thickness '{t}' --out {n}.pdf --json").out)
        for n, t in enumerate(("4 mm", "0.7 cm"))
    ]

    first, second = (each["lengths_mm"][0] for each in lengths)
    assert second - first == pytest.approx(3)


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"{STRIP} --thickness '22 mm' --out x.pdf", "take the board label, flitch"),
        (f"{STRIP} --thickness thin --out x.pdf", "thin"),
        ("label strip L26-001-01.A --pair --by 02 --out x.pdf", "name the set L26-001"),
        ("label strip L26-001-99 --by 02 --out x.pdf", "number it first"),
        (f"{STRIP} --out pins", "pins is there already"),
        (f"{STRIP} --by 03 --out x.pdf", "printing labels needs the role lead"),
    ],
)
def test_what_cannot_be_drawn_leaves_nothing(
    bench: Bench, command: str, why: str
) -> None:
    """No half file, and no entry about a paper that is not there."""
    bench.refuses(command, why)


def test_wood_that_nobody_measured_is_asked_about(bench: Bench) -> None:
    """A strip of the wrong length would lie over a symbol."""
    bench.does(
        "lot receive --species 'Picea abies' --boards 1 --for top --opening "
        "--evidence none --by 02"
    )
    bench.refuses(
        "label strip L26-003 --by 02 --out x.pdf", "nobody measured how thick"
    )
