"""What is published has a number that rises, and no file is written over."""

import os
from pathlib import Path

import pytest

from ledger.acts.numbered import KEYS_FILES, STATUS_LISTS, keep, keep_next, newest
from ledger.errors import RefusedError


def test_the_newest_is_the_one_of_the_highest_number(tmp_path: Path) -> None:
    """Ten thousand comes after nine thousand; each series has its own numbers."""
    assert newest(tmp_path / "none", KEYS_FILES) is None
    for name in (
        "keys-9999.json",
        "keys-10000.json",
        "keys-x.json",
        "keys-\u00b2.json",
    ):
        (tmp_path / name).write_text("")
    found = newest(tmp_path, KEYS_FILES)

    assert found is not None and (found.number, found.path.name) == (
        10_000,
        "keys-10000.json",
    )
    assert newest(tmp_path, STATUS_LISTS) is None


def test_the_next_is_made_for_its_number(tmp_path: Path) -> None:
    """Counted from 1, in a folder that is made for it."""
    made = [
        keep_next(tmp_path / "out", STATUS_LISTS, lambda number: b"%d" % number)
        for _ in range(2)
    ]

    assert [each.path.name for each in made] == ["status-0001.json", "status-0002.json"]
    assert [each.path.read_bytes() for each in made] == [b"1", b"2"]
    assert [each.data for each in made] == [b"1", b"2"]


def test_a_number_that_another_station_takes_meanwhile_is_passed_over(
    tmp_path: Path,
) -> None:
    """Neither file is written over."""
    other = tmp_path / "keys-0001.json"

    def slowly(number: int) -> bytes:
        other.write_bytes(b"another station's")
        return b"%d" % number

    made = keep_next(tmp_path, KEYS_FILES, slowly)

    assert (made.number, made.path.read_bytes()) == (2, b"2")
    assert other.read_bytes() == b"another station's"


def test_what_a_cut_left_beside_them_goes_and_what_is_being_written_stays(
    tmp_path: Path,
) -> None:
    """By the clock of the disk: a shop's own clock may be wrong."""
    old, young, other, film = (
        tmp_path / name
        for name in (
            "keys-0001.json.ab.part",
            "status-0001.json.cd.part",
            "old.json",
            "film.part",
        )
    )
    for path in (old, young, other, film):
        path.write_bytes(b"half")
    now = young.stat().st_mtime
    for path in (old, other, film):
        os.utime(path, (now, now - 2 * 86_400))
    keep(tmp_path / "keys-0001.json", b"whole")

    assert not old.exists()
    assert young.exists() and other.exists() and film.exists()
    with pytest.raises(FileExistsError):
        keep(tmp_path / "keys-0001.json", b"another's")


def test_a_file_in_the_place_of_the_folder_is_told(tmp_path: Path) -> None:
    """It is not taken for a number that another station has."""
    (tmp_path / "published").write_bytes(b"")
    with pytest.raises(RefusedError, match="published is a file"):
        keep_next(tmp_path / "published", KEYS_FILES, lambda number: b"%d" % number)
