"""What the commands of `flitchbook calc` share: sizes and masses, and how to answer.

Where nothing else is told, standard uncertainties are those of common tools: a tape
0.5 mm on length and width, a caliper 0.05 mm on the mean thickness, a scale 0.1 g, and
0.2 Hz on a frequency that was read off somewhere.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import Annotated, Any

import typer

from cli import show
from cli.board_tap import FIGURES, estimate_data, plus_minus

LengthOption = Annotated[str, typer.Option(help="Along the grain, such as '550 mm'.")]
WidthOption = Annotated[str, typer.Option(help="Across the grain, such as '200 mm'.")]
ThicknessOption = Annotated[
    str, typer.Option(help="The mean of nine places or more, such as '4.00 mm'.")
]
MassOption = Annotated[str, typer.Option(help="Such as '176.0 g'.")]
SizeUncertainty = Annotated[
    str,
    typer.Option(
        "--u-size", help="Standard uncertainty of length and width: a good tape."
    ),
]
ThicknessUncertainty = Annotated[
    str,
    typer.Option(
        "--u-thickness", help="Standard uncertainty of the mean thickness: a caliper."
    ),
]
MassUncertainty = Annotated[
    str, typer.Option("--u-mass", help="Standard uncertainty of the mass: a scale.")
]
FrequencyUncertainty = Annotated[
    str, typer.Option("--u-frequency", help="Standard uncertainty of each frequency.")
]
SpeciesOption = Annotated[
    str | None,
    typer.Option(help="A scientific name or a genus, to say if that is normal."),
]


def sizes_of(texts: Sequence[str], uncertainties: Sequence[str]) -> dict[str, Any]:
    """Read length, width, thickness and mass into metres and kilograms."""
    from ledger.quantities import length_um, mass_mg

    length, width, thickness, mass = texts
    u_size, u_thickness, u_mass = uncertainties
    return {
        "length": _estimate(length_um, length, u_size, 1e6),
        "width": _estimate(length_um, width, u_size, 1e6),
        "thickness": _estimate(length_um, thickness, u_thickness, 1e6),
        "mass": _estimate(mass_mg, mass, u_mass, 1e6),
    }


def frequency_of(text: str, uncertainty: str) -> Any:
    """Read a frequency into hertz."""
    from ledger.quantities import frequency_millihertz

    return _estimate(frequency_millihertz, text, uncertainty, 1e3)


def hertz(text: str) -> float:
    """Read a frequency that is only roughly known."""
    from ledger.quantities import frequency_millihertz

    return frequency_millihertz(text) / 1000


def _estimate(
    read: Callable[[str], int], text: str, uncertainty: str, scale: float
) -> Any:
    from ledger.wood.uncertainty import Estimate

    return Estimate(value=read(text) / scale, u=read(uncertainty) / scale)


def answer_with(
    as_json: bool, found: Any, rows: Sequence[tuple[str, Any, float]]
) -> None:
    """Answer with numbers and their uncertainties, each in the unit of its name."""
    from ledger.wood.uncertainty import Estimate

    lines: list[str] = []
    data: dict[str, Any] = {}
    for key, estimate, scale in rows:
        name, unit = FIGURES[key]
        data[key] = None
        if estimate is not None:
            scaled = Estimate(value=estimate.value / scale, u=estimate.u / scale)
            data[key] = estimate_data(scaled)
            lines.append(f"{name:18}{plus_minus(scaled.value, scaled.u, unit)}")
    notes = [f"note: {text}" for text in found.warnings]
    method, warnings = found.method, list(found.warnings)
    answer(as_json, [*lines, *notes], **data, method=method, warnings=warnings)


def answer(as_json: bool, lines: Iterable[str], **data: Any) -> None:
    """Print lines, or the data as JSON where that was asked for."""
    if as_json:
        typer.echo(show.json_text(data))
        return
    for line in lines:
        typer.echo(show.safe(line))
