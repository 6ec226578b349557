"""Tests of the family of a board."""

from dataclasses import replace
from typing import Any

import pytest

from labels import plot_family
from labels.page import open_document
from labels.plot_family import FamilyTree, Kin, Loss, ends, filled, generations
from labels.plot_figure import Label
from ledger.errors import RefusedError
from tests.labels.book_samples import family, far_generations, kin, many_pieces


def board_of(plot: FamilyTree) -> Kin:
    """Return the board that a family begins with."""
    assert plot.board is not None
    return plot.board


def labels(plot: FamilyTree, width: float = 188.0) -> tuple[Label, ...]:
    """Return the words of a family."""
    page = open_document((210, 148), "family")
    return plot_family.draw(page, (11, 11, width, 126), plot)


def words(plot: FamilyTree) -> list[str]:
    """Return the words of a family without their boxes."""
    return [label.words.replace("\u2009", " ") for label in labels(plot)]


def test_each_end_has_number_mass_and_place() -> None:
    """And what was lost has its name and its mass."""
    said = words(family())

    for expected in (
        "L24-002-01.C4",
        "85 g",
        "bridge of 26-0147-3",
        "bridge strips, offcut, in the rack",
        "tailpiece, spoiled",
        "not weighed",
        "16 g",
        "Diospyros crassiflora",
        "made into 4 pieces, each as high as its mass",
    ):
        assert expected in said


def test_wood_glued_with_other_wood_says_how_much_is_of_the_board() -> None:
    """A block of 300 g, of which the board gave 100 g."""
    said = words(family())

    assert "block, in the rack; 100 g of it from here" in said and "300 g" in said


def test_what_weighs_something_else_today_says_so() -> None:
    """Wood dries, and is planed."""
    dry = replace(kin("L26-001-11.A", 206, "top"), now_mg=162_900)

    assert "top; 162.9 g now" in words(replace(family(), board=dry))


def test_ends_stand_in_the_order_of_their_boxes() -> None:
    """No way from a box to its words crosses another."""
    found = {label.words: label.top for label in labels(family())}
    order = [found[f"L24-002-01.{n}"] for n in ("C4", "C5", "C2", "C3")]

    assert order == sorted(order)


def test_a_family_is_counted_by_generations_and_ends() -> None:
    """The plank, its blank and what was sawn of the blank."""
    board = board_of(family())

    assert generations(board) == 3
    assert [end.code[-2:] for end in ends(board)] == ["C4", "C5", "C2", "C3"]
    assert filled(board) == board.mass_mg
    assert generations(kin("L24-002-01", 384, "plank")) == 1
    assert generations(kin("L24-002-01", 384, "plank", lost=3)) == 2


def test_what_has_no_room_for_words_is_counted() -> None:
    """Of two hundred strips the heaviest have words."""
    said = words(many_pieces())
    named = sum(each.startswith("L24-002-01.C") for each in said)

    assert any(f"{200 - named} without words for want of room" in each for each in said)
    assert "L24-002-01.C199" in said and "L24-002-01.C0" not in said


def test_a_generation_too_far_is_told_and_not_drawn() -> None:
    """Of thirty generations those that have room are drawn."""
    assert "made into 2 pieces" in words(far_generations())


def test_a_loss_below_nothing_is_refused() -> None:
    """More cannot come off the saw than went in."""
    bad = replace(board_of(family()), losses=(Loss(what="waste", mass_mg=-1000),))
    with pytest.raises(RefusedError, match="waste of L24-002-01 would be −1"):
        labels(replace(family(), board=bad))


@pytest.mark.parametrize("board", [None, kin("L24-002-01", 0, "plank")])
def test_a_board_that_nobody_weighed_is_said_to_be(board: Any) -> None:
    """It has no height to be drawn by."""
    assert "Nobody has weighed this board yet." in words(replace(family(), board=board))


def test_a_board_that_was_not_sawn_says_so() -> None:
    """It stands alone, with what it weighs."""
    said = words(replace(family(), board=kin("L24-002-01", 384, "plank, in the rack")))

    assert "nothing was made of it yet" in said and "384 g" in said
