"""A measure of an instrument is looked at beside its model, its wood and its past."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.acts import likely
from ledger.acts.builds import find_build
from ledger.acts.plausible import UnlikelyError
from ledger.errors import RefusedError
from ledger.events.build import Measure
from ledger.events.route import Characteristic
from ledger.views.builds import BuildMeasure
from tests.roadside import FIRST
from tests.skerrymoor import Loft


def look(road: Loft, *measures: Measure, as_read: bool = False) -> None:
    """Look at measures of the first instrument."""
    with road.shop.store.reading() as session:
        build = find_build(session, FIRST)
        likely.require_likely(session, build, measures, as_read=as_read)


def test_a_measure_gets_the_name_that_a_step_has_for_it() -> None:
    """Capitals and spaces tell none apart; what no step names keeps its own."""
    asked = [Characteristic(what="relief, settled", unit="length_um")]
    read = [Measure(what="Relief,  Settled", length_um=1), Measure(what="x", mass_mg=1)]

    assert [m.what for m in likely.named(read, asked)] == ["relief, settled", "x"]


@pytest.mark.parametrize(
    "measure",
    [
        Measure(what="Relief", mass_mg=18_000_000),
        Measure(what="mass", length_um=400_000),
        Measure(what="room", temperature_millikelvin=294_150),
    ],
)
def test_a_known_thing_keeps_its_kind_of_unit(road: Loft, measure: Measure) -> None:
    """Nobody insists on a relief in kilograms."""
    for as_read in (False, True):
        with pytest.raises(RefusedError, match=r"another unit than .* in which Nightf"):
            look(road, measure, as_read=as_read)


@pytest.mark.parametrize(
    ("measure", "why"),
    [
        (Measure(what="thickness of the top", length_um=9_700), "4.2.mm thick"),
        (Measure(what="top width", length_um=470_000), "203.mm and 203.mm wide"),
        (Measure(what="length of the neck", length_um=932_000), "810.mm long"),
        (Measure(what="relief", length_um=3_001), "nothing beyond 0.3.mm"),
        (Measure(what="relief", length_um=-1_001), "nothing beyond 0.3.mm"),
    ],
)
def test_what_is_larger_than_can_be_is_asked_about(
    road: Loft, measure: Measure, why: str
) -> None:
    """A part than its wood, a reading than all that is known; who insists is heard."""
    with pytest.raises(UnlikelyError, match=why):
        look(road, measure)
    look(road, measure, as_read=True)


@pytest.mark.parametrize(
    "measure",
    [
        Measure(what="thickness of the top", length_um=4_200),
        Measure(what="width of the top", length_um=406_000),
        Measure(what="thickness of the binding", length_um=9_000),
        Measure(what="width of the fret slots", length_um=600),
        Measure(what="relief", length_um=-200),
        Measure(what="relief", length_um=900),
        Measure(what="air", temperature_millikelvin=294_150),
    ],
)
def test_what_can_be_is_not_asked_about(road: Loft, measure: Measure) -> None:
    """Nor is what nobody knows anything of."""
    look(road, measure)


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(um=st.integers(min_value=1, max_value=300_000))
def test_a_thickness_is_asked_about_above_its_wood_and_not_below(
    road: Loft, um: int
) -> None:
    """Two halves of 4.2 mm, and 15 % for a scale that reads a little much."""
    measure = Measure(what="thickness of the top", length_um=um)
    if um * 100 <= 2 * 4_200 * 115:
        look(road, measure)
        return
    with pytest.raises(UnlikelyError):
        look(road, measure)


def test_what_was_struck_is_known_no_more(road: Loft) -> None:
    """A slip that was struck forbids no right unit afterwards."""
    slip = Measure(what="heel", mass_mg=90_000)
    index = road.sign(FIRST, "carve the neck", "04", measures=[slip])
    right = replace(slip, mass_mg=None, length_um=90_000)
    with pytest.raises(RefusedError, match=f"in which entry {index} read it"):
        look(road, right)
    road.say(road.strike(index))

    with road.shop.store.reading() as session:
        assert session.get_one(BuildMeasure, (index, 0)).struck_idx is not None
    look(road, right)
