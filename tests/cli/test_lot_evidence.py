"""flitchbook lot evidence: what is held, by which paper, and what to ask for."""

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.cli.rounds import Walk

ROSEWOOD = "Dalbergia latifolia"
KINDS = ["permit", "purchase", "country", "acquired", "species", "plots"]


@pytest.mark.parametrize(
    ("code", "first"),
    [
        ("L26-001", "L26-001: 1 thing missing"),
        ("l26-001-01", "L26-001-01: 1 thing missing"),
        ("L26-001-01.A", "L26-001-01.A: 1 thing missing"),
        (SERIAL, f"{SERIAL}: 2 things missing"),
        (f"HTTPS://SKERRYMOOR.EXAMPLE/S/{SERIAL}", f"{SERIAL}: 2 things missing"),
    ],
)
def test_every_kind_of_wood_is_told_what_it_lacks_first(
    bench: Bench, code: str, first: str
) -> None:
    """Then each lot with all that must be shown, level, paper and entry."""
    said = bench.does(f"lot evidence {code}").splitlines()

    assert said[0] == first
    assert said[1] == (
        "  L26-001 purchase: before it is sold: ask the sawyer for the invoice, or "
        "another proof of purchase, and join it with flitchbook document add"
    )
    assert "harvested in  document  harvested in Italy, with D26-0001" in "\n".join(
        said
    )
    assert "no permit or advice; ask the Management Authority" in said[-1]


def test_a_program_is_told_the_same(bench: Bench) -> None:
    """With stable keys, and days as days."""
    told = bench.data(f"lot evidence {SERIAL}")

    assert told.keys() == {"code", "missing", "wood"}
    assert (told["code"], told["missing"]) == (SERIAL, 2)
    top = told["wood"][0]
    assert [each["kind"] for each in top["requirements"]] == KINDS
    assert top["papers"] == [
        {
            "document": "D26-0001",
            "paper": "delivery note",
            "number": "7/26",
            "issued_on": "2026-01-03",
            "expires_on": None,
        }
    ]
    assert top["shown"] == "document"
    assert told["wood"][1]["shown"] == "diary"


def test_old_stock_without_a_paper_says_so(bench: Bench) -> None:
    """In every line that something should show."""
    bench.does(
        f"lot receive --opening --evidence none --species '{ROSEWOOD}' --boards 1 "
        f"--received 1965-05-01 --harvested-in IN --by 02"
    )
    said = bench.does("lot evidence L26-003").splitlines()
    told = bench.data("lot evidence L26-003")["wood"][0]

    assert "L26-003  Dalbergia latifolia, sawn, old stock, evidence none" in said
    assert "document" not in {each["level"] for each in told["requirements"]}
    assert told["shown"] == "none"
    assert any("acquired      none" in line for line in said)
    assert said[0] == "L26-003: 5 things missing"


def test_the_rack_is_told_with_the_most_urgent_first(walk: Walk) -> None:
    """Each lot with what it lacks, and in which instruments it is."""
    walk.bench.does(f"build order {SERIAL} --order A-7 --due 2026-02-01 --by 01")
    walk.bench.does(f"build allot {SERIAL} L26-001-01 --part top --by 03")
    said = walk.bench.does("lot evidence --missing").splitlines()
    told = walk.bench.data("lot evidence --missing")["missing"]

    assert said[0] == "3 lots with something missing"
    assert said[1] == (
        f"L26-001  Picea abies, no listing found, in {SERIAL}, promised for 2026-02-01"
    )
    assert said[2].startswith("  purchase: until 2026-02-01: ask the sawyer")
    assert [each["lot"] for each in told] == ["L26-001", "L26-002", "L26-003"]
    assert (told[0]["by"], told[0]["serials"]) == ("2026-02-01", [SERIAL])
    assert told[0].keys() >= {"requirements", "missing", "listed", "papers"}


@pytest.mark.parametrize(
    ("typed", "is_asked"),
    [
        ("L26-001 --to FR", True),
        ("L26-001 --to EU", True),
        ("L26-001-01 --to Germany", True),
        ("L26-001 --to GB", False),
        ("L26-001", False),
        (f"{SERIAL} --to FR", False),
    ],
)
def test_plots_are_asked_of_wood_that_goes_to_the_union(
    bench: Bench, typed: str, is_asked: bool
) -> None:
    """Regulation (EU) 2023/1115, article 9; an instrument is no wood of chapter 44."""
    told = bench.data(f"lot evidence {typed}")["wood"][0]
    missing = {each["kind"]: each["missing"] for each in told["missing"]}

    assert ("plots" in missing) is is_asked
    if is_asked:
        assert missing["plots"] == (
            "before it is sold: ask the sawyer for the plots it grew on and the first "
            "and last day of the harvest, and file them with flitchbook lot plots"
        )


def test_where_nothing_is_missing_that_is_said(bench: Bench) -> None:
    """All wood of the shop is in a certified instrument."""
    said = bench.does("lot evidence --missing").splitlines()

    assert said[0] == "nothing is missing of the wood in the rack and in open builds"
    assert bench.data("lot evidence --missing") == {"missing": []}


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("", "give a lot, a board or a serial, or --missing alone"),
        ("--missing --to FR", "give a lot, a board or a serial, or --missing alone"),
        ("L26-001 --to 紫国", "is no country: write two letters such as JP"),
        ("L26-001 --missing", "give a lot, a board or a serial, or --missing alone"),
        ("L26-099", "there is no lot L26-099"),
        ("L26-001-99", "there is no board L26-001-99"),
        ("L26-001-01.C9", "there is no board L26-001-01.C9"),
        ("26-0009-1", "there is no instrument 26-0009-1"),
        ("26-0001-7", "the check digit of 26-0001-7 is 8, not 7"),
        ("D26-0001", "D26-0001 is a document: give a lot, a board or a serial"),
        ("C-2026-00001", "is a certificate: give a lot, a board or a serial"),
        ("紫檀", "is no code of this shop"),
        ("HTTPS://OTHER.EXAMPLE/L/L26-0010", "that label is of other.example"),
    ],
)
def test_what_is_no_wood_is_refused(bench: Bench, typed: str, why: str) -> None:
    """In one sentence, and nothing is written."""
    bench.refuses(f"lot evidence {typed}", why)
