"""What a tap comes to is worked out anew whenever somebody asks."""

from dataclasses import replace
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
    """The half that rings at 71.29, 150.51 and 52.32 Hz is of 11 and 0.85 GPa.

    Source: check_values of a free orthotropic plate, computed: these are the modes of a
    half of 11, 0.85 and 0.75 GPa with a Poisson ratio of 0.37.
    """
    modes = {"along": at(71.29), "across": at(150.51), "twist": at(52.32)}
    answer = stiff.stiffness(HALF, modes)
    found = answer.figures

    assert answer.method == "free orthotropic plate, Rayleigh-Ritz/1"
    assert found["density_kg_m3"].value == pytest.approx(400.0)
    assert found["e_along_gpa"].value == pytest.approx(11.0, abs=0.002)
    assert found["e_across_gpa"].value == pytest.approx(0.85, abs=0.001)
    assert found["sound_speed_m_s"].value == pytest.approx(5244, abs=2)
    ratio = found["radiation_ratio_m4_kg_s"]
    assert ratio.value == pytest.approx(13.11, abs=0.01)
    assert found["g_gpa"].value == pytest.approx(0.75, abs=0.001)
    # Thickness rules: three times 0.05 mm in 4 mm.
    assert found["e_along_gpa"].u == pytest.approx(0.0375 * 11, rel=0.05)
    assert ratio.u < 0.01 * ratio.value


def test_a_poisson_ratio_that_is_known_is_taken() -> None:
    """With its own 0.37 the half comes to its E across exactly."""
    modes = {"along": at(71.2910), "across": at(150.5112), "twist": at(52.3194)}
    known = Estimate(value=0.37, u=0.05)
    found = stiff.stiffness(HALF, modes, poisson=known).figures

    assert found["e_across_gpa"].value == pytest.approx(0.85, abs=1e-5)


def test_many_points_of_thickness_make_the_moduli_surer() -> None:
    """With 0.01 mm in place of 0.05 E along is known to 0.9 %, and R as before."""
    modes = {"along": at(71.29), "across": at(150.51), "twist": at(52.32)}
    usual = stiff.stiffness(HALF, modes).figures
    finer = stiff.stiffness(HALF, modes, u_thickness_um=10).figures

    assert finer["e_along_gpa"].u == pytest.approx(0.0088 * 11, rel=0.05)
    ratios = [each["radiation_ratio_m4_kg_s"].u for each in (usual, finer)]
    assert ratios[0] == pytest.approx(ratios[1])


def test_sizes_that_no_plate_has_leave_the_reason() -> None:
    """A tap as it stands in an old log is shown, whatever was typed for its mass."""
    heavy = replace(HALF, mass_mg=176_000_000)
    found = stiff.stiffness(heavy, {"along": at(71.29)})

    assert found.figures == {}
    assert "400000 kg/m³" in found.warnings[0]


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
    for name, taps in (("first", 2), ("second", 3)):
        tapping.tap(
            loft.shop,
            code,
            ringing.plate(tmp_path / f"{name}.wav", taps=taps),
            held_as="plate",
            expected={"along": 71_000},
            hands=loft.hands("03"),
        )
    with loft.shop.store.reading() as session:
        first, second = stiff.rung(session, code)

    assert first.tapping.idx == second.tapping.idx + 1
    assert first.readings[0].frequency_millihertz == 71_290
    assert first.stiffness.figures["density_kg_m3"].value == pytest.approx(430.1, 1e-3)


def test_a_thick_brace_shears_as_any_wood_does() -> None:
    """Its E is some 5 % higher than a slender bar's, and less sure for it."""
    thick = replace(STICK, thickness_um=15_000, mass_mg=30_000)
    slender = replace(STICK, length_um=600_000, thickness_um=15_000, mass_mg=60_000)
    found = stiff.stiffness(thick, {"bar": at(880.0)})
    plain = stiff.stiffness(slender, {"bar": at(220.0)})

    rise = found.figures["e_gpa"].value / plain.figures["e_gpa"].value
    assert rise == pytest.approx(1.05, abs=0.01)
    assert found.method == "free bar, Timoshenko/1"
    assert "E over G was taken as 13 ± 7" in found.warnings[-1]
    assert plain.method == "free bar, slender/1"
    relative = [f.figures["e_gpa"].u / f.figures["e_gpa"].value for f in (found, plain)]
    assert relative[0] > relative[1]
