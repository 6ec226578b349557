"""Rest: what the record says of a board, and the air of the room it lies in."""

from dataclasses import replace
from datetime import timedelta

import pytest

from ledger.acts import corrections, resting, sawing
from ledger.acts.allotting import BoardRestingError
from ledger.audit import audit
from ledger.craft.seasoning import Verdict
from ledger.events import BoardMeasured, BoardMoved, BoardWeighed, RoomMeasured
from ledger.quantities import humidity
from ledger.views.boards import Board
from tests.skerrymoor import NECK, TOP, Loft

AIR = RoomMeasured(room="crib", temperature_millikelvin=294_250, humidity_ppm=450_000)
# Three weeks of rest and three weighings, so that a test need not wait for months.
SHORT = {
    "rest": [],
    "rest_of_others": {"least_days": 21, "preferred_days": 42},
}
BOARD = "L26-001-01"


@pytest.fixture
def crib(loft: Loft) -> Loft:
    """Give a shop with limits, measured air and one board that came in today."""
    loft.supplier()
    loft.number(loft.receive(), NECK)
    loft.adopt(**SHORT)
    loft.say(AIR)
    return loft


def wait(loft: Loft, days: int) -> None:
    """Let days pass, and measure the air at their end."""
    loft.clock.moment += timedelta(days=days)
    loft.say(AIR)


def judged(loft: Loft, code: str = BOARD) -> Verdict:
    """Judge a board today."""
    with loft.shop.store.reading() as session:
        board = session.get_one(Board, code)
        return resting.readiness(session, board, today=loft.shop.today())


def weigh(loft: Loft, mass_mg: int, at: str | None = None, code: str = BOARD) -> None:
    """Put a board on the scale, now or at a moment that is entered late."""
    loft.say(BoardWeighed(board=code, mass_mg=mass_mg), "02", happened_at=at)


def test_wood_that_waits_becomes_ready_on_the_day_promised(crib: Loft) -> None:
    """Weighed once a week; numbering it was the first time on the scale."""
    first = judged(crib)
    for _ in range(3):
        wait(crib, 7)
        weigh(crib, 1_040_500)
        last = judged(crib)

    assert first.reasons == (
        "rested 0 of 21\u2009days",
        "2 of 3 steady weighings still to come, 7\u2009days apart",
    )
    assert (first.earliest, first.preferred) == ("2026-01-26", "2026-02-16")
    assert last and crib.shop.today() == first.earliest
    assert audit(crib.shop).findings == ()


def test_a_board_that_is_not_ready_goes_into_nothing(crib: Loft) -> None:
    """The refusal says why, when, and who may say otherwise; nothing is recorded."""
    crib.model()
    serial = crib.begin()
    size = crib.shop.store.head().size
    with pytest.raises(BoardRestingError, match="earliest 2026-01-26") as caught:
        crib.allot(serial, "neck", BOARD)

    assert "rested 0 of 21" in str(caught.value)
    assert "flitchbook board override" in str(caught.value)
    assert caught.value.verdict == judged(crib)
    assert crib.shop.store.head().size == size


def test_old_stock_rests_since_it_is_said_to_have_come_in(loft: Loft) -> None:
    """Entered today, it may have lain here for years, over leap days too."""
    loft.adopt()
    lot = loft.receive(
        is_opening=True,
        evidence="diary",
        received_on="2024-02-29",
        species="Acer rubrum",
    )
    (code,) = loft.number(lot, replace(NECK, masses_mg=()))
    verdict = judged(loft, code)

    assert verdict.preferred == "2026-02-28"
    assert not any(reason.startswith("rested") for reason in verdict.reasons)


def test_weighings_entered_late_count_on_their_own_days(crib: Loft) -> None:
    """In whatever order they are entered."""
    wait(crib, 22)
    for day in ("2026-01-26", "2026-01-12", "2026-01-19"):
        weigh(crib, 1_040_000, f"{day}T10:00:00Z")

    assert judged(crib)
    weigh(crib, 900_000, "2026-01-13T10:00:00Z")
    assert judged(crib)


