"""A board in hand: weighed, asked about, put away."""

import pytest

from ledger.views.boards import Board
from tests.cli.rounds import Walk, scan


def board(walk: Walk, code: str) -> Board:
    """Return a board as it stands."""
    shop = walk.shop()
    with shop.store.reading() as session:
        found = session.get_one(Board, code)
        session.expunge_all()
    shop.close()
    return found


@pytest.mark.parametrize(
    ("typed", "mass_mg"),
    [
        ("204", 204_000),
        ("204 g", 204_000),
        ("204,5 G", 204_500),
        ("0.204 kg", 204_000),
        ("7.2 oz", 204_117),
        ("7 1/5 oz", 204_117),
        ("0 lb 7.2 oz", 204_117),
        ("２０４ｇ", 204_000),
    ],
)
def test_grams_are_those_of_the_board_in_hand(
    walk: Walk, typed: str, mass_mg: int
) -> None:
    """However the scale gives them; a bare number is grams."""
    walk.answers(scan("L26-001-01.A"), typed)

    assert board(walk, "L26-001-01.A").mass_mg == mass_mg


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("1,250 g", "can be read in two ways"),
        ("-204 g", "is below zero"),
        ("0 g", "0 mg is no mass"),
        ("900 g", "weighed 205 g last, a difference above 15 %"),
        ("99999999999999999 g", "more than the ledger can hold"),
    ],
)
def test_a_mass_that_cannot_be_is_not_recorded(
    walk: Walk, typed: str, why: str
) -> None:
    """The board stays in hand for the next try."""
    said = walk.says(["L26-001-01.A", typed, "cancel", "204 g"])

    assert "nothing was recorded: " in said.out and why in said.out
    assert board(walk, "L26-001-01.A").mass_mg == 204_000


def test_what_was_read_twice_is_taken_as_read(walk: Walk) -> None:
    """A doubtful mass needs a word more, and only that word."""
    said = walk.says(["L26-001-01.A", "170 g", "yes", "as read"])

    assert "'yes' is no mass and not 'as read'" in said.out
    assert "L26-001-01.A 170 g, 357 kg/m³" in said.out
    assert board(walk, "L26-001-01.A").mass_mg == 170_000


def test_a_doubtful_mass_is_followed_by_a_better_one(walk: Walk) -> None:
    """The next mass answers the question."""
    walk.says(["L26-001-01.A", "900 g", "203 g"])

    assert board(walk, "L26-001-01.A").mass_mg == 203_000


@pytest.mark.parametrize(("word", "more"), [("yes", 2), ("no", 1)])
def test_the_same_mass_of_the_same_board_is_asked_about(
    walk: Walk, word: str, more: int
) -> None:
    """A key that was held, or a scale that sends twice, makes no second entry."""
    before = walk.size()
    walk.answers("L26-001-01.A", "204 g", "204 g", word)

    assert walk.size() == before + more


def test_a_set_is_weighed_half_by_half(walk: Walk) -> None:
    """Which half lies on the scale is not guessed."""
    said = walk.says([scan("L26-001-01"), "412 g"])

    assert said.out.startswith("L26-001-01 205 g on 2026-01-05 and 207 g on")
    assert (
        "L26-001-01 is a set: scan the half, L26-001-01.A or L26-001-01.B" in said.out
    )


@pytest.mark.parametrize("words", [("to 棚 B3",), ("move 棚 B3",), ("move", "棚 B3")])
def test_wood_is_moved_by_two_words(walk: Walk, words: tuple[str, ...]) -> None:
    """A place has any name, in any script."""
    walk.answers("L26-001-01", *words)

    assert board(walk, "L26-001-01.A").place == "棚 B3"
    assert board(walk, "L26-001-01.B").place == "棚 B3"


def test_a_new_place_without_a_word_before_is_asked_about(walk: Walk) -> None:
    """What only looks like a place is nowhere; a known one needs no question."""
    said = walk.says(
        [
            *("L26-001-01.A", "shlef B3", "perhaps", "no", "shelf B3", "yes"),
            *("L26-001-01.B", "SHELF b3"),
        ]
    )

    assert "'perhaps' is neither yes nor no" in said.out
    assert "L26-001-01.A: not moved" in said.out
    assert board(walk, "L26-001-01.A").place == "shelf B3"
    assert board(walk, "L26-001-01.B").place == "shelf B3"


@pytest.mark.parametrize(
    ("typed", "noun"),
    [
        ("205 mm", "a length"),
        ("8 1/8 in", "a length"),
        ("1,250 mm", "a length"),
        ("２０５㎜", "a length"),
        ("559 x 203 x 4.2 mm", "sizes"),
        ("559 mm × 203 mm", "sizes"),
        ("7.8 %", "a moisture content"),
        ("432 kg/m³", "a density"),
        ("71.29 Hz", "a frequency"),
        ("20 °C", "a temperature"),
    ],
)
def test_an_amount_of_another_unit_is_no_place(
    walk: Walk, typed: str, noun: str
) -> None:
    """Whoever reads a rule out loud has not moved the board."""
    said = walk.says(["L26-001-01.A", typed, "yes"])

    assert f"{typed!r} is {noun}: a mass is such as 205 g" in said.out
    assert "'yes' answers no question" in said.out
    assert board(walk, "L26-001-01.A").place is None


@pytest.mark.parametrize("place", ["4 C", "2 north", "205 mm"])
def test_a_place_may_begin_with_a_number(walk: Walk, place: str) -> None:
    """And after the word for it any words are a place."""
    walk.answers("L26-001-01.A", f"to {place}", "L26-001-01.B", place)

    assert board(walk, "L26-001-01.A").place == place
    assert board(walk, "L26-001-01.B").place == place


def test_a_letter_after_a_number_is_asked_about_as_a_place(walk: Walk) -> None:
    """Shelf 4 C is no temperature."""
    said = walk.answers("L26-001-01.A", "4 C", "yes")

    assert said[1].startswith("no wood lies at '4 C' yet")
    assert board(walk, "L26-001-01.A").place == "4 C"


def test_a_whole_lot_is_moved_at_once(walk: Walk) -> None:
    """All of it that lies in the rack."""
    said = walk.answers("L26-001", "to rack 2")

    assert "L26-001 rack 2: put there, 6 pieces" in said[-1]


def test_an_instrument_is_neither_weighed_nor_moved_here(walk: Walk) -> None:
    """A number is a step of it, and a place is none."""
    said = walk.says(["26-0001-8", "412 g", "to shelf B3"])

    assert "'412 g' is no step of 26-0001-8" in said.out
    assert "26-0001-8 is no wood, and only wood is moved here" in said.out
