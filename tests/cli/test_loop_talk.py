"""What a line means: words, scans, answers, and what is done twice or undone."""

import pytest

from cli.loop_lines import Line
from cli.loop_round import Round
from cli.loop_talk import HELP, TWICE_SECONDS, hear
from ledger.acts.shop import Hands
from ledger.acts.signing import find_person, person_key
from ledger.views.boards import Board
from tests.cli.rounds import SERIAL, Walk, scan


class Ticks:
    """Seconds that stand still until somebody moves them on."""

    now = 0.0

    def __call__(self) -> float:
        """Return the seconds."""
        return self.now


def test_help_names_every_word(walk: Walk) -> None:
    """And asks again what was asked."""
    said = walk.answers("help", "L26-001-01.A", "move", "help")

    assert said[: len(HELP)] == list(HELP)
    assert said[-1] == "where does L26-001-01.A go?"
    for word in ("to", "move", "receive", "undo", "cancel", "lock", "done", "?"):
        assert any(word in line for line in HELP)


def test_a_question_mark_is_help(walk: Walk) -> None:
    """Also with a board in hand, where other words are a place."""
    said = walk.answers("L26-001-01.A", "?")

    assert said[1:] == list(HELP)


@pytest.mark.parametrize("empty", ["", "   ", "\t"])
def test_an_empty_line_says_nothing(walk: Walk, empty: str) -> None:
    """It only repeats a question that is open."""
    said = walk.answers(empty, "L26-001-01.A", "move", empty)

    assert said[1:] == ["where does L26-001-01.A go?"] * 2


@pytest.mark.parametrize("line", ["L26-001-01.A", "l26‑001‑01.a P", "204 g"])
def test_a_misread_scan_lays_down_what_was_in_hand(walk: Walk, line: str) -> None:
    """Grams typed after it would else be those of the board before."""
    before = walk.size()
    said = walk.says(["L26-001-01.A", scan("L26-001-02.A")[:-1] + "!", "204 g"])

    assert "L26-001-01.A is no longer in hand" in said.out
    assert said.out.splitlines()[2].startswith("nothing was recorded: nothing is in")
    assert walk.size() == before
    assert walk.says([line]).code == (line == "204 g")


def test_a_board_that_is_not_there_lays_down_the_one_before(walk: Walk) -> None:
    """Whoever scanned it meant another piece."""
    said = walk.says(["L26-001-01.A", "L26-001-09.A", "204 g"])

    assert said.out.splitlines()[2].startswith("nothing was recorded: nothing is in")


@pytest.mark.parametrize(("seconds", "entries"), [(1.9, 2), (TWICE_SECONDS, 2)])
def test_the_same_scan_is_shown_again(walk: Walk, seconds: float, entries: int) -> None:
    """A board in hand makes no entry by being scanned, soon or late."""
    shop, ticks = walk.shop(), Ticks()
    key = person_key(shop, find_person(shop, "03"), "0303")
    talk = Round(shop=shop, tick=ticks, name="Jakub", hands=Hands(by=key))
    for line in (SERIAL, "L26-001-01"):
        hear(talk, Line(text=line))
    size = shop.store.head().size
    ticks.now += seconds
    heard = hear(talk, Line(text="L26-001-01"))

    assert "it is the top of 26-0001-8" in heard.lines[0]
    assert shop.store.head().size == size
    assert (talk.held and talk.held.code) == (
        SERIAL if seconds < TWICE_SECONDS else "L26-001-01"
    )
    assert len(talk.said[0].entries) == entries
    shop.close()


def test_undo_strikes_what_was_recorded_last(walk: Walk) -> None:
    """Then what was before it; the struck entries stay, and count for nothing."""
    before = walk.size()
    said = walk.says(
        [
            *("L26-001-01.A", "204 g", "to shelf B3"),
            *("undo", "wrong shelf", "undo", "scale not empty", "undo"),
        ]
    )
    shop = walk.shop()
    with shop.store.reading() as session:
        board = session.get_one(Board, "L26-001-01.A")
        assert (board.mass_mg, board.place) == (205_000, None)
    shop.close()

    assert "strike L26-001-01.A to shelf B3: why?" in said.out
    assert "L26-001-01.A 204 g: struck by entry" in said.out
    assert "nothing of this round is left to strike" in said.out
    assert walk.size() == before + 4


def test_undo_takes_both_halves_of_a_set_back(walk: Walk) -> None:
    """One scan was two entries, and so is its striking."""
    walk.answers(SERIAL, "L26-001-01", "undo", "wrong guitar", options="--by 03")
    said = walk.answers("26-0002-6", "L26-001-01", options="--by 03")

    assert said[1].startswith("L26-001-01.A and L26-001-01.B: top of 26-0002-6")


def test_a_mass_that_was_struck_may_be_weighed_again(walk: Walk) -> None:
    """It is no second entry of the same."""
    said = walk.answers("L26-001-01.A", "204 g", "undo", "too soon", "204 g")

    assert "once more" not in " ".join(said)
    assert said[-1].startswith("L26-001-01.A 204 g, 428 kg/m³")


@pytest.mark.parametrize("instead", ["cancel", "undo", "receive", "help"])
def test_a_word_is_never_a_reason(walk: Walk, instead: str) -> None:
    """Whoever says undo twice has struck nothing yet."""
    before = walk.size()
    walk.says(["L26-001-01.A", "204 g", "undo", instead])

    assert walk.size() == before + 1


def test_a_reason_may_begin_like_a_word(walk: Walk) -> None:
    """Only the whole line is a word while a question is open."""
    said = walk.answers("L26-001-01.A", "204 g", "undo", "to be weighed again dry")

    assert said[-1].startswith("L26-001-01.A 204 g: struck by entry")


def test_what_others_rely_on_is_not_struck(walk: Walk) -> None:
    """A lot that came in stays in."""
    answers = (
        "Ferrante",
        "Picea abies",
        "sawn",
        "2 sets",
        "IT",
        "none",
        "later",
        "yes",
    )
    said = walk.says(["receive", *answers, "undo"])

    assert "lot L26-004 was received, and that is not struck" in said.out


def test_undo_ends_at_the_lock(walk: Walk) -> None:
    """Nobody strikes what the one before recorded by a slip of the tongue."""
    said = walk.says(["L26-001-01.A", "204 g", "lock", "03", "undo"])

    assert "nothing of this round is left to strike" in said.out


def test_answers_without_a_question_do_nothing(walk: Walk) -> None:
    """A yes that came twice is no place."""
    said = walk.says(["L26-001-01.A", "yes", "swap", "as read"])

    assert said.out.count("answers no question, for none is open") == 3
