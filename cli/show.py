"""How a command answers: lines for a person, or one JSON object for a program."""

import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import typer

from cli.context import Desk
from ledger.errors import RefusedError


def answer(desk: Desk, lines: Iterable[str], **data: Any) -> None:
    """Print lines, or the data as JSON where that was asked for."""
    if desk.json:
        typer.echo(json.dumps(data, ensure_ascii=False, sort_keys=True))
        return
    for line in lines:
        typer.echo(line)


def notice(text: str) -> None:
    """Tell something beside the answer."""
    typer.echo(text, err=True)


def notices(texts: Sequence[str]) -> None:
    """Tell what many papers have in common: the first, and how many are like it."""
    if texts:
        notice(texts[0])
    if len(texts) > 1:
        notice(f"and {len(texts) - 1} more like it")


def require_new(path: Path) -> None:
    """Refuse to write over a file, or where there is no folder for one."""
    if path.exists():
        raise RefusedError(f"{path} is there already: name another with --out")
    if not path.parent.is_dir():
        raise RefusedError(
            f"there is no folder {path.parent}: make it, or name another with --out"
        )


@contextmanager
def new_file(path: Path, data: bytes) -> Iterator[None]:
    """Write a file, never over another one; it goes again if what follows fails."""
    require_new(path)
    try:
        with path.open("xb") as file:
            file.write(data)
    except OSError as problem:
        path.unlink(missing_ok=True)
        raise RefusedError(
            f"{path} cannot be written ({problem.strerror}): name another with --out"
        ) from None
    try:
        yield
    except BaseException:
        path.unlink()
        raise


def read_file(path: Path) -> bytes:
    """Read a file that somebody named."""
    try:
        return path.read_bytes()
    except OSError as problem:
        raise RefusedError(f"{path} cannot be read: {problem.strerror}") from None


def counted(count: int, noun: str) -> str:
    """Return how many of what there are: 1 step, 2 steps."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


class Progress:
    """A bar on a terminal, nothing anywhere else."""

    def __init__(self, what: str) -> None:
        self._what = what
        self._is_shown = sys.stderr.isatty()
        self._tenths = -1

    def __call__(self, done: int, total: int) -> None:
        """Show how many of how many are done."""
        tenths = done * 40 // total if total else 40
        if not self._is_shown or tenths == self._tenths:
            return
        self._tenths = tenths
        bar = "█" * tenths + "·" * (40 - tenths)
        sys.stderr.write(f"\r{self._what} {bar} {done}")
        if done >= total:
            sys.stderr.write("\n")
        sys.stderr.flush()
