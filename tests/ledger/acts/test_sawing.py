"""Boards become pieces and pieces become one, and nothing is lost between them."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.acts import corrections, sawing
from ledger.acts.sawing import PieceDraft, UnbalancedError
from ledger.audit import audit
from ledger.craft.balance import Saw
from ledger.errors import NotFoundError, RefusedError
from ledger.ids import LotId
from ledger.log.entry import parse_record
from ledger.views.boards import Board, BoardParent, Cut
from ledger.views.trace import trace
from ledger.views.wood import Lot
from tests.ledger.acts.sawmill import (
    DUST,
    HEADPLATE,
    PLATES,
    SET,
    STRIP,
    STRIPS,
    SWAPPED,
    board,
    join,
    split,
    stocked,
    untouched,
)
from tests.ledger.views.forests import sawn
from tests.skerrymoor import NECK, Loft

SERIAL, LATER = "26-0001-8", "26-0002-6"


@pytest.fixture
def bench(loft: Loft) -> Loft:
    """Give a shop with a back set of 869 g, with papers, and a neck blank."""
    return stocked(loft)


def test_a_back_set_becomes_plates_a_headplate_and_strips(loft_on_each: Loft) -> None:
    """A typing slip is refused; codes are flat under the board; lot, papers pass on."""
    loft = stocked(loft_on_each)
    size = loft.shop.store.head().size
    typo = replace(HEADPLATE, mass_mg=540_000)
    with pytest.raises(UnbalancedError, match=r"headplate 540.g: 54.g"):
        split(loft, SET, PLATES, typo, *STRIPS, waste_mg=DUST)
    assert loft.shop.store.head().size == size
    codes = split(loft, SET, PLATES, HEADPLATE, *STRIPS, waste_mg=DUST)
    loft.allot(SERIAL, "neck", codes[1])
    loft.allot(LATER, "neck", codes[2])

    assert codes == [f"{SET}.C{n}" for n in range(1, 6)]
    assert [board(loft, code).is_offcut for code in codes] == [False] * 2 + [True] * 3
    headplate = board(loft, codes[1])
    assert (headplate.mass_mg, headplate.width_um) == (54_000, 90_000)
    assert (headplate.lot, headplate.meant_for) == ("L26-001", "headplate")
    with loft.shop.store.reading() as session:
        assert session.get_one(Lot, headplate.lot).species == "Dalbergia latifolia"
        forward = trace(session, "L26-001")
        back = trace(session, LATER)
    told = [line.said for line in forward if line.code in codes]
    assert f"neck of {SERIAL}" in told and f"neck of {LATER}" in told
    assert [line.code for line in back[:7]] == [
        LATER,
        codes[2],
        f"{SET}.A",
        "L26-001",
        "D26-0001",
        f"{SET}.B",
        "L26-001",
    ]
    assert audit(loft.shop).findings == ()


def test_pieces_of_pieces_are_numbered_on_under_the_same_board(bench: Loft) -> None:
    """One half, the other half, a piece of a piece: no number is given twice."""
    first = split(bench, f"{SET}.A", replace(PLATES, mass_mg=430_000))
    second = split(bench, f"{SET}.B", STRIP, waste_mg=415_000)
    third = split(bench, first[0], STRIP, STRIP, waste_mg=390_000)

    assert (first, second) == ([f"{SET}.C1"], [f"{SET}.C2"])
    assert third == [f"{SET}.C3", f"{SET}.C4"]
    with bench.shop.store.reading() as session:
        assert session.get(BoardParent, (f"{SET}.C3", f"{SET}.C1")) is not None


def test_a_code_of_which_a_piece_was_struck_is_not_given_again(bench: Loft) -> None:
    """The label of the first may still be somewhere."""
    (first,) = split(bench, f"{SET}.A", replace(PLATES, mass_mg=430_000))
    with bench.shop.turn() as turn:
        turn.session.get_one(Board, first).struck_idx = 1
    (second,) = split(bench, f"{SET}.B", replace(PLATES, mass_mg=430_000))

    assert (first, second) == (f"{SET}.C1", f"{SET}.C2")


def test_the_saw_s_kerf_is_worked_out_of_the_board(bench: Loft) -> None:
    """Four rips of 1.2 mm through a blank of 95 mm and 1040 g take 52.5 g."""
    saw = Saw(kerf_um=1_200, cuts=4)
    strip = PieceDraft(meant_for="lamination", mass_mg=197_000)
    split(bench, "L26-002-01", *[strip] * 5, kerf=saw)

    with bench.shop.store.reading() as session:
        cut = session.get_one(Cut, session.get_one(Board, "L26-002-01.C1").idx)
        assert (cut.mass_mg, cut.dust_mg, cut.waste_mg) == (1_040_000, 52_547, None)
    entry = parse_record(bench.shop.store.record(cut.idx)).entry
    told = entry.event
    assert (told["kerf_um"], told["cuts"], told["way"]) == (1_200, 4, "rip")
    assert (told["masses_mg"], "waste_mg" in told) == ([1_040_000], False)


def test_the_board_may_be_weighed_just_before(bench: Loft) -> None:
    """Each half its own mass, which is recorded as a weighing and counts."""
    split(
        bench,
        SET,
        PLATES,
        masses_mg=(430_000, 436_000),
        waste_mg=176_000,
    )

    assert board(bench, f"{SET}.A").mass_mg == 430_000
    with bench.shop.store.reading() as session:
        found = session.get_one(Cut, session.get_one(Board, f"{SET}.C1").idx)
        assert found.mass_mg == 866_000


def test_what_is_missing_is_explained_and_the_reason_is_kept(bench: Loft) -> None:
    """In the vault, under the commitment that the entry bears."""
    with pytest.raises(UnbalancedError, match=r"179.g are missing, where 26\.07.g"):
        split(bench, SET, PLATES)
    codes = split(bench, SET, PLATES, reason="the rest went into the stove")

    entry = parse_record(bench.shop.store.record(board(bench, codes[0]).idx)).entry
    with bench.shop.store.reading() as session:
        reasons = corrections.reasons_of(bench.shop, session, {entry.index})
    assert reasons == {entry.index: "the rest went into the stove"}
    assert "stove" not in str(entry.event)


@pytest.mark.parametrize(
    ("code", "told", "said"),
    [
        ("L26-009-01", {}, "there is no board L26-009-01"),
        (SET, {"pieces": ()}, "name at least one piece"),
        (SET, {"pieces": (replace(STRIP, mass_mg=0),)}, "bridge strip weighs 0.g"),
        (SET, {"pieces": (replace(STRIP, mass_mg=-1),)}, "weighs .0.001.g"),
        (SET, {"pieces": (replace(HEADPLATE, width_um=0),)}, "not above nothing"),
        (SET, {"pieces": (replace(STRIP, meant_for=" "),)}, "the use of a piece has 1"),
        (SET, {"pieces": (replace(PLATES, meant_for="x\x00"),), "reason": "x"}, "0000"),
        (SET, {"waste_mg": -1}, "the waste weighs .0.001.g: it is never below"),
        (SET, {"kerf": -1}, "the kerf weighs .0.001.g: it is never below"),
        (SET, {"masses_mg": (869_000,)}, r"give one mass for each of .*: 2, not 1"),
        (SET, {"masses_mg": (434_000, 0)}, r"L26-001-01\.B weighs 0.g"),
        (SET, {"masses_mg": (43_400, 435_000)}, r"weighed 434.g last, .* --as-read"),
        (SET, {"pieces": (SWAPPED,), "reason": "x"}, r"C1 \(headplate\) would have"),
        (SET, {"reason": " "}, "the reason has 1 to 200 characters"),
        (SET, {"waste_mg": 206_000}, r"children|27.g too much"),
        (SET, {"kerf": Saw(kerf_um=216_000, cuts=1)}, "the width of .* is 216.mm"),
    ],
)
def test_a_split_that_makes_no_sense_is_refused(
    bench: Loft, code: str, told: dict[str, Any], said: str
) -> None:
    """Nothing of it is recorded, and no reason is kept."""
    size = bench.shop.store.head().size
    pieces = told.pop("pieces", (PLATES,))
    with pytest.raises((RefusedError, NotFoundError), match=said):
        split(bench, code, *pieces, **told)

    assert untouched(bench, size)


def test_every_bad_piece_is_named(bench: Loft) -> None:
    """Whoever typed six lines is told of all that are wrong."""
    bad = [replace(PLATES, mass_mg=0), STRIP, replace(HEADPLATE, length_um=-1)]
    with pytest.raises(RefusedError, match=r"plates weighs .*; headplate has a size"):
        split(bench, SET, *bad)


def test_a_board_that_was_never_weighed_is_weighed_first(bench: Loft) -> None:
    """Its pieces could weigh anything."""
    bare = replace(NECK, masses_mg=(), length_um=None, width_um=None, thickness_um=None)
    (code,) = bench.number(LotId.parse("L26-002"), bare)
    for told in ({}, {"masses_mg": ()}):
        with pytest.raises(RefusedError, match=f"board {code} was never weighed"):
            split(bench, code, STRIP, **told)
    with pytest.raises(RefusedError, match=f"the width of {code} was never measured"):
        split(bench, code, STRIP, masses_mg=(20_000,), kerf=Saw(kerf_um=1, cuts=1))

    assert split(bench, code, STRIP, masses_mg=(20_000,)) == [f"{code}.C1"]


def test_what_is_used_up_is_neither_sawn_nor_glued(bench: Loft) -> None:
    """Allotted, made into pieces, or struck: it says which entry and what to do."""
    bench.allot(SERIAL, "neck", "L26-002-01")
    allotted = board(bench, "L26-002-01").allotted_idx or 0
    (other,) = bench.number(LotId.parse("L26-002"), NECK)
    entry = board(bench, other).idx
    corrections.correct(bench.shop, entry, reason="twice", hands=bench.hands("02"))
    split(bench, f"{SET}.A", replace(PLATES, mass_mg=430_000))
    size = bench.shop.store.head().size

    for code, said in (
        ("L26-002-01", f"allotted to {SERIAL} as its neck: release it first"),
        (other, f"the number of board {other} was struck"),
        (f"{SET}.A", "was made into pieces by entry"),
        (SET, "was made into pieces by entry"),
    ):
        with pytest.raises(RefusedError, match=said):
            split(bench, code, STRIP)
        with pytest.raises(RefusedError, match=said):
            join(bench, [f"{SET}.B", code], 1_000)
    assert untouched(bench, size)
    corrections.correct(bench.shop, allotted, reason="not it", hands=bench.hands("03"))
    assert split(bench, "L26-002-01", STRIP, reason="turned down on the lathe")


def test_boards_of_two_numbers_are_not_sawn_as_one(bench: Loft) -> None:
    """Of their pieces nobody could say which is of which."""
    codes = [f"{SET}.A", "L26-002-01"]
    with pytest.raises(
        RefusedError, match="glue them first with flitchbook board join"
    ):
        sawing.split(bench.shop, codes=codes, pieces=[STRIP], hands=bench.hands("03"))
    with pytest.raises(RefusedError, match="no board is named"):
        sawing.split(bench.shop, codes=[], pieces=[STRIP], hands=bench.hands("03"))


def test_a_glued_piece_is_of_all_its_lots_and_papers(loft_on_each: Loft) -> None:
    """Its code is the first board's; it traces back to both."""
    loft = stocked(loft_on_each)
    code = join(loft, ["L26-002-01", f"{SET}.A"], 1_475_000)
    loft.allot(SERIAL, "neck", code)

    assert code == "L26-002-01.C1"
    with loft.shop.store.reading() as session:
        lines = trace(session, SERIAL)
        second = trace(session, "L26-001")
    assert [(line.depth, line.code) for line in lines[:7]] == [
        (0, SERIAL),
        (1, code),
        (2, f"{SET}.A"),
        (3, "L26-001"),
        (4, "D26-0001"),
        (2, "L26-002-01"),
        (3, "L26-002"),
    ]
    assert f"neck of {SERIAL}" in [line.said for line in second]
    assert audit(loft.shop).findings == ()


