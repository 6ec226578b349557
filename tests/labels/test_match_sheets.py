"""Match cards as one file, a sheet for each pair."""

from labels import match_sheets, plots
from tests.labels import reading
from tests.labels.plot_samples import match

DAY = "2026-11-21"


def test_each_card_has_a_sheet_of_its_own() -> None:
    """In the order given, each with all its words."""
    pdf = match_sheets.pdf([match(), match()], day=DAY)

    assert reading.pages(pdf) == 2
    assert all("Why these two" in reading.text(pdf, page) for page in (0, 1))


def test_one_card_is_the_same_as_its_plot() -> None:
    """Whichever way it is asked for, byte for byte."""
    assert match_sheets.pdf([match()], day=DAY) == plots.pdf(match(), day=DAY)
