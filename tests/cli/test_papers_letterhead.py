"""The shop's letterhead is on what goes out, as its settings and its folder say."""

from tests.cli.bench import SERIAL, Bench
from tests.labels import reading
from tests.labels.overlaps import words
from tests.labels.test_emblem import SKERRY

LINES = "The Loft, 4 Harbour Road | bench@skm.example"
LETTERS = "hold letters H26-001 --by 01"
YIELD = "supplier yield Ferrante --for-sawyer"


def test_a_letter_bears_the_letterhead_and_the_emblem(bench: Bench) -> None:
    """On the page, and its lines in the text as well."""
    bench.does(f"owner register {SERIAL} 'Amélie Rousset' --by 12")
    bench.does("hold place L26-001 --why 'a letter came' --by 03")
    bench.does(f"{LETTERS} --out plain")
    bench.file("shop/emblem.svg", SKERRY)
    bench.setting(letterhead=LINES, emblem="emblem.svg")
    bench.does(f"{LETTERS} --out headed")
    plain, headed = (
        (bench.folder / folder / f"draft-H26-001-{SERIAL}.pdf").read_bytes()
        for folder in ("plain", "headed")
    )
    written = (bench.folder / "headed" / f"draft-H26-001-{SERIAL}.txt").read_text()

    assert "Harbour Road" not in reading.text(plain)
    for said in (reading.text(headed), written):
        assert "4 Harbour Road" in said and "bench@skm.example" in said
    named = [
        next(each.left for each in words(pdf) if "kerrymoor" in each.text)
        for pdf in (plain, headed)
    ]
    assert named[1] > named[0] + 5, "the emblem stands before the name"


def test_one_that_is_too_long_stops_the_letter_alone(bench: Bench) -> None:
    """The shop goes on; the letter names what to shorten, and both numbers."""
    bench.setting(letterhead="x" * 81)
    bench.does("lot balance")
    made = bench.run(f"{YIELD} --out wood.pdf")

    assert made.code == 1
    assert "a line of the letterhead of shop.toml has 81 characters, and 80" in made.err


def test_a_sawyer_s_page_bears_it_too(bench: Bench) -> None:
    """It leaves the shop as a letter does."""
    bench.setting(letterhead=LINES)
    bench.does(f"{YIELD} --out wood.pdf")

    assert "4 Harbour Road" in reading.text((bench.folder / "wood.pdf").read_bytes())


def test_the_packing_list_has_the_letterhead_a_line_each(bench: Bench) -> None:
    """A long address of the post is narrowed there, and never broken."""
    post = "workshop-enquiries@skerrymoor-fretted.example"
    bench.setting(letterhead=f"The Loft, 4 Harbour Road|{post}")
    bench.does("shipment plan 26-0001-8 --from GB --to US --for sale --by 12")
    made = bench.run("shipment papers X26-0001 --paper packing --out p.pdf --by 12")
    assert made.code == 0, made.err
    said = [each.text for each in words((bench.folder / "p.pdf").read_bytes())]

    assert "The Loft, 4 Harbour Road" in said and post in said