def test_two_halves_are_joined_by_the_code_of_their_set(bench: Loft) -> None:
    """A bookmatched pair is glued at its middle."""
    code = join(bench, [SET], 860_000)

    assert code == f"{SET}.C1"
    with bench.shop.store.reading() as session:
        for half in "AB":
            assert session.get(BoardParent, (code, f"{SET}.{half}")) is not None


@pytest.mark.parametrize(
    ("codes", "mass", "told", "said"),
    [
        (["L26-002-01"], 1_040_000, {}, "alone is glued to nothing"),
        ([SET, f"{SET}.B"], 1_303_000, {}, r"board L26-001-01\.B is named twice"),
        ([SET, "L26-007-01"], 1, {}, "there is no board L26-007-01"),
        ([SET], 900_000, {}, r"31.g more, where 26\.07.g \(3.%\) may be"),
        ([SET], 900_000, {"reason": "epoxy"}, "31.g more"),
        ([SET], 800_000, {}, r"69.g less, .* or give a reason"),
        ([SET], 0, {}, "neck weighs 0.g"),
        ([SET], 869_000, {"masses_mg": (1, 2, 3)}, "2, not 3"),
    ],
)
def test_a_joint_that_makes_no_sense_is_refused(
    bench: Loft, codes: list[str], mass: int, told: dict[str, Any], said: str
) -> None:
    """Nothing is recorded."""
    size = bench.shop.store.head().size
    with pytest.raises((RefusedError, NotFoundError), match=said):
        join(bench, codes, mass, **told)

    assert untouched(bench, size)


