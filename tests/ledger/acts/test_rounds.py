"""What somebody on a round holds in the hand, in one line each."""

from dataclasses import replace

import pytest

from ledger.acts import measuring, policies, rounds
from ledger.acts.boards import BoardDraft
from ledger.craft.seasoning import ready_words
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardSplit
from ledger.events.board import Piece
from ledger.events.build import PartWeighed
from ledger.ids import LotId
from tests.skerrymoor import TOP, WITHOUT_REST, Loft

# Spruce rests 90 days, everything else may be used at once.
RESTED = WITHOUT_REST | {
    "version": 2,
    "rest": [{"species": ["Picea"], "least_days": 90, "preferred_days": 180}],
}
NECK = BoardDraft(
    meant_for="neck",
    length_um=810_000,
    width_um=95_000,
    thickness_um=24_000,
    masses_mg=(1_010_000,),
)


@pytest.fixture
def built(loft: Loft) -> Loft:
    """Give a shop with three tops, a neck and a build that has no wood yet."""
    loft.supplier()
    paper = loft.document()
    loft.number(loft.receive(documents=(paper,)), TOP, TOP, TOP)
    loft.number(loft.receive(species="Swietenia macrophylla"), NECK)
    loft.model()
    loft.begin()
    return loft


def plain(words: str) -> str:
    """Return words with spaces in place of thin ones."""
    return words.replace("\u2009", " ")


def test_a_board_tells_its_mass_its_use_its_place_and_its_rest(built: Loft) -> None:
    """In one line, as it was scanned."""
    measuring.move(built.shop, ["L26-001-01.A"], "shelf B3", hands=built.hands("02"))
    held = rounds.look_at_board(built.shop, "L26-001-01.A")

    assert plain(held.words) == (
        "L26-001-01.A 205 g on 2026-01-05; top, Picea abies; shelf B3; ready"
    )
    assert (held.code, held.boards, held.serial) == (
        "L26-001-01.A",
        ("L26-001-01.A",),
        None,
    )


def test_a_board_that_nobody_weighed_tells_the_sawyer_s_word(built: Loft) -> None:
    """What the list says of it is no weighing; without a list nothing is said."""
    bare = replace(NECK, masses_mg=())
    built.number(LotId.parse("L26-002"), bare, replace(bare, listed_mg=(1_020_000,)))
    words = [
        plain(rounds.look_at_board(built.shop, code).words).partition(";")[0]
        for code in ("L26-002-02", "L26-002-03")
    ]

    assert words == [
        "L26-002-02 not weighed",
        "L26-002-03 not weighed, listed 1020 g",
    ]


def test_a_set_tells_both_halves(built: Loft) -> None:
    """Two masses, and one place where it is one."""
    held = rounds.look_at_board(built.shop, "L26-001-01")

    assert held.boards == ("L26-001-01.A", "L26-001-01.B")
    assert plain(held.words) == (
        "L26-001-01 205 g on 2026-01-05 and 207 g on 2026-01-05; top, Picea abies; "
        "no place known; ready"
    )


def test_wood_that_rests_tells_since_when_and_until_when(built: Loft) -> None:
    """The verdict is the one that an allotting would meet."""
    policies.adopt_policy(built.shop, RESTED, built.hands())
    held = rounds.look_at_board(built.shop, "L26-001-01")

    assert not held.verdict
    assert ready_words(held.verdict) in held.words
    assert plain(held.words).endswith("rested 0 of 90 days; earliest 2026-04-05")


def test_a_board_that_is_used_tells_where(built: Loft) -> None:
    """With the entry that anybody can look up."""
    built.allot("26-0001-8", "neck", "L26-002-01")
    held = rounds.look_at_board(built.shop, "L26-002-01")

    assert (held.serial, held.part) == ("26-0001-8", "neck")
    assert f"it is the neck of 26-0001-8, entry {held.taken_by}" in held.words
    assert held.taken_by is not None
    assert rounds.who_said(built.shop, held.taken_by) == "Jakub Wolański on 2026-01-05"


