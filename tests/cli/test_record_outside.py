"""One sentence says which checkpoint is the newest outside this machine."""

import os
from datetime import timedelta
from pathlib import Path

from ledger.acts import leaving
from tests.cli.bench import Bench

DUE = "A witness slip is due: flitchbook record checkpoint --out slip.pdf."
SAYING = ("shop show", "record audit --level roles", "record whole")


def test_what_a_certificate_carried_is_told_by_an_audit(bench: Bench) -> None:
    """Before anything is known to have left, a slip is due."""
    for command in ("shop show", "record whole"):
        said = bench.does(command)
        assert "No checkpoint has left this machine, as far as is known here: " in said
        assert DUE in said
        assert bench.data(command)["outside"] is None


def test_a_slip_counts_from_the_day_it_was_drawn(bench: Bench) -> None:
    """In the same words everywhere, with how many entries came since."""
    bench.does("record checkpoint --out slip.pdf")
    size = bench.data("shop show")["size"]
    bench.does("build begin Tidewarden --by 01")
    for command in SAYING:
        assert (
            f"Newest checkpoint outside this machine: {size}, drawn as a witness slip "
            f"2026-01-05; 1 entry since rests on the shop's word alone.\n"
        ) in bench.does(command)
        assert bench.data(command)["outside"] == {
            "size": size,
            "day": "2026-01-05",
            "how": leaving.ON_A_SLIP,
        }


def test_after_a_week_the_next_slip_is_due(bench: Bench) -> None:
    """On the eighth day, and not before; with no entry since there is none to draw."""
    bench.does("record checkpoint --out slip.pdf")
    bench.at += timedelta(days=30)
    assert DUE not in bench.does("shop show")
    bench.at -= timedelta(days=30)
    bench.does("build begin Tidewarden --by 01")
    bench.at += timedelta(days=7)
    assert DUE not in bench.does("shop show")
    bench.at += timedelta(days=1)
    assert DUE in bench.does("shop show")
    bench.does("record checkpoint --out next.pdf")
    assert DUE not in bench.does("shop show")


def test_a_tag_that_was_printed_is_known_to_every_account(bench: Bench) -> None:
    """It stands in the log, and another account reads it there."""
    assert bench.run("label tag 26-0001-8 --out tag.pdf --by 03").code == 0
    size = bench.data("shop show")["size"]
    bench.patch.setenv("FLITCHBOOK_STATE", "another-account")

    assert bench.data("shop show")["outside"] == {
        "size": size - 1,
        "day": "2026-01-05",
        "how": "printed",
    }


def test_a_backup_on_the_same_disk_does_not_count(bench: Bench) -> None:
    """It is lost with the shop, and that is said."""
    said = bench.does("record backup copies")

    assert "It lies on the shop's own disk and is lost with it" in said
    assert bench.data("shop show")["outside"] is None


def test_an_account_that_cannot_be_written_to_is_told_to_whoever_signs(
    bench: Bench,
) -> None:
    """And by an audit; the work goes on, and who only looks is not asked."""
    bench.patch.setenv("FLITCHBOOK_STATE", str(bench.folder / "pins"))
    begun = bench.run("build begin Tidewarden --by 01")
    assert begun.code == 0 and begun.err.count("not remembered in this account") == 1
    bench.does("record checkpoint")
    told = bench.data("record audit --level tree")

    assert told["whole"] is True and told["kept_as_evidence"] is False
    assert "not remembered in this account" in told["account"]
    assert told["account"] in bench.does("record audit --level tree")


def test_a_damaged_file_of_the_account_is_told_once(bench: Bench) -> None:
    """By the next command, which goes on; the one after is silent."""
    bench.does("record checkpoint")
    (path,) = Path(os.environ["FLITCHBOOK_STATE"]).glob("*.json")
    path.write_bytes(b"{")
    first, second = bench.run("lot show L26-001"), bench.run("lot show L26-001")

    assert first.code == second.code == 0
    assert "is damaged: what this account had seen of the log" in first.err
    assert (first.err.count("\n"), second.err) == (1, "")
    bench.file("note", bench.data("record checkpoint")["checkpoint"])
    asked = bench.run("build begin Tidewarden --by 01")
    assert asked.code == 0 and "damaged-1: hold a paper against" in asked.err
    assert bench.data("record audit --level tree --against note")["account"] is None
    bench.does("build begin Tidewarden --by 01")
