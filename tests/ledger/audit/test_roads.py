"""What was signed, used up or certified before its turn is found past its act."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from ledger.acts import corrections, rework, service
from ledger.audit import audit
from ledger.events import (
    BoardConsumed,
    InstrumentServiced,
    StepSigned,
    StepSignedV1,
)
from ledger.events.build import Measure
from ledger.views.builds import signed_steps
from ledger.views.certificates import certificates_of
from tests.ledger.views.forests import ISSUED
from tests.roadside import BY, CARVE, CLOSE, FIRST, JOIN, MARRY, done, later
from tests.skerrymoor import Loft

MASS = Measure(what="mass", mass_mg=1_986_000)
NECK = "L26-001-02"


def found(loft: Loft) -> Sequence[tuple[int | None, str, str]]:
    """Return where an audit finds something, the cause, and the words."""
    return [(f.index, f.cause, f.detail) for f in audit(loft.shop).findings]


@pytest.mark.parametrize("kind", [StepSigned, StepSignedV1])
def test_a_step_that_was_signed_before_its_turn_is_told(
    road: Loft, kind: type[StepSigned | StepSignedV1]
) -> None:
    """In whichever words it was said, with all it waited for."""
    event = kind(serial=FIRST, step=CLOSE, meaning="did", measures=(), weighed=())
    index = road.say(event, "03").index

    waits = f"{CLOSE} of {FIRST} was signed before its turn: {JOIN} is not done yet"
    assert found(road) == [(index, "road", waits)]


def test_a_step_behind_a_shut_gate_is_told_and_one_behind_its_rest(road: Loft) -> None:
    """Whoever looks at the work opens the gate for what is signed after that."""
    done(road, FIRST, CARVE)
    done(road, FIRST, JOIN)
    soon = road.say(StepSigned(serial=FIRST, step=CLOSE, meaning="did"), "03").index
    shut = road.say(StepSigned(serial=FIRST, step=MARRY, meaning="did"), "04").index
    later(road, 5)
    road.sign(FIRST, CLOSE, "06", meaning="inspected")
    road.say(StepSigned(serial=FIRST, step=MARRY, meaning="did"), "04")

    assert [(index, cause) for index, cause, _ in found(road)] == [
        (soon, "road"),
        (shut, "road"),
    ]
    assert [words.partition("turn: ")[2] for _, _, words in found(road)] == [
        f"{JOIN} rests until 2026-01-07",
        f"{CLOSE} is not inspected yet; {JOIN} rests until 2026-01-07",
    ]


def test_a_step_that_the_model_has_not_is_told(road: Loft) -> None:
    """Nobody can say what it stands for."""
    index = road.say(StepSigned(serial=FIRST, step="gild", meaning="did")).index

    words = f"gild of {FIRST} was signed, and Nightferry has no such step"
    assert found(road) == [(index, "road", words)]


def test_what_was_done_in_turn_and_written_down_late_is_no_finding(road: Loft) -> None:
    """Nor what was struck and signed again, with the wood that went in anew."""
    index = road.sign(FIRST, CARVE, "04")
    taken = index + 1
    for each in (index, taken):
        corrections.correct(
            road.shop, each, reason="the wrong neck", hands=road.hands("04")
        )
    done(road, FIRST, CARVE)
    rework.order(road.shop, serial=FIRST, step=CARVE, reason="thin", hands=road.hands())
    done(road, FIRST, CARVE)
    done(road, FIRST, JOIN)
    later(road, 5)
    road.say(
        StepSigned(serial=FIRST, step=CLOSE, meaning="did"),
        BY[CLOSE],
        happened_at="2026-01-08T09:00:00Z",
    )

    assert found(road) == []


def test_wood_that_went_in_without_its_step_is_told(road: Loft) -> None:
    """The step may be signed later: it did not take the wood then."""
    index = road.say(BoardConsumed(board=NECK, serial=FIRST), "04").index
    road.sign(FIRST, CARVE, "04")

    words = (
        f"board {NECK} went into {FIRST} for good, and no step that takes its neck was "
        f"signed"
    )
    assert found(road) == [(index, "road", words)]


def test_a_certificate_is_not_given_twice_for_nothing(certified: Loft) -> None:
    """After news it is; each one without any is told by its number and entry."""
    with certified.shop.store.reading() as session:
        (first,) = certificates_of(session, FIRST)
        number, idx = first.number, first.idx
    again = replace(ISSUED, number="C-2026-00009")
    index = certified.say(again).index
    service.service(
        certified.shop, serial=FIRST, work="set up again", hands=certified.hands()
    )
    certified.issue(FIRST)

    words = f"nothing was said of it since its certificate {number} of entry {idx}"
    told = f"{FIRST} was certified, and {words}"
    assert found(certified) == [(index, "road", told)]


def test_what_was_never_weighed_is_told_by_name(loft: Loft) -> None:
    """A mass that was struck is none; one that was taken at a service is."""
    serial = loft.build()
    with loft.shop.store.reading() as session:
        weighed = signed_steps(session, serial)[-1].idx
    corrections.correct(loft.shop, weighed, reason="misread", hands=loft.hands("03"))
    loft.sign(serial, "brace")
    index = loft.say(ISSUED).index
    loft.say(
        InstrumentServiced(serial=serial, on="2026-01-05", work="x", measures=(MASS,))
    )
    second = loft.say(replace(ISSUED, number="C-2026-00002")).index

    never = f"{serial} was certified, and nobody ever weighed"
    assert found(loft) == [
        (index, "road", f"{never} neck and the whole instrument"),
        (second, "road", f"{never} neck"),
    ]
