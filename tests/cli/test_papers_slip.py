"""flitchbook record checkpoint --out: a slip that says what the head says."""

import pytest

from tests.cli.bench import Bench
from tests.labels import reading


def test_a_slip_shows_the_head_that_is_told(bench: Bench) -> None:
    """The count, the words and the log; what is told stays as it was."""
    told = bench.data("record checkpoint --out slip.pdf")
    text = reading.text((bench.folder / "slip.pdf").read_bytes(), 0)
    said = bench.does("record checkpoint").rstrip().splitlines()[-1].split()

    assert told["file"] == "slip.pdf"
    assert str(told["size"]) in text
    assert all(word in text for word in said)
    assert told["checkpoint"].splitlines()[0] in text


def test_a_slip_is_never_written_over_another_file(bench: Bench) -> None:
    """And without --out there is none."""
    bench.does("record checkpoint --out slip.pdf")
    bench.refuses("record checkpoint --out slip.pdf", "slip.pdf")
    assert bench.data("record checkpoint")["file"] is None


@pytest.mark.parametrize("place", ["the Loft", "横濱 한"])
def test_a_place_in_any_script_is_on_the_slip(bench: Bench, place: str) -> None:
    """A letter that no face has is marked and told."""
    bench.setting(place=place)
    said = bench.run("record checkpoint --out slip.pdf")
    assert said.code == 0
    assert ("한" in said.err) is ("한" in place)
