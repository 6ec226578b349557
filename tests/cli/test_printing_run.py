"""A run of labels that was cut off is taken up again, and nothing is left out."""

import io
import json
import sys

import pytest

from cli import printing_run
from tests.cli.bench import Bench
from tests.spooler import Spooler

COUNT = 6
RUN = "label board L26-002 --by 02 --print roll"
NUMBER = (
    "board number L26-002 --by 02 --for neck --length '810 mm' --width '95 mm' "
    "--thickness '24 mm' --mass '1 kg'"
)
NO_HARM = "A label that is printed twice bears the same code and does no harm"


class Keyboard(io.StringIO):
    """Lines that somebody types at a terminal."""

    def isatty(self) -> bool:
        """Say that somebody sits here."""
        return True


@pytest.fixture
def spooler(bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> Spooler:
    """Give a spooler, and a lot of six boards to label."""
    bench.does(f"{NUMBER} --alike {COUNT - 1}")
    return Spooler.begun(tmp_path_factory.mktemp("spooler"), bench.patch)


@pytest.fixture
def cut_off(bench: Bench, spooler: Spooler) -> Spooler:
    """Give a spooler that died over the fourth label, and works again."""
    spooler.at(4, "dies")
    assert bench.run(RUN).code == 1
    spooler.at(4, "")
    return spooler


def titles(spooler: Spooler) -> list[str]:
    """Return the titles of the jobs without the boards."""
    return [job.title.partition(",")[0] for job in spooler.jobs()]


def of(first: int, last: int = COUNT) -> list[str]:
    """Return the titles of labels first to last."""
    return [f"label {number} of {COUNT}" for number in range(first, last + 1)]


def test_every_label_is_a_job_of_its_own(bench: Bench, spooler: Spooler) -> None:
    """Whoever looks at the queue sees which label of how many; one entry has all."""
    told = json.loads(bench.run(f"{RUN} --json").out)
    jobs = spooler.jobs()

    assert titles(spooler) == of(1)
    assert jobs[0].title.endswith(", 6 pieces, L26-002-01 to L26-002-06")
    assert len({job.data for job in jobs}) == COUNT
    assert (told["first"], told["last"], len(told["boards"])) == (1, COUNT, COUNT)
    assert not (bench.folder / "shop" / printing_run.PRINTING).exists()


def test_after_a_cut_the_next_start_asks(bench: Bench, cut_off: Spooler) -> None:
    """Without a terminal it refuses with the question and both its answers."""
    bench.refuses(
        RUN,
        f"label 4 of 6 may have printed; print 5 to 6, or all again? {NO_HARM}: give "
        f"--print-from 5, or --print-from 1 for all",
    )
    assert titles(cut_off) == of(1, 3)


@pytest.mark.parametrize("first", [1, 3, 4, 5])
def test_a_run_goes_on_from_where_somebody_says(
    bench: Bench, cut_off: Spooler, first: int
) -> None:
    """An earlier label too; then the whole run is recorded, and forgotten."""
    told = bench.run(f"{RUN} --print-from {first}").out
    again = f", of them now labels {first} to 6" if first > 1 else ""

    assert told == f"printer roll: 6 labels{again}.\n"
    assert titles(cut_off) == of(1, 3) + of(first)
    assert not (bench.folder / "shop" / printing_run.PRINTING).exists()
    assert bench.run(RUN).code == 0


@pytest.mark.parametrize(
    ("typed", "first"), [("5\n", 5), (" 4 \n", 4), ("all\n", 1), ("ALL\n", 1)]
)
def test_at_a_terminal_it_is_asked(
    bench: Bench, cut_off: Spooler, typed: str, first: int
) -> None:
    """The answer is a number, or all."""
    bench.patch.setattr(sys, "stdin", Keyboard(typed))
    said = bench.run(RUN)

    assert said.code == 0
    assert f"label 4 of 6 may have printed; print 5 to 6, or all again? {NO_HARM}." in (
        said.err
    )
    assert titles(cut_off) == of(1, 3) + of(first)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("perhaps\n", "'perhaps' is neither a number nor all, and nothing was printed"),
        ("²\n", "is neither a number nor all"),
        ("0\n", "label 5 of 6 is the next, and 0 is not"),
        ("6\n", "label 5 of 6 is the next, and 6 is not: go on with --print-from 5"),
    ],
)
def test_an_answer_that_is_none_prints_nothing(
    bench: Bench, cut_off: Spooler, typed: str, why: str
) -> None:
    """The run stays where it was."""
    bench.patch.setattr(sys, "stdin", Keyboard(typed))
    said = bench.run(RUN)

    assert said.code == 1
    assert why in said.err
    assert titles(cut_off) == of(1, 3)
    assert "label 4 of 6 may have printed" in bench.run(RUN).err


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"{RUN} --print-from 6", "label 5 of 6 is the next, and 6 is not"),
        (
            "label board L26-002 --by 02 --out x.pdf --print-from 5",
            "goes on with a run at a printer: name it with --print",
        ),
    ],
)
def test_no_label_is_left_out(
    bench: Bench, cut_off: Spooler, command: str, why: str
) -> None:
    """What never reached the printer is not passed over."""
    bench.refuses(command, why)


