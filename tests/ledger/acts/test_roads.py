"""How far an instrument is on the road of its model."""

import pytest

from ledger.acts.builds import find_build
from ledger.acts.roads import next_words, road_of, route_of
from ledger.errors import NotFoundError
from tests import roadside
from tests.roadside import CARVE, CLOSE, FIRST, JOIN
from tests.skerrymoor import Loft


def coming(road: Loft) -> str:
    """Return what comes next on the first instrument."""
    with road.shop.store.reading() as session:
        told = road_of(session, find_build(session, FIRST))
    return next_words(told, today=road.shop.today())


def test_the_rule_reads_all_that_a_model_says(road: Loft) -> None:
    """Steps in order, with their gates, rests and marriages."""
    with road.shop.store.reading() as session:
        told = road_of(session, find_build(session, FIRST))
    steps = {step.name: step for step in route_of(told.model)}

    assert [*steps] == [step.step for step in roadside.STEPS]
    assert (steps[JOIN].ways, steps[JOIN].rest_days) == (("by hand", "by machine"), 2)
    assert (steps[CLOSE].gate, steps[CLOSE].measured) == ("inspected", ("room",))
    assert steps["marry"].marries and not steps[CARVE].photograph
    assert told.planned(CARVE).qualification == "necks"
    with pytest.raises(NotFoundError, match="has no step 'varnish': it has join the"):
        told.planned("varnish")


def test_what_comes_next_is_a_step_or_what_it_waits_for(road: Loft) -> None:
    """From the first step to the last."""
    assert coming(road) == "next step: 1 join the top"
    roadside.done(road, FIRST, JOIN)
    assert coming(road) == "next step: 3 carve the neck"
    roadside.done(road, FIRST, CARVE)
    assert coming(road) == "close the box waits: join the top rests until 2026-01-07"
    roadside.later(road, 2)
    roadside.done(road, FIRST, CLOSE)
    assert coming(road).startswith("marry waits: close the box is not inspected yet")
    road.sign(FIRST, CLOSE, "06", meaning="inspected")
    for step in ("marry", "press the frets"):
        roadside.done(road, FIRST, step)
    assert coming(road) == "set up waits: press the frets is not approved yet"
    road.sign(FIRST, "press the frets", "01", meaning="approved")
    roadside.done(road, FIRST, "set up")
    assert coming(road) == "every step is done"


def test_the_last_step_s_countersign_is_waited_for(road: Loft) -> None:
    """Then nothing is open, and still not all is done."""
    roadside.walk(road, FIRST, before="set up")
    roadside.learns(road, "set-up", "06")
    roadside.done(road, FIRST, "set up", "08")

    assert coming(road) == ("set up needs a countersign by a set-up-qualified builder")
