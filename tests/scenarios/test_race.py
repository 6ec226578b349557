"""Many hands on one board: exactly one has it, and everybody else is told by whom."""

import subprocess
import sys
from pathlib import Path

import pytest

from ledger.acts.allotting import BoardTakenError
from ledger.acts.shop import open_shop
from ledger.audit import audit
from ledger.errors import RefusedError
from ledger.log.entry import parse_record
from tests import racing, skerrymoor
from tests.cli.bench import NOON
from tests.conftest import entropy_from
from tests.skerrymoor import Loft

STATIONS = 200
COLD = 20
CODE = "L26-001-01"
SERIALS = ("26-0001-8", "26-0002-6")


def prepared(loft: Loft) -> None:
    """Give two instruments that want one neck, and two more necks beside it.

    On that day one board was allotted before, and refused once.
    """
    loft.supplier()
    loft.number(loft.receive(), *[skerrymoor.NECK] * 3, skerrymoor.TOP)
    loft.model()
    assert (loft.begin(), loft.begin()) == SERIALS
    loft.allot(SERIALS[0], "top", "L26-001-04")
    with pytest.raises(BoardTakenError):
        loft.allot(SERIALS[1], "top", "L26-001-04")


def allot_it(loft: Loft, station: int) -> list[str]:
    """Allot the one board to one of two instruments; tell how that went."""
    serial = SERIALS[station % 2]
    try:
        loft.allot(serial, "neck", CODE)
    except BoardTakenError as refusal:
        return ["taken", str(refusal)]
    except RefusedError as refusal:
        return ["refused", str(refusal)]
    return ["won", serial]


def test_of_two_hundred_processes_exactly_one_has_the_board(
    loft_on_each: Loft,
) -> None:
    """The others are told who, when, by which entry, and what lies beside it."""
    prepared(loft_on_each)
    size = loft_on_each.shop.store.head().size

    seen = racing.race(loft_on_each, STATIONS, allot_it, CODE)

    said = [each.said for each in seen]
    won = [serial for what, serial in said if what == "won"]
    lost = [text for what, text in said if what == "taken"]
    assert len(won) == 1
    assert len(lost) == STATIONS - 1, [text for what, text in said if what == "refused"]
    (told,) = set(lost)
    assert told.startswith(
        f"board {CODE} is already allotted to {won[0]} as its neck, by Jakub Wolański "
        f"(badge 03) on 2026-01-05 at "
    )
    assert told.endswith(
        f" in entry {size}; nothing was used up: choose another board, ready and like "
        f"it: L26-001-02, L26-001-03"
    )
    entries = [parse_record(r).entry for _, r in loft_on_each.shop.store.records()]
    assert [entry.index for entry in entries] == list(range(size + 1))
    assert [e.kind for e in entries[size:]] == ["board.allotted/1"]
    assert audit(loft_on_each.shop).findings == ()


@pytest.fixture
def cold(tmp_path: Path) -> Path:
    """Give a shop on SQLite that was closed, to be opened by commands."""
    loft = skerrymoor.opened(tmp_path)
    prepared(loft)
    loft.shop.close()
    pins = tmp_path / "pins"
    pins.write_text("03 0303\n", encoding="utf-8")
    return tmp_path


def test_of_twenty_cold_commands_exactly_one_has_the_board(cold: Path) -> None:
    """Each starts from nothing; every refusal is one sentence with exit code 1."""
    command = [sys.executable, "-c", "from cli.main import run; run()"]
    asked = [
        [*command, "build", "allot", SERIALS[n % 2], CODE, "--part", "neck"]
        for n in range(COLD)
    ]
    told = [
        "--by",
        "03",
        "--shop",
        str(cold / "shop"),
        "--pin-file",
        str(cold / "pins"),
    ]
    running = [
        subprocess.Popen(
            [*each, *told, "--after-pause"],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            cwd=Path(__file__).parents[2],
        )
        for each in asked
    ]
    ended = [(*process.communicate(), process.returncode) for process in running]

    won = [out for out, _, code in ended if code == 0]
    lost = [err for _, err, code in ended if code == 1]
    assert (len(won), len(lost)) == (1, COLD - 1), ended
    assert all("is already allotted to 26-000" in err for err in lost)
    assert all("by Jakub Wolański (badge 03)" in err for err in lost)
    assert all(err.count("\n") == 1 for err in lost)
    opened = open_shop(cold / "shop", now=lambda: NOON, entropy=entropy_from("look"))
    assert audit(opened).findings == ()
    opened.close()
