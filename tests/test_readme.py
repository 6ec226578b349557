"""Every example in the README and the contributor guide is run, and answers as shown.

A `console` block is one session in a folder of its own. A line after `$ ` is run: the
program's own commands here in this process, under a clock and a chance that are
fixed, so that what is shown can be compared to the letter; anything else by sh. The
demo is played once for all, by its name, and each session begins with a copy.
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from cli import context, main
from ledger.audit.findings import CAUSES, OPEN_CAUSES
from tests.conftest import entropy_from
from tests.played import demo_folder

__all__ = ["demo_folder"]
ROOT = Path(__file__).parent.parent
# Digests of papers stand in a root, and papers are drawn by libraries that change.
PAPERS = re.compile(r"root [0-9a-f]{64}")
DEMO = re.compile(r"flitchbook demo --out (\w+) > /dev/null")
BLOCK = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def blocks(name: str) -> list[str]:
    """Return the sessions shown in a document."""
    return BLOCK.findall((ROOT / name).read_text(encoding="utf-8"))


def steps(block: str) -> Iterator[tuple[str, str]]:
    """Return each command of a session and what it answers."""
    for part in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
        lines = part.splitlines()
        command = lines.pop(0)
        while command.endswith("\\"):
            command = command[:-1].rstrip() + " " + lines.pop(0).lstrip()
        yield command, "\n".join(lines)


@pytest.fixture
def bench(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[pytest.MonkeyPatch]:
    """Stand in an empty folder, with a clock and a chance that are fixed."""
    moment = [datetime(2026, 11, 24, 9, 0, tzinfo=UTC)]

    def now() -> datetime:
        moment[0] += timedelta(seconds=1)
        return moment[0]

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(context, "now", now)
    monkeypatch.setattr("cli.shop.now", now)
    monkeypatch.setattr("cli.record.now", now)
    monkeypatch.setattr("secrets.token_bytes", entropy_from("readme"))
    monkeypatch.delenv("FLITCHBOOK_SHOP", raising=False)
    yield monkeypatch


def answer(
    command: str,
    bench: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    demo_folder: Path,
) -> str:
    """Run one command and return what it prints."""
    if played := DEMO.fullmatch(command):
        shutil.copytree(demo_folder, played[1])
        return ""
    if command.startswith("export "):
        for name, _, value in (word.partition("=") for word in command.split()[1:]):
            bench.setenv(name, value)
        return ""
    if not command.startswith("flitchbook ") or ">" in command:
        path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
        done = subprocess.run(
            ["sh", "-ec", command],
            capture_output=True,
            text=True,
            env={**os.environ, "PATH": path},
            check=False,
        )
        return (done.stdout + done.stderr).rstrip()
    command, _, typed = command.partition(" < ")
    bench.setattr(sys, "argv", shlex.split(command))
    try:
        with Path(typed or os.devnull).open(encoding="utf-8") as lines:
            bench.setattr(sys, "stdin", lines)
            main.run()
    except SystemExit as end:
        assert end.code in (0, 1, None), capsys.readouterr().err
    printed = capsys.readouterr()
    return (printed.out + printed.err).rstrip()


@pytest.mark.parametrize(
    "block", [b for name in ("README.md", "DEVELOPERS.md") for b in blocks(name)]
)
def test_a_shown_session_answers_as_it_is_shown(
    block: str,
    bench: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    demo_folder: Path,
) -> None:
    """Whoever types what the document shows sees what the document shows."""
    for command, shown in steps(block):
        told = answer(command, bench, capsys, demo_folder)

        assert PAPERS.sub("root", told) == PAPERS.sub("root", shown.rstrip()), command


def test_the_readme_shows_a_session() -> None:
    """A change of fences must not leave the test above with nothing to do."""
    sessions = blocks("README.md")

    assert len(sessions) >= 2
    assert all(list(steps(session)) for session in sessions)


def test_the_readme_names_every_cause_of_an_audit() -> None:
    """And which of them leave a question open."""
    told = (ROOT / "README.md").read_text(encoding="utf-8")
    listed = told.partition("one cause out of this list:")[2].partition(". A changed")[
        0
    ]
    is_open = told.partition(f"{listed}. ")[2].partition(" leave a question open")[0]

    assert set(re.findall("`([a-z]+)`", listed)) == set(CAUSES)
    assert set(re.findall("`([a-z]+)`", is_open.rpartition(". ")[2])) == OPEN_CAUSES
