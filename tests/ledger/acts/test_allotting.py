"""Boards allotted: one board to one part, ready, of the right wood, kept for nobody."""

import pytest

from ledger.acts import allotting, models, reserving
from ledger.acts.allotting import (
    BoardRestingError,
    BoardTakenError,
    BoardUnfitError,
    OtherBoardKeptError,
)
from ledger.acts.reserving import BoardKeptError
from ledger.audit import audit
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardConsumed
from ledger.events.route import PlannedPart
from ledger.views.boards import Board, boards_in
from ledger.views.corrections import overrides_for
from tests.skerrymoor import NECK, STEPS, TOP, Loft

FIRST, SECOND, THIRD = "26-0001-8", "26-0002-6", "26-0003-4"


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with a lot of four boards, a model and two instruments begun."""
    loft.supplier()
    loft.number(loft.receive(), TOP, NECK, NECK, TOP)
    loft.model()
    loft.begin()
    loft.begin()
    return loft


def test_a_board_is_allotted_once(bench: Loft) -> None:
    """The other instrument is told which has it, as what, and by which entry."""
    bench.allot(FIRST, "neck", "L26-001-02")
    for serial, part in ((SECOND, "neck"), (FIRST, "neck"), (FIRST, "top")):
        with pytest.raises(BoardTakenError, match=f"allotted to {FIRST} as its neck"):
            bench.allot(serial, part, "L26-001-02")

    with bench.shop.store.reading() as session:
        board = session.get_one(Board, "L26-001-02")
        assert (board.serial, board.part) == (FIRST, "neck")
        assert boards_in(session, SECOND) == []


def test_a_set_of_which_one_half_is_taken_is_taken(bench: Loft) -> None:
    """Nothing of it is used up by the refusal."""
    bench.allot(FIRST, "top", "L26-001-01.B")
    with pytest.raises(BoardTakenError, match=r"board L26-001-01\.B"):
        bench.allot(SECOND, "top", "L26-001-01")
    bench.allot(FIRST, "top", "L26-001-01.A")

    assert bench.allot(SECOND, "top", "L26-001-04") == ["L26-001-04.A", "L26-001-04.B"]


@pytest.mark.parametrize(
    ("serial", "part", "code", "said"),
    [
        ("26-0099-9", "top", "L26-001-01", "no instrument 26-0099-9"),
        (FIRST, "top", "L26-001-99", "no board L26-001-99"),
        (FIRST, "top", "L26-001-01.C1", "no board"),
        (FIRST, "bridge", "L26-001-01", "no part 'bridge': it has top, neck"),
    ],
)
def test_what_is_not_there_is_not_allotted(
    bench: Loft, serial: str, part: str, code: str, said: str
) -> None:
    """Neither to an instrument never begun, nor to a part it does not have."""
    with pytest.raises(NotFoundError, match=said):
        bench.allot(serial, part, code)


def test_a_part_is_made_of_one_board_or_set(bench: Loft) -> None:
    """A second one is refused, and so is a hand that may not allot."""
    bench.allot(FIRST, "neck", "L26-001-02")
    with pytest.raises(RefusedError, match="is board L26-001-02 already"):
        bench.allot(FIRST, "neck", "L26-001-03")
    with pytest.raises(RefusedError, match=r"allotting a board needs"):
        bench.allot(SECOND, "neck", "L26-001-03", badge="12")


def test_wood_that_nobody_can_name_goes_into_no_instrument(bench: Loft) -> None:
    """Nobody could say what papers it needs: it is fit for jigs only."""
    (code,) = bench.number(bench.receive(species="unknown"), NECK)
    with pytest.raises(RefusedError, match=f"of which species board {code} is: .*jigs"):
        bench.allot(FIRST, "neck", code)


def test_wood_that_has_not_rested_is_allotted_to_nothing(bench: Loft) -> None:
    """Of a set that is not ready not even one half is used up."""
    bench.adopt()
    size = bench.shop.store.head().size
    with pytest.raises(BoardRestingError, match=r"board L26-001-01\.A is not ready: "):
        bench.allot(FIRST, "top", "L26-001-01")

    assert bench.shop.store.head().size == size
    with bench.shop.store.reading() as session:
        assert boards_in(session, FIRST) == []


def test_a_taken_board_is_told_as_taken_before_as_young(bench: Loft) -> None:
    """Whoever waited for it would meet the other refusal afterwards."""
    bench.allot(FIRST, "neck", "L26-001-02")
    bench.adopt()
    with pytest.raises(BoardTakenError):
        bench.allot(SECOND, "neck", "L26-001-02")


@pytest.fixture
def choosy(bench: Loft) -> Loft:
    """Give a third instrument, whose model asks for spruce of some size."""
    models.define_model(
        bench.shop,
        name="Nightferry",
        instrument="flat-top guitar",
        parts=[
            PlannedPart(part="top", species=("Picea",), length_um=560_000),
            PlannedPart(part="neck", species=("Swietenia", "Cedrela odorata")),
        ],
        steps=STEPS,
        hands=bench.hands(),
    )
    assert bench.begin("Nightferry") == THIRD
    return bench


@pytest.mark.parametrize(
    ("part", "code", "said"),
    [
        ("neck", "L26-001-02", "of Picea abies, and the neck is made of Swietenia or"),
        ("top", "L26-001-01", r"it is 559.mm long, and the top is 560.mm when it is"),
    ],
)
def test_wood_that_does_not_fit_is_refused_unless_a_lead_says_why(
    choosy: Loft, part: str, code: str, said: str
) -> None:
    """Both are named; the override is an entry with a name and a reason."""
    size = choosy.shop.store.head().size
    with pytest.raises(BoardUnfitError, match=said):
        choosy.allot(THIRD, part, code)
    told = {"serial": THIRD, "part": part, "code": code, "override": "a trial"}
    with pytest.raises(RefusedError, match="only a lead lets wood be used"):
        allotting.allot(choosy.shop, **told, hands=choosy.hands("03"))
    assert choosy.shop.store.head().size == size

    codes = allotting.allot(choosy.shop, **told, hands=choosy.hands())

    with choosy.shop.store.reading() as session:
        given = overrides_for(session, codes[0], THIRD)
    assert [(row.policy, row.version) for row in given] == [("Nightferry", 1)]
    assert audit(choosy.shop).findings == ()


def test_an_override_of_the_model_lets_no_young_wood_through(choosy: Loft) -> None:
    """Each is asked for itself, and both at once where both stand against it."""
    told = {"serial": THIRD, "part": "neck", "code": "L26-001-02"}
    lead = choosy.hands()
    allotting.allot(choosy.shop, **told, override="a trial", hands=lead)
    reserving.release(choosy.shop, code="L26-001-02", reason="over", hands=lead)
    choosy.adopt()
    with pytest.raises(BoardRestingError):
        allotting.allot(choosy.shop, **told, hands=lead)
    allotting.allot(choosy.shop, **told, override="dry enough", hands=lead)

    with choosy.shop.store.reading() as session:
        given = overrides_for(session, "L26-001-02", THIRD)
    assert [row.policy for row in given] == ["Nightferry", "loft", "Nightferry"]


def test_an_override_of_nothing_is_none(bench: Loft) -> None:
    """Wood that is ready and fits is allotted without it."""
    told = {"serial": FIRST, "part": "top", "code": "L26-001-01"}
    with pytest.raises(RefusedError, match="allot it without --override"):
        allotting.allot(bench.shop, **told, override="why not", hands=bench.hands())


def reserve(loft: Loft, code: str, wanted: str, part: str, until: str) -> None:
    """Keep a board for somebody."""
    told = {"code": code, "wanted": wanted, "part": part, "until": until}
    reserving.reserve(loft.shop, **told, hands=loft.hands("10"))


def test_a_board_that_is_kept_for_another_is_refused_with_all_who(bench: Loft) -> None:
    """For whom, by whom and until when; the one it is kept for has it."""
    reserve(bench, "L26-001-02", SECOND, "neck", "2026-02-01")
    with pytest.raises(
        BoardKeptError,
        match=rf"kept for {SECOND} as its neck until 2026-02-01, reserved by Ines "
        r"Carvalhal \(badge 10\) on 2026-01-05 at ..:.. UTC in entry",
    ):
        bench.allot(FIRST, "neck", "L26-001-02")

    assert bench.allot(SECOND, "neck", "L26-001-02") == ["L26-001-02"]


def test_a_part_that_wood_is_kept_for_takes_no_other(bench: Loft) -> None:
    """Of two that are kept for it either does, and no third one."""
    reserve(bench, "L26-001-02", FIRST, "neck", "2026-02-01")
    with pytest.raises(OtherBoardKeptError, match="L26-001-02 is kept for the neck of"):
        bench.allot(FIRST, "neck", "L26-001-03")
    reserve(bench, "L26-001-03", FIRST, "neck", "2026-02-01")

    assert bench.allot(FIRST, "neck", "L26-001-03") == ["L26-001-03"]


def test_a_reservation_that_is_over_blocks_nobody(bench: Loft) -> None:
    """It counts to the end of its last day."""
    reserve(bench, "L26-001-02", SECOND, "neck", "2026-01-05")
    with pytest.raises(BoardKeptError):
        bench.allot(FIRST, "neck", "L26-001-02")
    bench.clock.moment = bench.clock.moment.replace(day=6)

    assert bench.allot(FIRST, "neck", "L26-001-02") == ["L26-001-02"]


def test_wood_that_is_used_up_is_told_so(bench: Loft) -> None:
    """Whoever wants it hears by which entry it went in for good."""
    bench.allot(FIRST, "neck", "L26-001-02")
    index = bench.say(BoardConsumed(board="L26-001-02", serial=FIRST)).index
    with pytest.raises(BoardTakenError) as refusal:
        bench.allot(SECOND, "neck", "L26-001-02")

    told = str(refusal.value)
    assert f"; it went in for good with entry {index}: choose another board" in told
    assert "nothing was used up" not in told
