"""Scenario: a step signed by somebody who may not sign it alone, and what it takes.

An apprentice signs frets that he learns: the step waits for a countersign, and the gate
stays shut until whoever taught him gives it. Whoever set an instrument up does not
inspect it. What was signed is judged by the qualification of its day, then and later.
"""

from typing import Any

import pytest

from ledger.acts import people, training
from ledger.acts.builds import find_build
from ledger.acts.copies import rebuild
from ledger.acts.hands import cover_words, hands_on, uncovered
from ledger.acts.roads import road_of
from ledger.audit import audit
from ledger.craft import route
from ledger.errors import RefusedError
from ledger.events import StepSigned
from tests import roadside
from tests.roadside import FIRST, FRET, MARRY, SET_UP
from tests.skerrymoor import Loft


def state(loft: Loft, step: str) -> str:
    """Return how far a step is."""
    with loft.shop.store.reading() as session:
        road = road_of(session, find_build(session, FIRST))
    return route.stands(road.steps, road.signed)[step]


def test_supervised_frets_are_countersigned_and_no_doer_inspects(
    loft_on_each: Loft,
) -> None:
    """The amber step, the shut gate, the countersign, and the inspector refused."""
    loft = loft_on_each
    roadside.set_out(loft)
    roadside.learns(loft, "frets")
    roadside.walk(loft, FIRST, before=FRET)

    # Benji presses the frets that he learns: amber, and the gate stays shut.
    benji = roadside.done(loft, FIRST, FRET, "08")
    assert state(loft, FRET) == "needs countersign"
    (open_hand,) = uncovered(loft.shop)
    assert (open_hand.idx, open_hand.name) == (benji, "Benji Takahashi-Cole")
    assert "needs a countersign by a frets-qualified builder" in cover_words(open_hand)
    with pytest.raises(RefusedError, match="needs a countersign by a frets-qualified"):
        loft.sign(FIRST, FRET, "01", meaning="approved")
    with pytest.raises(RefusedError, match="press the frets needs a countersign"):
        roadside.done(loft, FIRST, SET_UP)

    # Teresa countersigns, and the lead opens the gate.
    teresa = loft.sign(FIRST, FRET, "04", meaning="witnessed")
    assert uncovered(loft.shop) == []
    assert state(loft, FRET) == "gate shut"
    loft.sign(FIRST, FRET, "01", meaning="approved")
    assert state(loft, FRET) == "done"

    # A week later Noor sets it up, and may not inspect what she did herself.
    roadside.later(loft, 7)
    roadside.done(loft, FIRST, SET_UP)
    size = loft.shop.store.head().size
    with pytest.raises(RefusedError, match=r"whoever did .* does not inspect it"):
        loft.sign(FIRST, SET_UP, "06", meaning="inspected")
    assert loft.shop.store.head().size == size
    loft.sign(FIRST, SET_UP, "10", meaning="inspected")

    told = {hand.idx: hand for hand in hands_on(loft.shop, FIRST)}
    assert told[benji].covered_by == teresa
    assert all(hand.is_covered for hand in told.values())
    assert audit(loft.shop).findings == ()


def test_the_past_is_judged_by_the_qualification_of_its_day(
    loft_on_each: Loft,
) -> None:
    """One that lapsed or ended taints nothing of before, nor clears what came after."""
    loft = loft_on_each
    roadside.set_out(loft)
    teresa, lead = loft.person("04"), loft.hands()
    training.look_at(loft.shop, teresa, "frets", until="2026-01-09", hands=lead)
    roadside.walk(loft, FIRST, before=FRET)
    roadside.done(loft, FIRST, FRET)
    loft.sign(FIRST, FRET, "01", meaning="approved")
    roadside.later(loft, 7)

    # It lapses and is taken back: what she signed stays as good as it was.
    people.disqualify(loft.shop, teresa, ["frets", "necks"], lead)
    assert uncovered(loft.shop) == []
    assert state(loft, FRET) == state(loft, MARRY) == "done"

    # Said past every act, an unqualified signature shows as what it is.
    stray = loft.say(StepSigned(serial=FIRST, step=SET_UP, meaning="did"), "03")
    people.qualify(loft.shop, loft.person("03"), ["set-up"], lead)
    before: list[Any] = uncovered(loft.shop)
    assert [hand.idx for hand in before] == [stray.index]
    assert "not qualified in set-up on that day" in cover_words(before[0])
    assert state(loft, SET_UP) == "needs countersign"

    # And all of it is the same when every entry is folded again.
    rebuild(loft.shop)
    assert uncovered(loft.shop) == before
    loft.sign(FIRST, SET_UP, "06", meaning="witnessed")
    assert uncovered(loft.shop) == []
