"""flitchbook label envelope: the slip on a sealed envelope with a spare key."""

import pytest

from tests.cli.bench import Bench
from tests.labels import reading

SLIP = "label envelope 03 --sealed-by 01"


def test_a_person_s_key_has_a_slip(bench: Bench) -> None:
    """By badge or name; whoever sealed it is named."""
    said = bench.does(f"{SLIP} --out slip.pdf")
    told = bench.data("label envelope Jakub --sealed-by 12 --on DL --out long.pdf")
    text = reading.text((bench.folder / "slip.pdf").read_bytes())

    assert said.startswith("slip.pdf: the slip for key ")
    assert "keep its PIN or pass-phrase elsewhere.\n" in said
    assert told["whose"] == "Jakub Wolański, badge 03"
    assert told["sealed"] == "2026-01-05"
    assert "Key of a person" in text and "Adeyemi-Brandt" in text


def test_a_key_file_has_a_slip_without_being_opened(bench: Bench) -> None:
    """Of a root on its stick nobody is asked the pass-phrase."""
    stick = next(path for path in bench.folder.rglob("root-1.json"))
    (bench.folder / "pins").unlink()
    told = bench.data(
        f"label envelope {stick} --sealed-by 01 --sealed 2026-01-04 --out slip.pdf"
    )
    text = reading.text((bench.folder / "slip.pdf").read_bytes())

    assert told["sealed"] == "2026-01-04"
    assert len(told["key"]) == 16
    assert "Root key" in text and "of 3 together" in text and "root-1.json" in text


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"{SLIP} --out pins", "pins is there already"),
        (f"{SLIP} --sealed 2026-01-06 --out x.pdf", "is still to come, and today is"),
        (f"{SLIP} --sealed Monday --out x.pdf", "'Monday' is no day such as"),
        ("label envelope 77 --sealed-by 01 --out x.pdf", "nobody here is called '77'"),
        ("label envelope 03 --sealed-by 77 --out x.pdf", "nobody here is called '77'"),
        ("label envelope root-9.json --sealed-by 01 --out x.pdf", "is its stick in?"),
        ("label envelope pins --sealed-by 01 --out x.pdf", "pins"),
    ],
)
def test_what_cannot_be_drawn_leaves_nothing(
    bench: Bench, command: str, why: str
) -> None:
    """One sentence, and no file."""
    bench.refuses(command, why)
