"""Measure how long papers take to draw, and how large their files are.

Run it as `python tests/benchmarks/bench_papers.py`. Every paper stands beside an empty
page of its size that is drawn in the same run: so many times as long did it take.
"""

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from labels import card, certificate, label, label_sheet, tag, witness_slip
from labels.page import A4, close_document, open_document, turn_over
from tests.labels.evidence_samples import EVIDENCE
from tests.labels.samples import BACK_A, CARD, CERTIFICATE, HEADING, TAG
from tests.labels.test_witness_slip import SLIP

LABELS = 500
SHEET = 48
ROUNDS = 3


def labels(count: int) -> list[label.BoardLabel]:
    """Return labels of so many boards."""
    return [
        replace(BACK_A, code=f"L23-{40 + n // 99:03}-{n % 99 + 1:02}", half=None)
        for n in range(count)
    ]


def empty() -> bytes:
    """Return an empty page."""
    page = open_document(A4, "nothing")
    turn_over(page)
    return close_document(page)


def owner_certificate() -> bytes:
    """Return a certificate of two pages with a small file inside."""
    return certificate.draw(
        CERTIFICATE, paper="A4", certificate_file=b"{}", proof_file=b"proof"
    )


def evidence() -> bytes:
    """Return the same with plots, a table and three photographs behind it."""
    return certificate.draw(
        replace(CERTIFICATE, evidence=EVIDENCE),
        paper="A4",
        certificate_file=b"{}",
        proof_file=b"proof",
    )


def best(draw: Callable[[], bytes]) -> tuple[float, int]:
    """Return how long a paper takes, the best of a few rounds, and its size."""
    taken, size = [], 0
    for _ in range(ROUNDS):
        began = time.perf_counter()
        size = len(draw())
        taken.append(time.perf_counter() - began)
    return min(taken), size


def main() -> None:
    """Draw each paper, and print what it took beside an empty page."""
    papers: dict[str, Callable[[], bytes]] = {
        "an owner's certificate": owner_certificate,
        "with all its evidence": evidence,
        "an owner's card": lambda: card.draw(CARD),
        "a build tag": lambda: tag.draw(TAG),
        "a witness slip": lambda: witness_slip.draw(SLIP),
        f"a sheet of {SHEET} labels": lambda: label_sheet.sheet(labels(SHEET), HEADING),
        f"{LABELS} labels on sheets": lambda: label_sheet.sheet(
            labels(LABELS), HEADING
        ),
        f"{LABELS} labels on a roll": lambda: label.roll(labels(LABELS), dpi=203),
    }
    empty()
    nothing, _ = best(empty)
    print(f"{'an empty page':<26}{nothing:8.4f} s")
    for what, draw in papers.items():
        took, size = best(draw)
        ratio = took / nothing
        print(f"{what:<26}{took:8.3f} s  {ratio:7.0f} ×  {size / 1000:7.0f} kB")


if __name__ == "__main__":
    main()
