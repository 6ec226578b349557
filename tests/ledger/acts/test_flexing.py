"""A bent board comes to its stiffness, and what cannot bend so is refused."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.acts import corrections, flexing
from ledger.errors import RefusedError
from ledger.events.board import Load
from tests.skerrymoor import NECK, Loft

HALF = "L26-001-01.A"
# Of 11 GPa: 0.5 m of 203 mm x 4.2 mm sinks by this much under a kilogram.
KILO = Load(load_mg=1_000_000, deflection_um=1_853)
HALF_KILO = Load(load_mg=500_000, deflection_um=927)


@pytest.fixture
def racked(loft: Loft) -> Loft:
    """Give a shop with a set of spruce."""
    loft.supplier()
    loft.number(loft.receive())
    return loft


def flex(loft: Loft, code: str = HALF, **said: Any) -> flexing.Flexed:
    """Bend a half over half a metre along its grain."""
    told: dict[str, Any] = {
        "way": "along",
        "span_um": 500_000,
        "loads": (HALF_KILO, KILO),
        "hands": loft.hands("03"),
    }
    return flexing.flex(loft.shop, code, **(told | said))


def test_a_half_of_eleven_gigapascals_bends_so(racked: Loft) -> None:
    """By P L^3 / (48 I w): the same on the day and later, until it is struck."""
    done = flex(racked)
    with racked.shop.store.reading() as session:
        (row,) = flexing.bendings(session, HALF)

    found = done.stiffness.figures["e_along_gpa"]
    inertia = 0.203 * 0.0042**3 / 12
    assert found.value == pytest.approx(
        9.80665 * 0.5**3 / (48 * inertia * 1.853e-3) / 1e9, rel=0.002
    )
    assert found.value == pytest.approx(11.0, rel=0.01)
    assert 0.03 < found.u / found.value < 0.06  # three times 0.05 mm in 4.2 mm
    assert row.stiffness == done.stiffness
    assert [each.deflection_um for each in row.loads] == [927, 1_853]
    corrections.correct(
        racked.shop, done.entry.index, reason="slipped", hands=racked.hands("03")
    )
    with racked.shop.store.reading() as session:
        assert flexing.bendings(session, HALF) == []


def test_across_the_grain_the_sizes_change_places(racked: Loft) -> None:
    """It spans its width then, and its length is what bends."""
    load = Load(load_mg=1_000_000, deflection_um=400)
    done = flex(racked, way="across", span_um=180_000, loads=(load,))
    inertia = 0.559 * 0.0042**3 / 12

    assert done.stiffness.figures["e_across_gpa"].value == pytest.approx(
        9.80665 * 0.18**3 / (48 * inertia * 0.4e-3) / 1e9, rel=0.002
    )


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ({"loads": ()}, "by 1 to 50 loads, not 0"),
        ({"loads": (KILO,) * 51}, "by 1 to 50 loads, not 51"),
        ({"loads": (KILO, KILO)}, "a slope needs different"),
        (
            {"loads": (HALF_KILO, Load(load_mg=1_000_000, deflection_um=900))},
            "instead of sinking",
        ),
        ({"span_um": 600_000}, "cannot span 600"),
        ({"span_um": 0}, "cannot span 0"),
        ({"loads": (Load(load_mg=1_000_000, deflection_um=18_530),)}, "no wood has"),
    ],
)
def test_what_no_wood_does_is_refused(
    racked: Loft, said: dict[str, Any], fault: str
) -> None:
    """Nothing is recorded then."""
    size = racked.shop.store.head().size
    with pytest.raises(RefusedError, match=fault):
        flex(racked, **said)

    assert racked.shop.store.head().size == size


def test_what_was_looked_at_twice_is_taken(racked: Loft) -> None:
    """Softer than any wood, and yet so."""
    soft = Load(load_mg=1_000_000, deflection_um=18_530)
    done = flex(racked, loads=(soft,), as_read=True)

    assert done.stiffness.figures["e_along_gpa"].value == pytest.approx(1.1, rel=0.01)


def test_a_board_without_sizes_bends_nowhere(racked: Loft) -> None:
    """It is measured first."""
    unmeasured = replace(NECK, length_um=None, width_um=None, thickness_um=None)
    racked.number(racked.receive(), unmeasured)
    with pytest.raises(RefusedError, match="has no length, width and thickness yet"):
        flex(racked, "L26-002-01")
