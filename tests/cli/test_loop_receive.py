"""A lot received by a few questions."""

from pathlib import Path

import pytest

from ledger.views.boards import boards_of
from ledger.views.wood import Lot, documents_of
from tests.cli.rounds import HOST, Walk

LISTS = Path(__file__).parents[1] / "vectors/packing"
FROM_LIST = ("Ferrante", "listed", "split billet", "NO", "none", "listed")
ANSWERS = ("Ferrante", "Picea abies", "split billet", "12 sets", "it", "none")
NUMBERED = ("top", "559 x 203 x 4.2 mm", "yes")
UNNUMBERED = ("later", "yes")


def lot(walk: Walk, code: str = "L26-004") -> tuple[Lot | None, list[str]]:
    """Return a lot and its papers."""
    shop = walk.shop()
    with shop.store.reading() as session:
        found = session.get(Lot, code)
        papers = [paper.code for paper in documents_of(session, code)]
        session.expunge_all()
    shop.close()
    return found, papers


def test_a_lot_comes_in_and_is_numbered_by_eight_answers(walk: Walk) -> None:
    """What was answered is said back, and every half has its code."""
    said = walk.answers("receive", *ANSWERS, *NUMBERED)

    assert said[-3:] == [
        "12 sets of Picea abies for top, 24 pieces to label, each 559 mm × 203 mm × "
        "4.2 mm: do they come in, yes or no?",
        "L26-004 Picea abies, split billet, came in on 2026-01-05; 12 of 12 boards "
        "numbered; papers: none; L26-004-01.A to L26-004-12.B",
        "when the round is done: flitchbook label board L26-004 --out labels.pdf",
    ]
    shop = walk.shop()
    with shop.store.reading() as session:
        boards = boards_of(session, "L26-004")
    shop.close()
    assert (len(boards), boards[-1].width_um) == (24, 203_000)


def test_a_lot_that_is_entered_late_came_in_on_its_own_day(walk: Walk) -> None:
    """As it stands on the delivery note, while the power was out."""
    walk.bench.at = walk.bench.at.replace(day=7)
    walk.answers("late 2026-01-06 16:40", "receive", *ANSWERS, *UNNUMBERED)
    found, _ = lot(walk)

    assert found is not None and found.received_on == "2026-01-06"


def test_a_lot_that_is_counted_and_not_meant_is_left(walk: Walk) -> None:
    """A no receives nothing, since a lot that came in is not struck."""
    before = walk.size()
    said = walk.answers("receive", *ANSWERS, "top", "later", "no")

    assert said[-1].endswith("24 pieces to label: left, and may come in later")
    assert walk.size() == before


def test_a_lot_may_be_numbered_board_by_board(walk: Walk) -> None:
    """It is in hand afterwards, and its line says what was answered."""
    said = walk.answers("receive", *ANSWERS, *UNNUMBERED)
    found, papers = lot(walk)

    assert said[-1] == (
        "L26-004 Picea abies, split billet, came in on 2026-01-05; 0 of 12 boards "
        "numbered; papers: none"
    )
    assert found is not None and papers == []
    assert (found.boards, found.harvested_in, found.form) == (12, "IT", "split billet")


@pytest.mark.parametrize(
    "paper", ["D26-0001", f"HTTPS://{HOST}/D/D26-0001"], ids=["typed", "misread"]
)
def test_its_paper_is_typed_or_scanned(walk: Walk, paper: str) -> None:
    """A misread scan is asked for again, and the answers before it stay."""
    answers = ["receive", *ANSWERS[:-1], paper, "D26-0001", *UNNUMBERED]
    walk.says([answers[0], answers[1], "Picea glauca", *answers[3:]])
    found, papers = lot(walk)

    assert found is not None
    assert (found.species, papers) == ("Picea glauca", ["D26-0001"])


