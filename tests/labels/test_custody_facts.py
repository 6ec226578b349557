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
    Chain,
    Step,
    chain,
    stage_words,
    told_once,
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


def blank(
    number: int, entry: int, lot: str = "L26-004", taxon: str = "Picea abies"
) -> Chain:
    """Return the way of a blank: its lot's entry, and its own."""
    code = f"L26-004-{number:02}"
    of = item(code, taxon, "fingerboard", 280_000)
    return chain(
        of,
        [
            Step("grew", "Norway (NO)", "", "", 41, "witness"),
            Step("supplied", "a supplier in Norway", "", "", 41, "diary"),
            Step("lot", lot, "2026-01-05", "", 41, "diary"),
            Step("board", code, "", "", entry, "diary"),
            Step("part", "fingerboard", "", "", entry, "diary"),
            Step("thing", code, "", "", entry, "diary"),
        ],
    )


def test_like_blanks_are_told_once_with_their_codes() -> None:
    """Sixteen ways that differ in codes and entries alone are one of sixteen."""
    (way,) = told_once([blank(n, 100 + n) for n in range(5, 21)])
    said = {step.stage: step for step in way.steps}

    assert (way.thing, way.pieces) == ("L26-004-05 to 20", 16)
    assert said["board"].said == said["thing"].said == "L26-004-05 to 20"
    assert (said["board"].entry, said["board"].is_first) == (105, True)
    assert (said["lot"].entry, said["lot"].is_first) == (41, False)


@pytest.mark.parametrize(
    "ways",
    [
        [blank(5, 105), blank(6, 106)],
        [blank(5, 105), blank(7, 107), blank(9, 109)],
        [blank(n, n, lot=f"L26-00{n}") for n in range(5, 8)],
        [blank(n, n, taxon=f"Picea {'abc'[n - 5]}") for n in range(5, 8)],
    ],
)
def test_other_blanks_are_told_one_by_one(ways: list[Chain]) -> None:
    """Two alone, gaps between codes, another lot, another species."""
    assert told_once(ways) == ways


def test_the_order_of_a_shipment_is_kept() -> None:
    """The one stands where the first of the like ones stood."""
    other = blank(1, 3, taxon="Acer pseudoplatanus")
    likes = [blank(n, n) for n in (5, 6, 7)]
    found = told_once([likes[0], other, *likes[1:], blank(40, 9)])

    assert [way.thing for way in found] == [
        "L26-004-05 to 07",
        "L26-004-01",
        "L26-004-40",
    ]