def test_a_run_that_was_not_cut_off_has_nothing_to_go_on_with(
    bench: Bench, spooler: Spooler
) -> None:
    """Part of a lot is printed by naming the part."""
    bench.refuses(f"{RUN} --print-from 3", "no run of these boards was cut off")


def test_the_last_label_may_be_the_one(bench: Bench, spooler: Spooler) -> None:
    """Then it is the only one to print again."""
    spooler.at(COUNT, "dies")
    bench.run(RUN)
    spooler.at(COUNT, "")
    said = bench.run(RUN)
    assert "label 6 of 6 may have printed; print 6, or all again?" in said.err

    told = bench.run(f"{RUN} --print-from 6").out
    assert told == "printer roll: 6 labels, of them now label 6.\n"
    assert titles(spooler) == of(1)


def test_a_roll_that_is_empty_is_no_doubt(bench: Bench, spooler: Spooler) -> None:
    """What the spooler refused did not print, and is the next."""
    spooler.at(3, "refuses")
    said = bench.run(RUN)
    assert (said.code, said.out) == (1, "")
    assert said.err == (
        "flitchbook: label 3 of 6: printer roll did not take it (lp: the roll is "
        "empty): see to the printer, and print it again, with --print-from 3\n"
    )
    spooler.at(3, "")
    bench.refuses(RUN, "label 3 of 6 was not taken; print 3 to 6, or all again?")
    bench.refuses(f"{RUN} --print-from 4", "label 3 of 6 is the next, and 4 is not")

    assert bench.run(f"{RUN} --print-from 3").code == 0
    assert titles(spooler) == of(1)


def test_a_run_refused_from_the_start_is_none(bench: Bench, spooler: Spooler) -> None:
    """Nothing is kept of it."""
    spooler.at(1, "refuses")
    bench.refuses(RUN, "printer roll did not take it (lp: the roll is empty)")
    spooler.at(1, "")

    assert bench.run(RUN).code == 0


def test_a_run_is_recorded_once(bench: Bench, cut_off: Spooler) -> None:
    """Not where it was cut off, but where it ended."""
    before = bench.data("record audit")["size"]
    bench.run(f"{RUN} --print-from 5")

    assert bench.data("record audit")["size"] == before + 1


def test_another_run_tells_of_it(bench: Bench, cut_off: Spooler) -> None:
    """Other labels are printed all the same; how to forget the first is said."""
    said = bench.run("label board L26-001-01.A --by 02 --print roll")
    told = "labels of 6 pieces, L26-002-01 to L26-002-06 were cut off at 4 of 6: print"

    assert said.code == 0
    assert told in said.err
    (path,) = (bench.folder / "shop" / printing_run.PRINTING).iterdir()
    path.unlink()
    assert told not in bench.run("label board L26-001-01.A --by 02 --print roll").err


def test_half_a_line_is_passed_over(bench: Bench, cut_off: Spooler) -> None:
    """The line before it still says what was handed over."""
    (path,) = (bench.folder / "shop" / printing_run.PRINTING).iterdir()
    with path.open("a") as file:
        file.write('{"boards": "6 pie')

    assert "label 4 of 6 may have printed" in bench.run(RUN).err


def test_sheets_are_jobs_too(bench: Bench, spooler: Spooler) -> None:
    """On paper a leaf is a sheet."""
    command = f"{RUN} --on A4 --start-at 12,2"
    spooler.at(2, "dies")
    bench.run(command)
    spooler.at(2, "")
    said = bench.run(command)
    assert "sheet 2 of 2 may have printed; print 2, or all again?" in said.err

    assert bench.run(f"{command} --print-from 2").code == 0
    assert titles(spooler) == ["sheet 1 of 2", "sheet 2 of 2"]
