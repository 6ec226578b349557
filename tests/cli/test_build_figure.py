"""flitchbook build figure: the wood of every part, told and drawn."""

from pathlib import Path

import pytest
from PIL import Image

from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

NEXT = "26-0002-6"


def test_the_wood_of_every_part_is_told(bench: Bench) -> None:
    """With the set it came as, and the entries that say so."""
    said = bench.does(f"build figure {SERIAL}")
    told = bench.data(f"build figure {SERIAL}")

    assert said.startswith(f"{SERIAL} is made of ")
    for row in told["parts"]:
        assert row["species"] and row["boards"] and row["entries"]
        assert f"  {row['part']}: {row['species'][0]}, {row['boards'][0]}\n" in said
    assert told["serial"] == SERIAL and told["picture"] is None


def test_a_part_without_wood_says_so(bench: Bench) -> None:
    """Of an instrument in the making, and of one that was only begun."""
    bench.does("build begin Tidewarden --by 01")
    said = bench.does(f"build figure {NEXT}")

    assert said == f"{NEXT} has no wood yet.\n  top: no wood yet\n  neck: no wood yet\n"

    bench.does(
        "board number L26-002 --by 02 --for neck --length '810 mm' --width '95 mm' "
        "--thickness '24 mm' --mass '1040 g' --as-read"
    )
    bench.does(f"build allot {NEXT} L26-002-02 --part neck --by 03")
    said = bench.does(f"build figure {NEXT}")

    assert f"{NEXT} has 1 wood in 1 part; 1 part without wood yet.\n" in said
    assert "  neck: Picea abies, L26-002-02\n" in said


def test_it_is_drawn_as_a_pdf(bench: Bench) -> None:
    """With the sentence over it, and every part, species and board beside it."""
    said = bench.does(f"build figure {SERIAL} --out figure.pdf")
    page = " ".join(reading.text(Path("figure.pdf").read_bytes()).split())
    told = bench.data(f"build figure {SERIAL}")["parts"]

    assert "picture: figure.pdf" in said
    assert said.splitlines()[0].removesuffix(".") in page
    for row in told:
        for words in (row["part"], *row["species"], *row["boards"]):
            assert words in page
        assert str(min(row["entries"])) in page


def test_it_is_drawn_from_its_side_as_well(bench: Bench) -> None:
    """With the same parts beside it."""
    bench.does(f"build figure {SERIAL} --out faces.pdf")
    bench.does(f"build figure {SERIAL} --view side --out side.pdf")
    faces, side = (Path(f"{name}.pdf").read_bytes() for name in ("faces", "side"))

    told = bench.does(f"build figure {SERIAL} --view side")

    assert told.endswith(
        "note: a view is drawn, so give --view side --out or --print\n"
    )
    assert "note" not in bench.does(f"build figure {SERIAL}")
    assert faces != side
    assert "neck" in reading.text(side) and "top" in reading.text(side)


def test_it_is_drawn_as_a_picture(bench: Bench) -> None:
    """A PNG of the sheet at 150 dots to the inch."""
    bench.does(f"build figure {SERIAL} --out figure.png")
    with Image.open("figure.png") as shown:
        assert shown.size == (1240, 874)


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("26-0002-6", "there is no instrument"),
        (f"{SERIAL} --out figure.bmp", "ends in neither .pdf nor .png"),
        (f"{SERIAL} --out shop", "ends in neither"),
    ],
)
def test_what_cannot_be_drawn_is_refused(bench: Bench, rest: str, why: str) -> None:
    """Nothing is written then."""
    bench.refuses(f"build figure {rest}", why)


def test_a_drawing_is_never_written_over(bench: Bench) -> None:
    """A file that is there stays as it is."""
    bench.does(f"build figure {SERIAL} --out figure.pdf")
    bench.refuses(f"build figure {SERIAL} --out figure.pdf", "figure.pdf")
