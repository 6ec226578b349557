"""What is known of a board rests on entries, the newest of each kind."""

import pytest

from ledger.acts.corrections import correct
from ledger.events import BoardMoved, BoardWeighed
from ledger.views import behind
from ledger.views.behind import entries_behind
from tests.skerrymoor import NECK, Loft


@pytest.mark.parametrize("most", [500, 1])
def test_the_newest_that_nobody_struck_stands_behind_a_board(
    supplied: Loft, monkeypatch: pytest.MonkeyPatch, most: int
) -> None:
    """However many are asked about; of what has no number nothing does."""
    monkeypatch.setattr(behind, "MOST_NAMED", most)
    codes = supplied.number(supplied.receive(), NECK, NECK)
    with supplied.shop.store.reading() as session:
        numbered = entries_behind(session, [codes[0]])[codes[0]]
    supplied.say(BoardWeighed(board=codes[0], mass_mg=1_039_000), "03")
    newest = supplied.say(BoardWeighed(board=codes[0], mass_mg=1_038_000), "03").index
    moved = supplied.say(BoardMoved(board=codes[0], place="shelf B"), "03").index
    with supplied.shop.store.reading() as session:
        before = entries_behind(session, codes)
    correct(supplied.shop, newest, reason="astray", hands=supplied.hands("03"))
    with supplied.shop.store.reading() as session:
        after = entries_behind(session, [*codes, "L26-009-01"])

    assert len(numbered) == 1
    assert before[codes[0]] == (numbered[0], newest, moved)
    assert after[codes[0]] == (numbered[0], newest - 1, moved)
    assert after["L26-009-01"] == ()
    assert len(after[codes[1]]) == 1
