"""flitchbook instrument timeline: how long wood waited, and who worked when."""

from pathlib import Path

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.labels import reading


def test_a_strip_is_told_and_drawn(bench: Bench) -> None:
    """Each wood with its days, each hand with its steps, and the certificate."""
    said = bench.does(f"instrument timeline {SERIAL} --out strip.pdf")
    page = " ".join(reading.text(Path("strip.pdf").read_bytes()).split())
    told = bench.data(f"instrument timeline {SERIAL}")

    assert f"became {SERIAL} in" in said and "picture: strip.pdf" in said
    assert "Jakub Wolański" in page and f"became {SERIAL}" in page
    assert told["certified_on"] == told["until"]
    assert [hand["name"] for hand in told["hands"]] == ["Jakub Wolański"]
    steps = [step["step"] for step in told["hands"][0]["steps"]]
    assert steps == ["join the top", "brace"]
    assert {part for wood in told["wood"] for part in wood["parts"]} == {"top", "neck"}
    assert not any(wood["open"] for wood in told["wood"])
    assert {day for wood in told["wood"] for day in wood["used_on"]} == {told["until"]}
    assert told["entries"] == sorted(told["entries"]) and told["picture"] is None


def test_an_instrument_that_was_only_begun_is_drawn_too(bench: Bench) -> None:
    """It says why there is nothing on the strip."""
    serial = bench.data("build begin Tidewarden --by 01")["serial"]
    bench.does(f"instrument timeline {serial} --out strip.pdf")
    page = " ".join(reading.text(Path("strip.pdf").read_bytes()).split())

    assert "No wood is in this instrument yet, and no step is signed." in page


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("26-0002-6", "there is no instrument"),
        (f"{SERIAL} --out strip.bmp", "ends in neither .pdf nor .png"),
    ],
)
def test_what_cannot_be_told_is_refused(bench: Bench, rest: str, why: str) -> None:
    """Nothing is written then."""
    bench.refuses(f"instrument timeline {rest}", why)


def test_a_known_felling_is_told(bench: Bench) -> None:
    """Where the plots of a lot are on file, so are the days on which it was cut."""
    point = '{"type":"Point","coordinates":[11.600123,46.300127]}'
    bench.file("plots.geojson", point)
    bench.does(
        "lot plots L26-001 plots.geojson --harvested-from 2025-01-07 "
        "--harvested-to 2025-02-14 --by 02"
    )
    told = bench.data(f"instrument timeline {SERIAL}")["wood"]
    said = bench.does(f"instrument timeline {SERIAL}")

    assert {wood["lot"]: wood["felled"] for wood in told}["L26-001"] == [
        "2025-01-07",
        "2025-02-14",
    ]
    assert "felled 2025-01-07 to 2025-02-14, came" in said
