"""How a command answers: lines for a person, or one JSON object for a program."""

import json
import os
import re
import stat
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unicodedata import category

import typer

from cli.context import Desk
from ledger.errors import NotFoundError, RefusedError
from ledger.scales import in_a_row

# Ends of lines, marks that turn the writing round, and halves of a character.
UNSHOWN = ("Cc", "Cf", "Cs", "Zl", "Zp")
LONGEST_WORD = 200
ENDLESS = re.compile(rf"\S{{{LONGEST_WORD + 1},}}")
# No file that a command reads whole is larger [bytes].
MOST_READ = 100_000_000
# So many codes are read at a glance; of more their span is told.
MOST_LISTED = 4


def answer(desk: Desk, lines: Iterable[str], **data: Any) -> None:
    """Print lines, or the data as JSON where that was asked for."""
    if desk.json:
        typer.echo(json_text(data))
        return
    for line in lines:
        typer.echo(safe(line))


def safe(text: str) -> str:
    """Return a text as a terminal may be given it, whoever wrote it.

    Marks that would colour, hide or turn round what stands beside them are escaped.
    """
    if text.isprintable():
        return text
    return "".join(
        ascii(mark)[1:-1] if mark not in "\n\t" and category(mark) in UNSHOWN else mark
        for mark in text
    )


def json_text(data: Any) -> str:
    """Return data as one JSON text of which the same is true."""
    text = json.dumps(data, ensure_ascii=False, sort_keys=True)
    if text.isprintable():
        return text
    return "".join(
        json.dumps(mark)[1:-1] if category(mark) in UNSHOWN else mark for mark in text
    )


def findings(found: Iterable[Any]) -> list[dict[str, Any]]:
    """Return what an audit found, as data."""
    return [
        {"index": f.index, "cause": f.cause, "detail": f.detail, "open": f.is_open}
        for f in found
    ]


def notice(text: str) -> None:
    """Tell something beside the answer."""
    typer.echo(safe(text), err=True)


def notices(texts: Sequence[str]) -> None:
    """Tell what many papers have in common: the first, and how many are like it."""
    if texts:
        notice(texts[0])
    if len(texts) > 1:
        notice(f"and {len(texts) - 1} more like it")


def one_line(text: str) -> str:
    """Return a refusal as one line that a terminal shows, whatever was typed.

    Marks that no line holds are escaped, and a word that never ends is cut off.
    """
    plain = safe(text.replace("\t", "\\t")).replace("\n", "\\n")
    return ENDLESS.sub(lambda word: f"{word[0][:LONGEST_WORD]}…", plain)


def require_new(path: Path) -> None:
    """Refuse to write over a file, or where there is no folder for one."""
    if path.exists():
        raise RefusedError(f"{path} is there already: name another with --out")
    if not path.parent.is_dir():
        raise RefusedError(
            f"there is no folder {path.parent}: make it, or name another with --out"
        )


@contextmanager
def new_file(path: Path, data: bytes, *, is_private: bool = False) -> Iterator[None]:
    """Write a file, never over another one; it goes again if what follows fails.

    is_private  whether only its owner reads it on this machine, for a code or a name
    """
    from ledger.acts.folders import private_file

    require_new(path)
    try:
        with private_file(path) if is_private else path.open("xb") as file:
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


def read_file(path: Path, *, most: int = MOST_READ) -> bytes:
    """Read a file that somebody named, and no more of it than is ever wanted.

    Raises RefusedError for one of more bytes than `most`, and for what is no plain file
    and may never end.
    """
    try:
        _require_plain(path)
        with path.open("rb") as file:
            size = os.fstat(file.fileno()).st_size
            data = file.read(most + 1) if size <= most else b""
    except FileNotFoundError:
        raise NotFoundError(
            f"there is no file {path}: look at its name again"
        ) from None
    except OSError as problem:
        raise RefusedError(
            f"{path} cannot be read ({problem.strerror}): see that you may read it"
        ) from None
    if max(size, len(data)) > most:
        raise RefusedError(
            f"{path} has {max(size, len(data))} bytes of at most {most}: look whether "
            f"it is the right file"
        )
    return data


def _require_plain(path: Path) -> None:
    """Refuse a folder, and a pipe or a device, before it is opened."""
    mode = path.stat().st_mode
    if stat.S_ISDIR(mode):
        raise RefusedError(f"{path} is a folder: name a file in it")
    if not stat.S_ISREG(mode):
        raise RefusedError(f"{path} is no plain file: save it as one, and name that")


def listed(codes: Sequence[str]) -> str:
    """Return codes in a row: all of few, of many how many and from which to which."""
    if len(codes) > MOST_LISTED:
        return f"{len(codes)} pieces, {codes[0]} to {codes[-1]}"
    return in_a_row(codes)


def entries(said: Sequence[Any]) -> str:
    """Return where something stands in the record: entry 7, entries 7 to 9."""
    first, last = said[0].index, said[-1].index
    return f"entry {first}" if first == last else f"entries {first} to {last}"


def entries_of(indexes: Sequence[int]) -> str:
    """Return in which entries something stands: entry 7, or 3 entries, 7 to 12."""
    if len(indexes) == 1:
        return f"entry {indexes[0]}"
    return f"{len(indexes)} entries, {min(indexes)} to {max(indexes)}"


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
