"""What became of each sawyer's wood, counted by hand beside what the act counts."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import corrections, measuring, rejects, sawing, suppliers
from ledger.acts.resting import readiness
from ledger.acts.sawyers import Graded, LotTold, SawyerTold, by_sawyer, spread_of
from ledger.acts.stiffness import rung as rungs
from ledger.events.build import PartWeighed
from ledger.ids import LotId
from ledger.views.boards import Board
from tests import rung, statements
from tests.rung import scaled
from tests.sentences import GRADED
from tests.skerrymoor import NECK, TOP, Loft

SERIAL = "26-0001-8"
A, B = "L26-001-01.A", "L26-001-01.B"


@pytest.fixture
def racked(supplied: Loft) -> Loft:
    """Give three sets of tops that the sawyer graded, and an instrument begun."""
    top = replace(TOP, supplier_grade="AAA")
    supplied.number(supplied.receive(), top, top, replace(top, supplier_grade="AA"))
    supplied.model()
    supplied.begin()
    return supplied


def told(loft: Loft, name: str = "") -> list[SawyerTold]:
    """Return what is told of every sawyer, or of one."""
    supplier = suppliers.find_supplier(loft.shop, name) if name else None
    with loft.shop.store.reading() as session:
        return by_sawyer(loft.shop, session, supplier)


def lot_of(loft: Loft) -> LotTold:
    """Return what is told of the first sawyer's first lot."""
    return told(loft)[0].lots[0]


def grade(loft: Loft, board: str, grade: str, **said: Any) -> int:
    """Grade a board, and return the entry."""
    return loft.say(replace(GRADED, board=board, grade=grade, **said)).index


def test_each_board_is_counted_once_by_what_became_of_it(racked: Loft) -> None:
    """A half rejected, its other half returned, and two sets at rest."""
    racked.adopt()
    rejects.reject(racked.shop, "L26-001-02.A", faults=["knot"], hands=hands(racked))
    rejects.reject(
        racked.shop,
        "L26-001-02.B",
        faults=["knot", "stain"],
        is_returned=True,
        hands=hands(racked),
    )
    lot = lot_of(racked)

    assert (lot.came, lot.boards, lot.weighed) == (24, 6, 6)
    assert lot.mass_mg == 3 * 412_000
    assert dict(lot.fates) == {"resting": 4, "rejected": 1, "returned": 1}
    assert sum(lot.fates.values()) == lot.boards
    assert dict(lot.faults) == {"knot": 2, "stain": 1}


def hands(loft: Loft) -> Any:
    """Return the crib keeper's hands."""
    return loft.hands("02")


def test_ready_is_what_the_houses_rule_says_of_each_board(racked: Loft) -> None:
    """Without limits all of it is; by the trade's first ones none of it."""
    assert dict(lot_of(racked).fates) == {"ready": 6}
    racked.adopt()
    with racked.shop.store.reading() as session:
        board = session.get_one(Board, A)
        assert not readiness(session, board, today=racked.shop.today())

    assert dict(lot_of(racked).fates) == {"resting": 6}


def test_a_set_glued_and_built_in_is_in_an_instrument(racked: Loft) -> None:
    """Until then it is glued, and afterwards nobody's rack holds it."""
    joint = sawing.join(
        racked.shop,
        codes=["L26-001-01"],
        draft=sawing.PieceDraft(meant_for="top", mass_mg=412_000),
        hands=hands(racked),
    )
    assert dict(lot_of(racked).fates) == {"ready": 4, "sawn or glued": 2}
    racked.allot(SERIAL, "top", joint)
    racked.sign(
        SERIAL, "join the top", weighed=[PartWeighed(part="top", mass_mg=190_500)]
    )
    lot = lot_of(racked)

    assert dict(lot.fates) == {"ready": 4, "in an instrument": 2}
    assert lot.instruments == {SERIAL: "Tidewarden"}
    assert (lot.made.finished_mg, lot.made.wood_mg) == (190_500, 412_000)


def test_the_first_mass_counts_and_not_the_newest(racked: Loft) -> None:
    """What dried away had come in."""
    measuring.weigh(racked.shop, A, 203_000, hands=hands(racked))

    assert lot_of(racked).mass_mg == 3 * 412_000


def test_grades_stand_beside_the_sawyers_and_are_not_converted(racked: Loft) -> None:
    """The newest grade of each board counts, until it is struck."""
    grade(racked, A, "first")
    wrong = grade(racked, A, "third")
    grade(racked, "L26-001-03.A", "second")
    theirs = {"AAA": 4, "AA": 2}
    rule = {"rule": "first 1"}

    lot = lot_of(racked)
    assert dict(lot.supplier_grades) == theirs
    assert dict(lot.grades) == {
        Graded(grade="third", supplier_grade="AAA", **rule): 1,
        Graded(grade="second", supplier_grade="AA", **rule): 1,
    }
    corrections.correct(
        racked.shop, wrong, reason="another board", hands=racked.hands()
    )
    assert lot_of(racked).grades[Graded(grade="first", supplier_grade="AAA", **rule)]


