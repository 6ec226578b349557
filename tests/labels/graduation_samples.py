"""Plates that stand in for gauged ones, with thicknesses in whole numbers."""

from labels.plot_figure import Heading
from labels.plot_graduation_facts import (
    Graduation,
    Place,
    Plate,
    finding,
    is_inside,
    outline_of,
)

LENGTH_UM, WIDTH_UM = 525_000, 430_000


def gauged(thick_um: int, thin_um: int, step_um: int) -> tuple[Place, ...]:
    """Return places on a grid within an arch-top's outline, thickest near its bridge.

    Thickness falls off with the square of the way from there, to tenths of a
    millimetre, and a little more to the right than to the left.
    """
    bare = Plate(name="", length_um=LENGTH_UM, width_um=WIDTH_UM)
    outline = outline_of(bare, "arch-top")
    middle, reach = 180_000, 330_000
    found = []
    for y in range(25_000, LENGTH_UM, step_um):
        for x in range(-4 * step_um, 4 * step_um + 1, step_um):
            edge = (x + (8_000 if x > 0 else -8_000), y)
            if not is_inside(outline, edge):
                continue
            away = x * x + (y - middle) * (y - middle) + (x * 20_000 if x > 0 else 0)
            um = thick_um - (thick_um - thin_um) * away // (reach * reach)
            rounded = (max(um, thin_um) + 50) // 100 * 100
            found.append(Place(x_um=x, y_um=y, thickness_um=rounded))
    return tuple(found)


def archtop_top() -> Plate:
    """Return the top of an arch-top, gauged at some fifty places."""
    return Plate(
        name="top",
        length_um=LENGTH_UM,
        width_um=WIDTH_UM,
        places=gauged(6_100, 3_000, 52_000),
        said=(
            "The plate is 525 mm long, 430 mm wide.",
            "Gauged with G26-001.",
            "Stage: before closing.",
            "Beside entry 660 of 2026-10-30: at 25 places within 2 mm they differ by "
            "0.1 mm at most, 0.04 mm on average; a quick look, for a hand gauge reads "
            "to ±0.1 mm.",
        ),
    )


def archtop_back() -> Plate:
    """Return the back of one, gauged at fewer places."""
    return Plate(
        name="back",
        length_um=LENGTH_UM,
        places=gauged(5_400, 3_200, 80_000),
    )


def flat_top() -> Plate:
    """Return the top of a flat-top, gauged at nine places to hundredths."""
    near = ((90, 3_050), (260, 2_870), (420, 2_640))
    places = tuple(
        Place(x_um=x * 1000, y_um=y * 1000, thickness_um=um - abs(x))
        for y, um in near
        for x in (-110, 0, 110)
    )
    return Plate(name="top", length_um=500_000, places=places)


def mapped(kind: str, *plates: Plate, title: str = "") -> Graduation:
    """Return a map of plates with a heading over it."""
    heading = Heading(
        title=title or finding(plates[0], kind),
        where="top of 26-0147-3, Lanternhead, gauged 2026-11-02; thickness in mm",
        entries=(86114,),
    )
    return Graduation(heading=heading, kind=kind, plates=plates)
