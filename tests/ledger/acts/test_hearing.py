"""What is heard is read as it was, and never guessed."""

from dataclasses import replace
from math import inf
from pathlib import Path
from typing import Any

import pytest

from ledger.acts.hearing import Rung, listen, reading_of, which_is_which
from ledger.errors import NotFoundError, RefusedError
from ledger.events.board import Mode
from ledger.wood import tap as ear
from tests import ringing

PLATE = Rung(noun="a plate", modes=("along", "across", "twist"), options="--along")
EXPECTED: dict[Mode, int] = {"along": 71_000, "across": 150_000, "twist": 52_000}


def mode(hertz: float, q: float = 100.0) -> ear.Mode:
    """Return a mode as five taps heard it."""
    return ear.Mode(
        frequency=hertz, u_frequency=0.01, q=q, u_q=1.0, taps=5, scatter=0.0001
    )


HEARD = (mode(52.32), mode(71.29), mode(150.51))


@pytest.mark.parametrize(
    ("u_q", "scatter", "told"),
    [(1.0001, 4.01e-5, (1_001, 41)), (0.0, 0.0, (0, 0)), (inf, None, (None, None))],
)
def test_what_nobody_can_estimate_is_left_out(
    u_q: float, scatter: float | None, told: tuple[int | None, int | None]
) -> None:
    """Nought is said only where it is one; uncertainties are rounded up."""
    heard = replace(mode(71.29), u_q=u_q, scatter=scatter)
    reading = reading_of("along", heard)

    assert (reading.q_uncertainty_milli, reading.scatter_ppm) == told
    assert reading.uncertainty_millihertz == 10


def test_each_expectation_finds_the_nearest_mode() -> None:
    """The order in which they are said does not matter."""
    found = which_is_which(HEARD, EXPECTED, PLATE)

    assert list(found) == ["twist", "along", "across"]
    assert [m.frequency for m in found.values()] == [52.32, 71.29, 150.51]
    assert which_is_which(HEARD, {"across": 151_000}, PLATE) == {"across": HEARD[2]}


@pytest.mark.parametrize(
    ("heard", "expected", "why"),
    [
        ((70.0, 73.0), {"along": 71_000}, "both 70.00 and 73.00 Hz may be the along"),
        ((70.5, 71.9), {"along": 70_500}, "both 70.50 and 71.90 Hz may be the along"),
        ((71.0,), {"along": 71_000, "twist": 70_000}, "both come nearest to 71.00 Hz"),
        ((71.0, 71.6), {"along": 71_000, "twist": 71_600}, "too close to tell apart"),
        ((84.0,), {"along": 71_000}, "no mode is heard within 15%"),
    ],
)
def test_what_could_be_either_is_refused(
    heard: tuple[float, ...], expected: Any, why: str
) -> None:
    """The tool never guesses which mode is which."""
    with pytest.raises(RefusedError, match=why):
        which_is_which([mode(hertz) for hertz in heard], expected, PLATE)


def test_a_mode_farther_off_does_not_disturb() -> None:
    """Fifteen percent is wide; a second mode there is no rival to a close one."""
    heard = [mode(71.2), mode(79.0)]

    assert which_is_which(heard, {"along": 71_000}, PLATE) == {"along": heard[0]}


def test_listening_needs_no_shop(tmp_path: Path) -> None:
    """Only a file."""
    heard = listen(ringing.plate(tmp_path / "half.wav", taps=3), (40_000, 400_000))
    with pytest.raises(NotFoundError):
        listen(tmp_path / "none.wav", (40_000, 400_000))

    assert [round(m.frequency, 1) for m in heard.modes] == [52.3, 71.3, 150.5]
