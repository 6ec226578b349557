"""What lies in the rack: ready, ready soon or waiting, kind by kind."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import event

from ledger.acts import grading, rejects
from ledger.acts.grading import Seen
from ledger.acts.resting import readiness, readiness_of
from ledger.acts.stock import Stocked, is_due, stock
from ledger.events import BoardMoved, BoardWeighed, RoomMeasured
from ledger.views.boards import Board
from tests.skerrymoor import NECK, TOP, Loft

AIR = RoomMeasured(room="crib", temperature_millikelvin=294_150, humidity_ppm=450_000)
SHORT = {"rest": [], "rest_of_others": {"least_days": 21, "preferred_days": 42}}


@pytest.fixture
def racked(loft: Loft) -> Loft:
    """Give a shop with a set and a neck of spruce, and a neck of maple, at rest."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK)
    loft.number(loft.receive(species="Acer pseudoplatanus"), NECK)
    loft.adopt(**SHORT)
    for _ in range(3):
        loft.clock.moment += timedelta(days=7)
        for code, mass in (
            ("L26-001-01.A", 205_000),
            ("L26-001-01.B", 207_000),
            ("L26-001-02", 1_040_000),
            ("L26-002-01", 1_040_000),
        ):
            loft.say(BoardWeighed(board=code, mass_mg=mass), "02")
    loft.say(AIR)
    return loft


def rack(loft: Loft, **only: Any) -> list[Stocked]:
    """Return what lies in the rack."""
    with loft.shop.store.reading() as session:
        return stock(session, today=loft.shop.today(), **only)


def codes(found: list[Stocked]) -> list[str]:
    """Return the codes of what was found."""
    return [each.code for each in found]


def test_a_set_is_one_thing_and_ready_when_both_halves_are(racked: Loft) -> None:
    """With its kind and its size, and every board in it."""
    before = rack(racked)
    racked.say(BoardWeighed(board="L26-001-01.B", mass_mg=200_000), "02")
    racked.clock.moment += timedelta(days=7)
    racked.say(AIR)
    (spruce,) = rack(racked, meant_for="Top")

    assert codes(before) == ["L26-002-01", "L26-001-02", "L26-001-01"]
    assert all(each.verdict for each in before)
    assert spruce.boards == ("L26-001-01.A", "L26-001-01.B")
    assert spruce.kind == ("Picea abies", "top", (559_000, 203_000, 4_200), "")
    assert not spruce.verdict
    assert len(rack(racked, meant_for="neck")) == 2


@pytest.mark.parametrize(
    ("species", "found"),
    [
        ("Picea", ["L26-001-02", "L26-001-01"]),
        ("picea abies", ["L26-001-02", "L26-001-01"]),
        ("Acer pseudoplatanus", ["L26-002-01"]),
        ("Acer rubrum", []),
    ],
)
def test_a_genus_stands_for_all_of_its_species(
    racked: Loft, species: str, found: list[str]
) -> None:
    """A species for itself alone."""
    assert codes(rack(racked, species=species)) == found


def test_what_is_used_or_rejected_is_not_in_the_rack(racked: Loft) -> None:
    """Half a set that is left lies there by its own code."""
    racked.model()
    racked.allot(racked.begin(), "neck", "L26-002-01")
    rejects.reject(racked.shop, "L26-001-02", faults=["knot"], hands=racked.hands("02"))
    racked.allot(racked.begin(), "top", "L26-001-01.A")

    assert codes(rack(racked)) == ["L26-001-01.B"]


def test_wood_is_asked_for_by_its_grade(racked: Loft) -> None:
    """The newest word of the house counts; a set whose halves differ is neither."""
    hands = racked.hands("02")
    for code, word in (("L26-001-01", "second"), ("L26-001-02", "first")):
        grading.grade(racked.shop, code, Seen(), word=word, hands=hands)
    grading.grade(racked.shop, "L26-001-02", Seen(), word="third", hands=hands)
    assert codes(rack(racked, grade="second")) == ["L26-001-01"]
    assert codes(rack(racked, grade="first")) == []
    assert codes(rack(racked, grade="third")) == ["L26-001-02"]
    grading.grade(racked.shop, "L26-001-01.B", Seen(), word="third", hands=hands)

    (top,) = rack(racked, meant_for="top")
    assert top.grade == "second and third"


def test_what_can_be_ready_soon_is_due(racked: Loft) -> None:
    """By its earliest day, up to and with the last of so many."""
    racked.number(racked.receive(received_on=racked.shop.today()), NECK)
    young = next(each for each in rack(racked) if each.code == "L26-003-01")
    today = racked.shop.today()

    assert not is_due(young, today=today, within_days=20)
    assert is_due(young, today=today, within_days=21)
    assert not is_due(rack(racked)[0], today=today, within_days=365)


def test_a_rack_is_asked_in_few_questions_however_full_it_is(racked: Loft) -> None:
    """As many for sixty boards as for six, and the same answers as one by one."""
    draft = replace(NECK, masses_mg=())
    lot = racked.receive(boards=80)
    counts = []
    for more in (3, 60):
        for code in racked.number(lot, *[draft] * more):
            racked.say(BoardMoved(board=code, place="crib, shelf A"), "02")
        counts.append(_questions(racked))
    with racked.shop.store.reading() as session:
        boards = [
            session.get_one(Board, code)
            for each in rack(racked)
            for code in each.boards
        ]
        today = racked.shop.today()
        at_once = readiness_of(session, boards, today=today)
        singly = {b.code: readiness(session, b, today=today) for b in boards}

    assert counts[0] == counts[1] <= 14
    assert at_once == singly and len(singly) == 67


def _questions(loft: Loft) -> int:
    """Return how many questions are asked of the database for the whole rack."""
    asked: list[str] = []
    with loft.shop.store.reading() as session:
        connection = session.connection()

        def hear(_c: Any, _u: Any, statement: str, *_: Any) -> None:
            asked.append(statement)

        event.listen(connection, "before_cursor_execute", hear)
        stock(session, today=loft.shop.today())
        event.remove(connection, "before_cursor_execute", hear)
    return len(asked)
