"""flitchbook document expiring: what ends soon, the soonest first."""

from tests.cli.bench import Bench


def test_what_ends_is_told_with_what_rests_on_it(bench: Bench) -> None:
    """Papers, batches and calibrations, in the order of their days."""
    bench.file("permit.txt", "permit")
    bench.does(
        "document file permit.txt --paper 'export permit' --number 'P 77' "
        "--expires 2026-03-01 --by 02"
    )
    bench.does(
        "lot receive --species 'Dalbergia latifolia' --boards 2 --supplier Ferrante "
        "--document D26-0002 --by 02"
    )
    bench.does("material receive glue --as glue --expires 2026-02-01 --by 03")
    bench.does("gauge add caliper --measures length --by 03")
    bench.does("gauge calibrate G26-001 --until 2026-06-01 --outcome good --by 03")

    assert (
        bench.does("document expiring --within 10") == "nothing ends within 10 days\n"
    )
    lines = bench.does("document expiring").splitlines()
    assert [line.partition("; entry")[0] for line in lines] == [
        "2026-02-01 ends: batch M26-001, glue (glue)",
        "2026-03-01 ends: paper D26-0002, export permit P 77; for L26-003",
    ]
    told = bench.data("document expiring --within 200")["ending"]
    assert [row["kind"] for row in told] == ["batch", "paper", "calibration"]


def test_a_skill_is_told_behind_a_pin(bench: Bench) -> None:
    """The lead hears whose it is; nobody does without being asked who asks."""
    bench.does("person skill-checked 03 plates --until 2026-02-01 --by 01")

    assert bench.does("document expiring") == "nothing ends within 90 days\n"
    told = bench.does("document expiring --skills --by 01")
    assert told.startswith("2026-02-01 ends: skill badge 03, Jakub Wolański, plates")
    assert "nothing ends" in bench.does("document expiring --skills --by 02")


def test_a_number_of_days_that_cannot_be_is_refused(bench: Bench) -> None:
    """No calendar goes that far."""
    bench.refuses("document expiring --within 99999", "more than 36500: ask for fewer")
    assert bench.run("document expiring --within -3").code == 2
