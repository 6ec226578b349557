"""Who did what, and what no qualification of its day covers."""

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.acts import people, rework
from ledger.acts.builds import find_build
from ledger.acts.hands import cover_words, hands_on, uncovered
from ledger.acts.roads import road_of
from ledger.craft import route
from ledger.errors import LedgerError, NotFoundError
from ledger.events import (
    StepSigned,
)
from tests import roadside, skerrymoor
from tests.roadside import (
    CARVE,
    FIRST,
    FRET,
    JOIN,
    SECOND,
)
from tests.skerrymoor import Loft


def test_each_signature_says_how_it_was_covered(road: Loft) -> None:
    """Who, when, by which entry; of one step only where it is named."""
    roadside.learns(road)
    index = roadside.done(road, FIRST, CARVE, "08")
    (hand,) = hands_on(road.shop, FIRST, CARVE)

    assert (hand.name, hand.meaning, hand.idx) == (
        "Benji Takahashi-Cole",
        "did",
        index,
    )
    assert cover_words(hand).startswith("not qualified in necks on that day")
    assert "Teresa" not in cover_words(hand)
    assert cover_words(hand).endswith(
        "needs a countersign by a necks-qualified builder"
    )
    assert hands_on(road.shop, SECOND) == []
    with pytest.raises(NotFoundError, match="no step 'varnish'"):
        hands_on(road.shop, FIRST, "varnish")


def test_a_countersign_covers_the_work_it_saw_and_no_later_one(road: Loft) -> None:
    """Done again, it is to be seen again."""
    roadside.learns(road)
    first = roadside.done(road, FIRST, CARVE, "08")
    seen = road.sign(FIRST, CARVE, "04", meaning="witnessed")
    assert uncovered(road.shop) == []
    rework.order(
        road.shop, serial=FIRST, step=CARVE, reason="a slip", hands=road.hands()
    )
    again = roadside.done(road, FIRST, CARVE, "08")

    told = {hand.idx: hand for hand in hands_on(road.shop, FIRST)}
    assert told[first].covered_by == seen
    assert told[first].reworked_idx == again - 1
    assert told[again].covered_by is None
    assert [hand.idx for hand in uncovered(road.shop)] == [again]


def test_what_ended_later_taints_nothing_of_before(road: Loft) -> None:
    """Nor does what began later clear anything: the day counts."""
    roadside.done(road, FIRST, CARVE)
    people.disqualify(road.shop, road.person("04"), ["necks"], road.hands())
    index = road.say(StepSigned(serial=FIRST, step=FRET, meaning="did"), "03").index
    people.qualify(road.shop, road.person("03"), ["frets"], road.hands())

    (hand,) = uncovered(road.shop)
    assert (hand.idx, hand.ability.how) == (index, "none")
    assert "not qualified in frets on that day" in cover_words(hand)
    with road.shop.store.reading() as session:
        so_far = road_of(session, find_build(session, FIRST))
    assert route.stands(so_far.steps, so_far.signed)[FRET] == "needs countersign"


def test_each_meaning_is_covered_by_what_it_asks_for(road: Loft) -> None:
    """The inspector's qualification, the lead's role, any work at the bench."""
    road.sign(FIRST, CARVE, "08", meaning="assisted")
    roadside.done(road, FIRST, CARVE)
    road.sign(FIRST, CARVE, "06", meaning="inspected")
    road.sign(FIRST, CARVE, "01", meaning="approved")

    told = [
        (hand.meaning, hand.needs, hand.ability.how)
        for hand in hands_on(road.shop, FIRST)
    ]
    assert told == [
        ("assisted", "any bench work", "qualified"),
        ("did", "necks", "qualified"),
        ("inspected", "inspect", "qualified"),
        ("approved", "lead", "lead"),
    ]
    assert uncovered(road.shop) == []


MEANINGS = ("did", "assisted", "inspected", "approved", "witnessed")


SAYING = st.tuples(
    st.sampled_from((JOIN, CARVE)),
    st.sampled_from(("01", "02", "03", "04", "06", "08")),
    st.sampled_from(MEANINGS),
)


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(said=st.lists(SAYING, min_size=1, max_size=14))
def test_whoever_signs_whatever_no_signature_is_uncovered_unseen(
    tmp_path_factory: pytest.TempPathFactory,
    roadside_folder: Path,
    said: list[tuple[str, str, str]],
) -> None:
    """What is not covered shows as such, and no step of it opens the next one."""
    loft = skerrymoor.again(tmp_path_factory.mktemp("any"), roadside_folder, repr(said))
    roadside.learns(loft)
    for step, badge, meaning in said:
        with suppress(LedgerError):
            told = roadside.asked(loft, step) if meaning == "did" else {}
            loft.sign(FIRST, step, badge, meaning=meaning, **told)
    open_hands = uncovered(loft.shop)
    with loft.shop.store.reading() as session:
        road = road_of(session, find_build(session, FIRST))
    stand = route.stands(road.steps, road.signed)
    loft.shop.close()

    for hand in open_hands:
        assert (hand.meaning, hand.ability.how) == ("did", "supervised")
        assert stand[hand.step] == "needs countersign"
    shown = {hand.step for hand in open_hands}
    waiting = {s for s, state in stand.items() if state == "needs countersign"}
    assert waiting == shown
