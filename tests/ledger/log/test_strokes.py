"""A file is the old one or the new one, and a folder has one writer."""

import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.errors import RefusedError
from ledger.log import strokes


def test_a_file_is_written_over_whole(tmp_path: Path) -> None:
    """For its owner alone, or for everybody; nothing is left beside it."""
    path = tmp_path / "note"
    for is_public, mode in ((True, 0o644), (False, 0o600)):
        strokes.write_over(path, b"new", is_public=is_public)
        assert path.read_bytes() == b"new"
        assert stat.S_IMODE(path.stat().st_mode) == mode
    assert list(tmp_path.iterdir()) == [path]


def test_what_breaks_off_leaves_the_old_one(tmp_path: Path) -> None:
    """And nothing half, whatever the stream ends with."""

    def broken() -> Iterator[bytes]:
        yield b"half of"
        raise RefusedError("no more of it")

    path = tmp_path / "note"
    path.write_bytes(b"old")
    with pytest.raises(RefusedError):
        strokes.write_pieces_over(path, broken())

    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def test_what_a_power_cut_left_is_dropped_and_nothing_else(tmp_path: Path) -> None:
    """In the folder that is named, and not below it."""
    (tmp_path / "below").mkdir()
    kept = [tmp_path / "part", tmp_path / "note", tmp_path / "below/note.x.part"]
    for path in (*kept, tmp_path / "note.x.part"):
        path.write_bytes(b"half")
    strokes.drop_unfinished(tmp_path)

    assert sorted(p for p in tmp_path.rglob("*") if p.is_file()) == sorted(kept)


def test_a_lock_is_held_by_one(tmp_path: Path) -> None:
    """The next one waits, and is told where it takes too long."""
    with (
        strokes.locked(tmp_path / "lock"),
        pytest.raises(RefusedError, match="cannot be held"),
        strokes.locked(tmp_path / "lock", patience_seconds=0),
    ):
        pytest.fail("two hold it")
    with strokes.locked(tmp_path / "lock"):
        assert (tmp_path / "lock").exists()


def test_a_lock_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    """As where a folder has its name, or nobody may write into its own."""
    (tmp_path / "lock").mkdir()
    for path in (tmp_path / "lock", tmp_path / "none" / "lock"):
        with pytest.raises(RefusedError, match="cannot be held"), strokes.locked(path):
            pytest.fail("nobody holds it")
