"""flitchbook label lot, hold, rack: papers that hang at the wood."""

import pikepdf
import pytest

from tests.cli.bench import SERIAL, Bench
from tests.labels import reading
from tests.spooler import Spooler

SHELF = "crib, shelf B"


def drawn(bench: Bench, command: str) -> str:
    """Draw a paper and return its text in one line."""
    told = bench.data(f"{command} --out paper.pdf")
    pdf = (bench.folder / told["file"]).read_bytes()
    pages = range(reading.pages(pdf))
    return " ".join(reading.text(pdf, page) for page in pages).replace("\r\n", " ")


def shelved(bench: Bench) -> str:
    """Receive a lot of two sets, put it on a shelf, and return its code."""
    bench.does(
        "lot receive --species 'Picea abies' --boards 2 --set --for top --opening "
        "--evidence diary --size '559 x 203 x 4.2 mm' --by 02"
    )
    bench.does(f"board move L26-003 --to '{SHELF}' --by 02")
    return "L26-003"


def test_a_lot_has_its_card(bench: Bench) -> None:
    """By its code, or by a scan of the card that hangs there."""
    said = bench.does("label lot L26-002 --out lot.pdf")
    text = drawn(bench, "label lot L/L26-0029")

    assert said == "lot.pdf: the card of lot L26-002. Print at 100 %.\n"
    assert "L26-002" in text and "Papers held" in text


def test_a_hold_has_its_tag(bench: Bench) -> None:
    """With what is under it; why it was placed is not on it."""
    bench.does("hold place L26-002 --why 'a doubtful stamp' --by 02")
    said = bench.does("label hold H26-001 --out tag.pdf")
    text = drawn(bench, "label hold H26-001")

    assert said.startswith("tag.pdf: the tag of hold H26-001, ")
    assert "lot L26-002" in text and "Adeyemi-Brandt" in text
    assert "stamp" not in text


def test_a_hold_has_a_strong_tag_as_well(bench: Bench) -> None:
    """With what to do to it, and both of its sides on one leaf."""
    bench.does("hold place L26-002 --why 'a doubtful stamp' --by 02")
    said = bench.does("label hold H26-001 --size luggage --out tag.pdf")
    text = reading.text((bench.folder / "tag.pdf").read_bytes())

    assert "Print at 100 % on strong stock, fold it at the ticks" in said
    assert text.count("HOLD") == text.count("lot L26-002") == 2


def test_papers_at_the_wood_speak_the_shop_s_language(bench: Bench) -> None:
    """And say which it is to whoever has them read aloud."""
    bench.setting(language="de")
    bench.does("hold place L26-002 --why 'a doubtful stamp' --by 02")
    for number, command in enumerate(
        (
            "label lot L26-002",
            "label hold H26-001",
            "label envelope 01 --sealed-by 12",
            "label board L26-001-01 --by 02",
            "record checkpoint",
            f"label tag {SERIAL} --by 03",
        )
    ):
        assert bench.run(f"{command} --out {number}.pdf").code == 0
        with pikepdf.open(bench.folder / f"{number}.pdf") as pdf:
            assert pdf.Root.Lang == "de", command


def test_a_place_has_its_card(bench: Bench) -> None:
    """However its name is spelled; a hold shows in its line."""
    lot = shelved(bench)
    before = drawn(bench, f"label rack '{SHELF.upper()}'")
    bench.does(f"hold place {lot} --why 'a doubtful stamp' --by 02")
    (bench.folder / "paper.pdf").unlink()
    after = drawn(bench, f"label rack '{SHELF}' --on A4")

    assert SHELF in before and f"{lot}-01 Picea abies top ready" in before
    assert f"{lot}-02 Picea abies top HOLD H26-001" in after


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("label lot L26-099 --out x.pdf", "there is no lot L26-099"),
        ("label lot L26-001-01 --out x.pdf", "L26-001-01"),
        (f"label lot {SERIAL} --out x.pdf", SERIAL),
        ("label lot L26-001 --out pins", "pins is there already"),
        ("label hold H26-009 --out x.pdf", "there is no hold H26-009: look at"),
        ("label hold L26-001 --out x.pdf", "L26-001"),
        ("label hold H26-009 --out none/x.pdf", "there is no folder none"),
        (
            "label rack attic --out x.pdf",
            "no wood lies in 'attic': there is wood in no place yet",
        ),
        ("label rack attic --out pins", "pins is there already"),
    ],
)
def test_what_cannot_be_drawn_leaves_nothing(
    bench: Bench, command: str, why: str
) -> None:
    """One sentence, and no file."""
    bench.refuses(command, why)


def test_a_hold_that_was_lifted_has_no_tag(bench: Bench) -> None:
    """Whoever looks for one takes the old one down."""
    bench.does("hold place L26-002 --why 'a doubtful stamp' --by 02")
    bench.does("hold lift H26-001 --why 'the office knows the stamp' --by 01")
    bench.refuses("label hold H26-001 --out x.pdf", "was lifted by entry")


def test_papers_of_the_rack_go_to_the_printer_at_their_own_size(
    bench: Bench, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Without a file here, and without an entry in the log."""
    spooler = Spooler.begun(tmp_path_factory.mktemp("spooler"), bench.patch)
    shelved(bench)
    bench.does("hold place L26-002 --why 'a doubtful stamp' --by 02")
    before = bench.all_that_is_kept()
    for paper in ("lot L26-002", "hold H26-001", f"rack '{SHELF}'"):
        assert "printer roll: the " in bench.does(f"label {paper} --print roll")
    bench.does("label envelope 03 --sealed-by 01 --on DL --print roll")
    media = [option for job in spooler.jobs() for option in job.options]

    assert [text for text in media if text.startswith("media=")] == [
        "media=A6",
        "media=A6",
        "media=A5",
        "media=Custom.220x110mm",
    ]
    assert bench.all_that_is_kept() == before