def test_of_two_weighings_on_a_day_the_later_one_counts(crib: Loft) -> None:
    """Though it was entered first."""
    wait(crib, 22)
    for day in ("2026-01-12", "2026-01-19"):
        weigh(crib, 1_040_000, f"{day}T10:00:00Z")
    weigh(crib, 1_040_000, "2026-01-26T16:00:00Z")
    weigh(crib, 990_000, "2026-01-26T08:00:00Z")

    assert judged(crib)
    with crib.shop.store.reading() as session:
        assert session.get_one(Board, BOARD).mass_mg == 1_040_000


def test_what_the_sawyer_weighed_is_no_weighing_here(crib: Loft) -> None:
    """Before it came in, wood lay in another air."""
    wait(crib, 22)
    for day in ("2025-12-01", "2025-12-10", "2025-12-20"):
        weigh(crib, 1_040_000, f"{day}T10:00:00Z")

    assert judged(crib).reasons == (
        "2 of 3 steady weighings still to come, 7\u2009days apart",
    )


def test_a_struck_weighing_counts_no_more(crib: Loft) -> None:
    """The rest begins to wait for another one."""
    for _ in range(3):
        wait(crib, 7)
        entry = crib.say(BoardWeighed(board=BOARD, mass_mg=1_040_000), "02")
    corrections.correct(
        crib.shop, entry.index, reason="the scale stood askew", hands=crib.hands("02")
    )
    # The board's first mass, of its numbering, is still one of three.
    assert judged(crib)
    corrections.correct(
        crib.shop, entry.index - 2, reason="and then too", hands=crib.hands("02")
    )

    assert judged(crib).reasons == (
        "1 of 3 steady weighings still to come, 7\u2009days apart",
    )
    assert judged(crib).earliest == crib.shop.today()


@pytest.mark.parametrize(
    ("ppm", "is_ready"), [(85_000, True), (120_000, False), (30_000, False)]
)
def test_the_moisture_read_last_is_compared_with_the_air(
    crib: Loft, ppm: int, is_ready: bool
) -> None:
    """At 45 % and 21 °C wood comes to rest at some 8.5 %."""
    for _ in range(3):
        wait(crib, 7)
        weigh(crib, 1_040_000)
    crib.say(BoardMeasured(board=BOARD, moisture_ppm=200_000))
    crib.say(BoardMeasured(board=BOARD, moisture_ppm=ppm))

    assert bool(judged(crib)) is is_ready


def test_the_room_is_judged_as_it_was_last(crib: Loft) -> None:
    """By when it was measured, not by when that was entered; a struck one is none."""
    wait(crib, 3)
    damp = replace(AIR, humidity_ppm=740_000)
    crib.say(damp, happened_at="2026-01-06T10:00:00Z")
    assert not any("74" in reason for reason in judged(crib).reasons)
    entry = crib.say(damp)
    assert any("was at 74\u2009%RH" in reason for reason in judged(crib).reasons)
    corrections.correct(
        crib.shop, entry.index, reason="misread the dial", hands=crib.hands()
    )

    assert not any("74" in reason for reason in judged(crib).reasons)


@pytest.mark.parametrize(
    ("millikelvin", "ppm"), [(268_150, 450_000), (294_150, 970_000), (318_150, 999_999)]
)
def test_air_of_which_no_equation_speaks_stops_nobody(
    crib: Loft, millikelvin: int, ppm: int
) -> None:
    """Frost or fog in the room is a reason to wait, not an error for every board."""
    crib.say(BoardMeasured(board=BOARD, moisture_ppm=85_000))
    crib.say(replace(AIR, temperature_millikelvin=millikelvin, humidity_ppm=ppm))

    assert not any("moisture" in reason for reason in judged(crib).reasons)


