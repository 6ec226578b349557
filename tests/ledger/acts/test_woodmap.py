"""Where tapped boards lie by density and stiffness, as measured or at one moisture."""

import pytest

from ledger.acts import measuring, rejects
from ledger.acts.woodmap import Spot, WoodMap, wood_map
from ledger.errors import NotFoundError, RefusedError
from ledger.wood.gravity import density_at
from ledger.wood.stiffness_at import stiffness_at
from ledger.wood.uncertainty import Estimate
from tests import rung
from tests.rung import scaled
from tests.skerrymoor import TOP, Loft

A, B = "L26-001-01.A", "L26-001-01.B"


@pytest.fixture
def racked(supplied: Loft) -> Loft:
    """Give two lots: a tapped set and one that nobody tapped, and a tapped half."""
    supplied.number(supplied.receive(), TOP, TOP)
    supplied.number(supplied.receive())
    supplied.say(rung.said(A, at=1), "03")
    supplied.say(rung.said(B, at=2, mass_mg=180_000, tones=scaled(1.02)), "03")
    supplied.say(rung.said("L26-002-01.A", at=3), "03")
    return supplied


def mapped(loft: Loft, *codes: str, **told: object) -> WoodMap:
    """Return the map of lots or boards."""
    with loft.shop.store.reading() as session:
        return wood_map(session, codes, **told)  # type: ignore[arg-type]


def spots(made: WoodMap) -> dict[str, Spot]:
    """Return the spots by board."""
    return {spot.board: spot for spot in made.spots}


def test_a_lot_is_mapped_as_it_was_measured(racked: Loft) -> None:
    """A half of 400 kg/m3 and 11.0 GPa, as the tap of it says; the rest is counted."""
    made = mapped(racked, "L26-001")
    half = spots(made)[A]

    assert list(spots(made)) == [A, B]
    assert half.density_gram_per_m3 == 400_000
    assert half.e_along_pa == pytest.approx(11.0e9, rel=1e-3)
    assert (half.set, half.state) == ("L26-001-01", "in the rack")
    assert half.method == "free orthotropic plate, Rayleigh-Ritz/1"
    assert made.moisture_ppm is None
    assert [note.partition(" boards")[0] for note in made.notes] == ["2 of 4"]


def test_the_typical_cross_is_twice_the_median_uncertainty(racked: Loft) -> None:
    """Of two boards the median is their mean; of none there is no cross."""
    made = mapped(racked, "L26-001")
    typical = made.typical
    assert typical is not None

    assert typical[0] == sum(s.u_density_gram_per_m3 for s in made.spots)
    assert typical[1] == sum(s.u_e_along_pa for s in made.spots)
    assert mapped(racked, "L26-001-02").typical is None


def test_lots_boards_and_sets_go_together(racked: Loft) -> None:
    """Each board once, however often it is named."""
    made = mapped(racked, "L26-002", "L26-001-01", A)

    assert list(spots(made)) == [A, B, "L26-002-01.A"]


def test_what_became_of_a_board_is_told(racked: Loft) -> None:
    """Rejected wood stays on the map, as rejected."""
    rejects.reject(racked.shop, A, faults=["knot"], hands=racked.hands("02"))
    racked.model()
    racked.allot(racked.begin(), "top", B)

    assert [spot.state for spot in mapped(racked, "L26-001").spots] == [
        "rejected",
        "in an instrument",
    ]


def test_one_moisture_is_brought_only_where_it_is_asked(racked: Loft) -> None:
    """By the rules for stiffness and density; who has no moisture is left out."""
    measuring.measure(racked.shop, A, moisture_ppm=80_000, hands=racked.hands("02"))
    assert mapped(racked, "L26-001", moisture_ppm=120_000).spots == ()
    racked.say(rung.said(A, at=9), "03")
    made = mapped(racked, "L26-001", moisture_ppm=120_000)
    half, dry = spots(made)[A], spots(mapped(racked, "L26-001"))[A]
    water = Estimate(value=8, u=1)
    stiff = stiffness_at(
        modulus=Estimate(value=dry.e_along_pa, u=0),
        moisture=water,
        at=12,
        species="Picea abies",
    )
    heavy = density_at(density=Estimate(value=400, u=0), moisture=water, at=12)

    assert half.e_along_pa == pytest.approx(stiff.modulus.value, abs=2)
    assert half.density_gram_per_m3 == pytest.approx(heavy.value * 1000, abs=2)
    assert half.e_along_pa < dry.e_along_pa
    assert half.method.endswith(stiff.method)
    assert list(spots(made)) == [A]
    assert f"no moisture of {B} was read before the tap" in made.notes[-1]


def test_the_chosen_are_named_by_their_set(racked: Loft) -> None:
    """A half stands for its pair."""
    assert mapped(racked, "L26-001", chosen=[A]).chosen == ("L26-001-01",)
    assert mapped(racked, "L26-001", chosen=["L26-001-01", A]).chosen == ("L26-001-01",)


@pytest.mark.parametrize(
    ("codes", "chosen", "fault"),
    [
        (["L26-001"], ["L26-001-02"], "L26-001-02.A is not on this map"),
        (["L26-001"], ["L26-002-01.A"], "is not on this map: name its lot"),
        (["L26-009"], [], "there is no lot L26-009"),
        (["L26-001-09"], [], "there is no board"),
        (["26-0001-8"], [], "is a serial: give lots, boards or sets"),
        (["spruce"], [], "is no code of this shop"),
    ],
)
def test_what_is_not_there_is_not_mapped(
    racked: Loft, codes: list[str], chosen: list[str], fault: str
) -> None:
    """A code that means nothing here is named."""
    with pytest.raises((RefusedError, NotFoundError), match=fault):
        mapped(racked, *codes, chosen=chosen)