def test_a_board_that_is_pieces_is_not_in_hand(built: Loft) -> None:
    """Its label should have gone with the saw dust."""
    split = BoardSplit(
        parents=("L26-002-01",),
        masses_mg=(1_010_000,),
        made=(Piece(board="L26-002-01.C1", meant_for="neck", mass_mg=1_000_000),),
        dust_mg=10_000,
        waste_mg=0,
    )
    with built.shop.turn() as turn:
        turn.say(split, built.hands("03"))
    with pytest.raises(RefusedError, match="was made into pieces by entry"):
        rounds.look_at_board(built.shop, "L26-002-01")

    assert rounds.look_at_board(built.shop, "L26-002-01.C1").meant_for == "neck"


def test_what_was_never_recorded_is_not_in_hand(built: Loft) -> None:
    """Of each noun."""
    looks = {
        "L26-001-09": rounds.look_at_board,
        "26-0009-1": rounds.look_at_build,
        "L26-099": rounds.look_at_lot,
        "D26-0099": rounds.look_at_document,
    }
    for code, look in looks.items():
        with pytest.raises(NotFoundError, match=code):
            look(built.shop, code)


def test_a_build_tells_what_it_lacks(built: Loft) -> None:
    """Its parts without wood, and the next step in its route."""
    first = rounds.look_at_build(built.shop, "26-0001-8")
    built.allot("26-0001-8", "top", "L26-001-01")
    built.sign(
        "26-0001-8",
        "join the top",
        weighed=(PartWeighed(part="top", mass_mg=190_000),),
    )
    then = rounds.look_at_build(built.shop, "26-0001-8")

    assert first.words == (
        "26-0001-8 Tidewarden; without wood: top, neck; next step: 1 join the top"
    )
    assert then.words == "26-0001-8 Tidewarden; without wood: neck; next step: 2 brace"
    assert [code for code, _ in then.wood["top"]] == ["L26-001-01.A", "L26-001-01.B"]
    assert [step.signed for step in then.steps] == [("did",), ()]
    assert (first.not_weighed, then.not_weighed) == (("top", "neck"), ("neck",))


def test_a_finished_build_lacks_nothing(built: Loft) -> None:
    """And says so."""
    built.allot("26-0001-8", "top", "L26-001-01")
    built.allot("26-0001-8", "neck", "L26-002-01")
    built.finish("26-0001-8")
    held = rounds.look_at_build(built.shop, "26-0001-8")

    assert held.words.endswith("every part has its wood; every step is done")
    assert (held.open_parts, held.next_step) == ((), None)


def test_a_lot_and_its_paper_name_each_other(built: Loft) -> None:
    """A set of two halves is one of the boards that came."""
    lot = rounds.look_at_lot(built.shop, "L26-001")
    paper = rounds.look_at_document(built.shop, "D26-0001")

    assert lot.words == (
        "L26-001 Picea abies, sawn, came in on 2026-01-05; 3 of 24 boards numbered; "
        "papers: D26-0001"
    )
    assert paper.words.endswith("for the lots: L26-001")


def test_a_place_is_known_however_it_is_written(built: Loft) -> None:
    """As it was written first; a place that nobody used is none."""
    measuring.move(built.shop, ["L26-001-01"], "Shelf B3", hands=built.hands("02"))

    assert rounds.known_place(built.shop, " shelf b3 ") == "Shelf B3"
    assert rounds.known_place(built.shop, "shelf B4") is None
    with pytest.raises(RefusedError, match="the place has 1 to 200 characters"):
        rounds.known_place(built.shop, "x" * 201)


def test_a_weighing_changes_what_is_ready_and_nothing_else(built: Loft) -> None:
    """A third steady weighing may be the one that was missing."""
    steady = RESTED | {
        "rest": [],
        "steady": {"weighings": 2, "apart_days": 0, "within_ppm": 2_000},
    }
    policies.adopt_policy(built.shop, steady, built.hands())
    held = rounds.look_at_board(built.shop, "L26-001-01.A")
    measuring.weigh(built.shop, "L26-001-01.A", 205_000, hands=built.hands("02"))
    after = rounds.weighed_again(built.shop, held)

    assert (bool(held.verdict), bool(after.verdict)) == (False, True)
    assert after.words == held.words
