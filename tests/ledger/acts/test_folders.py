"""Files are new, whole and private, or there is none."""

import os
from pathlib import Path

import pytest

from ledger.acts.folders import copy_database, copy_file, new_folder, require_new, write
from ledger.errors import RefusedError


def test_a_new_folder_goes_again_where_its_filling_fails(tmp_path: Path) -> None:
    """And one in use is refused, and stays."""
    with pytest.raises(OSError, match="no room"), new_folder(tmp_path / "new"):
        write(tmp_path / "new/file", b"half")
        raise OSError("no room")

    assert not (tmp_path / "new").exists()
    write(tmp_path / "file", b"whole")
    for used, said in ((tmp_path, "not empty"), (tmp_path / "file", "is a file")):
        with pytest.raises(RefusedError, match=said):
            require_new(used)


def test_no_file_is_written_over(tmp_path: Path) -> None:
    """Neither by writing nor by copying."""
    write(tmp_path / "one", b"1")
    write(tmp_path / "two", b"2")
    with pytest.raises(FileExistsError):
        write(tmp_path / "one", b"3")
    with pytest.raises(FileExistsError):
        copy_file(tmp_path / "one", tmp_path / "two")

    assert (tmp_path / "two").read_bytes() == b"2"


def test_a_copy_is_its_owner_s_only(tmp_path: Path) -> None:
    """Whatever the original allows, and whatever is usual here."""
    source = tmp_path / "one"
    write(source, b"1")
    source.chmod(0o666)
    usual = os.umask(0)
    try:
        copy_file(source, tmp_path / "two")
    finally:
        os.umask(usual)

    assert (tmp_path / "two").stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "two").read_bytes() == b"1"


def test_what_is_private_is_its_owner_s_only_and_what_was_there_stays(
    tmp_path: Path,
) -> None:
    """Folder and file; nothing is written over either."""
    with new_folder(tmp_path / "new", is_private=True):
        write(tmp_path / "new/file", b"1", is_private=True)

    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o700
    assert (tmp_path / "new/file").stat().st_mode & 0o777 == 0o600
    with pytest.raises(FileExistsError):
        write(tmp_path / "new/file", b"2", is_private=True)


def test_a_database_that_is_none_is_not_copied(tmp_path: Path) -> None:
    """The refusal says from where to where."""
    write(tmp_path / "one", b"no database, and long enough to be read as one" * 20)
    with pytest.raises(RefusedError, match="cannot be copied"):
        copy_database(tmp_path / "one", tmp_path / "two")


def test_nobody_reads_half_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the disk is full nothing of it stays; a stick may know no links."""

    def full(_handle: int) -> None:
        raise OSError("no room")

    def no_links(*_paths: Path) -> None:
        raise PermissionError

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        with pytest.raises(OSError, match="no room"):
            write(tmp_path / "keys", b"half")
    assert list(tmp_path.iterdir()) == []
    monkeypatch.setattr(os, "link", no_links)
    write(tmp_path / "keys", b"whole")
    with pytest.raises(FileExistsError):
        write(tmp_path / "keys", b"another")

    assert [path.read_bytes() for path in tmp_path.iterdir()] == [b"whole"]
