"""A year's balance adds up to the milligram, whatever was sawn, glued and weighed."""

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from ledger.trade.balance import Amount, Came, Held, Sawn, Sheet, Went, sheets

SPRUCE, MAPLE = "Picea abies", "Acer pseudoplatanus"
ALONE = {SPRUCE: Fraction(1)}
GLUED = {MAPLE: Fraction(1, 3), SPRUCE: Fraction(2, 3)}
MASSES = st.none() | st.integers(min_value=1, max_value=10**7)
CAME: st.SearchStrategy[Came] = st.sampled_from(
    ("opening", "received", "old stock", "made")
)
WENT: st.SearchStrategy[Went] = st.sampled_from(
    ("sawn", "built in", "shipped", "sent back", "scrapped", "closing")
)


@st.composite
def boards(draw: st.DrawFn) -> Held:
    """Draw a board; who was weighed once is weighed at the end too."""
    first, last = draw(MASSES), draw(st.integers(min_value=1, max_value=10**7))
    return Held(
        code="L26-001-01",
        shares=draw(st.sampled_from((ALONE, GLUED))),
        came=draw(CAME),
        went=draw(WENT),
        first_mg=first,
        last_mg=last if first is not None else draw(MASSES),
        finished_mg=draw(MASSES),
        entries=(draw(st.integers(min_value=0, max_value=99)),),
    )


CUTS = st.builds(
    Sawn,
    shares=st.sampled_from((ALONE, GLUED)),
    dust_mg=MASSES,
    waste_mg=MASSES,
    entry=st.integers(min_value=0, max_value=99),
)


@given(held=st.lists(boards(), max_size=12), cuts=st.lists(CUTS, max_size=4))
def test_what_was_there_and_came_is_what_went_and_is_left(
    held: list[Held], cuts: list[Sawn]
) -> None:
    """To the milligram, for each species, and over all of them as over the boards."""
    found = sheets(held, cuts)

    assert [sheet.off_mg for sheet in found] == [0] * len(found)
    for sheet in found:
        came = (sheet.opening, sheet.received, sheet.old_stock, sheet.made)
        out = (sheet.built_in, sheet.shipped, sheet.sent_back, sheet.scrapped)
        gone = (*out, sheet.sawn, sheet.closing)

        assert sum(a.boards for a in came) == sum(a.boards for a in gone)
    left = sum(board.last_mg or 0 for board in held if board.went == "closing")
    assert sum(sheet.closing.mass_mg for sheet in found) == left


def test_a_back_that_was_sawn_is_found_again_in_its_pieces() -> None:
    """869 g are a plate of 690 g, an offcut of 61 g, 64 g of waste and 54 g unknown."""
    sawn = Held(
        code="L26-001-01",
        shares=ALONE,
        came="received",
        went="sawn",
        first_mg=870_000,
        last_mg=869_000,
        entries=(1, 5),
    )
    plate = Held(
        code="L26-001-01.C1",
        shares=ALONE,
        came="made",
        went="built in",
        first_mg=690_000,
        last_mg=690_000,
        finished_mg=360_000,
        entries=(5, 9),
    )
    offcut = replace(
        plate, code="L26-001-01.C2", went="closing", first_mg=61_000, last_mg=61_000
    )
    cut = Sawn(shares=ALONE, waste_mg=64_000, entry=5)
    (sheet,) = sheets([sawn, plate, offcut], [cut])

    assert (sheet.in_mg, sheet.out_mg, sheet.closing.mass_mg) == (
        870_000,
        360_000,
        61_000,
    )
    assert (sheet.waste_mg, sheet.not_weighed_mg) == (64_000, 54_000)
    assert (sheet.worked_mg, sheet.dried_mg, sheet.dust_mg) == (330_000, 1_000, 0)
    assert sheet.entries == {1, 5, 9}


def test_of_what_nobody_weighed_only_the_number_is_told() -> None:
    """And it weighs something from the first time on the scale."""
    unknown = Held(code="L26-001-01", shares=ALONE, came="received", went="closing")
    weighed = replace(unknown, code="L26-001-02", last_mg=205_000)
    (sheet,) = sheets([unknown, weighed], [])

    assert sheet.received == Amount(boards=2, not_weighed=2, not_measured=2)
    assert sheet.closing == Amount(
        boards=2, mass_mg=205_000, not_weighed=1, not_measured=2
    )
    assert (sheet.first_weighed_mg, sheet.in_mg, sheet.off_mg) == (205_000, 205_000, 0)


def test_the_shares_of_a_glued_board_add_up_to_it() -> None:
    """A milligram that cannot be divided goes to one of them."""
    glued = Held(
        code="L26-001-01.C1",
        shares=GLUED,
        came="made",
        went="closing",
        first_mg=100,
        last_mg=100,
        first_mm3=50,
        last_mm3=50,
    )
    found: dict[str, Sheet] = {s.species: s for s in sheets([glued], [])}
    parts = defaultdict(int, {name: s.closing.mass_mg for name, s in found.items()})

    assert parts == {SPRUCE: 67, MAPLE: 33}
    assert [sheet.closing.boards for sheet in found.values()] == [1, 1]
