"""The way of a wood has every stage, known or not."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.custody_facts import (
    MEANT_FOR,
    OF_ANIMALS,
    STAGES,
    Step,
    chain,
    stage_words,
)
from tests.labels.consignments import item

PART = item("26-0147-3", "Picea abies", "top", 190_250)
steps = st.lists(
    st.builds(
        Step,
        st.sampled_from(list(STAGES)),
        st.sampled_from(["", "known"]),
        st.just("2026-01-05"),
        st.just(""),
        st.none() | st.integers(0, 99),
        st.sampled_from(["document", "diary", "witness", "none"]),
    )
)


@given(steps, st.sampled_from(["plant", "animal", "unknown"]))
def test_every_stage_is_there_in_order_and_no_step_is_lost(
    told: list[Step], kind: Any
) -> None:
    """What nobody recorded is a gap, and nothing else is added; bone has no board."""
    way = chain(replace(PART, kind=kind), told)
    asked = OF_ANIMALS if kind == "animal" else STAGES
    order = [list(STAGES).index(step.stage) for step in way.steps]
    weighed = [step.as_shown for step in told]
    added = [step for step in way.steps if step not in weighed]

    assert {step.stage for step in way.steps} >= set(asked)
    assert {step.stage for step in added} <= set(asked)
    assert all(
        stage_words(each.stage, is_animal=way.is_animal, is_made=way.is_made)
        for each in way.steps
    )
    assert order == sorted(order)
    assert all(step in way.steps for step in weighed)
    assert all(step.is_gap for step in added)
    assert len(way.steps) == len(told) + len(added)


def test_a_gap_is_what_is_not_known_or_not_shown() -> None:
    """A word is weak, and no gap; nothing at all is one."""
    grew = Step("grew", "IT", "", "", 3, "witness")

    assert not grew.is_gap
    assert grew._replace(shown="none").is_gap
    assert grew._replace(said="").is_gap
    assert chain(PART, [grew]).gaps == len(STAGES) - 1


@given(steps)
def test_a_paper_is_claimed_only_where_one_is_named(told: list[Step]) -> None:
    """A step is by a paper beside a paper, by our book beside an entry; or it is not.

    Nothing is ever shown better than it was said to be.
    """
    order = ["none", "witness", "diary", "document"]
    for step in told:
        said = step.as_shown

        assert said.shown != "document" or said.document
        assert said.shown != "diary" or said.entry is not None
        assert order.index(said.shown) <= order.index(step.shown)
        assert said._replace(shown=step.shown) == step
    for step in chain(PART, told).steps:
        assert step.as_shown == step


@pytest.mark.parametrize(
    ("form", "is_made"),
    [
        ("finished_instruments", True),
        ("finished instrument part", True),
        ("inlay", True),
        ("sawn_wood", False),
        ("sawn", False),
        ("unfinished_shaped_parts", False),
        ("half carved", False),
        ("shell", False),
    ],
)
def test_raw_wood_was_made_into_nothing(form: str, is_made: bool) -> None:
    """A board that goes as a board is meant for a fingerboard."""
    way = chain(replace(PART, form=form), ())
    name, _ = stage_words("part", is_animal=False, is_made=way.is_made)

    assert name == (STAGES["part"][0] if is_made else MEANT_FOR[0])


def test_nobody_is_said_to_have_sawn_it() -> None:
    """The record knows who supplied it, and no more."""
    for told in (STAGES, OF_ANIMALS):
        assert told["supplied"][0] == "supplied by"
        assert not any("saw" in words for pair in told.values() for words in pair)
