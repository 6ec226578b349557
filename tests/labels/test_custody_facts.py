"""The way of a wood has every stage, known or not."""

from dataclasses import replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from labels.custody_facts import OF_ANIMALS, STAGES, Step, chain, stage_words
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
    added = [step for step in way.steps if step not in told]

    assert {step.stage for step in way.steps} >= set(asked)
    assert {step.stage for step in added} <= set(asked)
    assert all(stage_words(each.stage, is_animal=way.is_animal) for each in way.steps)
    assert order == sorted(order)
    assert all(step in way.steps for step in told)
    assert all(step.is_gap for step in added)
    assert len(way.steps) == len(told) + len(added)


def test_a_gap_is_what_is_not_known_or_not_shown() -> None:
    """A word is weak, and no gap; nothing at all is one."""
    grew = Step("grew", "IT", "", "", 3, "witness")

    assert not grew.is_gap
    assert grew._replace(shown="none").is_gap
    assert grew._replace(said="").is_gap
    assert chain(PART, [grew]).gaps == len(STAGES) - 1