def test_a_planed_joint_may_be_lighter_with_a_reason(bench: Loft) -> None:
    """Weighed again just before, each half for itself."""
    code = join(bench, [SET], 600_000, reason="planed", masses_mg=(430_000, 431_000))

    assert board(bench, code).mass_mg == 600_000
    assert board(bench, f"{SET}.B").mass_mg == 431_000


def test_odd_sizes_and_masses_are_taken_as_read_if_somebody_says_so(
    bench: Loft,
) -> None:
    """They were measured twice."""
    told: dict[str, Any] = {"as_read": True, "reason": "x"}
    codes = split(bench, SET, SWAPPED, masses_mg=(43_400, 435_000), **told)
    joined = join(bench, [codes[0], "L26-002-01"], 400_000, **told)

    assert board(bench, codes[0]).length_um == 8_270
    assert joined == f"{SET}.C2"


def test_wood_of_two_species_may_be_as_dense_as_any(bench: Loft) -> None:
    """Rosewood glued to spruce is dense as neither; as dense as lead it is not."""
    draft = PieceDraft(
        meant_for="back",
        mass_mg=1_470_000,
        length_um=559_000,
        width_um=216_000,
        thickness_um=16_000,
    )
    told: dict[str, Any] = {"codes": [f"{SET}.A", "L26-002-01"]}
    told["hands"] = bench.hands("03")
    with pytest.raises(RefusedError, match=r"any wood has 80 to 1500"):
        sawing.join(bench.shop, draft=replace(draft, thickness_um=4_000), **told)

    assert sawing.join(bench.shop, draft=draft, **told) == f"{SET}.C1"


