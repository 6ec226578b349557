"""What is refused is said in the trade's words, with whom to ask."""

import pytest

from ledger.acts.doings import DOINGS, refusal_words
from ledger.events import EVENTS


def test_every_sentence_of_the_log_has_words() -> None:
    """And no words stand for a sentence that is none."""
    assert DOINGS.keys() == {event.kind.partition("/")[0] for event in EVENTS}


@pytest.mark.parametrize(
    ("kind", "reason", "said"),
    [
        (
            "build.begun/1",
            "build.begun needs the role lead",
            "beginning an instrument needs the role lead: ask somebody who has it, "
            "flitchbook person list shows who",
        ),
        (
            "policy.adopted/1",
            "policy.adopted is for a lead",
            "adopting a policy is for a lead: ask one, flitchbook person list shows "
            "who",
        ),
        (
            "qualification.granted/1",
            "nobody qualifies himself",
            "nobody qualifies himself: ask another lead to do it",
        ),
        (
            "qualification.granted/1",
            "the qualification plates is held already",
            "the qualification plates is held already: nothing is left to do, "
            "flitchbook person list shows who holds what",
        ),
        ("loan.agreed/1", "loan.agreed needs x", "loan.agreed needs x: ask somebody"),
        ("build.begun/1", "the roots are away", "the roots are away"),
    ],
)
def test_a_reason_says_what_to_do(kind: str, reason: str, said: str) -> None:
    """What the log itself calls a thing is never shown where it has a name."""
    assert refusal_words(kind, [reason]).startswith(said)


def test_several_reasons_are_told_in_one_sentence() -> None:
    """Each with what to do."""
    told = refusal_words("build.begun/1", ["build.begun needs x", "nobody knows"])

    assert told.endswith("flitchbook person list shows who; nobody knows")
