"""flitchbook material: batches are received, used up, and found again."""

import pytest

from tests.cli.bench import Bench

GLUE = "material receive 'hide glue' --as glue --lot-as-written 7714 --by 03"


def test_a_batch_is_received_and_shown(bench: Bench) -> None:
    """With its maker's number, its seller and its last day."""
    told = bench.does(f"{GLUE} --from Ferrante --expires 2026-06-30 --paper D26-0001")
    shown = bench.does("material show M26-001")

    assert told == "M26-001: hide glue. Write the code on the tin.\n"
    assert shown.splitlines()[0].startswith(
        "M26-001: hide glue (glue), lot 7714, came in on 2026-01-05, good until "
        "2026-06-30; entry "
    )
    assert "from: Ferrante & Daughters; papers: D26-0001" in shown
    assert "in 0 instruments" in shown
    assert bench.data("material show M26-001")["instruments"] == []


def test_shell_asks_for_its_species_and_promises_nothing(bench: Bench) -> None:
    """Which documents are needed is asked of the tables."""
    told = bench.does(
        "material receive 'paua dots' --as shell --species 'Haliotis iris' --by 02"
    )

    assert "ask flitchbook determine about the documents needed" in told
    bench.refuses(
        "material receive dots --as shell --by 02", "shell is of an animal: give"
    )


def test_a_batch_is_finished_and_listed_so(bench: Bench) -> None:
    """What is past its day says so too."""
    assert bench.does("material list") == "no batch has come in yet\n"
    bench.does(GLUE)
    bench.does(f"{GLUE} --expires 2026-01-05")
    assert bench.does("material finish M26-001 --by 03").startswith(
        "M26-001 is used up; entry "
    )
    rows = bench.data("material list")["batches"]

    assert [row["batch"] for row in rows] == ["M26-001", "M26-002"]
    assert rows[0]["state"].startswith("used up, entry ")
    assert rows[1]["state"] == "good until 2026-01-05"


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("finish M26-009 --by 03", "there is no batch M26-009"),
        ("show M26-009", "there is no batch M26-009"),
        ("show L26-001", "is not the code of a batch"),
        (
            "receive glue --as glue --from Nobody --by 03",
            "no sawyer or supplier here is called",
        ),
        ("receive glue --as glue --paper D26-0009 --by 03", "there is no document"),
        ("receive glue --as glue --received tomorrow --by 03", "is no day"),
        ("receive glue --as glue --received '' --by 03", "'' is no day"),
        ("receive glue --as glue --received 1850-01-01 --by 03", "is before 1900, and"),
        ("receive glue --as glue --from '' --by 03", "no sawyer or supplier here"),
        ("receive dots --as shell --species '12 kg' --by 03", "is no scientific name"),
        ("receive dots --as shell --species Acer --by 03", "'Acer' is a genus"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(
    bench: Bench, command: str, why: str
) -> None:
    """With nothing written."""
    bench.refuses(f"material {command}", why)
