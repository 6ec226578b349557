"""Mass is neither made nor lost: the saw, the glue, and figures with a point astray."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ledger.craft.balance import Saw, Sizes, balances, holds_together, sawdust_mg
from ledger.craft.seasoning import Verdict
from ledger.errors import RefusedError

THREE_PERCENT = 30_000
MASSES = st.integers(1, 10_000_000)
BACK = (("plates", 690_000), ("headplate", 54_000), ("bridge strips", 61_000))
SET = Sizes(
    code="L23-040-02",
    mass_mg=869_000,
    length_um=559_000,
    width_um=216_000,
    thickness_um=4_000,
)


def judged(
    *pieces: tuple[str, int],
    parent: int = 869_000,
    waste: int = 64_000,
    why: bool = False,
) -> Verdict:
    """Judge a split without a weighed kerf, within three per cent."""
    return balances(
        parent_mg=parent,
        pieces_mg=pieces,
        dust_mg=0,
        waste_mg=waste,
        within_ppm=THREE_PERCENT,
        explained=why,
    )


def plain(verdict: Verdict) -> str:
    """Return the one reason of a verdict, its thin spaces made plain."""
    (reason,) = verdict.reasons
    return reason.replace("\u2009", " ")


def test_a_back_set_is_found_again_to_the_gram() -> None:
    """Two plates, a headplate, strips and dust: 869 g (a worked example)."""
    assert judged(*BACK).reasons == ()


def test_a_headplate_of_540_g_is_seen_to_be_one_of_54_g() -> None:
    """Both masses, the difference, and the one figure that would set it right."""
    heavy = [BACK[0], ("headplate", 540_000), BACK[2]]

    assert plain(judged(*heavy)) == (
        "the pieces weigh 1291 g and the board 869 g: children weigh more than the "
        "parent by 422 g; look at headplate 540 g: 54 g?"
    )


def test_of_two_figures_that_would_do_the_heavier_is_pointed_at() -> None:
    """A nought too many is likelier where it does more."""
    verdict = judged(("top", 500_000), ("back", 490_000), parent=560_000, waste=15_000)

    assert "look at top 500 g: 50 g?" in plain(verdict)


def test_a_figure_that_is_ten_times_too_light_is_pointed_at_too() -> None:
    """Where mass is missing, a point has gone the other way."""
    light = [BACK[0], ("headplate", 5_400), BACK[2]]

    assert plain(judged(*light)) == (
        "pieces, kerf and waste come to 820.4 g and the board weighs 869 g: 48.6 g are "
        "missing, where 26.07 g (3 %) may be; name the waste, or give a reason; look "
        "at headplate 5.4 g: 54 g?"
    )


def test_where_no_single_slip_explains_it_all_is_weighed_again() -> None:
    """It guesses nothing."""
    assert plain(judged(("plates", 900_000))).endswith(
        "weigh them again, and the board too if it lay long"
    )


@pytest.mark.parametrize(
    ("off", "why", "said"),
    [
        (0, False, None),
        (30_000, False, None),
        (30_001, False, "30.001 g are missing, where 30 g (3 %) may be"),
        (30_001, True, None),
        (999_999, True, None),
        (-30_000, False, None),
        (-30_001, False, "30.001 g too much, where 30 g (3 %) may be"),
        (-30_001, True, "30.001 g too much"),
    ],
)
def test_the_tolerance_is_held_to_the_milligram(
    off: int, why: bool, said: str | None
) -> None:
    """On its edge it holds; a reason explains what is missing, and never too much."""
    found = balances(
        parent_mg=1_000_000,
        pieces_mg=[("plate", 1)],
        dust_mg=0,
        waste_mg=999_999 - off,
        within_ppm=THREE_PERCENT,
        explained=why,
    )

    assert bool(found) == (said is None)
    assert said is None or said in plain(found)


def test_pieces_are_forgiven_not_one_milligram() -> None:
    """Also with a reason, and where the tolerance would cover it."""
    assert judged(("plate", 869_000), waste=0).reasons == ()
    assert "by 0.001 g" in plain(judged(("plate", 869_001), waste=0, why=True))


@given(
    parent=MASSES,
    pieces=st.lists(MASSES, min_size=1, max_size=6),
    kerf=st.integers(0, 1_000_000),
    waste=st.integers(0, 1_000_000),
    within=st.integers(0, 200_000),
    why=st.booleans(),
)
def test_what_balances_is_never_too_heavy_and_what_is_missing_is_explained(
    parent: int, pieces: list[int], kerf: int, waste: int, within: int, why: bool
) -> None:
    """Said in both directions: it balances then, and only then."""
    named = [(f"piece {n}", mass) for n, mass in enumerate(pieces)]
    verdict = balances(
        parent_mg=parent,
        pieces_mg=named,
        dust_mg=kerf,
        waste_mg=waste,
        within_ppm=within,
        explained=why,
    )
    off = (sum(pieces) + kerf + waste - parent) * 1_000_000
    is_sound = (
        sum(pieces) <= parent
        and off <= parent * within
        and (why or -off <= parent * within)
    )

    assert bool(verdict) == is_sound


@given(pieces=st.lists(MASSES, min_size=2, max_size=6), slipped=st.integers(0, 5))
def test_a_nought_too_many_is_always_refused_or_within_the_tolerance(
    pieces: list[int], slipped: int
) -> None:
    """Whichever piece it is in; where it is refused, some figure is pointed at."""
    assume(slipped < len(pieces))
    typed = [
        (f"piece {n}", mass * 10 if n == slipped else mass)
        for n, mass in enumerate(pieces)
    ]
    verdict = judged(*typed, parent=sum(pieces), waste=0)

    assert not verdict
    assert "look at piece" in plain(verdict)


def test_glue_and_a_planed_joint_lie_within_the_tolerance() -> None:
    """More than that is never explained, less is with a reason."""
    told = {"parents_mg": 1_000_000, "within_ppm": THREE_PERCENT}

    assert holds_together(**told, piece_mg=1_030_000, explained=False)
    assert holds_together(**told, piece_mg=970_000, explained=False)
    assert holds_together(**told, piece_mg=400_000, explained=True)
    assert plain(holds_together(**told, piece_mg=1_030_001, explained=True)) == (
        "the piece weighs 1030.001 g and the boards it is glued of 1000 g: 30.001 g "
        "more, where 30 g (3 %) may be; weigh them again"
    )
    assert "or give a reason" in plain(
        holds_together(**told, piece_mg=969_999, explained=False)
    )


def test_a_cut_takes_its_share_of_the_size_that_it_divides() -> None:
    """By hand: 2 x 1.2 mm of 216 mm, of 4 mm, of 559 mm; of 869 g each."""
    ripped = sawdust_mg(Saw(kerf_um=1_200, cuts=2), [SET])
    resawn = sawdust_mg(Saw(kerf_um=1_200, cuts=2, way="resaw"), [SET])
    crosscut = sawdust_mg(Saw(kerf_um=1_200, cuts=2, way="crosscut"), [SET])

    assert (ripped, resawn, crosscut) == (9_656, 521_400, 3_731)


@given(
    mass=MASSES,
    length=st.integers(1_000, 1_000_000),
    width=st.integers(1_000, 1_000_000),
    thickness=st.integers(1_000, 1_000_000),
    kerf=st.integers(1, 999),
)
def test_a_ripcut_weighs_its_volume_at_the_board_s_density(
    mass: int, length: int, width: int, thickness: int, kerf: int
) -> None:
    """Kerf by length by thickness, times mass over volume; to half a milligram."""
    board = Sizes(
        code="L26-001-01",
        mass_mg=mass,
        length_um=length,
        width_um=width,
        thickness_um=thickness,
    )
    dust = sawdust_mg(Saw(kerf_um=kerf, cuts=1), [board, board])
    density = mass / (length * width * thickness)

    assert dust / 2 == pytest.approx(kerf * length * thickness * density, abs=0.51)


@pytest.mark.parametrize(
    ("saw", "said"),
    [
        (Saw(kerf_um=0, cuts=1), "at least one cut, not 1 of 0 mm"),
        (Saw(kerf_um=1_200, cuts=0), "at least one cut, not 0 of 1.2 mm"),
        (Saw(kerf_um=1_200, cuts=180), "180 cuts of 1.2 mm are 216 mm, and the width"),
        (
            Saw(kerf_um=4_000, cuts=1, way="resaw"),
            "the thickness of L23-040-02 is 4 mm",
        ),
    ],
)
def test_a_saw_that_leaves_nothing_is_refused(saw: Saw, said: str) -> None:
    """It has a kerf, makes a cut, and is narrower than the board."""
    with pytest.raises(RefusedError) as refusal:
        sawdust_mg(saw, [SET])

    assert said in str(refusal.value).replace("\u2009", " ")


@pytest.mark.parametrize(
    ("saw", "size"),
    [
        (Saw(kerf_um=1, cuts=1), "width"),
        (Saw(kerf_um=1, cuts=1, way="resaw"), "thickness"),
        (Saw(kerf_um=1, cuts=1, way="crosscut"), "length"),
    ],
)
def test_a_board_that_was_never_measured_has_no_known_kerf(saw: Saw, size: str) -> None:
    """It says which size is wanting, and what to give instead."""
    bare = Sizes(
        code="L23-040-03",
        mass_mg=869_000,
        length_um=None,
        width_um=None,
        thickness_um=None,
    )
    with pytest.raises(RefusedError, match=f"the {size} of L23-040-03 was never meas"):
        sawdust_mg(saw, [SET, bare])