def test_a_piece_stands_for_its_board(racked: Loft) -> None:
    """Graded and tapped before and after sawing, it counts once, as it is now.

    The piece has its board's sawyer's grade.
    """
    grade(racked, A, "third")
    racked.say(rung.said(A, at=1), "03")
    (piece,) = sawing.split(
        racked.shop,
        codes=[A],
        pieces=[sawing.PieceDraft(meant_for="top", mass_mg=204_000)],
        hands=hands(racked),
    )
    grade(racked, piece, "first")
    racked.say(rung.said(piece, at=2, tones=scaled(1.02)), "03")
    lot = lot_of(racked)

    assert dict(lot.grades) == {
        Graded(grade="first", rule="first 1", supplier_grade="AAA"): 1
    }
    assert len(lot.ratios_milli) == 1


def test_a_piece_that_was_rejected_is_told_with_its_fault(racked: Loft) -> None:
    """A billet shows its knots when it is opened."""
    (piece,) = sawing.split(
        racked.shop,
        codes=[A],
        pieces=[sawing.PieceDraft(meant_for="top", mass_mg=204_000)],
        hands=hands(racked),
    )
    rejects.reject(racked.shop, piece, faults=["pitch"], hands=hands(racked))
    lot = lot_of(racked)

    assert (lot.rejected_pieces, dict(lot.faults)) == (1, {"pitch": 1})
    assert lot.fates["sawn or glued"] == 1


def test_a_struck_reject_and_a_struck_number_count_for_nothing(racked: Loft) -> None:
    """The wood is as it was before."""
    (entry,) = rejects.reject(racked.shop, A, faults=["knot"], hands=hands(racked))
    racked.say(racked.strike(entry.index))
    with racked.shop.store.reading() as session:
        number = session.get_one(Board, "L26-001-03.B").idx
    racked.say(racked.strike(number))
    lot = lot_of(racked)

    assert (lot.boards, dict(lot.fates), dict(lot.faults)) == (5, {"ready": 5}, {})


def test_the_radiation_ratio_is_that_of_each_board(racked: Loft) -> None:
    """Median and quartiles of five boards, by the newest tap of each."""
    codes = [f"L26-001-0{n}.{h}" for n in (1, 2, 3) for h in "AB"][:5]
    for number, code in enumerate(codes):
        racked.say(rung.said(code, at=number, tones=scaled(1 + number / 100)), "03")
    with racked.shop.store.reading() as session:
        own = sorted(
            round(tap.stiffness.figures["radiation_ratio_m4_kg_s"].value * 1000)
            for code in codes
            for tap in rungs(session, code)
        )
    spread = told(racked)[0].ratios["Picea abies"]

    assert (spread.number, spread.median_milli) == (5, own[2])
    assert spread.quartiles_milli == (own[1], own[3])


def test_few_numbers_have_no_quartiles() -> None:
    """Three boards have a middle, four have quarters (type 7 of Hyndman and Fan)."""
    assert spread_of([3, 1, 2]).quartiles_milli is None
    assert spread_of([3, 1, 2]).median_milli == 2
    assert spread_of([1, 2, 3, 5]).quartiles_milli == (2, 4)


def test_every_sawyer_has_the_own_wood_and_old_stock_is_nobodys(racked: Loft) -> None:
    """In the order in which they were entered; one without wood is none of them."""
    racked.supplier("Valdesund Skog")
    racked.supplier("Achterberg Salvage")
    other = suppliers.find_supplier(racked.shop, "Achterberg")
    racked.number(racked.receive(supplier=other), NECK)
    racked.receive(is_opening=True, evidence="none", harvested_in=None)

    assert [(each.name, [lot.lot for lot in each.lots]) for each in told(racked)] == [
        ("Ferrante & Daughters", ["L26-001"]),
        ("Achterberg Salvage", ["L26-002"]),
        ("old stock, of no sawyer on record", ["L26-003"]),
    ]
    assert [lot.lot for lot in told(racked, "Achterberg")[0].lots] == ["L26-002"]
    assert told(racked, "Valdesund")[0].lots == ()


def test_more_wood_asks_no_more_questions(racked: Loft) -> None:
    """A lot of six boards and one of forty-two cost the database the same."""
    for number, code in enumerate((A, B)):
        racked.say(rung.said(code, at=number), "03")
    few = questions(racked)
    racked.number(LotId.parse("L26-001"), *[TOP] * 18)
    for number in range(4, 22):
        code = f"L26-001-{number:02d}.A"
        racked.say(rung.said(code, at=number), "03")
        grade(racked, code, "first")

    assert lot_of(racked).boards == 42
    assert questions(racked) == few


def questions(loft: Loft) -> int:
    """Count what the database is asked for all sawyers."""
    with (
        loft.shop.store.reading() as session,
        statements.asked(session) as asked,
    ):
        by_sawyer(loft.shop, session)
    return len(asked)


def test_both_databases_tell_the_same(loft_on_each: Loft) -> None:
    """A sawn, graded and tapped board is counted alike on each."""
    loft_on_each.supplier()
    loft_on_each.number(loft_on_each.receive(), TOP)
    loft_on_each.say(rung.said(A, at=1), "03")
    grade(loft_on_each, A, "first")
    sawing.split(
        loft_on_each.shop,
        codes=[B],
        pieces=[sawing.PieceDraft(meant_for="brace", mass_mg=205_000)],
        hands=hands(loft_on_each),
    )
    lot = lot_of(loft_on_each)

    assert dict(lot.fates) == {"ready": 1, "sawn or glued": 1}
    assert (sum(lot.grades.values()), len(lot.ratios_milli)) == (1, 1)
