"""What is known of copies is told to whoever audits and to whoever erases somebody."""

import pytest

from tests.cli.bench import Bench

ERASE = "person erase 03 --by 12 --approve 01"


def test_an_erasure_names_the_copies_that_still_hold_the_name(bench: Bench) -> None:
    """Copies and exports with names, by their own names; not one made since."""
    bench.does("record backup stick")
    bench.does("record export out --with-names")
    bench.does("record export bare")
    (copy,) = (bench.folder / "stick").iterdir()
    told = bench.data(ERASE)
    bench.does("record backup stick")

    assert [each["name"] for each in told["still_held"]] == [copy.name, "out"]
    assert told["still_held"][0].keys() == {"name", "made", "sealed"}


def test_whoever_came_later_is_in_no_older_copy(bench: Bench) -> None:
    """And of nobody a copy is named that was never made."""
    assert bench.data(ERASE)["still_held"] == []
    bench.does("record backup stick")
    bench.file("pins", f"{(bench.folder / 'pins').read_text()}31 3131\n")
    bench.does("person enrol 'Ines Carvalhal' --badge 31 --by 12 --approve 01")
    said = bench.does("person erase 31 --by 12 --approve 01")

    assert "Still held" not in said


def test_an_owner_s_erasure_names_them_too(bench: Bench) -> None:
    """In words that say what to do about it."""
    bench.does("owner register 26-0001-8 'Ines Carvalhal' --by 12")
    bench.does("record backup stick")
    (copy,) = (bench.folder / "stick").iterdir()
    said = bench.does("owner erase 26-0001-8 --by 12 --approve 01")

    assert "which an erasure does not reach: destroy it" in said
    assert f"  {copy.name} of 2026-01-05" in said


@pytest.mark.parametrize("level", ["tree", "all"])
def test_that_no_copy_is_elsewhere_is_said(bench: Bench, level: str) -> None:
    """A copy on the shop's own disk is half a copy."""
    bench.does("record backup stick")

    said = bench.does(f"record audit --level {level}")
    assert "No copy is known on another disk." in said
