"""Who learns what from whom, and who may sign alone: for that person and the lead."""

from typing import Any

import pytest

from ledger.acts import people, training
from ledger.audit import audit
from ledger.errors import RefusedError
from tests import roadside
from tests.roadside import CARVE, FIRST
from tests.skerrymoor import Loft


def told(road: Loft, asker: str = "01", work: str = "necks") -> training.MayAlone:
    """Return what somebody is told of Benji."""
    return training.may_alone(road.shop, road.keys[asker], road.person("08"), work)


@pytest.mark.parametrize(
    ("badge", "trainer", "work", "said"),
    [
        ("08", "08", "necks", "nobody learns from oneself"),
        ("04", "01", "necks", "may do necks alone already, by entry"),
        ("08", "03", "necks", "Jakub Wolański may not do necks alone"),
        ("08", "04", "harps", "knows no 'harps'"),
    ],
)
def test_a_training_has_somebody_to_learn_and_somebody_who_can(
    road: Loft, badge: str, trainer: str, work: str, said: str
) -> None:
    """Anything else is refused, and nothing recorded."""
    size = road.shop.store.head().size
    with pytest.raises(RefusedError, match=said):
        training.begin(
            road.shop,
            road.person(badge),
            work,
            trainer=road.person(trainer),
            hands=road.hands(),
        )

    assert road.shop.store.head().size == size


def test_a_training_runs_once_and_ends_once(road: Loft) -> None:
    """A lead begins and ends it; what was not begun is not ended."""
    benji: dict[str, Any] = {"person": road.person("08"), "work": "necks"}
    with pytest.raises(
        RefusedError, match=r"letting somebody learn a work needs the role lead"
    ):
        training.begin(
            road.shop, **benji, trainer=road.person("04"), hands=road.hands("04")
        )
    with pytest.raises(RefusedError, match="does not learn necks"):
        training.end(road.shop, **benji, hands=road.hands())
    roadside.learns(road)
    with pytest.raises(RefusedError, match="learns necks already, since 2026-01-05"):
        roadside.learns(road)
    training.end(road.shop, **benji, hands=road.hands())

    with pytest.raises(RefusedError, match="which badge 08 does not hold"):
        roadside.done(road, FIRST, CARVE, "08")
    assert audit(road.shop).findings == ()


@pytest.mark.parametrize(
    ("badge", "work", "until", "said"),
    [
        ("08", "necks", "2026-12-31", "does not hold the qualification necks: grant"),
        ("01", "necks", "2026-12-31", "does not hold the qualification necks"),
        ("04", "necks", "2026-01-04", "2026-01-04 is past, and today is 2026-01-05"),
        ("04", "necks", "soon", "'soon' is no day such as"),
    ],
)
def test_only_a_work_that_somebody_holds_is_looked_at(
    road: Loft, badge: str, work: str, until: str, said: str
) -> None:
    """Until a day that is to come."""
    with pytest.raises(RefusedError, match=said):
        training.look_at(
            road.shop, road.person(badge), work, until=until, hands=road.hands()
        )


def test_how_far_somebody_is_goes_from_nothing_to_alone(road: Loft) -> None:
    """Each stage names its entry, its day, the teacher, and what was countersigned."""
    nothing = told(road)
    roadside.learns(road)
    under = roadside.done(road, FIRST, CARVE, "08")
    learning = told(road)
    seen = road.sign(FIRST, CARVE, "04", meaning="witnessed")
    (granted,) = people.qualify(road.shop, road.person("08"), ["necks"], road.hands())
    training.end(road.shop, road.person("08"), "necks", hands=road.hands())
    able = told(road)

    assert (nothing.ability.how, nothing.since, nothing.taught) == ("none", None, ())
    assert (learning.ability.how, learning.since) == ("supervised", "2026-01-05")
    assert (learning.supervised, learning.countersigned) == ((under,), ())
    assert [each.trainer for each in learning.taught] == ["Teresa Quispe"]
    assert (able.ability.how, able.ability.by) == ("qualified", granted.index)
    assert (able.supervised, able.countersigned, able.alone) == ((under,), (under,), ())
    assert able.taught[0].until == "2026-01-05"
    assert seen > under


def test_what_was_done_alone_is_counted_apart(road: Loft) -> None:
    """Of one kind of work only."""
    people.qualify(road.shop, road.person("08"), ["necks"], road.hands())
    index = roadside.done(road, FIRST, CARVE, "08")

    assert told(road).alone == (index,)
    assert told(road, work="frets").alone == ()


def test_that_person_and_the_lead_are_told_and_nobody_else(road: Loft) -> None:
    """Not even who teaches."""
    for asker in ("08", "01"):
        assert told(road, asker).ability.how == "none"
    for asker in ("04", "12"):
        with pytest.raises(RefusedError, match=r"is for Benji .* and the lead, and"):
            told(road, asker)
    with pytest.raises(RefusedError, match="knows no 'harps'"):
        told(road, work="harps")


def test_the_work_of_a_step_is_that_of_its_model(road: Loft) -> None:
    """By instrument and step."""
    with road.shop.store.reading() as session:
        found = training.works_of(session, {FIRST})

    assert found[FIRST, CARVE] == "necks"
    assert len(found) == len(roadside.STEPS)
