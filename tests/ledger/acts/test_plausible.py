"""What no wood can be is refused, with both numbers and what it looks like."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.acts import plausible
from ledger.acts.plausible import UnlikelyError
from ledger.errors import RefusedError
from ledger.events.build import Measure

HALF: dict[str, Any] = {
    "length_um": 559_000,
    "width_um": 203_000,
    "thickness_um": 4_200,
    "mass_mg": 205_000,
}


def test_a_density_is_mass_over_volume() -> None:
    """A cube of water of 100 mm weighs a kilogram; a half was reckoned by hand."""
    sizes = dict.fromkeys(("length_um", "width_um", "thickness_um"), 100_000)

    assert plausible.density_gram_per_m3(mass_mg=10**6, **sizes) == 1_000_000
    assert plausible.density_gram_per_m3(**HALF) == 430_127


@given(*[st.integers(1_000, 3_000_000)] * 3, st.integers(1_000, 10**8))
def test_a_density_is_right_to_its_last_gram(
    length_um: int, width_um: int, thickness_um: int, mass_mg: int
) -> None:
    """Beside exact fractions, whatever the board's sizes and mass."""
    found = plausible.density_gram_per_m3(
        length_um=length_um,
        width_um=width_um,
        thickness_um=thickness_um,
        mass_mg=mass_mg,
    )
    exact = Fraction(mass_mg * 10**15, length_um * width_um * thickness_um)

    assert found is not None
    assert abs(found - exact) <= Fraction(1, 2) + exact / 10**12


@pytest.mark.parametrize("missing", HALF)
def test_what_was_not_measured_has_no_density(missing: str) -> None:
    """Nothing is guessed in its place."""
    assert plausible.density_gram_per_m3(**(HALF | {missing: None})) is None


@pytest.mark.parametrize(
    ("species", "gram_per_m3", "words"),
    [
        ("Picea abies", 432_000, "432 kg/m³: normal for Picea abies"),
        ("Picea abies", 612_000, "above the usual 328 to 547 kg/m³ of Picea abies"),
        ("Picea abies", 200_000, "below the usual 328 to 547 kg/m³ of Picea abies"),
        ("Picea omorika", 432_000, "432 kg/m³: normal for Picea"),
        ("unknown", 432_000, "no usual density of unknown is known here"),
    ],
)
def test_a_density_is_told_beside_the_usual_one(
    species: str, gram_per_m3: int, words: str
) -> None:
    """Maura reads that it is normal, or in which way it is not."""
    told = plausible.density_words(gram_per_m3, species).replace("\u2009", " ")

    assert words in told


@pytest.mark.parametrize(
    ("species", "gram_per_m3", "why"),
    [
        ("Picea abies", 600_000, "see that it is; measure and weigh again"),
        ("Picea abies", 300_000, "328 to 547"),
        ("Picea abies", 430_000 * 16_387, "the sizes look like inches typed as"),
        ("Picea abies", 430_000 * 645, "two of the sizes look like inches"),
        ("Picea abies", 430_000 * 25, "one of the sizes looks like inches"),
        ("unknown", 500_000 * 16_387, "the sizes look like inches typed as"),
        ("unknown", 500_000 * 25, "any wood has 80 to 1500"),
        ("unknown", 79_999, "any wood has 80 to 1500"),
    ],
)
def test_a_density_that_the_wood_cannot_have_is_refused(
    species: str, gram_per_m3: int, why: str
) -> None:
    """Both numbers, what it looks like, and how to insist."""
    with pytest.raises(RefusedError) as refusal:
        plausible.require_density("L26-001-01", species, gram_per_m3)
    told = str(refusal.value).replace("\u2009", " ")

    assert why in told
    assert "--as-read" in told
    assert f"{round(gram_per_m3 / 1000)}"[:3] in told.replace(" ", "")


@given(st.integers(10_000, 900_000), st.integers(10_000, 400_000))
def test_inches_typed_as_millimetres_are_always_called_by_name(
    length_um: int, width_um: int
) -> None:
    """Whatever the board's size, the slip is seen from its density alone."""
    thickness_um = 254_000
    mass_mg = 430_000 * length_um * width_um * thickness_um // 10**15
    inches = [round(Fraction(um) / plausible.INCH) for um in (length_um, width_um)]
    slip = plausible.density_gram_per_m3(
        mass_mg=mass_mg, length_um=inches[0], width_um=inches[1], thickness_um=10_000
    )

    with pytest.raises(RefusedError, match="sizes look like inches"):
        plausible.require_density("L26-001-01", "Picea abies", slip or 0)


