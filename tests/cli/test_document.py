"""flitchbook document: a paper goes on file under its digest, or not at all."""

import pytest

from ledger.trade.paperkinds import KINDS
from tests.cli.bench import Bench

FILE = "document file note.txt --by 02 --paper 'delivery note'"


@pytest.fixture
def with_note(bench: Bench) -> Bench:
    """Give a bench with a paper on it."""
    bench.file("note.txt", "24 sets, 陽子の製材所")
    return bench


def test_a_paper_is_filed(with_note: Bench) -> None:
    """Its code is the next one, and its bytes lie among the attachments."""
    told = with_note.data(f"{FILE} --number 7/26 --issued 2026-01-03")

    assert told == {"document": "D26-0002", "kinds": ["delivery note"], "notes": []}
    kept = with_note.folder / "shop" / "attachments"
    assert (with_note.folder / "note.txt").read_bytes() in [
        path.read_bytes() for path in kept.iterdir()
    ]


@pytest.mark.parametrize(
    ("paper", "said"),
    [
        ("CITES export permit", "on file; taken for an export permit.\n"),
        ("invoice, packing list", "; taken for an invoice and a packing list.\n"),
        (
            "CITES exp. permit no 12",
            "; taken for a CITES permit or certificate.\nnote: its name leaves open",
        ),
        (
            "exp. permit no 12",
            "D26-0002: exp. permit no 12, on file.\nnote: 'exp. permit no 12' is none "
            "of the papers that are told apart here, so that it counts as no permit",
        ),
        (
            "application for export permit",
            "; taken for an application.\nnote: it speaks of an export permit",
        ),
    ],
)
def test_what_a_paper_is_taken_for_is_said_at_once(
    with_note: Bench, paper: str, said: str
) -> None:
    """And what to do where its name says too little."""
    assert said in with_note.does(FILE.replace("delivery note", paper))


def test_every_kind_of_paper_is_named_in_the_help(bench: Bench) -> None:
    """The closed list, so that nobody has to guess a name."""
    told = " ".join(bench.does("document file --help").split())

    assert all(kind.name in told.replace("- ", "-") for kind in KINDS)


def test_a_personal_paper_about_somebody_is_filed(with_note: Bench) -> None:
    """It can be forgotten with the person."""
    assert with_note.does(f"{FILE} --about 03").startswith("D26-0002: delivery note")


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (FILE.replace("note.txt", "none.txt"), "choose a file that is here"),
        (FILE.replace("note.txt", "shop"), "shop is not a file; choose a file"),
        (f"{FILE} --about nobody", "give a name or a badge"),
        (f"{FILE} --by 03", "needs the role lead or the qualification"),
    ],
)
def test_what_is_no_paper_is_not_filed(
    with_note: Bench, command: str, why: str
) -> None:
    """Missing, a folder, about nobody, or by one who may not."""
    if command.endswith("--by 03"):
        said = with_note.run(command)

        assert (said.code, why in said.err) == (1, True)
    else:
        with_note.refuses(command, why)


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("--issued 3.1.2026", "no day such as 2026-11-21"),
        ("--issued 2026-02-30", "no day such as 2026-11-21"),
        ("--issued 2026-01-03 --expires 2025-01-03", "cannot end on 2025-01-03"),
        ("--paper ''", "the kind of paper has 1 to 200 characters"),
        ("--number ''", "the number has 1 to 200 characters"),
    ],
)
def test_a_paper_that_makes_no_sense_is_refused(
    with_note: Bench, rest: str, why: str
) -> None:
    """Days that are none, or in the wrong order, and empty words."""
    with_note.refuses(f"{FILE} {rest}", why)
