"""Of many boards the newest plate tap of each is found at once."""

import pytest

from ledger.acts import corrections
from ledger.acts.newest_taps import Heard, Known, newest_bare, newest_known
from ledger.acts.stiffness import rung as rungs
from tests import rung
from tests.rung import TONES, scaled
from tests.skerrymoor import TOP, Loft

A, B, C = "L26-001-01.A", "L26-001-01.B", "L26-001-02.A"


def known(loft: Loft, *codes: str) -> dict[str, Known]:
    """Return what is known of boards."""
    with loft.shop.store.reading() as session:
        found = newest_known(session, codes)
        session.expunge_all()
    return found


def test_the_newest_tap_counts_and_says_what_one_board_says(supplied: Loft) -> None:
    """The figures are those that the board itself shows; boards not asked for stay."""
    supplied.number(supplied.receive(), TOP, TOP)
    supplied.say(rung.said(A, at=1), "03")
    supplied.say(rung.said(A, at=2, tones=scaled(1.02)), "03")
    supplied.say(rung.said(B, at=3, tones=scaled(0.98)), "03")
    supplied.say(rung.said(C, at=4), "03")
    found = known(supplied, A, B)
    with supplied.shop.store.reading() as session:
        own = {code: rungs(session, code)[0].stiffness for code in (A, B)}

    assert {code: each.stiffness for code, each in found.items()} == own


def test_a_tap_that_does_not_tell_e_along_is_passed_over(supplied: Loft) -> None:
    """A bar, a plate tapped across alone, and one that was struck: the one before."""
    supplied.number(supplied.receive())
    first = supplied.say(rung.said(A, at=1), "03").index
    across = {"across": TONES["across"]}
    supplied.say(rung.said(A, at=2, tones=across), "03")
    supplied.say(rung.said(A, at=3, held_as="bar", tones={"bar": 71.0}), "03")
    wrong = supplied.say(rung.said(A, at=4, tones=scaled(1.1)), "03").index
    assert known(supplied, A)[A].tapping.idx == wrong
    corrections.correct(
        supplied.shop, wrong, reason="another board", hands=supplied.hands("03")
    )

    assert known(supplied, A)[A].tapping.idx == first
    assert known(supplied, B) == {}


def heard(loft: Loft, *codes: str, figure: str = "e_along_gpa") -> dict[str, Heard]:
    """Return what boards come to, side by side."""
    with loft.shop.store.reading() as session:
        return newest_bare(session, codes, figure=figure)


def test_side_by_side_they_come_to_the_same(supplied: Loft) -> None:
    """Eight plates of a kind, and one of which the long mode alone was heard."""
    codes = supplied.number(supplied.receive(), *[TOP] * 5)[:9]
    for at, code in enumerate(codes[:8]):
        supplied.say(rung.said(code, at=at, tones=scaled(1 + at / 100)), "03")
    along = {"along": TONES["along"]}
    supplied.say(rung.said(codes[8], at=9, tones=along), "03")
    told, alone = heard(supplied, *codes), known(supplied, *codes)

    assert told.keys() == alone.keys()
    for code, each in told.items():
        stiffness = alone[code].stiffness
        figures = stiffness.figures
        assert each.method == stiffness.method
        assert each.radiation_ratio == pytest.approx(
            figures["radiation_ratio_m4_kg_s"].value, rel=1e-9
        )
        assert each.along == pytest.approx(figures["e_along_gpa"].value * 1e9, rel=1e-9)
    assert told[codes[8]].across is None


def test_a_bar_counts_where_its_figure_is_asked_for(supplied: Loft) -> None:
    """Its one stiffness stands for that along the grain."""
    supplied.number(supplied.receive())
    supplied.say(rung.said(A, at=1, held_as="bar", tones={"bar": 71.0}), "03")
    told = heard(supplied, A, figure="radiation_ratio_m4_kg_s")

    assert heard(supplied, A) == {}
    assert told[A].along is not None
    assert told[A].across is None


def test_whoever_waits_is_told_how_far_it_is(supplied: Loft) -> None:
    """Board by board, of those that were tapped."""
    supplied.number(supplied.receive(), TOP, TOP)
    for at, code in enumerate((A, B)):
        supplied.say(rung.said(code, at=at), "03")
    told: list[tuple[int, int]] = []
    with supplied.shop.store.reading() as session:
        newest_known(session, (A, B, C), progress=lambda *far: told.append(far))

    assert told == [(1, 2), (2, 2)]