@pytest.mark.parametrize("mass_mg", [47_000, 54_000, 62_000])
def test_a_mass_may_move_a_little(mass_mg: int) -> None:
    """Wood dries and drinks."""
    plausible.require_like_last_mass("L26-001-01", mass_mg, 54_000)


@pytest.mark.parametrize("mass_mg", [540_000, 5_400, 45_000, 63_000])
def test_a_mass_far_from_the_last_is_refused(mass_mg: int) -> None:
    """540 g for 54 g: both are named."""
    with pytest.raises(RefusedError, match=r"weighed 54\u2009g last"):
        plausible.require_like_last_mass("L26-001-01", mass_mg, 54_000)


@pytest.mark.parametrize(
    ("new_um", "last_um", "why"),
    [
        (22_000, 559_000, "inches typed as millimetres"),
        (54_000, 559_000, "more than 10 times as much"),
        (660_000, 559_000, "no board grows by more than 15"),
    ],
)
def test_a_size_that_no_work_explains_is_refused(
    new_um: int, last_um: int, why: str
) -> None:
    """Wood does not grow, and a plane takes little."""
    with pytest.raises(RefusedError, match=why):
        plausible.require_like_last_size("L26-001-01", "length", new_um, last_um)


@pytest.mark.parametrize("new_um", [2_400, 4_200, 4_800])
def test_a_plate_may_be_worked_down(new_um: int) -> None:
    """From 4.2 mm to 2.4 mm is a day's work."""
    plausible.require_like_last_size("L26-001-01", "thickness", new_um, 4_200)


def test_the_moisture_of_green_wood_is_refused() -> None:
    """78 % for 7.8 % is a slip of the point."""
    plausible.require_moisture("L26-001-01", 78_000)
    with pytest.raises(RefusedError, match=r"a moisture of 78\u2009%, and above 30"):
        plausible.require_moisture("L26-001-01", 780_000)


@pytest.mark.parametrize(
    ("read", "why"),
    [
        (Measure(what="body", mass_mg=1), "0.001.g, and what is read .* between 0.1.g"),
        (Measure(what="relief", length_um=5_000_000_000), "5.000.000.mm, and what is"),
        (Measure(what="room", humidity_ppm=960_000), "between 5.%RH and 95.%RH"),
        (Measure(what="air", frequency_millihertz=1), "between 1.Hz and 20.000.Hz"),
        (Measure(what="glue", temperature_millikelvin=0), "between .30.°C and 300.°C"),
        (Measure(what="E4", pitch_ppm=500_000), "and what is read of an instrument"),
        (Measure(what="press", time_seconds=0), "and what is read of an instrument"),
        (Measure(what="neck", angle_millidegree=190_000), "190°, and what is read"),
    ],
)
def test_what_nobody_reads_of_an_instrument_is_asked_about(
    read: Measure, why: str
) -> None:
    """With both numbers; who read it twice may say so."""
    with pytest.raises(
        UnlikelyError, match=f"the {read.what} of X is given as .*{why}"
    ):
        plausible.require_measure("X", read, as_read=False)
    plausible.require_measure("X", read, as_read=True)


def test_air_holds_no_more_water_than_all_it_can() -> None:
    """Nobody insists on 400 %."""
    read = Measure(what="room", humidity_ppm=4_000_000)
    with pytest.raises(RefusedError, match=r"400.%RH, and there is no more than 100 %"):
        plausible.require_measure("X", read, as_read=True)


@pytest.mark.parametrize(
    ("what", "um"),
    [("thickness", 5_000_000_000), ("length", 100), ("width", 9_000_000)],
)
def test_a_size_that_no_board_has_is_asked_about(what: str, um: int) -> None:
    """Even where nothing is known of the board to compare it with."""
    with pytest.raises(UnlikelyError, match=f"the {what} of board .*, and boards have"):
        plausible.require_size("L26-001-01", what, um)
    with pytest.raises(UnlikelyError, match=r"boards weigh 0.1.g to 2.000.000.g"):
        plausible.require_mass("L26-001-01", 1)
