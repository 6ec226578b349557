"""flitchbook board taps: what a plate rings at as it is worked, beside what it should.

The half is planed from 4.2 to 3.6 mm between two taps.
"""

from pathlib import Path

import pytest

from tests import ringing
from tests.cli.bench import Bench
from tests.labels import reading

HALF = "L26-001-01.A"
TAP = f"board tap {HALF} {{}} --along '71 Hz' --across '150 Hz' --twist '52 Hz' --by 03"


@pytest.fixture
def planed(bench: Bench) -> Bench:
    """Give a bench at which the half was tapped, planed and tapped again."""
    first = ringing.plate(bench.folder / "first.wav", taps=2)
    bench.does(TAP.format(first))
    bench.does(f"board measure {HALF} --thickness '3.6 mm' --by 02")
    bench.does(f"board weigh {HALF} '175.7 g' --by 02")
    tones = tuple((hz * 3.6 / 4.2, q, loud) for hz, q, loud in ringing.PLATE)
    second = ringing.record(bench.folder / "second.wav", tones, taps=2, seed=3)
    near = TAP.format(second).replace("71", "61").replace("150", "129")
    bench.does(near.replace("'52", "'45"))
    return bench


def test_a_series_tells_expected_and_measured(planed: Bench) -> None:
    """Density was kept, so each tone went with the thickness, within what is known."""
    said = planed.does(f"board taps {HALF}").replace("\u2009", " ")
    last = planed.data(f"board taps {HALF}")["stages"][-1]

    assert said.startswith(f"{HALF}: tapped 2 times\n")
    assert "as a plate: 3.6 mm thick, 175.7 g, entry" in said
    assert "expected 61.1 ± 1.7 Hz by entry" in said
    assert ": as expected (same moduli, thin plate/1)" in said
    assert "note:" not in said
    for tone in last["tones"]:
        expected = tone["expected"]
        assert expected["as_expected"]
        assert abs(expected["difference_ppm"]) < 2_000
        assert 20_000 < expected["difference_uncertainty_ppm"] < 35_000


def test_a_series_is_drawn(planed: Bench) -> None:
    """The page has the board, its stages and what was expected by which rule."""
    out = planed.folder / "series.pdf"
    said = planed.does(f"board taps {HALF} --out {out}")
    page = " ".join(reading.text(out.read_bytes()).split())

    assert said.endswith(f"picture: {out}\n")
    for words in (
        f"{HALF} rings where its thickness and mass lead it",
        "expected: same moduli, thin plate/1",
        "4.20 mm",
        "175.7 g",
    ):
        assert words in page.replace("\u2009", " "), words


def test_one_tap_and_none_have_nothing_to_compare(bench: Bench) -> None:
    """What is missing is said, in words and on the page."""
    assert "not tapped yet" in bench.does(f"board taps {HALF}")
    bench.does(TAP.format(ringing.plate(bench.folder / "a.wav", taps=2)))
    bench.does(f"board taps {HALF} --out one.pdf")
    page = reading.text(Path("one.pdf").read_bytes())

    assert "tapped once" in bench.does(f"board taps {HALF}")
    assert "nothing to compare yet" in page


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("L26-001-09", "there is no board L26-001-09"),
        ("L26-001-01", "is a set: scan the half"),
        (f"{HALF} --out series.gif", "ends in neither .pdf nor .png"),
        (f"{HALF} --out pins", "ends in neither"),
    ],
)
def test_what_cannot_be_told_is_refused(bench: Bench, rest: str, why: str) -> None:
    """Nothing is written then."""
    bench.refuses(f"board taps {rest}", why)