def test_a_thousandth_piece_has_no_code(bench: Loft) -> None:
    """Codes end at 999; it says how many there are."""
    with bench.shop.turn() as turn:
        turn.say(sawn([f"{SET}.A"], [f"{SET}.C998"]), bench.hands("03"))
    with pytest.raises(RefusedError, match="has 998 pieces, and 2 more"):
        split(bench, f"{SET}.B", STRIP, STRIP, waste_mg=395_000)

    assert split(bench, f"{SET}.B", STRIP, waste_mg=415_000) == [f"{SET}.C999"]


SHARES = st.lists(st.integers(1, 400), min_size=1, max_size=5)
# What is sawn next, in which shares of a thousandth, the waste, and whether it is said
# why something is missing.
SAWING = st.lists(
    st.tuples(st.integers(0, 50), SHARES, st.integers(0, 300), st.booleans()),
    max_size=4,
)


@given(cuts=SAWING)
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_however_a_board_is_sawn_its_mass_is_accounted_for(
    bench: Loft, cuts: list[tuple[int, list[int], int, bool]]
) -> None:
    """Nested at random: what is accepted balances or says why; none outweighs."""
    (top,) = bench.number(bench.receive(), NECK)
    whole = [top]
    for choice, shares, waste, is_explained in cuts:
        parent = whole[choice % len(whole)]
        mass = board(bench, parent).mass_mg or 0
        pieces = [PieceDraft(meant_for="p", mass_mg=mass * n // 1000) for n in shares]
        reason = "as it was" if is_explained else None
        try:
            told = {"waste_mg": mass * waste // 1000, "reason": reason}
            codes = split(bench, parent, *pieces, **told)
        except RefusedError:
            continue
        whole = [code for code in whole if code != parent] + codes

    with bench.shop.store.reading() as session:
        start = f"{top}%"
        rows = session.connection().exec_driver_sql(
            "SELECT e.parent, p.mass_mg, sum(c.mass_mg), min(cut.waste_mg), e.idx "
            "FROM boardparent e JOIN board p ON p.code = e.parent "
            "JOIN board c ON c.code = e.piece JOIN cut ON cut.idx = e.idx "
            "WHERE e.parent LIKE ? GROUP BY e.parent, p.mass_mg, e.idx",
            (start,),
        )
        for _, mass, of_pieces, wasted, idx in rows.all():
            entry = parse_record(bench.shop.store.record(idx)).entry
            is_told = "reason_commitment" in entry.event
            assert of_pieces <= mass
            assert of_pieces + wasted <= mass * 1.03
            assert is_told or of_pieces + wasted >= mass * 0.97 - 1
