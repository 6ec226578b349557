"""Wood taken from whoever kept it, and a joint that grew, are found past their acts."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from ledger.acts import reserving
from ledger.audit import audit
from ledger.events import BoardAllotted, BoardReleased, BoardReserved, BuildBegun
from tests.ledger.views.forests import ISSUED, glued, sawn
from tests.skerrymoor import NECK, Loft

FIRST, SECOND = "L26-001-01", "L26-001-02"


@pytest.fixture
def kept(loft: Loft) -> Loft:
    """Give a shop with two necks, of which Jakub keeps one for an order."""
    loft.supplier()
    loft.number(loft.receive(), NECK, NECK)
    loft.model()
    loft.begin()
    reserving.reserve(
        loft.shop, code=FIRST, wanted="A-7", part="neck", hands=loft.hands("03")
    )
    return loft


def found(loft: Loft) -> Sequence[tuple[int | None, str]]:
    """Return where an audit finds something, and the cause."""
    return [(each.index, each.cause) for each in audit(loft.shop).findings]


def test_wood_that_is_kept_for_another_is_missed(kept: Loft) -> None:
    """Whoever takes it, for an instrument or an order."""
    other = kept.say(
        BoardReserved(board=FIRST, reserved_for="A-8", part="neck", until="2026-03-01"),
        "03",
    ).index
    taken = kept.say(
        BoardAllotted(board=FIRST, serial="26-0001-8", part="neck"), "03"
    ).index
    first = audit(kept.shop).findings[0]

    assert found(kept) == [(other, "number"), (taken, "number")]
    assert first.detail.startswith(f"board {FIRST} goes to A-8, and is kept for A-7 by")


def test_wood_whose_day_is_over_is_anybody_s(kept: Loft) -> None:
    """And so is what nobody kept."""
    kept.clock.moment = kept.clock.moment.replace(month=3)
    object.__setattr__(kept.shop, "pause_confirmed", True)
    for code in (FIRST, SECOND):
        kept.say(BoardAllotted(board=code, serial="26-0001-8", part="neck"), "10")

    assert found(kept) == []


@pytest.mark.parametrize(
    ("badge", "is_found"), [("03", False), ("01", False), ("10", True)]
)
def test_whoever_kept_it_lets_it_go_or_a_lead(
    kept: Loft, badge: str, is_found: bool
) -> None:
    """Nobody else; the finding names the entry by which it was kept."""
    released = kept.say(BoardReleased(board=FIRST), badge).index

    assert found(kept) == ([(released, "authority")] if is_found else [])


def test_wood_that_is_kept_goes_under_no_stranger_s_saw(kept: Loft) -> None:
    """It would be gone for whoever kept it."""
    index = kept.say(sawn([FIRST], [f"{FIRST}.C1"]), "10").index

    assert found(kept) == [(index, "authority")]


def test_a_certificate_comes_after_the_last_step(kept: Loft) -> None:
    """Each step that was not done is told, and each part without a board."""
    neck = BoardAllotted(board=SECOND, serial="26-0001-8", part="neck")
    kept.say(neck, "03")
    kept.sign("26-0001-8", "join the top")
    index = kept.say(ISSUED).index
    findings = audit(kept.shop).findings

    assert [(each.index, each.cause) for each in findings] == [(index, "road")] * 3
    assert [each.detail for each in findings] == [
        "26-0001-8 was certified, and brace is not done yet",
        "26-0001-8 was certified, and its top has no board",
        "26-0001-8 was certified, and nobody ever weighed top, neck and the whole "
        "instrument",
    ]


def test_a_joint_weighs_no_more_than_its_boards(kept: Loft) -> None:
    """But for the tolerance of the house; less may have its reason."""
    event = glued([FIRST, SECOND], f"{FIRST}.C1")
    heavy = replace(event, made=replace(event.made, mass_mg=2 * sum(event.masses_mg)))
    index = kept.say(heavy, "03").index
    (finding,) = audit(kept.shop).findings

    assert (finding.index, finding.cause) == (index, "number")
    assert finding.detail.startswith(f"{FIRST}.C1: the piece weighs ")


def test_a_certificate_of_a_model_that_nobody_set_down_is_told(kept: Loft) -> None:
    """An audit never stops at what somebody said past the acts."""
    serial = "26-0002-6"
    begun = BuildBegun(
        serial=serial, model="Nightjar", version=9, body="B26-0002", neck="N26-0002"
    )
    kept.say(begun)
    index = kept.say(replace(ISSUED, serial=serial)).index
    (finding,) = audit(kept.shop).findings

    assert (finding.index, finding.cause) == (index, "road")
    assert finding.detail == (
        f"{serial} was certified, and of Nightjar, version 9, nobody said what it is"
    )
