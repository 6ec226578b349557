"""The power goes two hundred times while a shop works, and the shop stays whole.

A child process numbers boards, files papers, photographs and sawyers' lists, strikes
what was wrong and says why, tells each code once it is kept, and is killed without
warning. Afterwards the shop opens, an audit of
everything finds nothing but what is to be swept, and every code that was told is there.
"""

import os
import random
import signal
import time
from datetime import datetime, timedelta
from pathlib import Path

from ledger.acts import boards, copies
from ledger.acts.corrections import correct
from ledger.acts.deliveries import Parcel, deliver
from ledger.acts.filing import kept_file
from ledger.acts.shop import open_shop
from ledger.audit import audit
from ledger.events import BoardPhotographed, BoardWeighed
from ledger.log import attachments
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
    (board,) = boards.number_boards(shop, lot, [skerrymoor.NECK], loft.hands("02"))
    os.write(told, f"{lot}\n{board}\n".encode())
    for n in range(900):
        what = chance.random()
        if what < 0.1:
            loft.supplier(f"Sawyer {seed} {n}")
        elif what < 0.2:
            code = loft.document(f"paper {seed} {n}", is_personal=what < 0.15)
            os.write(told, f"{code}\n".encode())
        elif what < 0.3:
            picture(loft, board, f"picture {seed} {n}")
        elif what < 0.4:
            codes = delivered(loft, f"{seed} {n}")
            os.write(told, "".join(f"{code}\n" for code in codes).encode())
        elif what < 0.5:
            weighed = loft.say(BoardWeighed(board=board, mass_mg=1_040_000), "02")
            correct(shop, weighed.index, reason=f"why {n}", hands=loft.hands("02"))
        else:
            drafts = [skerrymoor.NECK] * chance.choice((1, 2, 5))
            codes = boards.number_boards(shop, lot, drafts, loft.hands("02"))
            os.write(told, "".join(f"{code}\n" for code in codes).encode())


def picture(loft: Loft, board: str, text: str) -> None:
    """Keep a file and say that it shows a board."""
    data = text.encode()
    digest = attachments.digest_of(data)
    with kept_file(loft.shop, data, announced=digest) as turn:
        event = BoardPhotographed(board=board, face="front", sha256=digest)
        turn.say(event, loft.hands("02"))


def delivered(loft: Loft, text: str) -> list[str]:
    """Receive a list of two boards, and return its lot and their codes."""
    draft = loft.draft(boards=2)
    parcel = Parcel(lot=draft, boards=(boards.BoardDraft(meant_for="top"),) * 2)
    came = deliver(loft.shop, f"{text} list".encode(), [parcel], hands=loft.hands("02"))
    ((lot, codes),) = came.lots.items()
    return [came.document, lot, *codes]


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


def test_a_reason_whose_entry_was_cut_off_is_named_and_swept(
    tmp_path: Path, staffed_folder: Path
) -> None:
    """The power goes after the vault has the reason, before the log has the entry."""
    loft = skerrymoor.again(tmp_path, staffed_folder, "cut off")
    loft.supplier()
    (board,) = loft.number(loft.receive(), skerrymoor.NECK)
    weighed = loft.say(BoardWeighed(board=board, mass_mg=1_040_000), "02").index
    folder = loft.shop.folder
    loft.shop.close()
    child = os.fork()
    if child == 0:
        try:
            strike_until_the_vault_has_it(loft, weighed)
        finally:
            os._exit(1)
    _, status = os.waitpid(child, 0)
    loft.shop = open_shop(folder, now=loft.clock, entropy=entropy_from("after"))
    report, kept = audit(loft.shop), loft.shop.vault.commitments("reason")
    size = copies.rebuild(loft.shop)

    assert os.WTERMSIG(status) == signal.SIGKILL, "it ended by itself"
    assert [finding.cause for finding in report.findings] == ["orphan"]
    assert (len(kept), size) == (1, report.size)
    assert loft.shop.vault.commitments("reason") == frozenset()
    assert audit(loft.shop).findings == ()
    loft.shop.close()


def strike_until_the_vault_has_it(loft: Loft, index: int) -> None:
    """Strike an entry on a machine that dies when it looks at the clock after that."""

    def clock() -> datetime:
        if shop.vault.commitments("reason"):
            os.kill(os.getpid(), signal.SIGKILL)
        return loft.clock()

    shop = open_shop(loft.shop.folder, now=clock, entropy=entropy_from("cut"))
    correct(shop, index, reason="read from the wrong scale", hands=loft.hands("02"))