def resawn(loft: Loft, *masses_mg: int) -> list[str]:
    """Saw the board into pieces of these masses."""
    pieces = [sawing.PieceDraft(meant_for="brace", mass_mg=mass) for mass in masses_mg]
    return sawing.split(
        loft.shop,
        codes=[BOARD],
        pieces=pieces,
        waste_mg=1_040_000 - sum(masses_mg),
        hands=loft.hands("03"),
    )


def test_pieces_of_a_steady_board_are_ready(crib: Loft) -> None:
    """Until they have weighings of their own that say otherwise."""
    for _ in range(3):
        wait(crib, 7)
        weigh(crib, 1_040_000)
    piece, drying = resawn(crib, 600_000, 400_000)
    assert judged(crib, piece) and judged(crib, drying)
    wait(crib, 7)
    weigh(crib, 600_500, code=piece)
    weigh(crib, 390_000, code=drying)

    assert judged(crib, piece)
    assert judged(crib, drying).reasons == (
        "2 of 3 steady weighings still to come, 7\u2009days apart",
    )
    assert judged(crib, drying).earliest == "2026-02-16"


def test_pieces_of_a_board_that_was_never_steady_wait_themselves(crib: Loft) -> None:
    """And the day promised is one that their own weighings can keep."""
    wait(crib, 21)
    piece, _ = resawn(crib, 600_000, 400_000)
    first = judged(crib, piece)
    for _ in range(2):
        wait(crib, 7)
        weigh(crib, 600_000, code=piece)

    assert first.reasons == (
        "2 of 3 steady weighings still to come, 7\u2009days apart",
    )
    assert judged(crib, piece) and crib.shop.today() == first.earliest


def test_what_was_glued_of_two_lots_rests_as_both(crib: Loft) -> None:
    """The wood that came in last has to rest too, each by its own rule."""
    for _ in range(3):
        wait(crib, 7)
        weigh(crib, 1_040_000)
    lot = crib.receive(received_on=crib.shop.today(), species="Acer pseudoplatanus")
    (young,) = crib.number(lot, NECK)
    piece = sawing.join(
        crib.shop,
        codes=[BOARD, young],
        draft=sawing.PieceDraft(meant_for="neck", mass_mg=2_080_000),
        hands=crib.hands("03"),
    )
    verdict = judged(crib, piece)

    assert verdict.reasons[0] == "Acer pseudoplatanus rested 0 of 21\u2009days"
    assert verdict.reasons[1].startswith("2 of 3 steady weighings")
    assert verdict.earliest == "2026-02-16"


def test_a_set_waits_for_its_later_half(crib: Loft) -> None:
    """One half that goes on drying holds both."""
    crib.number(crib.receive(), TOP)
    crib.model()
    serial, halves = crib.begin(), ("L26-002-01.A", "L26-002-01.B")
    for n in range(3):
        wait(crib, 7)
        weigh(crib, 205_000, code=halves[0])
        weigh(crib, 207_000 - 1000 * n, code=halves[1])

    assert judged(crib, halves[0]) and not judged(crib, halves[1])
    with pytest.raises(BoardRestingError, match=r"board L26-002-01\.B is not ready"):
        crib.allot(serial, "top", "L26-002-01")
    assert crib.allot(serial, "top", halves[0]) == [halves[0]]


def test_the_air_that_counts_is_that_of_the_room_a_board_lies_in(crib: Loft) -> None:
    """Another's damp says nothing of it; where none was measured, any room does."""
    crib.say(replace(AIR, room="spray room", humidity_ppm=700_000))
    crib.say(BoardMoved(board=BOARD, place="under the stairs"), "02")
    anywhere = judged(crib).reasons
    crib.say(BoardMoved(board=BOARD, place="crib, shelf B"), "02")
    in_crib = judged(crib).reasons
    crib.say(BoardMoved(board=BOARD, place="spray room"), "02")

    assert any(humidity(700_000) in why for why in anywhere)
    assert not any("%RH" in why for why in in_crib)
    assert any(humidity(700_000) in why for why in judged(crib).reasons)
