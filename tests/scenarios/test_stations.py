"""Several stations at once: one board goes to one instrument, one number to one thing.

Each station is a process of its own that opens the shop; all begin at the same
moment. Whatever they do, the log has no fork and no gap, and everybody is answered.
"""

import json
import os
from collections import Counter
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from sqlmodel import select

from ledger.acts import builds
from ledger.acts.builds import BoardTakenError
from ledger.acts.shop import open_shop
from ledger.audit import audit
from ledger.log.entry import parse_record
from ledger.views.builds import Build
from tests import skerrymoor
from tests.conftest import entropy_from
from tests.skerrymoor import Loft

BOARDS = 12

# What one station does: takes its own open shop and its number, returns what it saw.
Work = Callable[[Loft, int], list[Any]]


def together(loft: Loft, stations: int, work: Work) -> list[list[Any]]:
    """Let stations work at once, each in a process, and return what each saw."""
    loft.clock.step = timedelta()  # one wall clock for all, whoever looks at it
    waiting, go = os.pipe()
    answers = []
    for station in range(stations):
        answer, said = os.pipe()
        if os.fork() == 0:
            os.close(go)
            os.read(waiting, 1)
            _work(loft, station, work, said)
        os.close(said)
        answers.append(answer)
    os.close(waiting)
    os.close(go)
    seen = []
    for answer in answers:
        with os.fdopen(answer) as lines:
            seen.append(json.loads(lines.read()))
        os.wait()
    return seen


def _work(loft: Loft, station: int, work: Work, said: int) -> None:
    """Open the shop as a station does, work, say what was seen, and never return."""
    try:
        loft.shop = open_shop(
            loft.shop.folder,
            now=loft.clock,
            entropy=entropy_from(f"station {station}"),
        )
        text = json.dumps(work(loft, station)).encode()
        os.write(said, text)
    finally:
        os._exit(0)


def allot_all(loft: Loft, station: int) -> list[Any]:
    """Try to allot every board to this station's instrument, and tell how it went."""
    seen: list[Any] = []
    with loft.shop.store.reading() as session:
        serial = session.exec(select(Build.serial).order_by(Build.serial)).all()[
            station
        ]
    for number in range(1, BOARDS + 1):
        code = f"L26-001-{number:02d}"
        try:
            loft.allot(serial, f"part {number}", code)
            seen.append([code, serial])
        except BoardTakenError as refusal:
            seen.append([code, str(refusal)])
    return seen


def begin_some(loft: Loft, station: int) -> list[Any]:
    """Begin instruments and receive lots, as many as there is time for."""
    return [loft.begin() for _ in range(4)] + [str(loft.receive()) for _ in range(4)]


@pytest.mark.parametrize("stations", [2, 8])
def test_a_board_goes_to_exactly_one_of_many(loft_on_each: Loft, stations: int) -> None:
    """The others are told to which instrument, and by which entry."""
    loft = loft_on_each
    loft.supplier()
    lot = loft.receive(boards=BOARDS)
    loft.number(lot, *[skerrymoor.NECK] * BOARDS)
    builds.define_model(
        loft.shop,
        name="Tidewarden",
        instrument="flat-top guitar",
        parts=[f"part {n}" for n in range(1, BOARDS + 1)],
        steps=skerrymoor.STEPS,
        hands=loft.hands(),
    )
    for _ in range(stations):
        loft.begin()

    seen = together(loft, stations, allot_all)

    assert all(len(answers) == BOARDS for answers in seen)
    for number in range(BOARDS):
        said = [answers[number][1] for answers in seen]
        won = [text for text in said if text.startswith("26-")]
        assert len(won) == 1
        lost = [text for text in said if f"is already allotted to {won[0]}" in text]
        assert len(lost) == stations - 1
    kinds = [parse_record(r).entry.kind for _, r in loft.shop.store.records()]
    assert kinds.count("board.allotted/1") == BOARDS
    assert audit(loft.shop).findings == ()


@pytest.mark.parametrize("stations", [2, 8])
def test_no_number_is_given_twice(loft_on_each: Loft, stations: int) -> None:
    """Serials and lots that several stations take at once are all different."""
    loft_on_each.supplier()
    loft_on_each.model()

    seen = together(loft_on_each, stations, begin_some)

    numbers = Counter(number for answers in seen for number in answers)
    assert len(numbers) == numbers.total() == 8 * stations
    assert sorted(n for n in numbers if n.startswith("L")) == [
        f"L26-{n:03d}" for n in range(1, 4 * stations + 1)
    ]
    assert audit(loft_on_each.shop).findings == ()
