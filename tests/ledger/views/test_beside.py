"""What a trace tells beside a board: let go, kept, used up, spoiled, labelled again."""

import pytest

from ledger.acts import relabelling, reserving
from ledger.acts.corrections import correct
from ledger.events import BoardConsumed, PartScrapped
from ledger.views.beside import gone_from
from ledger.views.trace import trace
from tests.skerrymoor import NECK, Loft

FIRST = "26-0001-8"
CODE = "L26-001-01"


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give one instrument and two necks, the first of which is in it."""
    loft.supplier()
    loft.number(loft.receive(), NECK, NECK)
    loft.model()
    loft.begin()
    loft.allot(FIRST, "neck", CODE)
    return loft


def told(loft: Loft, code: str = CODE) -> list[tuple[str, str]]:
    """Return what a trace says of each thing."""
    with loft.shop.store.reading() as session:
        return [(line.code, line.said) for line in trace(session, code)]


def test_a_board_that_was_let_go_says_where_it_was(bench: Loft) -> None:
    """The instrument says so too; a mistake that was struck is told on the board."""
    with bench.shop.store.reading() as session:
        (since,) = (line.entry for line in trace(session, CODE)[:1])
    hands = bench.hands("03")
    reserving.release(bench.shop, code=CODE, reason="a shake", hands=hands)
    bench.allot(FIRST, "neck", CODE)
    with bench.shop.store.reading() as session:
        again = trace(session, CODE)[0].entry
    correct(bench.shop, again, reason="the wrong one", hands=hands)

    said = f"was the neck of {FIRST} since entry {since}, until it was released"
    assert ("released", said) in told(bench)
    assert any(code == "struck" and "by mistake" in said for code, said in told(bench))
    with bench.shop.store.reading() as session:
        assert [line.what for line in gone_from(session, FIRST)] == ["released"]


def test_what_is_used_up_and_what_is_spoiled_says_so(bench: Loft) -> None:
    """By its own entry each time."""
    used = bench.say(BoardConsumed(board=CODE, serial=FIRST)).index
    with bench.shop.store.reading() as session:
        line = trace(session, CODE)[0]
    assert (line.said, line.entry) == (f"neck of {FIRST}, used up", used)
    bench.say(PartScrapped(serial=FIRST, part="neck", boards=(CODE,)))

    words = [said for _, said in told(bench)]
    assert any("until it was spoiled" in said for said in words)


def test_what_is_kept_and_labelled_again_says_so(bench: Loft) -> None:
    """For whom, and until when."""
    hands = bench.hands("03")
    kept = {"code": "L26-001-02", "wanted": "A-17", "part": "neck"}
    reserving.reserve(bench.shop, **kept, until="2026-02-01", hands=hands)
    relabelling.replace_label(bench.shop, "L26-001-02", reason="torn", hands=hands)

    assert told(bench, "L26-001-02")[1:3] == [
        ("kept", "kept for A-17 as its neck until 2026-02-01"),
        ("label", "its label was lost or torn, replacement 1 counts"),
    ]
