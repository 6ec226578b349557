"""flitchbook document permits, used: lines are typed, and what is left is told."""

import pytest

from tests.cli.bench import Bench

PERMITS = "document permits D26-0001 --by 12"


@pytest.mark.parametrize(
    ("rest", "why"),
    [
        ("--line 'Picea abies'", "is no line: write the wood and how much of it"),
        ("--line '=12 kg'", "is no line"),
        ("--line 'Picea abies=many pieces'", "is no number of pieces: write"),
        ("--line 'Picea abies=12 hands'", "'12 hands'"),
        ("--line 'Picea abies=0 kg'", "permits nothing of Picea abies"),
    ],
)
def test_what_is_no_line_is_refused(bench: Bench, rest: str, why: str) -> None:
    """With what a line looks like."""
    bench.refuses(f"{PERMITS} {rest}", why)


def test_a_paper_that_is_not_there_is_refused(bench: Bench) -> None:
    """Neither read nor used."""
    bench.refuses(
        "document permits D26-0009 --by 12 --line 'Picea abies=1 kg'",
        "no document D26-0009",
    )
    bench.refuses("document used D26-0009", "no document D26-0009")


def test_what_is_used_and_what_remains_is_told(bench: Bench) -> None:
    """With the entries behind it, and how it is known."""
    assert "nobody read off it" in bench.does("document used D26-0001")
    said = bench.does(
        f"{PERMITS} --line 'Picea abies=0.4 kg' --line 'Picea abies=24 pieces' "
        f"--line 'Picea abies=0.1 m3'"
    )
    told = bench.does("document used D26-0001")
    data = bench.data("document used D26-0001")

    assert said.startswith("D26-0001: 3 lines read, entry ")
    assert "OVER-DRAWN by 0.012" in told
    assert "1 weighed here, 23 unknown" in told
    assert "24 pieces, 23 of them without a number yet" in told
    assert "in 26-0001-8" in told
    assert [row["over"] for row in data["permit_lines"]] == [True, False, False]
    assert data["permit_lines"][0]["as_written"] == "0.4 kg"
    assert data["draws"][0]["entries"] and data["entry"] > 0


@pytest.mark.parametrize(
    ("paper", "words"),
    [
        ("CITES-Ausfuhrgenehmigung", "an export permit"),
        ("kiln certificate", "none of the papers that are told apart by their names"),
    ],
)
def test_what_a_paper_is_taken_for_is_told(
    bench: Bench, paper: str, words: str
) -> None:
    """Below the words under which it was filed."""
    bench.file("paper.txt", paper)
    bench.does(f"document file paper.txt --by 02 --paper '{paper}'")
    told = bench.does("document used D26-0002").splitlines()
    kinds = bench.data("document used D26-0002")["kinds"]

    assert told[1] == f"  taken for {words}"
    assert [f"an {kind}" for kind in kinds] == [words][: len(kinds)]


def test_a_misspelt_name_is_offered_and_recorded_as_it_was_typed(
    bench: Bench,
) -> None:
    """A paper may name what no table has; whoever reads it looks again."""
    said = bench.does(f"{PERMITS} --line 'Dalbergia nigar=1 kg' --line 'Cedrela=1 kg'")
    lines = said.splitlines()
    told = bench.data("document used D26-0001")

    assert lines[0].startswith("D26-0001: 2 lines read, entry ")
    assert lines[1].startswith(
        "note: Dalbergia nigar is in no table here: is Dalbergia nigra "
    )
    assert lines[2] == (
        f"note: where it was misread, strike it with flitchbook record correct "
        f"{told['permit_lines'][0]['entry']}, and read it again"
    )
    assert [line["species"] for line in told["permit_lines"]] == [
        "Dalbergia nigar",
        "Cedrela",
    ]


def test_a_name_that_is_spelt_right_gets_no_note(bench: Bench) -> None:
    """A program is told that there is none."""
    said = bench.data(f"{PERMITS} --line 'Dalbergia nigra=1 kg'")

    assert said["notes"] == []


def test_a_species_that_a_paper_does_not_name_is_told(bench: Bench) -> None:
    """So that somebody asks whoever issued it."""
    bench.does(f"{PERMITS} --line 'Dalbergia latifolia=1 kg'")
    told = bench.does("document used D26-0001")

    assert "NOT NAMED on it: Picea abies of L26-001" in told
    assert bench.data("document used D26-0001")["not_named"] == ["L26-001"]
