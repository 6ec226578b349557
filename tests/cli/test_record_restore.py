"""flitchbook record restore and rehearse: what was copied comes back, or says why."""

from pathlib import Path

import pytest

from tests.cli.bench import Bench
from tests.cli.test_record_backup import PHRASE, sealing

__all__ = ["sealing"]


def copied(bench: Bench, how: str = "") -> str:
    """Back the shop up and return where the copy lies."""
    bench.does(f"record backup stick {how}")
    (copy,) = (bench.folder / "stick").iterdir()
    return f"stick/{copy.name}"


def test_a_copy_is_put_back_and_goes_on(bench: Bench) -> None:
    """It says where it ends, and what to hold against it."""
    copy = copied(bench)
    path = bench.folder / copy / "shop.toml"
    said = path.read_text(encoding="utf-8")
    path.write_text(said.replace('database = ""', 'database = "sqlite:///none"'))
    said = bench.does(f"record restore {copy} --shop new")
    size = bench.data("record audit --shop new")["size"]

    assert said.startswith(f"new: {size} entries, audited; root ")
    assert (
        f"The newest signed head in it is of {size} entries. If a paper proves" in said
    )
    assert "record audit --against" in said
    assert f"database of {copy}/shop.toml is not taken over" in said
    assert "backup_to" not in said
    bench.does("build begin Tidewarden --by 01 --shop new")
    known = bench.data("record whole --shop new")["backup"]
    assert known["name"] == Path(copy).name


def test_a_copy_that_lacks_what_this_account_saw_says_so_first(bench: Bench) -> None:
    """It is whole and comes back, and nothing is recorded on it."""
    copy = copied(bench)
    bench.does("build begin Tidewarden --by 01")
    said = bench.does(f"record restore {copy} --shop new").splitlines()

    assert said[0].startswith("WARNING: this ledger ends at ")
    assert "this account saw " in said[0] and "1 entry is missing; " in said[0]
    assert said[1].startswith("new: ")
    bench.refuses("build begin Tidewarden --by 01 --shop new", "1 entry is missing")


def test_a_sealed_copy_asks_for_its_pass_phrase(sealing: Bench) -> None:
    """A wrong one is one sentence, and leaves no folder."""
    copy = copied(sealing, "--seal-vault")
    sealing.refuses(
        f"audit --shop {copy}".replace("audit", "record audit"), "is sealed"
    )
    sealing.file("wrong", "seal another set of words\n")
    sealing.refuses(
        f"record restore {copy} --shop new --pin-file wrong", "does not open"
    )
    told = sealing.data(f"record restore {copy} --shop new")

    assert told.keys() == {"findings", "folder", "missing", "root", "signed", "size"}
    assert told["missing"] is None
    assert told["findings"] == []
    assert sealing.does("person list --shop new") == sealing.does("person list")
    assert PHRASE not in "".join(str(p) for p in told.values())


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("record restore {copy} --shop shop", "shop is not empty: name a new folder"),
        ("record restore {copy} --shop pins", "pins is a file: name a new folder"),
        ("record restore none --shop new", "none is no copy of a shop"),
        ("record restore stick --shop new", "stick is no copy of a shop"),
        ("record rehearse stick", "stick is no copy of a shop"),
    ],
)
def test_what_cannot_be_put_back_is_refused(
    bench: Bench, command: str, why: str
) -> None:
    """Nothing is written over, and nothing half is left."""
    bench.refuses(command.format(copy=copied(bench)), why)


def test_a_copy_that_was_changed_is_not_put_back(bench: Bench) -> None:
    """The first finding is told, and no folder is left."""
    copy = copied(bench)
    path = bench.folder / copy / "ledger.sqlite3"
    path.write_bytes(path.read_bytes().replace(b'"Tidewarden"', b'"Tidewarder"'))

    bench.refuses(
        f"record restore {copy} --shop new", "is not put back, it is not whole"
    )


def test_a_rehearsal_tells_each_step_and_leaves_nothing(sealing: Bench) -> None:
    """With the seconds, and what would be lost."""
    copy = copied(sealing, "--seal-vault")
    sealing.does("build begin Tidewarden --by 01")
    (sealing.folder / "memory").mkdir()
    before = sealing.all_that_is_kept()
    said = sealing.does(f"record rehearse {copy} --by 01 --scratch memory").splitlines()
    assert said.pop().startswith("It was opened in memory/flitchbook-scratch-")
    assert list((sealing.folder / "memory").iterdir()) == []
    told = sealing.data(f"record rehearse {copy} --by 01 --shop gone")

    assert said[0].startswith(f"it comes back: {Path(copy).name}, in ")
    assert [line.split(":")[0].strip() for line in said[1:]] == [
        step["what"] for step in told["steps"]
    ]
    assert "of badge 01 opens with its PIN" in said[6]
    assert "entry: the copy ends with" in said[7] or "entries: the copy" in said[7]
    assert told["comes_back"] is True
    assert "the shop is not at hand" in told["steps"][-1]["said"]
    assert sealing.all_that_is_kept() == before


def test_a_copy_that_does_not_come_back_ends_with_1(bench: Bench) -> None:
    """The failing step is the last one told."""
    copy = copied(bench)
    next((bench.folder / copy / "attachments").iterdir()).unlink()
    said = bench.run(f"record rehearse {copy}")

    assert said.code == 1
    assert said.out.startswith("IT DOES NOT COME BACK: ")
    assert "  audited: FAILED, it is not whole: " in said.out
