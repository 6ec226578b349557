"""Files that mean harm, and the commands that are given them, in little room.

    python -m tests.harming FOLDER

It reads commands as JSON from its input, runs each in the folder, and answers with
what each said. It may use a gibibyte in all; files of a gibibyte are holes, which cost
no disk.
"""

import gc
import io
import json
import os
import resource
import struct
import sys
import traceback
import zlib
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any

from ledger.log.card import to_digits

GIBIBYTE = 1 << 30
COLOUR = "\x1b[31m\x9b31m"


def hole(head: bytes) -> Callable[[Path], None]:
    """Make a file of a gibibyte that begins so."""

    def make(path: Path) -> None:
        with path.open("wb") as file:
            file.write(head)
            file.truncate(GIBIBYTE)

    return make


def holding(data: bytes) -> Callable[[Path], None]:
    """Make a file that holds this."""

    def make(path: Path) -> None:
        path.write_bytes(data)

    return make


def card(cbor: bytes) -> Callable[[Path], None]:
    """Make a card's text that holds these bytes."""
    return holding(f"V#{to_digits(cbor)}".encode())


def picture(side: int, rows: bytes = b"") -> bytes:
    """Return a PNG that says it is so large, whatever it holds."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + data))
        return struct.pack(">I", len(data)) + kind + data + check

    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows))
    return b"\x89PNG\r\n\x1a\n" + body + chunk(b"IEND", b"")


def sound(
    said: int, samples: bytes, *, form: int = 1, bits: int = 16, channels: int = 1
) -> bytes:
    """Return a WAV that says it holds so many bytes, whatever it holds."""
    frame = channels * bits // 8
    rate = 48_000
    fields = (form, channels, rate, rate * frame, frame, bits)
    head = struct.pack("<4sIHHIIHH", b"fmt ", 16, *fields)
    data = struct.pack("<4sI", b"data", said) + samples
    whole = b"WAVE" + head + data
    return struct.pack("<4sI", b"RIFF", len(whole)) + whole


def swollen_page(path: Path) -> None:
    """Make a small PDF whose one stream swells to a hundred megabytes."""
    packed = zlib.compress(bytes(100_000_000), 1)
    page = (
        b"%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type"
        b"/Pages/Kids[3 0 R]/Count 1>>\nendobj\n3 0 obj\n<</Type/Page/Parent 2 0 R"
        b"/MediaBox[0 0 9 9]/Contents 4 0 R>>\nendobj\n4 0 obj\n<</Filter/FlateDecode"
        b"/Length " + str(len(packed)).encode() + b">>\nstream\n" + packed
    )
    path.write_bytes(page + b"\nendstream\nendobj\ntrailer<</Root 1 0 R>>\n%%EOF")


def pipe(path: Path) -> None:
    """Make a pipe that nobody ever writes to."""
    os.mkfifo(path)


NOT_A_NUMBER = struct.pack("<f", float("nan")) * 48_000
GEOMETRY = b'{"type":"FeatureCollection","features":[{"type":"Feature","geometry":'
FILES: dict[str, Callable[[Path], None]] = {
    "huge.json": hole(b'{"a":'),
    "huge.pdf": hole(b"%PDF-1.7\n"),
    "huge.png": hole(b"\x89PNG\r\n\x1a\n"),
    "huge.wav": hole(sound(GIBIBYTE - 44, b"")),
    "huge.csv": hole(b"board,length\n"),
    "huge.card": hole(b"V#123"),
    "huge.proof": hole(b"c2sp.org/tlog-proof@v1\nindex 1\n"),
    "deep.json": holding(b"[" * 200_000),
    "digits.json": holding(b'{"a":' + b"9" * 90_000 + b"}"),
    "deep-plots.json": holding(
        GEOMETRY + b'{"type":"Polygon","coordinates":' + b"[" * 5000 + b"]" * 5000
    ),
    "deep.card": card(b"\x81" * 600),
    "long.card": card(b"\x84\x5b\x7f" + b"\xff" * 7 + b"a" * 50),
    "many.card": card(b"\x9b\x00\x00\x00\x00\x7f\xff\xff\xff" + b"a" * 50),
    "power.card": card(b"\xc4\x82\x1b\x7f" + b"\xff" * 7 + b"\x01"),
    "swollen.pdf": swollen_page,
    "wide.png": holding(picture(60_000)),
    "lie.wav": holding(sound(0xFFFFFFF0, bytes(2000))),
    "nan.wav": holding(sound(192_000, NOT_A_NUMBER, form=3, bits=32)),
    "choir.wav": holding(sound(2_000_000, bytes(2_000_000), channels=1000)),
    "nul.csv": holding(b"board,length\x00\n\x00\x00,1\n"),
    "quotes.csv": holding(b'board,length\n"' + b'""' * 200_000),
    "formula.csv": holding(b"board,length\n=cmd|' /C calc'!A0,500\n"),
    "columns.csv": holding(b"," * 100_000 + b"\n"),
    f"{COLOUR}.csv": holding(f"board,length\n{COLOUR},3\n".encode()),
    "nothing": holding(b""),
    "pipe": pipe,
}


NOT_CAUGHT = (
    *(ArithmeticError, AttributeError, LookupError, MemoryError, OSError),
    *(RuntimeError, TypeError, ValueError),
)


def main() -> None:
    """Run each command that is asked for, and answer with what it said."""
    resource.setrlimit(resource.RLIMIT_AS, (GIBIBYTE, GIBIBYTE))
    os.chdir(sys.argv[1])
    commands: list[list[str]] = json.load(sys.stdin)
    print(json.dumps([said(words) for words in commands]))


def said(words: list[str]) -> dict[str, Any]:
    """Run a command, and return its exit code and both its streams."""
    from cli import main as program

    out, err = io.StringIO(), io.StringIO()
    sys.argv, code = ["flitchbook", *words], 0
    with redirect_stdout(out), redirect_stderr(err):
        try:
            program.run()
        except SystemExit as end:
            code = int(end.code or 0)
        except NOT_CAUGHT:
            # A person would have been shown this.
            traceback.print_exc()
            code = -1
        finally:
            gc.enable()
    return {
        "code": code,
        "out": out.getvalue(),
        "err": err.getvalue(),
        "most_kibibytes": most_kibibytes(),
    }


def most_kibibytes() -> int:
    """Return the most memory that this process has held.

    Linux counts what the process that started it held into its `ru_maxrss`, which a
    long run of tests makes large; what /proc says is this process's own (proc(5)).
    """
    try:
        status = Path("/proc/self/status").read_text()
    except FileNotFoundError:
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return int(status.split("VmHWM:", 1)[1].split(maxsplit=1)[0])


if __name__ == "__main__":
    main()
