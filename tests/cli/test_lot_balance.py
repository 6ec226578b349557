"""flitchbook lot balance: a year of each species, for whoever asks for it."""

import pytest

from tests.cli.bench import Bench


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("--year 2031", "2031 is still to come"),
        ("--year 1998", "the shop was opened on 2026-01-05"),
        ("--species 'Ulmus glabra'", "no wood of Ulmus glabra in 2026"),
    ],
)
def test_what_has_no_balance_is_refused(bench: Bench, rest: str, why: str) -> None:
    """Another year than the log has, and wood that was never there."""
    bench.refuses(f"lot balance {rest}", why)


def test_the_year_of_each_species_is_shown(bench: Bench) -> None:
    """What came, what went, what is left, by the day of entry."""
    told = bench.does("lot balance")
    data = bench.data("lot balance --year 2026 --species Picea")
    (sheet,) = data["species"]

    words = " ".join(told.split())
    assert words.startswith("2026 to 2026-01-05, entries 0 to ")
    assert "received 1.452 kg 3 boards" in words
    assert "- in instruments 0.802 kg 3 boards" in words
    assert (sheet["in_mg"], sheet["out_mg"], sheet["lost_mg"], sheet["off_mg"]) == (
        1_452_000,
        801_500,
        650_500,
        0,
    )
    assert sheet["entries"] and sheet["sure"]
