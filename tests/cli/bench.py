"""A bench with a terminal: commands are run in this process and heard to the end.

    bench.run("lot show L26-001")
    bench.refuses("lot show L26-099", "there is no lot L26-099")

The shop is the certified one of the tests, copied; its clock, its chance and its PINs
are known.
"""

import gc
import hashlib
import itertools
import json
import shlex
import sqlite3
import sys
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from cli import main
from ledger.acts.settings import read_settings, write_settings
from tests import skerrymoor
from tests.conftest import entropy_from

NOON = datetime(2026, 1, 5, 14, tzinfo=UTC)
SERIAL = "26-0001-8"
PHRASES = {f"root-{n}": f"phrase {n}" for n in (1, 2, 3)}
RUNS, MANY = itertools.count(1), 50
DATABASES = (".sqlite3", ".sqlite3-wal", ".sqlite3-shm")
HELD: dict[str, str] = {}  # what databases hold, by the digest of their pages


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a command answered: its exit code and both its streams."""

    code: int
    out: str
    err: str


@dataclass(slots=True, kw_only=True)
class Bench:
    """Somebody who types commands in a folder, at a time."""

    folder: Path
    patch: pytest.MonkeyPatch
    capsys: pytest.CaptureFixture[str]
    at: datetime = NOON
    step: timedelta = timedelta(seconds=1)

    def now(self) -> datetime:
        """Return the time; it goes on a step with each look."""
        self.at += self.step
        return self.at

    def run(self, command: str) -> Said:
        """Run a command, typed as in a shell without the program's name."""
        self.patch.setattr(sys, "argv", ["flitchbook", *shlex.split(command)])
        code: Any = 0
        try:
            main.run()
        except SystemExit as end:
            code = end.code or 0
        finally:
            gc.enable()
            if next(RUNS) % MANY == 0:
                # What a process would let go of at its end waits here to be collected.
                gc.collect()
        told = self.capsys.readouterr()
        return Said(code=int(code), out=told.out, err=told.err)

    def does(self, command: str) -> str:
        """Run a command that succeeds in silence; return its answer."""
        said = self.run(command)
        assert (said.code, said.err) == (0, ""), said
        return said.out

    def data(self, command: str) -> dict[str, Any]:
        """Run a command with --json that succeeds; return what it told."""
        told: dict[str, Any] = json.loads(self.does(f"{command} --json"))
        return told

    def refuses(self, command: str, why: str) -> None:
        """See a command refused in one sentence, with nothing written anywhere."""
        before = self.all_that_is_kept()
        said = self.run(command)

        assert (said.code, said.out) == (1, ""), said
        assert said.err.startswith("flitchbook: ") and said.err.count("\n") == 1, said
        assert why in said.err
        assert self.all_that_is_kept() == before

    def all_that_is_kept(self) -> dict[str, object]:
        """Return every file's digest; of a database, what it holds."""
        kept: dict[str, object] = {}
        for path in sorted(self.folder.rglob("*")):
            name = str(path.relative_to(self.folder))
            if path.is_file() and not path.name.endswith(DATABASES):
                kept[name] = hashlib.sha256(path.read_bytes()).hexdigest()
            elif path.name in ("ledger.sqlite3", "vault.sqlite3"):
                kept[name] = dump(path)
            elif path.is_dir():
                kept[name] = "folder"
        return kept

    def setting(self, **told: str) -> None:
        """Write settings of the shop, as whoever edits its shop.toml."""
        folder = self.folder / "shop"
        write_settings(folder, replace(read_settings(folder), **told))

    def file(self, name: str, text: str | bytes) -> Path:
        """Write a file that somebody will name."""
        path = self.folder / name
        data = text.encode() if isinstance(text, str) else text
        path.write_bytes(data)
        return path


def dump(path: Path) -> str:
    """Return the digest of all that a database holds."""
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as connection:
            # An empty file is a database without pages, which cannot be serialised.
            data = connection.serialize() if path.stat().st_size else b""
            pages = hashlib.sha256(data).hexdigest()
            # The same pages hold the same, and were mostly read before.
            if pages not in HELD:
                text = "\n".join(map(repr, connection.iterdump()))
                HELD[pages] = hashlib.sha256(text.encode()).hexdigest()
    except sqlite3.DatabaseError:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    return HELD[pages]


def opened(
    folder: Path, patch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Bench:
    """Stand at a bench in a folder, with the PINs in a file."""
    bench = Bench(folder=folder, patch=patch, capsys=capsys)
    secrets = skerrymoor.PINS | PHRASES
    bench.file("pins", "".join(f"{name} {pin}\n" for name, pin in secrets.items()))
    patch.chdir(folder)
    for module in ("context", "shop", "record"):
        patch.setattr(f"cli.{module}.now", bench.now)
    patch.setattr("secrets.token_bytes", entropy_from("bench"))
    patch.setenv("FLITCHBOOK_SHOP", "shop")
    patch.setenv("FLITCHBOOK_PIN_FILE", "pins")
    for name in ("FLITCHBOOK_BY", "FLITCHBOOK_PIN"):
        patch.delenv(name, raising=False)
    return bench
