"""Measure how long a command takes to answer, against an interpreter that does nothing.

Run it as `python tests/benchmarks/bench_startup.py`. Every command is a process of its
own, as at a bench; rounds alternate, and the median of each counts.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests import skerrymoor  # noqa: E402 - only now does the path lead there

ROUNDS = 15
PROGRAM = "from cli.main import run; run()"
SERIAL = "26-0001-8"


def prepared(folder: Path) -> None:
    """Make a shop with one certificate, its certificate file and its keys file."""
    from ledger.acts.certificates import certificate_paper
    from ledger.acts.copies import publish_keys

    loft = skerrymoor.opened(folder)
    number = loft.issue(loft.build())
    paper = certificate_paper(loft.shop, number)
    (folder / "certificate.json").write_bytes(paper.file.data)
    keys = publish_keys(loft.shop, loft.roots[:2])
    (folder / "keys.json").write_bytes(keys.read_bytes())
    loft.shop.close()


def seconds(words: Sequence[str], code: int, folder: Path) -> float:
    """Return how long a process takes, and see that it ends as it should."""
    began = time.perf_counter()
    done = subprocess.run(
        [sys.executable, *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
    )
    took = time.perf_counter() - began
    if done.returncode != code:
        raise SystemExit(f"{words} ended with {done.returncode}: {done.stderr!r}")
    return took


def commands() -> dict[str, tuple[Sequence[str], int]]:
    """Return what is measured: words and the exit that is expected."""
    run = ("-c", PROGRAM)
    check = ("certificate", "check", "certificate.json", "--keys", "keys.json")
    return {
        "an empty interpreter": (("-c", ""), 0),
        "the database layer": (("-c", "import sqlmodel"), 0),
        "flitchbook --help": ((*run, "--help"), 0),
        "a usage error": ((*run, "plank"), 2),
        "certificate check": ((*run, *check), 0),
        "build show": ((*run, "build", "show", SERIAL, "--shop", "shop"), 0),
    }


def main() -> None:
    """Print the median of each command, and its ratio to an empty interpreter."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        prepared(folder)
        measured = commands()
        took: dict[str, list[float]] = {words: [] for words in measured}
        for _ in range(ROUNDS):
            for words, (typed, code) in measured.items():
                took[words].append(seconds(typed, code, folder))
    empty = statistics.median(took["an empty interpreter"])
    for words, each in took.items():
        median = statistics.median(each)
        print(f"{words:22} {median * 1000:7.1f} ms   ratio {median / empty:5.2f}")


if __name__ == "__main__":
    main()
