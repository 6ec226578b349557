"""The demo, played once by its name, for all tests that begin with it."""

import fcntl
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest


def flitchbook(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run the program by its name, as somebody who has just installed it."""
    return subprocess.run(
        ["flitchbook", *words],
        cwd=cwd,
        env={"PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the folder that the demo leaves behind, to be copied; nobody writes in it.

    Whichever worker needs it first plays it, for all of them.
    """
    base = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        base = base.parent
    folder = base / "demo-played"
    with (base / "demo-played.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not folder.exists():
            _play(base / "demo-begun")
            (base / "demo-begun").rename(folder)
    return folder


def _play(out: Path) -> None:
    shutil.rmtree(out, ignore_errors=True)
    done = flitchbook("demo", "--out", str(out), cwd=out.parent)
    assert (done.returncode, done.stderr) == (0, ""), done.stderr
    assert (out / "START-HERE.txt").read_text(encoding="utf-8") in done.stdout
