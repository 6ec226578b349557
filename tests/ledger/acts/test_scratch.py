"""What was opened for a while does not stay, whoever pulls the plug."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from ledger.acts.scratch import NEW_SECONDS, scratch_folder
from ledger.errors import RefusedError

# A program that is ended while it holds its folder, and can sweep nothing itself.
CUT = """
import os, sys
from pathlib import Path
from ledger.acts.scratch import scratch_folder
with scratch_folder(Path(sys.argv[1])) as (folder, _):
    (folder / "vault").write_text("names")
    os._exit(1)
"""


def test_what_a_cut_left_is_swept_and_what_is_in_use_is_not(tmp_path: Path) -> None:
    """Nor is what lies beside it, whatever its name begins with."""
    (tmp_path / "flitchbook-scratch-mine").mkdir()
    (tmp_path / "flitchbook-scratch-notes").write_text("mine")
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere/held").touch()
    (tmp_path / "flitchbook-scratch-link").symlink_to(tmp_path / "elsewhere")
    (tmp_path / "flitchbook-scratch-nowhere").symlink_to(tmp_path / "nothing")
    before = {path.name for path in tmp_path.iterdir()}
    subprocess.run([sys.executable, "-c", CUT, str(tmp_path)], check=False)
    (left,) = {path.name for path in tmp_path.iterdir()} - before
    assert (tmp_path / left / "vault").read_text() == "names"
    with scratch_folder(tmp_path) as (_, swept):
        assert swept == 0, "it may have been made this moment"
    held = tmp_path / left / "held"
    os.utime(held, (0, held.stat().st_mtime - 2 * NEW_SECONDS))

    with scratch_folder(tmp_path) as (first, swept):
        assert swept == 1 and first.stat().st_mode & 0o777 == 0o700
        with scratch_folder(tmp_path) as (second, again):
            assert again == 0 and second.exists() and first.exists()

    assert {path.name for path in tmp_path.iterdir()} == before
    assert (tmp_path / "elsewhere/held").exists()


def test_a_folder_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    """Whoever named it may have forgotten to put the stick in."""
    with (
        pytest.raises(RefusedError, match=r"there is no folder .*--scratch"),
        scratch_folder(tmp_path / "none"),
    ):
        raise AssertionError("nothing is opened")
