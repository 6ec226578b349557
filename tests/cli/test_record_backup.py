"""flitchbook record backup: into each folder, audited, noted, with what it holds."""

from datetime import timedelta
from pathlib import Path

import pytest

from ledger.log.keyfile import Stretching
from tests.cli.bench import Bench

PHRASE = "four plain words here"


@pytest.fixture
def sealing(bench: Bench) -> Bench:
    """Give a bench whose pin file has a pass-phrase, which costs nothing to stretch."""
    pins = bench.folder / "pins"
    bench.file("pins", f"{pins.read_text(encoding='utf-8')}seal {PHRASE}\n")
    quick = Stretching(memory_kib=64, iterations=1, lanes=1)
    bench.patch.setattr("ledger.log.sealedfile.Stretching", lambda: quick)
    return bench


def copies_in(folder: Path) -> list[str]:
    """Return the copies in a folder, the oldest first."""
    return sorted(path.name for path in folder.glob("flitchbook-*"))


def test_a_copy_says_what_it_holds_and_that_it_is_not_elsewhere(bench: Bench) -> None:
    """The shop's own disk is lost with the shop."""
    said = bench.does("record backup stick").splitlines()
    told = bench.data("record backup stick")

    assert said[0].endswith("entries, audited. Keep it on another machine.")
    assert "names of 5 people" in said[1] and said[1].endswith("in the clear.")
    assert said[2].startswith("  It lies on the shop's own disk and is lost with it")
    assert told.keys() == {"copies", "failed", "folder", "size"}
    assert told["copies"][0]["offsite"] is False
    assert told["copies"][0]["sealed"] is False
    assert len(copies_in(bench.folder / "stick")) == 2


def test_a_sealed_copy_is_made_and_audited_through_its_seal(sealing: Bench) -> None:
    """And says that its sealed files were opened again."""
    said = sealing.does("record backup stick --seal-vault")
    (copy,) = (sealing.folder / "stick").iterdir()

    assert "Every sealed file was opened again to its end" in said
    assert "sealed under a pass-phrase." in said
    assert not (copy / "vault.sqlite3").exists()
    assert sealing.data("record whole")["backup"]["sealed"] is True


def test_copies_go_where_the_settings_say(bench: Bench) -> None:
    """Into each; a stick that is not in is told, and the others are made."""
    bench.setting(backup_to=f"{bench.folder}/one | {bench.folder}/two")
    (bench.folder / "one").mkdir()
    said = bench.run("record backup")
    assert said.code == 1
    assert "NO COPY in" in said.out and "two: is the stick in?" in said.out
    assert len(copies_in(bench.folder / "one")) == 1
    assert not (bench.folder / "two").exists()

    (bench.folder / "two").mkdir()
    told = bench.data("record backup")
    assert len(told["copies"]) == 2 and told["failed"] == []
    (bench.folder / "two").rename(bench.folder / "three")
    bench.setting(backup_to=f"{bench.folder}/two")
    bench.refuses("record backup", "is the stick in?")


def test_no_path_of_a_copy_is_kept_in_log_or_notes(bench: Bench) -> None:
    """The settings alone have it, and an export leaves it out."""
    bench.setting(backup_to=f"{bench.folder}/grandmother")
    (bench.folder / "grandmother").mkdir()
    bench.does("record backup")
    bench.does("record export out")
    kept = [p for p in bench.folder.glob("shop/*") if p.is_file()]
    holding = {p.name for p in kept if b"grandmother" in p.read_bytes()}

    assert holding == {"shop.toml"}
    assert b"grandmother" not in (bench.folder / "out/shop.toml").read_bytes()


def test_older_copies_make_room(bench: Bench) -> None:
    """And whatever else lies there does not."""
    bench.does("record backup stick")
    (bench.folder / "stick/flitchbook-mine").mkdir()
    first = copies_in(bench.folder / "stick")[0]
    said = bench.does("record backup stick --keep 1")

    assert f"  {first} made room." in said
    assert "  flitchbook-mine was left: this shop has no note of it." in said
    assert len(copies_in(bench.folder / "stick")) == 2


@pytest.mark.parametrize(
    ("command", "why"),
    [
        ("record backup", "say where the copy goes"),
        ("record backup stick --keep 0", "would leave no copy"),
        ("record backup shop/inside", "lies in the shop's own folder"),
        ("record backup stick --seal-vault --pin-file none", "cannot be read"),
        ("record backup stick --seal-vault", "give --pin-file with a line 'seal …'"),
    ],
)
def test_a_copy_that_cannot_be_is_refused(bench: Bench, command: str, why: str) -> None:
    """In one sentence, and nothing is written."""
    bench.refuses(command, why)


def test_a_timetable_is_shown_and_nothing_is_written(bench: Bench) -> None:
    """With paths from the root, for each machine's own clock."""
    before = bench.all_that_is_kept()
    said = bench.does("record backup stick --keep 7 --schedule")
    told = bench.data("record backup stick --keep 7 --schedule")

    assert f"{bench.folder}/stick --shop {bench.folder}/shop --keep 7" in told["cron"]
    assert told.keys() == {"cron", "schtasks", "service", "timer"}
    assert all(text in said for text in told.values())
    assert bench.all_that_is_kept() == before


def test_a_copy_is_due_after_a_week(bench: Bench) -> None:
    """Where something was entered since; audit and whole both say it."""
    bench.does("record backup stick")
    bench.at += timedelta(days=9)
    assert "IS DUE" not in bench.does("record whole")
    bench.does("build begin Tidewarden --by 01 --after-pause")

    for command in ("record whole", "record audit"):
        assert "A COPY IS DUE: flitchbook record backup." in bench.does(command)
        assert bench.data(command)["backup"]["due"] is True
