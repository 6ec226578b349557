"""How thick to work a tapped plate for the shop's own number."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.acts import tapping
from ledger.acts.target import Target, target_thickness
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BoardMeasured
from tests import ringing
from tests.skerrymoor import TOP, Loft

HALF = "L26-001-01.A"


@pytest.fixture
def numbered(loft: Loft) -> Loft:
    """Give a shop with one set of spruce, of 550 x 200 x 4.00 mm and 176 g a half."""
    loft.supplier()
    draft = replace(
        TOP,
        length_um=550_000,
        width_um=200_000,
        thickness_um=4_000,
        masses_mg=(176_000, 176_000),
    )
    loft.number(loft.receive(), draft)
    return loft


def tap(loft: Loft, folder: Path, **modes: int) -> int:
    """Tap one half; return the entry."""
    expected: dict[Any, int] = dict(modes)
    done = tapping.tap(
        loft.shop,
        HALF,
        ringing.plate(folder / f"{len(expected)}.wav", taps=1 + len(expected)),
        held_as="plate",
        expected=expected,
        hands=loft.hands("03"),
    )
    return done.entry.index


def target(loft: Loft, millihertz: int = 75_000, code: str = HALF) -> Target:
    """Ask how thick for a frequency, for a body of 500 mm and 380 mm."""
    with loft.shop.store.reading() as session:
        return target_thickness(
            session,
            code,
            length_um=500_000,
            width_um=380_000,
            frequency_millihertz=millihertz,
        )


def test_the_board_s_own_wood_says_how_thick(numbered: Loft, tmp_path: Path) -> None:
    """Worked example of the rule: 2.887 mm for 11, 0.85 and 0.75 GPa at 400 kg/m3.

    Source: the closed formula of T. Gore, worked by hand; the tones are of that wood.
    """
    index = tap(numbered, tmp_path, along=71_290, across=150_510, twist=52_320)
    found = target(numbered)

    assert found.tapped_idx == index
    assert found.thickness_um == pytest.approx(2_887, rel=0.005)
    assert 10 < found.u_thickness_um < 60
    assert target(numbered, 150_000).thickness_um == pytest.approx(
        2 * found.thickness_um, abs=2
    )
    assert "not corrected for air" in found.notes[0]
    assert "nothing of what is heard" in found.notes[0]
    assert "Gore" in found.method and "moduli by" in found.method


def test_a_plate_that_is_too_thin_already_is_told(
    numbered: Loft, tmp_path: Path
) -> None:
    """Nobody glues wood on again."""
    tap(numbered, tmp_path, along=71_290, across=150_510, twist=52_320)
    numbered.say(BoardMeasured(board=HALF, thickness_um=2_500), "02")

    assert any("2.50\u2009mm thick already" in note for note in target(numbered).notes)


def test_what_was_not_heard_is_not_guessed(numbered: Loft, tmp_path: Path) -> None:
    """The refusal names the moduli and the tones that are missing."""
    with pytest.raises(RefusedError, match="was never tapped as a plate"):
        target(numbered)
    index = tap(numbered, tmp_path, along=71_290)
    with pytest.raises(RefusedError) as caught:
        target(numbered)

    assert str(caught.value) == (
        f"E across and G of board {HALF} is not known, for the tap of entry {index} "
        f"has no tone across and twist: tap it for that too"
    )


def test_an_older_tap_that_is_whole_serves(numbered: Loft, tmp_path: Path) -> None:
    """Where the newest one was for a single tone."""
    whole = tap(numbered, tmp_path, along=71_290, across=150_510, twist=52_320)
    tap(numbered, tmp_path, along=71_290)

    assert target(numbered).tapped_idx == whole


def test_the_outline_and_the_board_are_looked_at(
    numbered: Loft, tmp_path: Path
) -> None:
    """A set is no one plate, and a body has a body's outline."""
    tap(numbered, tmp_path, along=71_290, across=150_510, twist=52_320)
    with pytest.raises(RefusedError, match="is a set: scan the half"):
        target(numbered, code="L26-001-01")
    with pytest.raises(NotFoundError, match="there is no board"):
        target(numbered, code="L26-001-09")
    with pytest.raises(RefusedError):
        target(numbered, millihertz=0)
