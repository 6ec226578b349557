"""flitchbook build graduation: the thickness of plates, told, drawn and compared."""

from pathlib import Path

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

ROWS = "x_mm,y_mm,thickness_mm\n0,180,6.1\n-150,180,5\n150,180,4.9\n0,420,3.4\n"


def plain(text: str) -> str:
    """Return an answer with the spaces of a keyboard."""
    return " ".join(text.replace("\u2009", " ").replace("\u00a0", " ").split())


NEXT = "26-0002-6"
MODEL = """[model]
instrument = "flat-top guitar"

[[part]]
name = "top"

[[part]]
name = "back"

[[step]]
name = "join the top"
needs = "necks"
uses_up = ["top", "back"]
"""


@pytest.fixture
def gauged(bench: Bench) -> Bench:
    """Give a bench at which the top was gauged twice, and the back once."""
    bench.file("model.toml", MODEL)
    bench.does("model define Ebbmark --from model.toml --by 01")
    bench.does("build begin Ebbmark --by 01")
    for part in ("top", "back"):
        said = bench.does(
            f"board number L26-002 --by 02 --for {part} --length '559 mm' --width "
            f"'203 mm' --thickness '4 mm' --mass '205 g' --as-read"
        )
        code = said[said.index("L26-002-") :][:10]
        bench.does(f"build allot {NEXT} {code} --part {part} --by 03")
    bench.file("places.csv", ROWS)
    bench.file("later.csv", ROWS.replace("6.1", "6.0"))
    enter = f"build graduate {NEXT} {{}} --from {{}} --length '525 mm' --by 03"
    bench.does(enter.format("top", "places.csv"))
    bench.does(enter.format("top", "later.csv") + " --stage 'before closing'")
    bench.does(enter.format("back", "places.csv"))
    return bench


def test_the_newest_map_of_each_plate_is_told(gauged: Bench) -> None:
    """With how far the top is from the map before."""
    said = plain(gauged.does(f"build graduation {NEXT}"))
    told = gauged.data(f"build graduation {NEXT}")

    assert "top: 4 places, 3.4 mm to 6 mm, 2026-01-05, before closing, entry" in said
    assert "differ by 0.1 mm at most" in said
    assert [each["part"] for each in told["plates"]] == ["top", "back"]
    assert told["plates"][0]["places"][0]["thickness_um"] == 6_000
    assert told["plates"][1]["before"] is None and told["picture"] is None


def test_a_plate_is_compared_with_the_map_that_is_named(gauged: Bench) -> None:
    """Also with that of another plate, which is said."""
    other = gauged.data(f"build graduation {NEXT} back")["plates"][0]["entry"]
    said = plain(gauged.does(f"build graduation {NEXT} top --against {other}"))

    assert f"beside entry {other} of 2026-01-05, the back of {NEXT}: at 4" in said


def test_one_plate_is_drawn_with_its_finding(gauged: Bench) -> None:
    """Where it is thickest and thinnest, of what, and from which entry."""
    said = gauged.does(f"build graduation {NEXT} top --out map.pdf")
    page = plain(reading.text(Path("map.pdf").read_bytes()))
    entry = gauged.data(f"build graduation {NEXT} top")["plates"][0]["entry"]

    assert "picture: map.pdf" in said
    assert "Thickest 6.0 mm on the centre line of the lower bout" in page
    assert f"top of {NEXT}, Ebbmark, 4 places, gauged 2026-01-05" in page
    assert f"entry {entry}" in page and "Stage: before closing." in page
    assert "Nobody said with what gauge." in page and "5.0" in page


def test_two_plates_are_drawn_side_by_side(gauged: Bench) -> None:
    """With what each comes to in the heading."""
    gauged.does(f"build graduation {NEXT} --out both.pdf")
    page = plain(reading.text(Path("both.pdf").read_bytes()))

    assert "The top 3.4 mm to 6 mm, the back 3.4 mm to 6.1 mm thick" in page
    assert "top, 4 places" in page and "back, 4 places" in page


def test_an_instrument_without_a_map_says_so(bench: Bench) -> None:
    """In words and in the picture."""
    said = bench.does(f"build graduation {SERIAL} --out map.pdf")
    page = plain(reading.text(Path("map.pdf").read_bytes()))

    assert f"{SERIAL}: no plate of it was graduated yet." in said
    assert "No plate of this instrument was graduated yet." in page


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("26-0099-9", "26-0099-9"),
        (f"{SERIAL} back", "has no part 'back'"),
        (f"{SERIAL} top", "nobody graduated the top"),
        (f"{SERIAL} --against 3", "entry 3 is no graduation that counts"),
        (f"{SERIAL} --out map.bmp", "ends in neither .pdf nor .png"),
    ],
)
def test_what_cannot_be_told_is_refused(bench: Bench, rest: str, why: str) -> None:
    """Nothing is written then."""
    bench.refuses(f"build graduation {rest}", why)


def test_a_gauge_shows_the_plates_it_measured(bench: Bench) -> None:
    """A caliper that failed leaves no map behind unseen."""
    bench.file("places.csv", ROWS)
    bench.does("gauge add 'dial caliper' --measures length --by 03")
    bench.does(
        f"build graduate {SERIAL} top --from places.csv --length '525 mm' "
        f"--gauge G26-001 --by 03"
    )
    said = bench.does("gauge show G26-001")
    told = bench.data("gauge show G26-001")["plates"]

    assert "  1 plate graduated with it by name or code\n    top of " in said
    assert f"    top of {SERIAL}  2026-01-05, entry " in said
    assert [(each["serial"], each["part"]) for each in told] == [(SERIAL, "top")]
