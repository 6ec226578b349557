"""Several stations at once: one board goes to one instrument, one number to one thing.

Each station is a process of its own that opens the shop; all begin at the same
moment. Whatever they do, the log has no fork and no gap, and everybody is answered.
"""

import json
import os
from collections import Counter
from collections.abc import Callable
from datetime import timedelta
from itertools import count
from typing import Any

import pytest
from sqlmodel import func, select

from ledger.acts import models
from ledger.acts.allotting import BoardTakenError
from ledger.acts.boards import BoardDraft
from ledger.acts.copies import rebuild
from ledger.acts.corrections import correct
from ledger.acts.deliveries import Parcel, deliver
from ledger.acts.sawing import PieceDraft, split
from ledger.acts.shop import open_shop
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardWeighed
from ledger.events.route import PlannedPart
from ledger.log.entry import parse_record
from ledger.views.boards import Board
from ledger.views.builds import Build
from ledger.views.measures import Weighing, weighings_of
from tests import skerrymoor
from tests.conftest import entropy_from
from tests.skerrymoor import Loft

BOARDS = 12
WEIGHINGS = 15

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
    models.define_model(
        loft.shop,
        name="Tidewarden",
        instrument="flat-top guitar",
        parts=[PlannedPart(part=f"part {n}") for n in range(1, BOARDS + 1)],
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


def saw_or_allot(loft: Loft, station: int) -> list[Any]:
    """Saw every board or give it to an instrument, whichever this station does."""
    seen: list[Any] = []
    for number in range(1, BOARDS + 1):
        code = f"L26-001-{number:02d}"
        piece = PieceDraft(meant_for="brace", mass_mg=1_040_000)
        try:
            if station % 2:
                hands = loft.hands("03")
                split(loft.shop, codes=[code], pieces=[piece], hands=hands)
            else:
                loft.allot("26-0001-8", "neck", code)
                correct(
                    loft.shop,
                    allotment(loft, code),
                    reason="the wrong one",
                    hands=loft.hands("03"),
                )
            seen.append([code, "done"])
        except RefusedError as refusal:
            seen.append([code, str(refusal)])
    return seen


def allotment(loft: Loft, code: str) -> int:
    """Return the entry that allotted a board."""
    with loft.shop.store.reading() as session:
        return session.get_one(Board, code).allotted_idx or 0


def test_a_board_is_sawn_or_allotted_and_never_both(loft_on_each: Loft) -> None:
    """Also where the allotment is struck at once, and the other one was waiting."""
    loft = loft_on_each
    loft.supplier()
    loft.number(loft.receive(boards=BOARDS), *[skerrymoor.NECK] * BOARDS)
    loft.model()
    loft.begin()

    seen = together(loft, 2, saw_or_allot)

    with loft.shop.store.reading() as session:
        rows = {b.code: (b.became_idx, b.serial) for b in session.exec(select(Board))}
    for number in range(BOARDS):
        code = seen[0][number][0]
        allotted, sawn = (answers[number][1] for answers in seen)
        became, serial = rows[code]
        assert (became is not None) == (sawn == "done")
        assert serial is None
        assert "done" in (allotted, sawn)
        if sawn != "done":
            assert "is allotted to 26-0001-8" in sawn
        if allotted != "done":
            assert "was made into pieces by entry" in allotted
    assert audit(loft.shop).findings == ()
    rebuild(loft.shop)
    assert audit(loft.shop).findings == ()


def newest_weighing(loft: Loft) -> int:
    """Return the newest weighing of the board since it was numbered, struck or not."""
    with loft.shop.store.reading() as session:
        numbered = session.get_one(Board, "L26-001-01").idx
        newest = session.exec(select(func.max(Weighing.idx))).one()
        return newest if newest != numbered else loft.shop.store.head().size + 99


def strike_or_weigh(loft: Loft, station: int) -> list[Any]:
    """Strike the weighings that the others make of one board, or make them.

    Whoever strikes goes on until one was struck, for the others may not have begun.
    """
    seen: list[Any] = []
    for n in count():
        if n >= WEIGHINGS and (station or ["struck"] in [s[:1] for s in seen]):
            break
        try:
            if station:
                mass = 1_040_000 + station * 100 + n
                entry = loft.say(BoardWeighed(board="L26-001-01", mass_mg=mass), "02")
                seen.append(["weighed", entry.index])
            else:
                index = newest_weighing(loft)
                correct(loft.shop, index, reason="misread", hands=loft.hands("01"))
                seen.append(["struck", index])
        except (NotFoundError, RefusedError) as refusal:
            seen.append(["refused", str(refusal)])
    return seen


def test_a_mass_is_the_newest_that_nobody_struck_meanwhile(loft_on_each: Loft) -> None:
    """Whoever weighs and whoever strikes are one after the other."""
    loft = loft_on_each
    loft.supplier()
    loft.number(loft.receive(), skerrymoor.NECK)

    seen = together(loft, 3, strike_or_weigh)

    struck = {index for what, index in seen[0] if what == "struck"}
    weighed = {index for what, index in (*seen[1], *seen[2]) if what == "weighed"}
    assert len(weighed) == 2 * WEIGHINGS
    assert struck
    living = max(weighed - struck)
    with loft.shop.store.reading() as session:
        rows = weighings_of(session, "L26-001-01")
        assert {row.idx for row in rows if row.idx in weighed} == weighed - struck
        assert rows[-1].idx == living
        assert session.get_one(Board, "L26-001-01").mass_mg == rows[-1].mass_mg
    assert audit(loft.shop).findings == ()


def receive_one_list(loft: Loft, station: int) -> list[Any]:
    """Receive the very list that every other station receives."""
    data = (loft.shop.folder.parent / "list.csv").read_bytes()
    boards = (BoardDraft(meant_for="top"),) * 3
    parcel = Parcel(lot=loft.draft(boards=3), boards=boards)
    try:
        hands = loft.hands("02")
        return sorted(deliver(loft.shop, data, [parcel], hands=hands).lots)
    except RefusedError as refusal:
        return [str(refusal)]


def test_a_list_comes_in_once_however_many_receive_it(loft_on_each: Loft) -> None:
    """The others are told as which lot; the list stays on file."""
    loft_on_each.supplier()
    path = loft_on_each.shop.folder.parent / "list.csv"
    path.write_text("three boards", encoding="utf-8")

    seen = together(loft_on_each, 4, receive_one_list)

    said = sorted(text for (text,) in seen)
    assert said[0] == "L26-001"
    assert all("came in before" in text and "L26-001" in text for text in said[1:])
    assert audit(loft_on_each.shop).findings == ()


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
