"""flitchbook document add: a paper that came later joins the lot or the batch."""

from pathlib import Path

import pytest

from tests.cli.bench import SERIAL, Bench
from tests.cli.onward import onward

ADD = "document add D26-0002 L26-002 --by 02"


@pytest.fixture
def invoiced(bench: Bench, kept: Path) -> Bench:
    """Give a bench with an invoice on file, and a batch of glue."""
    return onward(bench, kept / "invoiced", _file_an_invoice)


def _file_an_invoice(bench: Bench) -> None:
    bench.file("bill.txt", "24 billets, 陽子の製材所")
    bench.does("document file bill.txt --by 02 --paper invoice --issued 2026-01-04")
    bench.does("material receive 'hide glue' --as glue --by 02")


def test_an_invoice_is_joined_and_everybody_sees_it(invoiced: Bench) -> None:
    """The lot, the evidence, the trace and the paper itself."""
    before = invoiced.data("lot evidence L26-002")["missing"]
    told = invoiced.data(ADD)
    entry = told["entry"]

    assert told == {
        "document": "D26-0002",
        "lot": "L26-002",
        "harvested_in": None,
        "entry": entry,
    }
    assert invoiced.data("lot show L26-002")["papers"] == ["D26-0002"]
    assert invoiced.data("lot evidence L26-002")["missing"] < before
    joined = f"D26-0002  invoice, joined later  (entry {entry})"
    assert joined in invoiced.does("trace L26-002")
    assert "L26-002: Picea abies" in invoiced.does("document used D26-0002")


def test_a_country_is_said_with_the_paper_that_gives_it(invoiced: Bench) -> None:
    """And is unknown again once that is struck."""
    receive = "lot receive --by 02 --species 'Picea abies' --boards 1"
    invoiced.does(f"{receive} --supplier ferrante")
    said = invoiced.does(
        "document add D26-0002 l26-003 --harvested-in Slovenia --by 02"
    ).splitlines()
    trace = invoiced.data("trace L26-003")["trace"]
    invoiced.does(f"record correct {trace[1]['entry']} --by 02 --why 'of other wood'")

    assert said[0].startswith(
        "D26-0002 is a paper of L26-003 from now on; harvested in Slovenia; entry "
    )
    assert said[1] == "What is still missing: flitchbook lot evidence L26-003"
    assert "grown in SI" in trace[0]["said"]
    assert trace[1]["said"].endswith("joined later, which says grown in SI")
    assert "grown in" not in invoiced.does("trace L26-003")


def test_a_batch_is_given_by_its_code(invoiced: Bench) -> None:
    """Like a lot."""
    said = invoiced.does("document add D26-0002 m26-001 --by 03")
    told = invoiced.data("material show M26-001")

    assert said.startswith("D26-0002 is a paper of M26-001 from now on; entry ")
    assert told["papers"] == ["D26-0002"]


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (ADD.replace("D26-0002", "D26-0099"), "there is no document D26-0099: file"),
        (ADD.replace("D26-0002", "L26-001"), "is not the code of a document; write"),
        (ADD.replace("L26-002", "L26-099"), "there is no lot L26-099: look at its"),
        (ADD.replace("L26-002", "M26-099"), "there is no batch M26-099"),
        (ADD.replace("L26-002", "L26-001-01"), "L26-001-01 is a board, and a paper is"),
        (
            ADD.replace("L26-002", SERIAL),
            f"{SERIAL} is a serial, and a paper is joined",
        ),
        (ADD.replace("L26-002", "木"), "is no code of this shop"),
        (ADD.replace("L26-002", "''"), "is no code of this shop"),
        (ADD.replace("D26-0002 L26-002", "D26-0001 L26-001"), "a paper of L26-001 alr"),
        (f"{ADD} --harvested-in FJ", "was harvested in Italy (IT) by entry"),
        (f"{ADD} --harvested-in fiji", "and not in Fiji (FJ): see which wood"),
        (f"{ADD} --harvested-in EU", "not for the Union: name each member State"),
        (f"{ADD} --harvested-in ''", "no country: write two letters"),
        (f"{ADD} --harvested-in QQ", "'QQ' is no country: write two letters"),
        (
            f"{ADD.replace('L26-002', 'M26-001')} --harvested-in FJ",
            "a batch such as M26-001 has no country of harvest on record",
        ),
    ],
)
def test_what_cannot_be_joined_is_refused(
    invoiced: Bench, command: str, why: str
) -> None:
    """In one sentence, with nothing written."""
    invoiced.refuses(command, why)


def test_who_may_not_receive_wood_joins_no_paper_to_it(invoiced: Bench) -> None:
    """It is said by whoever receives lots, or a lead."""
    said = invoiced.run(ADD.replace("--by 02", "--by 03"))

    assert (said.code, said.out) == (1, "")
    assert "joining a paper to a lot needs the role lead or the qualif" in said.err
