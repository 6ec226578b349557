"""What a tapped board comes to, worked out from what was read whenever it is asked.

Nothing of this is kept in the log: a better formula reads old taps better.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from ledger.errors import RefusedError
from ledger.events.board import Reading
from ledger.views.readings import (
    PlainReading,
    PlainTap,
    Tapping,
    TapReading,
    readings_of,
    taps_of,
)
from ledger.wood.bar import SLENDER, rung_bar
from ledger.wood.elastic import usual_stiffness
from ledger.wood.many import Bare, Plate, many_plates
from ledger.wood.plate import rung_plate
from ledger.wood.tapped import NAMES
from ledger.wood.uncertainty import Estimate

# Standard uncertainties of rule, calliper and bench scale: common practice, no source.
U_LENGTH_UM = 500
U_THICKNESS_UM = 50
U_MASS_MG = 100
GIGA = 1e9

AnyTap = Tapping | PlainTap
AnyReading = TapReading | PlainReading


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Sizes and mass of a board as it was tapped, and how it was held."""

    held_as: str
    length_um: int
    width_um: int
    thickness_um: int
    mass_mg: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stiffness:
    """Figures by name, each with its standard uncertainty; what is lacking is absent.

    The names carry their units: density_kg_m3, e_along_gpa, e_across_gpa, g_gpa, of a
    bar e_gpa, sound_speed_m_s, radiation_ratio_m4_kg_s [m4/(kg s)].
    """

    figures: dict[str, Estimate]
    method: str
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One tap of a board: the day, what was read, and what it comes to."""

    tapping: Tapping
    readings: tuple[TapReading, ...]
    stiffness: Stiffness


def rung(session: Session, code: str) -> list[Rung]:
    """Return the taps of a board that count, the newest first, and their figures."""
    return [_rung(session, tapping) for tapping in reversed(taps_of(session, code))]


def stiffness(
    piece: Piece,
    modes: Mapping[str, Estimate],
    *,
    poisson: Estimate | None = None,
    u_thickness_um: int = U_THICKNESS_UM,
) -> Stiffness:
    """Return what frequencies [Hz] by mode come to; a plate's modes, or a bar's.

    poisson         of a plate, nu_LC, where it is known; else a guess
    u_thickness_um  standard uncertainty of the mean thickness, if it is not a caliper's

    Sizes that no formula fits leave no figure, and the reason as a warning.
    """
    sizes = {
        "length": metres(piece.length_um, U_LENGTH_UM),
        "width": metres(piece.width_um, U_LENGTH_UM),
        "thickness": metres(piece.thickness_um, u_thickness_um),
        "mass": Estimate(value=piece.mass_mg / 1e6, u=U_MASS_MG / 1e6),
    }
    try:
        if piece.held_as == "bar":
            return _of_bar(sizes, modes.get("bar"))
        return _of_plate(sizes, modes, poisson)
    except RefusedError as fault:
        return Stiffness(figures={}, method="none fits", warnings=(str(fault),))


def stiffness_of(tapping: AnyTap, readings: Sequence[AnyReading]) -> Stiffness:
    """Return what a recorded tap comes to, by its sizes and mass of that moment."""
    return stiffness(piece_of(tapping), frequencies(readings))


def piece_of(tapping: AnyTap) -> Piece:
    """Return a board as it was tapped."""
    return Piece(
        held_as=tapping.held_as,
        length_um=tapping.length_um,
        width_um=tapping.width_um,
        thickness_um=tapping.thickness_um,
        mass_mg=tapping.mass_mg,
    )


def frequencies(readings: Sequence[Reading | AnyReading]) -> dict[str, Estimate]:
    """Return the frequencies [Hz] by mode as they were recorded.

    From these alone a tap is worked out, on its day and later: so the figures agree.
    """
    return {
        reading.mode: Estimate(
            value=reading.frequency_millihertz / 1000,
            u=reading.uncertainty_millihertz / 1000,
        )
        for reading in readings
    }


def bare_stiffness(
    pieces: Sequence[tuple[Piece, Mapping[str, Estimate]]],
) -> list[Bare | None]:
    """Return what tapped plates come to, side by side, and not how sure that is.

    None is for a piece that has to be worked out alone, with all that is said of it.
    """
    poisson = usual_stiffness().poisson.value
    found: list[Bare | None] = [None] * len(pieces)
    plates: dict[int, Plate] = {}
    for at, (piece, modes) in enumerate(pieces):
        if piece.held_as == "bar" or not all(name in modes for name in NAMES):
            continue
        along, across, twist = (modes[name].value for name in NAMES)
        plate = Plate(
            length=piece.length_um / 1e6,
            width=piece.width_um / 1e6,
            thickness=piece.thickness_um / 1e6,
            mass=piece.mass_mg / 1e6,
            along=along,
            across=across,
            twist=twist,
            poisson=poisson,
        )
        if min(plate) > 0:
            plates[at] = plate
    for at, bare in zip(plates, many_plates(list(plates.values())), strict=True):
        found[at] = bare
    return found


def _rung(session: Session, tapping: Tapping) -> Rung:
    readings = tuple(readings_of(session, tapping.idx))
    figures = stiffness_of(tapping, readings)
    return Rung(tapping=tapping, readings=readings, stiffness=figures)


def _of_bar(sizes: Mapping[str, Estimate], frequency: Estimate | None) -> Stiffness:
    if frequency is None:
        raise RefusedError("no bending mode of the bar was read")
    shear = _usual_shear(sizes)
    bar = rung_bar(**sizes, frequency=frequency, shear_ratio=shear)
    figures = {
        "density_kg_m3": bar.density,
        "e_gpa": _giga(bar.youngs_modulus),
        "sound_speed_m_s": bar.sound_speed,
        "radiation_ratio_m4_kg_s": bar.radiation_ratio,
    }
    warnings = bar.warnings
    if shear is not None:
        told = f"{shear.value:.0f} ± {shear.u:.0f}"
        warnings += (f"E over G was taken as {told}, as it is in any wood",)
    return _known(figures, bar.method, warnings)


def _usual_shear(sizes: Mapping[str, Estimate]) -> Estimate | None:
    """Return E over G of any wood, for a bar so thick that it matters."""
    if sizes["thickness"].value * SLENDER <= sizes["length"].value:
        return None
    usual = usual_stiffness()
    ratio = 1 / usual.shear_ratio
    return Estimate(value=ratio, u=usual.spreads[1] * ratio)


def _of_plate(
    sizes: Mapping[str, Estimate],
    modes: Mapping[str, Estimate],
    poisson: Estimate | None,
) -> Stiffness:
    plate = rung_plate(
        length=sizes["length"],
        width=sizes["width"],
        thickness=sizes["thickness"],
        mass=sizes["mass"],
        along=modes.get("along"),
        across=modes.get("across"),
        twist=modes.get("twist"),
        poisson=poisson,
    )
    figures = {
        "density_kg_m3": plate.density,
        "e_along_gpa": _giga(plate.e_along),
        "e_across_gpa": _giga(plate.e_across),
        "g_gpa": _giga(plate.g),
        "sound_speed_m_s": plate.sound_speed,
        "radiation_ratio_m4_kg_s": plate.radiation_ratio,
    }
    return _known(figures, plate.method, plate.warnings)


def _known(
    figures: Mapping[str, Estimate | None], method: str, warnings: tuple[str, ...]
) -> Stiffness:
    known = {name: each for name, each in figures.items() if each is not None}
    return Stiffness(figures=known, method=method, warnings=warnings)


def _giga(pascals: Estimate | None) -> Estimate | None:
    if pascals is None:
        return None
    return Estimate(value=pascals.value / GIGA, u=pascals.u / GIGA)


def metres(um: int, u_um: int) -> Estimate:
    """Return a size with its standard uncertainty, in metres."""
    return Estimate(value=um / 1e6, u=u_um / 1e6)
