"""What a tap comes to is worked out anew whenever somebody asks."""

from pathlib import Path

import pytest

from ledger.acts import stiffness as stiff
from ledger.acts import tapping
from ledger.acts.stiffness import Piece
from ledger.wood.uncertainty import Estimate
from tests import ringing
from tests.skerrymoor import TOP, Loft

HALF = Piece(
    held_as="plate",
    length_um=550_000,
    width_um=200_000,
    thickness_um=4_000,
    mass_mg=176_000,
)
STICK = Piece(
    held_as="bar",
    length_um=300_000,
    width_um=15_000,
    thickness_um=7_000,
    mass_mg=14_000,
)


def at(hertz: float) -> Estimate:
    """Return a frequency that is known to a tenth of a hertz."""
    return Estimate(value=hertz, u=0.1)


def test_a_plate_comes_to_its_moduli() -> None:
    """The half that rings at 71.29, 150.51 and 52.32 Hz is of 12.0 and 0.935 GPa.

    Source: the closed formulas of McIntyre and Woodhouse (1984-85), reckoned by hand:
    0.94642 m f^2 a^3 / (b h^3), and likewise across.
    """
    modes = {"along": at(71.29), "across": at(150.51), "twist": at(52.32)}
    found = stiff.stiffness(HALF, modes).figures

    assert found["density_kg_m3"].value == pytest.approx(400.0)
    assert found["e_along_gpa"].value == pytest.approx(11.003, abs=0.002)
    assert found["e_across_gpa"].value == pytest.approx(0.8575, abs=0.0005)
    assert found["sound_speed_m_s"].value == pytest.approx(5245, abs=2)
    ratio = found["radiation_ratio_m4_kg_s"]
    assert ratio.value == pytest.approx(13.11, abs=0.01)
    assert 0.6 < found["g_gpa"].value < 1.1
    # Thickness rules: three times 0.05 mm in 4 mm.
    assert found["e_along_gpa"].u == pytest.approx(0.0375 * 11, rel=0.05)
    assert ratio.u < 0.01 * ratio.value


def test_what_was_not_heard_comes_to_nothing() -> None:
    """No modulus is guessed from another."""
    found = stiff.stiffness(HALF, {"twist": at(52.32)})

    assert list(found.figures) == ["density_kg_m3"]
    assert "no shear modulus" in found.warnings[0]


def test_a_bar_comes_to_one_modulus() -> None:
    """A short one says that shear is left out."""
    found = stiff.stiffness(STICK, {"bar": at(342.6)})

    assert set(found.figures) == {
        "density_kg_m3",
        "e_gpa",
        "sound_speed_m_s",
        "radiation_ratio_m4_kg_s",
    }
    assert found.figures["e_gpa"].value == pytest.approx(
        0.94642 * 444.44 * 342.6**2 * 0.3**4 / 0.007**2 / 1e9, rel=1e-4
    )


def test_a_bar_without_its_mode_leaves_the_reason() -> None:
    """A tap as it stands in an old log is shown, whatever was said of it."""
    found = stiff.stiffness(STICK, {"along": at(342.6)})

    assert found.figures == {}
    assert found.warnings == ("no bending mode of the bar was read",)


def test_the_newest_tap_comes_first(loft: Loft, tmp_path: Path) -> None:
    """A board that was tapped twice shows both, each with its own sizes."""
    loft.supplier()
    code = loft.number(loft.receive(), TOP)[0]
    for name in ("first", "second"):
        tapping.tap(
            loft.shop,
            code,
            ringing.plate(tmp_path / f"{name}.wav", taps=2),
            held_as="plate",
            expected={"along": 71_000},
            hands=loft.hands("03"),
        )
    with loft.shop.store.reading() as session:
        first, second = stiff.rung(session, code)

    assert first.tapping.idx == second.tapping.idx + 1
    assert first.readings[0].frequency_millihertz == 71_290
    assert first.stiffness.figures["density_kg_m3"].value == pytest.approx(430.1, 1e-3)
