"""flitchbook build graduate: the thickness of a plate, entered from a file or typed."""

import pytest

from tests.cli.bench import SERIAL, Bench

ROWS = "x_mm,y_mm,thickness_mm\n0,180,6.1\n-150,180,5\n150,180,4.9\n0,470,3.4\n"
ENTER = f"build graduate {SERIAL} top --by 03"
LONG = "--length '525 mm'"


def plain(text: str) -> str:
    """Return an answer with the spaces of a keyboard."""
    return text.replace("\u2009", " ")


def test_a_file_is_entered_and_told(bench: Bench) -> None:
    """How many places, from what to what, in which entry."""
    bench.file("places.csv", ROWS)
    said = plain(bench.does(f"{ENTER} --from places.csv {LONG} --stage 'in the white'"))
    shown = plain(bench.does(f"build show {SERIAL}"))

    assert said.startswith(f"top of {SERIAL}: 4 places, 3.4 mm to 6.1 mm, entry ")
    assert "  top graduated: 4 places, 3.4 mm to 6.1 mm, 2026-01-05, entry " in shown
    assert "  graduation  top gauged at 4 places" in bench.does(f"trace {SERIAL}")


def test_a_program_is_told_all_that_was_read(bench: Bench) -> None:
    """In micrometres, with the note where nobody measured the plate now."""
    bench.file("places.csv", ROWS)
    bench.does(f"{ENTER} --from places.csv {LONG}")
    bench.file("later.csv", ROWS.replace("6.1", "6.0"))
    told = bench.data(f"{ENTER} --from later.csv --width '430 mm' --gauge caliper")

    assert told["places"][1] == {"x_um": -150_000, "y_um": 180_000} | {
        "thickness_um": 5_000
    }
    assert (told["length_um"], told["width_um"]) == (525_000, 430_000)
    assert (told["gauge"], told["stage"]) == ("caliper", None)
    assert told["before"]["most_um"] == 100 and told["before"]["places"] == 4
    length, closed = told["notes"]
    assert "as by entry" in length and "has its certificate" in closed


def test_a_file_without_a_last_end_is_asked_about(bench: Bench) -> None:
    """It may have been cut off within its last number."""
    bench.file("places.csv", ROWS)
    bench.file("cut.csv", ROWS[:-1])
    asked = "note: line 5, the last, has no end: is the file whole?"

    assert asked in bench.does(f"{ENTER} --from cut.csv {LONG} --dry-run")
    assert asked not in bench.does(f"{ENTER} --from places.csv {LONG} --dry-run")


def test_few_places_are_typed(bench: Bench) -> None:
    """Each with its two ways and its thickness, in any unit of length."""
    typed = (
        "--place '-120 mm, 200 mm = 2.4 mm' --place '0 mm, 8 in = 3/32 in' "
        "--place '12 cm, 20 cm = 2.5 mm'"
    )
    told = bench.data(f"{ENTER} {typed} {LONG}")

    assert [each["x_um"] for each in told["places"]] == [-120_000, 0, 120_000]
    assert told["places"][1]["thickness_um"] == 2_381


def test_a_dry_run_compares_and_records_nothing(bench: Bench) -> None:
    """Whoever holds a plate in doubt asks whether it is the one on record."""
    bench.file("places.csv", ROWS)
    bench.does(f"{ENTER} --from places.csv {LONG}")
    bench.refuses(f"{ENTER} --from places.csv", "are on record as they are")
    same = plain(bench.does(f"{ENTER} --from places.csv --dry-run"))
    bench.file("again.csv", ROWS.replace("3.4", "3.55"))
    before = bench.all_that_is_kept()
    again = plain(bench.does(f"{ENTER} --from again.csv --dry-run"))

    assert "at 4 places within 2 mm they differ by 0 mm at most, 0 mm on" in same
    assert "has the same places with the same thicknesses" in same
    assert "4 places, 3.55 mm to 6.1 mm, nothing recorded." in again
    assert (
        "at 4 places within 2 mm they differ by 0.15 mm at most, 0.04 mm on average; "
        "a quick look, for a hand gauge reads to ±0.1 mm" in again
    )
    assert bench.all_that_is_kept() == before


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("--from gone.csv", "there is no file gone.csv"),
        ("--from shop", "shop is a folder"),
        ("--from /dev/zero", "/dev/zero is no plain file"),
        ("--from comma.csv", "line 2 has 5 cells of 3"),
        ("--from empty.csv", "the file is empty"),
        ("--from japan.csv", "names no x, y and thickness"),
        ("--from cut.csv", "line 6 has no thickness"),
        ("--from inches.csv", "line 2: no plate is"),
        ("--from far.csv", "line 6: y 900\u2009mm is not on the plate"),
        ("--from places.csv --place '1 mm, 2 mm = 3 mm'", "either in a file with"),
        ("", "either in a file with --from, or one by one with --place"),
        (
            "--place '1 mm, 2 mm'",
            "place 1: '1 mm, 2 mm' is no place with its thickness",
        ),
        ("--from places.csv --gauge G26-099", "there is no gauge G26-099"),
        ("--from places.csv --length 525", "525 has no unit"),
    ],
)
def test_what_cannot_be_read_is_refused(bench: Bench, rest: str, why: str) -> None:
    """In one sentence that names the line, and nothing is written."""
    bench.file("places.csv", ROWS)
    bench.file("empty.csv", "")
    bench.file("japan.csv", "表板の厚み\n左,上,厚い\n")
    bench.file("cut.csv", ROWS + "-100,2")
    bench.file("inches.csv", ROWS.replace("_mm", "_in"))
    bench.file("comma.csv", "x_mm,y_mm,thickness_mm\n-120,200,5,2,4\n")
    bench.file("far.csv", ROWS + "0,900,3\n")
    bench.refuses(f"{ENTER} {LONG if '--length' not in rest else ''} {rest}", why)


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"build graduate {SERIAL} back --by 03", "has no part 'back'"),
        (f"build graduate {SERIAL} neck --by 03", "no plate is called 'neck'"),
        ("build graduate 26-0099-9 top --by 03", "26-0099-9"),
        (f"build graduate {SERIAL} top", "say who signs"),
        (f"build graduate {SERIAL} top --by 12", "needs"),
    ],
)
def test_whoever_may_not_or_names_no_plate_is_refused(
    bench: Bench, command: str, why: str
) -> None:
    """The office weighs no wood and gauges no plate."""
    bench.file("places.csv", ROWS)
    bench.refuses(f"{command} --from places.csv {LONG}", why)


def test_a_wrong_pin_is_refused(bench: Bench) -> None:
    """And nothing of the file is taken."""
    bench.file("places.csv", ROWS)
    bench.file("wrong", "03 9999\n")
    said = bench.run(f"{ENTER} --from places.csv {LONG} --pin-file wrong")

    assert said.code == 1 and "PIN" in said.err and said.err.count("\n") == 1
    assert "graduated" not in bench.does(f"build show {SERIAL}")
