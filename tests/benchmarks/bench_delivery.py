"""Measure Monday's delivery: 200 boards from a packing list, received and labelled.

Run it as `python tests/benchmarks/bench_delivery.py`. Each command is a process of its
own, as at a bench; beside it stands an interpreter that imports the same libraries and
does nothing, and a bare database commit of as many rows.
"""

import os
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests import skerrymoor  # noqa: E402 - only now does the path lead there

BOARDS = 200
PROGRAM = "from cli.main import run; run()"
IDLE = "import sqlmodel, reportlab.pdfgen.canvas, qrcode, cryptography.x509"


def packing_list() -> str:
    """Return a list of boards, one a row."""
    rows = "".join(f"{n},560,215,4.5,1 board,top\n" for n in range(1, BOARDS + 1))
    return f"No,Length mm,Width mm,Thickness mm,Qty,For\n{rows}"


def seconds(words: Sequence[str], folder: Path) -> float:
    """Return how long a process takes, and see that it ends well."""
    began = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
    )
    took = time.perf_counter() - began
    if done.returncode:
        raise SystemExit(f"{words} ended with {done.returncode}: {done.stderr!r}")
    return took


def bare_commit(folder: Path) -> float:
    """Return how long as many rows of the same size take without us."""
    connection = sqlite3.connect(folder / "bare.sqlite3")
    connection.execute("PRAGMA journal_mode=WAL")
    connection.execute("PRAGMA synchronous=FULL")
    connection.execute("CREATE TABLE entry (idx INTEGER PRIMARY KEY, record BLOB)")
    rows = [(n, b"x" * 700) for n in range(BOARDS + 2)]
    began = time.perf_counter()
    with connection:
        connection.executemany("INSERT INTO entry VALUES (?, ?)", rows)
    took = time.perf_counter() - began
    connection.close()
    return took


def main() -> None:
    """Receive and label once, and print what it took."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        loft = skerrymoor.opened(folder)
        loft.supplier()
        loft.shop.close()
        (folder / "list.csv").write_text(packing_list(), encoding="utf-8")
        (folder / "pins").write_text("02 0202\n", encoding="utf-8")
        common = ("--shop", "shop", "--by", "02", "--pin-file", "pins", "--after-pause")
        told = ("--list", "list.csv", "--species", "Picea abies", "--supplier", "Ferr")
        idle = seconds([IDLE], folder)
        receive = seconds([PROGRAM, "lot", "receive", *told, *common], folder)
        on = ("L26-001", "--out", "labels.pdf", "--on", "A4")
        label = seconds([PROGRAM, "label", "board", *on, *common], folder)
        bare = bare_commit(folder)
    print(f"an interpreter with the same libraries     {idle:7.2f} s")
    print(f"a bare commit of {BOARDS + 2} rows              {bare:7.3f} s")
    print(f"receive {BOARDS} boards from a list            {receive:7.2f} s")
    print(f"draw and record {BOARDS} labels                {label:7.2f} s")
    whole = receive + label
    print(f"both                                       {whole:7.2f} s", end="")
    print(f", {whole / idle:.1f} times the idle interpreter")


if __name__ == "__main__":
    main()
