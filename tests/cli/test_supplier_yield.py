"""flitchbook supplier yield: the shop's own view, and what a sawyer may be told.

The shop is the certified one: a top of 190.5 g from a set of 412 g, a neck of 611 g
from 1040 g, and an owner whose name is nobody's business.
"""

import json
from typing import Any

import pikepdf
import pytest

from tests.cli.bench import SERIAL, Bench
from tests.labels import reading

YIELD = "supplier yield Ferrante"
OWNER = "Amélie Rousset"


@pytest.fixture
def sold(bench: Bench) -> Bench:
    """Give a bench at which the instrument was sold, and another sawyer is known."""
    bench.does(f"owner register {SERIAL} '{OWNER}' --by 12")
    bench.does("supplier record 'Valdesund Skog' --by 02 --shown known-to-maker")
    return bench


def test_the_shop_sees_all_of_it(sold: Bench) -> None:
    """Boards, fates, yield and serials; reckoned by hand: 801.5 g of 1452 g."""
    said = sold.does("supplier yield").replace("\u2009", " ")
    (told,) = sold.data("supplier yield")["sawyers"]

    for words in (
        "Ferrante & Daughters\n",
        "  L26-001  Picea abies, came in on 2026-01-05: 24 as listed, 2 boards",
        "2 in an instrument",
        "yield 55 %: 0.80 kg of finished parts from 1.45 kg of boards, as they came",
        "in 1 instrument: 1 Tidewarden",
        f"serials {SERIAL}",
    ):
        assert words in said, words
    assert (told["finished_mg"], told["wood_mg"]) == (801_500, 1_452_000)
    assert told["yield_ppm"] == 801_500 * 1_000_000 // 1_452_000
    assert told["lots"][0]["boards_by_fate"]["in an instrument"] == 2
    assert told["serials"] == [SERIAL]


def everything(told: Any) -> str:
    """Return all that a program is told, as text."""
    return json.dumps(told, ensure_ascii=False)


def test_a_sawyer_is_told_of_no_owner_and_no_serial(sold: Bench) -> None:
    """In lines, as JSON and on the page; nor what the shop has ready."""
    said = sold.does(f"{YIELD} --for-sawyer --out wood.pdf")
    told = sold.data(f"{YIELD} --for-sawyer")
    page = reading.text((sold.folder / "wood.pdf").read_bytes())

    for text in (said, everything(told), page):
        assert OWNER not in text and "Rousset" not in text
        assert SERIAL not in text
        assert "ready" not in text and "resting" not in text
        assert "Tidewarden" in text
    assert told["sawyer"] == "Ferrante & Daughters"
    assert "Your wood at Skerrymoor Fretted Instruments" in page


def test_a_sawyer_s_page_is_on_the_paper_and_in_the_language_asked_for(
    sold: Bench,
) -> None:
    """Else on the shop's own, and in the shop's."""
    sold.setting(paper="Letter", language="fr")
    told = []
    for name, rest in (("own", ""), ("asked", "--on A4 --language de")):
        sold.does(f"{YIELD} --for-sawyer {rest} --out {name}.pdf")
        with pikepdf.open(sold.folder / f"{name}.pdf") as pdf:
            width = round(float(pdf.pages[0].MediaBox[2]))
            told.append((width, str(pdf.Root.Lang)))

    assert told == [(612, "fr"), (595, "de")]


def test_serials_are_told_where_the_shop_wishes(sold: Bench) -> None:
    """All the same without the owner."""
    said = sold.does(f"{YIELD} --for-sawyer --with-serials")

    assert f"serials {SERIAL}" in said and "Rousset" not in said


def test_a_sawyer_is_told_of_the_own_wood_only(sold: Bench) -> None:
    """Who delivered nothing is told so."""
    said = sold.does("supplier yield Valdesund --for-sawyer --out wood.pdf")
    page = reading.text((sold.folder / "wood.pdf").read_bytes())
    told = sold.data("supplier yield Valdesund --for-sawyer")

    assert "no wood of this sawyer has come in yet" in said
    assert "No wood has come in yet." in page
    assert told["lots"] == [] and "Ferrante" not in everything(told) + page


def test_a_shop_without_wood_says_so(sold: Bench) -> None:
    """The shop's page names every sawyer who delivered, and the old stock."""
    sold.does(
        "lot receive --species unknown --boards 3 --opening --evidence none "
        "--by 02 --approve 01"
    )
    sold.does("supplier yield --out all.pdf")
    page = " ".join(reading.text((sold.folder / "all.pdf").read_bytes()).split())

    assert "Wood by sawyer" in page
    assert "1 sawyer, and old stock" in page
    assert "old stock, of no sawyer on record" in page
    assert sold.data("supplier yield")["sawyers"][-1]["sawyer"] is None


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("yield --for-sawyer", "name the sawyer before --for-sawyer"),
        ("yield Ferrante --with-serials", "the shop sees its serials anyway"),
        ("yield Nobody", "no sawyer or supplier here is called 'Nobody'"),
        ("yield Ferrante --for-sawyer --out wood.txt", "ends in neither"),
    ],
)
def test_what_makes_no_sense_is_refused(bench: Bench, rest: str, why: str) -> None:
    """With what to do instead."""
    bench.refuses(f"supplier {rest}", why)
