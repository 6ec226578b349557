"""flitchbook owner theft: entered for whoever says so, and ended with a reason."""

from tests.cli.bench import SERIAL, Bench

THEFT = f"owner theft {SERIAL} --claimant 'Aldous Ferrante' --by 01"


def test_a_report_stands_until_it_is_withdrawn(bench: Bench) -> None:
    """The answer does not repeat the name; the next one is report 2."""
    said = bench.does(THEFT)
    assert said.startswith(f"Report 1 of {SERIAL} stands, by entry ")
    assert "Ferrante" not in said
    assert bench.data(f"{THEFT} --on 2026-01-05")["report"] == 2
    shown = bench.data(f"certificate show {SERIAL}")["certificates"]
    assert [row["states"] for row in shown] == [["reported"]]
    assert "its instrument is reported" in bench.does(f"certificate show {SERIAL}")

    told = bench.data(f"owner theft-withdrawn {SERIAL} 1 --why 'found' --by 01")
    assert told["report"] == 1
    reports = bench.data(f"owner show {SERIAL} --by 01")["reports"]
    assert [row["withdrawn_by"] for row in reports] == [told["entry"], None]
    bench.refuses(f"owner theft-withdrawn {SERIAL} 1 --why 'found' --by 01", "already")


def test_no_slip_is_drawn_while_a_report_stands(bench: Bench) -> None:
    """No file, no number: whoever asks may be the thief."""
    bench.does(THEFT)
    bench.refuses(
        f"owner slip {SERIAL} --out slip.pdf --by 12", "enter no owner and draw no slip"
    )


def test_a_slip_rests_while_a_report_stands(bench: Bench) -> None:
    """Lost or found again, it hands nothing on; once no report stands it works."""
    bench.does(f"owner slip {SERIAL} --out slip.pdf --by 12")
    bench.does(THEFT)
    shown = bench.does(f"owner show {SERIAL} --by 12")
    lost = bench.does(f"owner slip-lost {SERIAL} --by 12 --approve 01")
    bench.does(THEFT)
    again = bench.does(f"owner show {SERIAL} --by 12")
    found = bench.does(f"owner slip-found {SERIAL} --by 12 --approve 01")
    (slip,) = bench.data(f"owner show {SERIAL} --by 12")["slips"]

    assert "W-2026-00001: rests while report 1 stands (entry" in shown
    assert "It rests while report 1 stands, and then works until another" in lost
    assert "rests while reports 1 and 2 stand, said to be lost 2026-01-05" in again
    assert ": it rests while reports 1 and 2 stand." in found
    assert slip["rests_while"] == [1, 2]
    for number in (1, 2):
        bench.does(f"owner theft-withdrawn {SERIAL} {number} --why 'found' --by 01")
    assert "W-2026-00001: works (entry" in bench.does(f"owner show {SERIAL} --by 12")


def test_whoever_is_no_lead_enters_none(bench: Bench) -> None:
    """Nor is one entered of what has no certificate."""
    bench.refuses(THEFT.replace("--by 01", "--by 12"), "entering a report of theft")
    bench.refuses(THEFT.replace(SERIAL, "26-0009-1"), "has no certificate")


def test_erasing_rests_while_a_report_is_young(bench: Bench) -> None:
    """An owner's name and a claimant's alike."""
    bench.does(f"owner register {SERIAL} 'Amélie Rousset' --by 12")
    bench.does(THEFT)
    erase = f"owner erase {SERIAL} --by 12 --approve 01"
    bench.refuses(erase, "erased from 2026-02-04 on")
    bench.refuses(f"{erase} --claimant 1", "erased from 2026-02-04 on")
    bench.refuses(f"{erase} --claimant 2", "has no report 2")
    bench.does(f"owner theft-withdrawn {SERIAL} 1 --why 'found' --by 01")
    assert "Claimant 1's name" in bench.does(f"{erase} --claimant 1")
    bench.refuses(f"{erase} --owner 2", "has had 1 owner, and no owner 2")
    bench.does(f"{erase} --owner 1")
    names = bench.data(f"owner show {SERIAL} --by 01")
    assert [row["name"] for row in names["owners"]] == ["erased"]
    assert [row["name"] for row in names["reports"]] == ["erased"]
