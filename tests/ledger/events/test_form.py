"""What is said is frozen, by name only, and strict about types."""

import dataclasses

import pytest
from pydantic import ValidationError

from ledger.events import EVENTS, BoardAllotted, ClockDoubted
from ledger.events.form import said


@said
class Sung:
    """A board was made to sing."""

    board: str
    taps: int


def test_a_sentence_never_changes() -> None:
    """Nobody takes it back by writing over it."""
    event = BoardAllotted(board="L26-001-01", serial="26-0001-8", part="top")
    with pytest.raises(dataclasses.FrozenInstanceError):
        event.part = "back"  # type: ignore[misc]


@pytest.mark.parametrize("taps", ["5", 5.0, True, None])
def test_a_whole_number_is_a_whole_number(taps: object) -> None:
    """Neither text nor fraction nor yes will do."""
    with pytest.raises(ValidationError):
        Sung(board="L26-001-01", taps=taps)  # type: ignore[arg-type]


def test_members_are_given_by_name() -> None:
    """Not by place, and no others."""
    with pytest.raises((TypeError, ValidationError)):
        Sung("L26-001-01", 5)  # type: ignore[call-arg]
    with pytest.raises((TypeError, ValidationError)):
        Sung(board="L26-001-01", taps=5, colour="pale")  # type: ignore[call-arg]


def test_every_event_is_of_this_form() -> None:
    """Frozen, by name only, without a dictionary to hide things in."""
    for event in EVENTS:
        parameters = event.__dataclass_params__  # type: ignore[union-attr]
        assert parameters.frozen
        assert all(field.kw_only for field in dataclasses.fields(event))
        assert not hasattr(event, "__dict__") or "__slots__" in vars(event)


def test_a_word_of_python_may_name_a_member() -> None:
    """`from` is said as `from` in the log."""
    event = ClockDoubted(from_="2026-01-05T00:00:00Z", to="2026-01-06T00:00:00Z")

    assert event.from_ == "2026-01-05T00:00:00Z"
