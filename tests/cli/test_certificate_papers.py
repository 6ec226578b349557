"""flitchbook certificate insurer and booklet: drawn from the record, in no entry."""

import re
from pathlib import Path

import pytest

from labels import picture
from tests.aftersale import picture as photograph
from tests.cli.bench import SERIAL, Bench
from tests.labels import reading
from tests.spooler import Spooler

NUMBER = "C-2026-00001"
OWNER = "Amélie Rousset"


def text(path: Path, page: int = 0) -> str:
    """Return the text of a page of a file, all spaces alike."""
    return " ".join(reading.text(path.read_bytes(), page=page).split())


def files(bench: Bench, name: str) -> bytes:
    """Return what is in a file that was drawn."""
    return (bench.folder / name).read_bytes()


def test_a_statement_tells_what_is_on_record_today(bench: Bench) -> None:
    """A service, its mass and its photograph, a trip, an owner without a name."""
    photograph(bench.folder / "bridge.png")
    bench.does(f"owner register {SERIAL} '{OWNER}' --by 12")
    bench.does(
        f"instrument service {SERIAL} 'bridge glued again' --by 01 --measured "
        f"'mass=1990 g' --photo bridge.png"
    )
    bench.does(f"instrument send {SERIAL} --to 'Marrow Quay' --for show --by 01")
    told = bench.data(f"certificate insurer {SERIAL} --by 01 --out x.pdf")
    again = bench.data(f"certificate insurer {NUMBER} --by 01 --out y.pdf")
    said = text(bench.folder / "x.pdf")

    assert told == again | {"file": "x.pdf"}
    assert told["number"] == NUMBER
    assert files(bench, "x.pdf") == files(bench, "y.pdf")
    for expected in (
        SERIAL,
        "1990 g as of 2026-01-05",
        "1 on record, its digest below",
        "1 service, 1 trip, 1 owner registered.",
        "service: bridge glued again",
        "out of the shop today, for a show",
        f"entry {told['as_of_entry']}. It names no value",
    ):
        assert expected in said, expected
    assert OWNER not in said and "Rousset" not in said and "Marrow Quay" not in said
    assert "replaces" not in said


def test_beside_the_square_stands_the_key_that_signed_it(bench: Bench) -> None:
    """The statement and the booklet name the same key as the owner's card."""
    bench.does(f"label card {NUMBER} --by 01 --out card.pdf")
    bench.does(f"certificate insurer {NUMBER} --by 01 --out x.pdf")
    bench.does(f"certificate booklet {NUMBER} --by 01 --pages --out y.pdf")
    (key,) = set(re.findall(r"\b[0-9a-f]{16}\b", text(bench.folder / "card.pdf", 1)))

    assert key in text(bench.folder / "x.pdf")
    assert f"card key {key}" in text(bench.folder / "y.pdf", 7)


def test_a_statement_is_of_today_and_so_of_the_newest(bench: Bench) -> None:
    """An older certificate is refused, and the newest named; a booklet says it."""
    for command in (
        f"instrument service {SERIAL} refinished --by 01",
        f"certificate issue {SERIAL} --by 01 --out c.pdf",
        f"certificate booklet {NUMBER} --by 01 --pages --out old.pdf",
        f"certificate booklet {SERIAL} --by 01 --pages --out new.pdf",
    ):
        bench.does(command)

    bench.refuses(
        f"certificate insurer {NUMBER} --by 01 --out x.pdf",
        "C-2026-00001 is superseded by C-2026-00002, and a statement is of today",
    )
    assert "Superseded by C-2026-00002" in text(bench.folder / "old.pdf")
    assert "Superseded" not in text(bench.folder / "new.pdf")


def test_a_booklet_is_a_sheet_to_fold_or_pages_to_read(bench: Bench) -> None:
    """On the shop's paper or the one named; the answer says how to fold it."""
    bench.setting(paper="Letter")
    said = bench.does(f"certificate booklet {SERIAL} --by 01 --out sheet.pdf")
    told = bench.data(f"certificate booklet {SERIAL} --by 01 --paper A4 --out a4.pdf")
    bench.does(f"certificate booklet {NUMBER} --by 01 --pages --out pages.pdf")

    assert "turned on the short edge" in said
    assert told == {"number": NUMBER, "superseded_by": None, "file": "a4.pdf"}
    sizes = {}
    for name in ("sheet", "a4", "pages"):
        pdf = files(bench, f"{name}.pdf")
        sizes[name] = picture.pages(pdf), picture.one_bit(pdf, page=0, dpi=254).size
    assert sizes == {
        "sheet": (2, (2159, 2794)),
        "a4": (2, (2100, 2970)),
        "pages": (8, (1050, 1480)),
    }


def test_a_booklet_of_what_is_reported_is_not_to_be_handed_over(bench: Bench) -> None:
    """It tells what was on record with the certificate, and the command the rest."""
    draw = f"certificate booklet {SERIAL} --by 01 --out"
    before = bench.does(f"{draw} before.pdf")
    bench.does(f"owner theft {SERIAL} --claimant 'Aldous Ferrante' --by 01")
    said = bench.does(f"{draw} after.pdf")

    assert "report of theft" not in before
    assert "a report of theft stands" in said and "Aldous" not in said


def test_a_sheet_goes_to_the_printer_for_both_sides(
    bench: Bench, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Turned on the short edge, as its fold wants it."""
    spooler = Spooler.begun(tmp_path_factory.mktemp("spooler"), bench.patch)
    bench.does(f"certificate booklet {SERIAL} --by 01 --print office")

    assert "sides=two-sided-short-edge" in spooler.jobs()[0].options
    assert "media=A4" in spooler.jobs()[0].options


@pytest.mark.parametrize("paper", ["insurer", "booklet", "signet"])
def test_what_enters_nothing_asks_for_no_time_and_no_second_hand(
    bench: Bench, paper: str
) -> None:
    """Whose key it is, it asks; when it happened and who approves, it does not."""
    said = bench.does(f"certificate {paper} --help")

    assert "--by" in said and "--pin-file" in said
    for option in ("--approve", "--root", "--after-pause", "--happened-at"):
        assert option not in said


@pytest.mark.parametrize("paper", ["insurer", "booklet"])
def test_what_cannot_be_drawn_is_refused_in_a_sentence(
    bench: Bench, paper: str
) -> None:
    """No such certificate, no such serial, nobody who signs cards, a file there."""
    for rest, why in (
        ("C-2026-00009 --by 01 --out x.pdf", "there is no certificate C-2026-00009"),
        ("26-0009-1 --by 01 --out x.pdf", "nor one of an instrument of that serial"),
        (f"{SERIAL} --by 12 --out x.pdf", "only a lead signs cards"),
        (f"{SERIAL} --by 01 --out pins", "pins is there already"),
    ):
        bench.refuses(f"certificate {paper} {rest}", why)
    assert bench.run(f"certificate {paper} {SERIAL} --by 01").code == 2
    spoken = f"certificate {paper} {SERIAL} --by 01 --out x.pdf --language xx"
    assert bench.run(spoken).code == 2
