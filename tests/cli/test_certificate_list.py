"""A status list that a command is named holds and is the newest, or it is no YES."""

from pathlib import Path

import pytest

from cli.certificate_list import held_to
from ledger.check import BUT, CANNOT_TELL, YES, Answer, check
from tests.ledger.buying import PINNED
from tests.ledger.check.test_status import TODAY, listing

SECOND, FIRST = listing(number=2), listing(number=1)


@pytest.fixture(autouse=True)
def account(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Give an account that has seen nothing."""
    monkeypatch.setenv("FLITCHBOOK_STATE", str(tmp_path / "state"))


def asked(status: bytes) -> Answer:
    """Return what a command answers to the pinned certificate beside a list."""
    answer = check(PINNED.data, PINNED.keys, status, today=TODAY)
    found: Answer = held_to(answer, status, PINNED.keys)
    return found


def test_a_list_is_held_to_the_newest_that_was_seen() -> None:
    """Older, or of the same number with other words: CANNOT TELL."""
    assert asked(FIRST).word == asked(SECOND).word == asked(SECOND).word == YES
    older, other = asked(FIRST), asked(listing("superseded", number=2))

    assert (older.word, other.word) == (CANNOT_TELL, CANNOT_TELL)
    assert older.reasons == (
        "status list 1 is older than status list 2, which this account has seen: ask "
        "the shop for its newest",
    )
    assert "says otherwise than the status list 2" in other.reasons[0]
    assert older.status is not None and older.status.words == ()


def test_what_an_older_list_says_against_it_stays() -> None:
    """And that it is older is told besides."""
    asked(SECOND)
    answer = asked(listing("withdrawn", number=1))

    assert answer.word == BUT
    assert "is older than status list 2" in answer.reasons[-1]


def test_one_that_does_not_hold_is_told_once() -> None:
    """Nothing of it is remembered."""
    answer = asked(listing(number=9)[:-1])

    assert answer.word == CANNOT_TELL
    assert answer.reasons[0].startswith("the status list does not hold")
    assert asked(FIRST).word == YES


def test_beside_what_no_list_speaks_of_it_is_not_asked() -> None:
    """A NO stays one."""
    answer = check(PINNED.data[:-9], PINNED.keys, FIRST, today=TODAY)

    assert held_to(answer, FIRST, PINNED.keys) is answer
