"""A plate is tapped as it is worked, and what no wood does is seen."""

from typing import Any

import pytest

from ledger.acts import corrections
from ledger.acts.series import Stage, series
from ledger.errors import NotFoundError
from tests import rung
from tests.rung import TONES, scaled
from tests.skerrymoor import Loft

HALF = "L26-001-01.A"
PLANED = {"thickness_um": 3_000, "mass_mg": 132_000}


@pytest.fixture
def tapped(supplied: Loft) -> Loft:
    """Give a shop whose half rang at 4.00 mm."""
    supplied.number(supplied.receive())
    supplied.say(rung.said(HALF, at=1), "03")
    return supplied


def stages(loft: Loft) -> list[Stage]:
    """Return the series of the half."""
    with loft.shop.store.reading() as session:
        return series(session, HALF)


def tap(loft: Loft, **told: Any) -> Stage:
    """Tap the half once more, and return that stage."""
    loft.say(rung.said(HALF, at=2, **told), "03")
    return stages(loft)[-1]


def test_a_planed_plate_rings_as_its_thickness_says(tapped: Loft) -> None:
    """From 4 to 3 mm with its density kept, each tone is three quarters of what it was.

    The uncertainty is that of two thicknesses, each to 0.05 mm: 1.5 times 2.08 %.
    """
    stage = tap(tapped, **PLANED, tones=scaled(0.75))

    assert stage.notes == ()
    for tone in stage.tones:
        expected = tone.expected
        assert expected is not None and expected.is_met
        hertz = {str(mode): hertz for mode, hertz in TONES.items()}[tone.reading.mode]
        assert expected.millihertz == pytest.approx(hertz * 750, abs=1)
        assert expected.u_difference_ppm == pytest.approx(31_300, rel=0.01)
        assert abs(expected.difference_ppm) < 30


def test_the_first_tap_has_nothing_to_be_expected(tapped: Loft) -> None:
    """Nor has a mode that was not heard before."""
    (first,) = stages(tapped)

    assert all(tone.expected is None for tone in first.tones)


def test_a_mode_is_compared_with_the_last_time_it_was_heard(tapped: Loft) -> None:
    """The twist was left out once, and is compared with the tap before that."""
    first = stages(tapped)[0].tapping.idx
    second = tap(tapped, tones={"along": 71.3})
    third = tap(tapped, tones=TONES)
    since = {t.reading.mode: t.expected.since for t in third.tones if t.expected}

    assert [tone.reading.mode for tone in second.tones] == ["along"]
    assert since == {"along": second.tapping.idx, "across": first, "twist": first}


def test_a_plate_tapped_as_a_bar_is_compared_with_bars_alone(tapped: Loft) -> None:
    """A strip held at its nodes is another thing than a plate."""
    stage = tap(tapped, held_as="bar", tones={"bar": 71.3})
    again = tap(tapped, held_as="bar", tones={"bar": 71.3})

    assert stage.tones[0].expected is None
    assert again.tones[0].expected is not None


def test_a_jump_that_no_wood_makes_is_said(tapped: Loft) -> None:
    """Nothing was taken off, and the twist fell by a quarter."""
    stage = tap(tapped, tones=TONES | {"twist": 39.2})

    (note,) = stage.notes
    assert note.replace("\u2009", " ").startswith(
        "the twist tone is at 39.2 Hz, 25 % below the 52.3 Hz of the same wood"
    )


def test_exchanged_names_are_noticed(tapped: Loft) -> None:
    """The twist was called along, and along twist."""
    tones = TONES | {"along": TONES["twist"], "twist": TONES["along"]}
    stage = tap(tapped, tones=tones)

    (note,) = stage.notes
    assert "lies where twist was expected, and the other way round" in note


def test_a_plate_planed_and_not_weighed_is_noticed(tapped: Loft) -> None:
    """Its density cannot rise by a third under the plane."""
    stage = tap(tapped, thickness_um=3_000, tones=scaled(0.75))

    assert (
        stage.notes[0]
        .replace("\u2009", " ")
        .startswith("its density went from 400 kg/m³ to 533 kg/m³ since entry")
    )


def test_a_small_difference_is_seen_and_is_no_jump(tapped: Loft) -> None:
    """Four percent without any work is more than was measured with, and wood can."""
    stage = tap(tapped, tones=scaled(1.04))
    off = [tone.expected for tone in stage.tones if tone.expected]

    assert len(off) == 3 and not any(expected.is_met for expected in off)
    assert stage.notes == ()


def test_a_plate_that_was_cut_is_reckoned_in_full(tapped: Loft) -> None:
    """Length and width have their say, by the full solution where moduli are known."""
    cut = {"length_um": 495_000, "mass_mg": 158_400}
    stage = tap(tapped, **cut, tones=TONES | {"along": 88.0, "twist": 58.24})
    told = [tone.expected for tone in stage.tones if tone.expected]

    assert {each.method for each in told} == {"same moduli, Rayleigh-Ritz/1"}
    assert all(each.is_met for each in told)


def test_a_struck_tap_counts_for_nothing(tapped: Loft) -> None:
    """The one after it is compared with the one before it."""
    wrong = tap(tapped, tones=scaled(1.5)).tapping.idx
    last = tap(tapped, tones=TONES)
    assert last.tones[0].expected and last.tones[0].expected.since == wrong
    corrections.correct(
        tapped.shop, wrong, reason="another board", hands=tapped.hands("03")
    )
    first, last = stages(tapped)

    assert last.tones[0].expected
    assert last.tones[0].expected.since == first.tapping.idx
    assert last.notes == ()


def test_a_board_that_is_not_there_has_no_series(tapped: Loft) -> None:
    """Its code was never given."""
    with (
        tapped.shop.store.reading() as session,
        pytest.raises(NotFoundError, match="there is no board"),
    ):
        series(session, "L26-001-09")
