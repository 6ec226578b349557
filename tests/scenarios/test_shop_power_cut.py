"""The power goes two hundred times while a shop works, and the shop stays whole.

A child process numbers boards, files papers and enters sawyers, tells each code once
it is kept, and is killed without warning. Afterwards the shop opens, an audit of
everything finds nothing but names to be swept, and every code that was told is there.
"""

import os
import random
import signal
import time
from datetime import timedelta
from pathlib import Path

from ledger.acts import boards, copies
from ledger.acts.shop import open_shop
from ledger.audit import audit
from ledger.log.entry import parse_record
from tests import skerrymoor
from tests.conftest import entropy_from
from tests.skerrymoor import Loft

KILLS = 200
SHOPS = 100
LONGEST_SECONDS = 0.06


def work_until_killed(loft: Loft, seed: int, told: int) -> None:
    """Work without end, and tell each code after it is kept."""
    chance = random.Random(seed)  # noqa: S311 (what to do next, nothing secret)
    shop = loft.shop = open_shop(
        loft.shop.folder, now=loft.clock, entropy=entropy_from(f"child {seed}")
    )
    os.write(told, b"\n")
    lot = loft.receive(boards=900)
    os.write(told, f"{lot}\n".encode())
    for n in range(900):
        what = chance.random()
        if what < 0.1:
            loft.supplier(f"Sawyer {seed} {n}")
        elif what < 0.2:
            code = loft.document(f"paper {seed} {n}", is_personal=what < 0.15)
            os.write(told, f"{code}\n".encode())
        else:
            drafts = [skerrymoor.NECK] * chance.choice((1, 2, 5))
            codes = boards.number_boards(shop, lot, drafts, loft.hands("02"))
            os.write(told, "".join(f"{code}\n" for code in codes).encode())


def killed_child(loft: Loft, seed: int, seconds: float) -> list[str]:
    """Let a child open the shop and work a while, kill it, return the codes it told.

    Every second child is waited for until it tells something, however busy the machine.
    """
    answer, told = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            work_until_killed(loft, seed, told)
        finally:
            os._exit(1)
    os.close(told)
    os.read(answer, 1)
    first = os.read(answer, 1) if seed % 2 else b""
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    with os.fdopen(answer, "rb") as lines:
        codes = (first + lines.read()).decode().split()
    assert os.WTERMSIG(status) == signal.SIGKILL, "it ended by itself"
    return codes


def codes_in(loft: Loft) -> list[str]:
    """Return every code that the log gives to a lot, a board or a paper."""
    events = [parse_record(data).entry.event for _, data in loft.shop.store.records()]
    named = {"lot.received/1": "lot", "board.numbered/2": "board"}
    named |= {"document.filed/1": "document"}
    return [e[named[e["kind"]]] for e in events if e["kind"] in named]


def test_a_shop_stays_whole_through_two_hundred_power_cuts(
    tmp_path: Path, staffed_folder: Path
) -> None:
    """Nothing that was told is lost, nothing is numbered twice, nothing is half."""
    chance = random.Random(2026)  # noqa: S311 (when to pull the plug, nothing secret)
    worked = 0
    for n in range(SHOPS):
        loft = skerrymoor.again(tmp_path / str(n), staffed_folder, f"shop {n}")
        loft.clock.step = timedelta()
        loft.supplier()
        told: list[str] = []
        for m in range(KILLS // SHOPS):
            loft.shop.close()
            seed = n * KILLS + m
            codes = killed_child(loft, seed, chance.uniform(0.001, LONGEST_SECONDS))
            worked += bool(codes)
            told += codes
            loft.shop = open_shop(
                loft.shop.folder, now=loft.clock, entropy=entropy_from(f"{seed}")
            )
            report, kept = audit(loft.shop), codes_in(loft)

            assert {f.cause for f in report.findings} <= {"orphan"}, f"kill {seed}"
            assert len(set(kept)) == len(kept)
            assert set(told) <= set(kept)
        copies.rebuild(loft.shop)

        assert audit(loft.shop).findings == ()
        loft.shop.close()

    assert worked >= KILLS // 2, "most were killed before they worked"