@pytest.mark.parametrize(
    ("place", "wrong", "why"),
    [
        (0, "Nobody", "no sawyer or supplier here is called 'Nobody'"),
        (1, "spruce", "'spruce' is a name of the trade that may mean"),
        (2, "x" * 300, "the form has 1 to 200 characters"),
        (3, "many", "'many' is no count from 1 to 999"),
        (3, "12", "such as 24 sets, or 12 boards"),
        (3, "²", "'²' is no count"),
        (3, "0 sets", "'0 sets' is no count"),
        (3, "1000 boards", "'1000 boards' is no count"),
        (4, "Italia", "is no country: write two letters"),
        (5, "D26-0099", "there is no document D26-0099"),
        (5, "a napkin", "is not the code of a document"),
        (7, "559 x 203", "is not length, width and thickness"),
        (7, "22 x 8 x 0.165", "has no unit at its end"),
        (7, "0 x 8 x 1 mm", "has a size of nothing"),
    ],
)
def test_an_answer_that_does_not_do_is_asked_for_again(
    walk: Walk, place: int, wrong: str, why: str
) -> None:
    """What was answered before it stays."""
    answers = [*ANSWERS, *NUMBERED]
    answers.insert(place, wrong)
    said = walk.says(["receive", *answers])

    assert "nothing was recorded: " in said.out and why in said.out
    assert lot(walk)[0] is not None


def test_the_same_delivery_does_not_come_in_twice(walk: Walk) -> None:
    """The paper is the same, and so is the wood."""
    said = walk.says(["receive", *ANSWERS[:-1], "D26-0001", *UNNUMBERED])

    assert "lot L26-001 of the same species came in on document D26-0001" in said.out
    assert lot(walk)[0] is None


@pytest.mark.parametrize("break_off", ["cancel", "receive", "lock", "L26-001-01.A"])
def test_a_delivery_that_was_left_is_none(walk: Walk, break_off: str) -> None:
    """Half an answer receives nothing."""
    before = walk.size()
    said = walk.says(["receive", *ANSWERS[:3], break_off])

    assert "the question before was left: nothing was recorded of it" in said.out
    assert walk.size() == before


def test_whoever_may_not_receive_is_told(walk: Walk) -> None:
    """The policy decides, and nothing is recorded."""
    said = walk.says(["receive", *ANSWERS, *UNNUMBERED], options="--by 03")

    assert "nothing was recorded: " in said.out
    assert lot(walk)[0] is None


def test_a_delivery_comes_in_from_its_list(walk: Walk) -> None:
    """How the list was understood is shown before anything is recorded."""
    said = walk.answers(f"receive {LISTS / 'valdesund.csv'}", *FROM_LIST, "yes")
    found, papers = lot(walk)

    assert said[-3].startswith(
        "valdesund.csv has 24 sets of Picea abies, 48 pieces to label"
    )
    assert said[-3].endswith("do they come in, yes or no?")
    assert said[-2].endswith(
        "24 of 24 boards numbered; papers: D26-0002; L26-004-01.A to L26-004-24.B"
    )
    assert found is not None and papers == ["D26-0002"]
    shop = walk.shop()
    with shop.store.reading() as session:
        assert len(boards_of(session, "L26-004")) == 48
    shop.close()


def test_a_list_that_cannot_come_in_asks_nobody_anything(walk: Walk) -> None:
    """Its faults are told before the first question, and what to do about them."""
    said = walk.says([f"receive {LISTS / 'odd-number-of-halves.csv'}"])

    assert "who sawed it" not in said.out
    assert "to flitchbook lot receive --list" in said.out


def test_a_list_that_is_not_meant_is_not_received(walk: Walk) -> None:
    """A no leaves everything as it was."""
    before = walk.size()
    said = walk.answers(f"receive {LISTS / 'valdesund.csv'}", *FROM_LIST, "no")

    assert said[-1] == "valdesund.csv: left, and may come in later"
    assert walk.size() == before


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("none.csv", "there is no file"),
        ("../packing", "is a folder: name a file in it"),
        (
            "odd-number-of-halves.csv",
            "odd-number-of-halves.csv cannot come in yet: line",
        ),
        ("nonsense-in-every-column.csv", "nothing was rec"),
    ],
)
def test_a_list_that_cannot_come_in_is_refused_here_too(
    walk: Walk, name: str, why: str
) -> None:
    """With its bad rows, and nothing is recorded."""
    before = walk.size()
    said = walk.says([f"receive {LISTS / name}", *FROM_LIST])

    assert why in said.out and "Traceback" not in said.out
    assert walk.size() == before
