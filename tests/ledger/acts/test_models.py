"""Models: set down by a lead, version by version, from a text or bare names."""

from typing import Any

import pytest

from ledger.acts import models
from ledger.craft.families import family_text
from ledger.craft.modeltext import FAMILIES, read_model
from ledger.errors import NotFoundError, RefusedError
from ledger.events import ModelDefinedV1
from ledger.events.route import PlannedPart, PlannedStep, StepV1
from tests.skerrymoor import STEPS, Loft

FIRST = "26-0001-8"


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"parts": []}, "at least one part"),
        ({"parts": ["top", "top"]}, "named twice"),
        ({"parts": ["top", " "]}, "has a name"),
        ({"steps": []}, "at least one step"),
        ({"steps": [STEPS[0], STEPS[0]]}, "named twice"),
        ({"name": "Night\u202eferry"}, "cannot be written"),
        ({"name": "Night\udcff"}, "cannot be written"),
        ({"hands": "03"}, "setting down a model needs the role lead"),
    ],
)
def test_a_model_has_parts_and_steps_with_names(
    loft: Loft, changes: dict[str, Any], said: str
) -> None:
    """Each of them once, and only a lead sets one down."""
    told: dict[str, Any] = {"name": "Nightferry", "instrument": "arch-top guitar"}
    told |= {"parts": ["top"], "steps": STEPS, "hands": "01"} | changes
    told["parts"] = [PlannedPart(part=part) for part in told["parts"]]
    with pytest.raises(RefusedError, match=said):
        models.define_model(loft.shop, **(told | {"hands": loft.hands(told["hands"])}))


def test_a_model_s_next_version_leaves_begun_builds_alone(loft: Loft) -> None:
    """Whoever began under the first version finishes under it."""
    loft.supplier()
    loft.number(loft.receive())
    loft.model()
    loft.begin()
    version = models.define_model(
        loft.shop,
        name="Tidewarden",
        instrument="flat-top guitar",
        parts=[PlannedPart(part="top")],
        steps=[PlannedStep(step="carve", qualification="plates")],
        hands=loft.hands(),
    )
    newer = loft.begin()

    assert version == 2
    loft.sign(FIRST, "brace")
    loft.sign(newer, "carve")
    with pytest.raises(NotFoundError, match="no step 'carve'"):
        loft.sign(FIRST, "carve")
    with pytest.raises(NotFoundError, match="no part 'neck'"):
        loft.allot(newer, "neck", "L26-001-01")


def test_a_model_is_found_in_any_version(loft: Loft) -> None:
    """And one that was never set down is answered with what to do."""
    for _ in range(2):
        loft.model()
    with loft.shop.store.reading() as session:
        assert models.find_model(session, "Tidewarden").version == 2
        assert models.find_model(session, "Tidewarden", 1).version == 1
        with pytest.raises(NotFoundError, match="no version 3: the newest one is 2"):
            models.find_model(session, "Tidewarden", 3)
        with pytest.raises(NotFoundError, match="no model Slipway"):
            models.find_model(session, "Slipway")


@pytest.mark.parametrize("family", FAMILIES)
def test_a_text_set_down_is_the_text_again(loft_on_each: Loft, family: str) -> None:
    """From the text to the record and back, nothing is added and nothing is lost."""
    draft = read_model(family_text(family))
    told = models.planned(draft)
    models.define_model(
        loft_on_each.shop, name="No. 1", hands=loft_on_each.hands(), **told
    )
    with loft_on_each.shop.store.reading() as session:
        found = models.find_model(session, "No. 1")

    assert models.drafted(found) == draft
    assert found.steps == tuple(told["steps"])


def test_a_model_of_the_first_kind_is_a_draft_too(loft: Loft) -> None:
    """Its parts have no sizes, and its steps no order."""
    step = StepV1(step="brace", qualification="brace")
    event = ModelDefinedV1(
        model="Old", version=1, instrument="guitar", parts=("top",), steps=(step,)
    )
    loft.say(event)
    with loft.shop.store.reading() as session:
        draft = models.drafted(models.find_model(session, "Old"))

    assert (draft.family, draft.parts[0].rough) == (None, None)
    assert draft.steps[0].after == ()


def test_what_nobody_is_qualified_for_is_told(loft: Loft) -> None:
    """Each qualification once, as long as nobody holds it."""
    steps = [
        PlannedStep(step=name, qualification=work)
        for name, work in (("carve", "necks"), ("fit", "necks"), ("join", "plates"))
    ]
    with loft.shop.store.reading() as session:
        before = models.unheld(session, steps)
    loft.enrol()
    with loft.shop.store.reading() as session:
        assert (before, models.unheld(session, steps)) == (["necks"], [])
