"""A road: what may begin waits for what comes before it, its gates and its rest."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.craft.route import (
    RouteStep,
    Signed,
    behind,
    may_begin,
    next_steps,
    stands,
)

ROAD = (
    RouteStep(name="glue", qualification="plates", rest_days=2),
    RouteStep(name="close", qualification="brace", after=("glue",), gate="inspected"),
    RouteStep(name="neck", qualification="necks"),
    RouteStep(name="marry", qualification="necks", after=("close", "neck")),
)
DAY = "2026-03-02"


def said(step: str, meaning: str = "did", who: str = "a", **more: object) -> Signed:
    """Return a signature of the day."""
    told = {"is_supervised": bool(more.get("is_supervised", False))}
    day = str(more.get("day", DAY))
    return Signed(step=step, meaning=meaning, day=day, subject=who, **told)


@pytest.mark.parametrize(
    ("signed", "state"),
    [
        ((), "open"),
        ((said("close", "assisted"),), "open"),
        ((said("close"),), "gate shut"),
        ((said("close"), said("close", "approved", "b")), "gate shut"),
        ((said("close"), said("close", "inspected", "b")), "done"),
        ((said("close", is_supervised=True),), "needs countersign"),
        (
            (said("close", is_supervised=True), said("close", "inspected", "b")),
            "needs countersign",
        ),
        (
            (said("close", is_supervised=True), said("close", "witnessed", "a")),
            "needs countersign",
        ),
        (
            (
                said("close", is_supervised=True),
                said("close", "witnessed", "b", is_supervised=True),
            ),
            "needs countersign",
        ),
        (
            (said("close", is_supervised=True), said("close", "witnessed", "b")),
            "gate shut",
        ),
    ],
)
def test_a_step_stands_where_its_signatures_put_it(
    signed: tuple[Signed, ...], state: str
) -> None:
    """Open, waiting for a countersign by another who may, for its gate, or done."""
    assert stands(ROAD, signed)["close"] == state


def test_glue_rests_until_a_day_and_no_longer() -> None:
    """The day before it may not begin, and says until when; on the day it may."""
    signed = [said("glue")]
    waits = may_begin(ROAD, signed, "close", today="2026-03-03")

    assert waits.reasons == ("glue rests until 2026-03-04",)
    assert waits.earliest == "2026-03-04"
    assert may_begin(ROAD, signed, "close", today="2026-03-04")
    assert may_begin(ROAD, signed, "neck", today=DAY)


def test_a_step_waits_for_all_before_it_however_far_back() -> None:
    """Each reason is told, and one that was opened again is one of them."""
    signed = [said("close"), said("neck")]

    assert may_begin(ROAD, signed, "marry", today="2026-04-01").reasons == (
        "glue is not done yet",
        "close is not inspected yet",
    )
    assert behind(ROAD, "glue") == {"close", "marry"}
    assert behind(ROAD, "marry") == set()


def test_a_gate_that_was_reached_stops_what_comes_later_on_the_road() -> None:
    """Also what does not come after it; one that was not reached stops nobody."""
    before = [said("glue", day="2026-01-01")]

    assert may_begin(ROAD, before, "neck", today=DAY)
    shut = may_begin(ROAD, [*before, said("close")], "neck", today=DAY)
    assert shut.reasons == ("close is not inspected yet",)
    opened = [*before, said("close"), said("close", "inspected", "b")]
    assert may_begin(ROAD, opened, "neck", today=DAY)


def test_what_may_be_done_now_is_told_apart_from_what_waits() -> None:
    """What is done is in neither of them."""
    ready, blocked = next_steps(ROAD, [said("neck")], today=DAY)

    assert ready == ["glue"]
    assert blocked == {
        "close": ("glue is not done yet",),
        "marry": ("glue is not done yet", "close is not done yet"),
    }


def test_steps_that_come_after_nothing_are_done_in_any_order() -> None:
    """As all steps of the first models."""
    plain = [RouteStep(name=name, qualification="plates") for name in "abc"]
    ready, blocked = next_steps(plain, [said("b")], today=DAY)

    assert (ready, blocked) == (["a", "c"], {})


def test_a_circle_ends() -> None:
    """Models are refused one; a rule that met one would still answer."""
    ring = [
        RouteStep(name="a", qualification="plates", after=("b",)),
        RouteStep(name="b", qualification="plates", after=("a",)),
    ]

    assert may_begin(ring, [], "a", today=DAY).reasons == ("b is not done yet",)


NAMES = ("glue", "close", "neck", "marry")
SIGNED = st.lists(
    st.builds(
        Signed,
        step=st.sampled_from(NAMES),
        meaning=st.sampled_from(("did", "inspected", "witnessed", "approved")),
        day=st.dates().map(lambda day: day.isoformat()),
        subject=st.sampled_from(("a", "b")),
        is_supervised=st.booleans(),
    ),
    max_size=12,
)


@given(signed=SIGNED, today=st.dates().map(lambda day: day.isoformat()))
def test_every_step_is_done_or_waits_or_may_begin(
    signed: list[Signed], today: str
) -> None:
    """No open step is left out, and none is in two places."""
    ready, blocked = next_steps(ROAD, signed, today=today)
    waiting = {name for name, state in stands(ROAD, signed).items() if state == "open"}

    assert not {*ready} & {*blocked}
    assert {*ready} | {*blocked} == waiting
    for name in ready:
        assert may_begin(ROAD, signed, name, today=today)
    assert all(blocked.values())


@given(signed=SIGNED)
def test_a_step_never_stands_done_without_somebody_who_did_it(
    signed: list[Signed],
) -> None:
    """Whatever else was said of it, by whomever."""
    for name, state in stands(ROAD, signed).items():
        did = [s for s in signed if s.step == name and s.meaning == "did"]
        assert (state == "open") == (not did)
        if state == "done" and all(each.is_supervised for each in did):
            doers = {each.subject for each in did}
            assert any(
                s.step == name and s.meaning == "witnessed" and s.subject not in doers
                for s in signed
            )
