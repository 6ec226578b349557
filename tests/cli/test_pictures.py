"""A picture goes into a new file of a kind that its ending says, and nowhere else."""

from io import BytesIO

import pytest
from PIL import Image

from cli import pictures
from cli.printing import Place
from ledger.errors import RefusedError
from tests.cli.bench import Bench
from tests.labels import reading
from tests.labels.plot_samples import tap_series

DAY = "2026-11-21"


@pytest.mark.parametrize("ending", ["pdf", "PDF", "png", "PNG"])
def test_the_ending_says_which_kind_it_is(bare: Bench, ending: str) -> None:
    """A PDF of one page, or the same page in dots."""
    out = bare.folder / f"series.{ending}"
    lines = pictures.put(tap_series(), Place(out=out), day=DAY)
    data = out.read_bytes()

    assert lines == [f"picture: {out}"]
    if ending.casefold() == "pdf":
        assert reading.pages(data) == 1
    else:
        assert Image.open(BytesIO(data)).size == (1240, 874)


def test_nothing_is_drawn_where_nobody_asked(bare: Bench) -> None:
    """No file, no line."""
    before = bare.all_that_is_kept()

    assert pictures.put(tap_series(), Place(), day=DAY) == []
    assert bare.all_that_is_kept() == before


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("series.svg", "ends in neither .pdf nor .png"),
        ("series", "ends in neither .pdf nor .png"),
        ("pins.png", "is there already"),
        ("nowhere/series.png", "there is no folder"),
    ],
)
def test_no_other_file_is_written(bare: Bench, name: str, why: str) -> None:
    """Not one of another kind, not one that is there, not where no folder is."""
    out = bare.file("pins.png", "mine").parent / name
    with pytest.raises(RefusedError, match=why):
        pictures.place(out)

    assert (bare.folder / "pins.png").read_text() == "mine"


@pytest.mark.parametrize("name", ["pins.png", "nowhere/series.png"])
def test_nobody_s_file_is_written_over_meanwhile(bare: Bench, name: str) -> None:
    """Not one that came while the plot was worked out either."""
    out = bare.file("pins.png", "mine").parent / name
    with pytest.raises(RefusedError, match="name another with --out"):
        pictures.put(tap_series(), Place(out=out), day=DAY)

    assert (bare.folder / "pins.png").read_text() == "mine"
