"""flitchbook build tap, voice: an instrument rings; its ladder is told and drawn."""

from pathlib import Path

import pytest

from tests import ringing
from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

TAP = f"build tap {SERIAL} {{}} --part top --stage {{}} --by 03"
BRACED = "--along '71 Hz' --across '150 Hz' --twist '52 Hz' --mass '252 g'"


@pytest.fixture
def rung(bench: Bench) -> Bench:
    """Give a bench at which a half, the braced top and the closed box were tapped."""
    paths = []
    for number, name in enumerate(("a", "b", "braced", "closed")):
        path = bench.folder / f"{name}.wav"
        paths.append(ringing.record(path, ringing.PLATE, taps=2, seed=number))
    bench.does(f"board tap L26-001-01.B {paths[1]} --along '71 Hz' --by 03")
    bench.does(f"board tap L26-001-01.A {paths[0]} --twist '52 Hz' --by 03")
    bench.does(f"{TAP.format(paths[2], 'braced')} {BRACED}")
    bench.does(f"{TAP.format(paths[3], 'closed')} --air '52 Hz' --top '150 Hz'")
    return bench


def test_a_voice_is_told_stage_by_stage(rung: Bench) -> None:
    """Every tap that counts, of every board."""
    said = rung.does(f"build voice {SERIAL}").replace("\u2009", " ")
    told = rung.data(f"build voice {SERIAL}")["stages"]

    assert [each["stage"] for each in told] == ["plate", "plate", "braced", "closed"]
    assert "    top, 2026-01-05, 252 g, entry" in said
    assert said.count("      along") == 2


def test_a_ladder_is_drawn_of_the_newest_tap_of_each_part(rung: Bench) -> None:
    """Of two halves the one that was tapped last stands for the plate."""
    out = Path("voice.pdf")
    rung.does(f"build voice {SERIAL} --out {out}")
    page = " ".join(reading.text(out.read_bytes()).split())
    told = rung.data(f"build voice {SERIAL}")["stages"]
    newest = max(each["entry"] for each in told if each["stage"] == "plate")

    assert "How the voice moved" in page and f"{SERIAL}, 3 stages" in page
    assert "body closed" in page and "252 g" in page.replace("\u2009", " ")
    assert f"entries {newest} to " in page


def test_an_instrument_without_taps_has_an_empty_ladder(bench: Bench) -> None:
    """It is drawn, and says why there is nothing on it."""
    said = bench.does(f"build voice {SERIAL} --out voice.pdf")
    page = " ".join(reading.text(Path("voice.pdf").read_bytes()).split())

    assert "nothing of it was tapped yet" in said
    assert "This instrument has not been tapped at any stage." in page


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("26-0002-6", "there is no instrument"),
        (f"{SERIAL} --out voice.bmp", "ends in neither .pdf nor .png"),
        (f"{SERIAL} --out shop", "ends in neither"),
    ],
)
def test_what_cannot_be_told_is_refused(bench: Bench, rest: str, why: str) -> None:
    """Nothing is written then."""
    bench.refuses(f"build voice {rest}", why)
