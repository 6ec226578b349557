"""flitchbook calc: what nature says, reckoned without a shop and without a record.

Where nothing else is told, standard uncertainties are those of common tools: a tape
0.5 mm on length and width, a caliper 0.05 mm on the mean thickness, a scale 0.1 g, and
0.2 Hz on a frequency that was read off somewhere.
"""

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from cli.board_tap import FIGURES, estimate_data, heard_data, heard_lines, plus_minus
from cli.context import JsonOption

app = typer.Typer(
    name="calc", help="Moisture, density, stiffness, taps.", no_args_is_help=True
)
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
TemperatureOption = Annotated[str, typer.Option(help="Of the air: '20 C' or '68 F'.")]
HumidityOption = Annotated[str, typer.Option(help="Of the air, such as '45 %RH'.")]
SpeciesOption = Annotated[
    str | None,
    typer.Option(help="A scientific name or a genus, to say if that is normal."),
]
ModeOption = Annotated[
    str | None, typer.Option(help="A frequency, such as '71.29 Hz'.")
]
FrequencyOption = Annotated[
    str, typer.Option(help="Of the first bending mode, such as '187.3 Hz'.")
]
ShearOption = Annotated[
    str | None,
    typer.Option(
        "--shear-ratio",
        help="E over G, for a thick bar: some 16 for spruce; known to a quarter.",
    ),
]
RecordingArgument = Annotated[
    Path, typer.Argument(help="A WAV, FLAC or AIFF file of several taps.")
]
LowOption = Annotated[
    str | None, typer.Option(help="The lowest frequency of interest; else 40 Hz.")
]
HighOption = Annotated[
    str | None, typer.Option(help="The highest frequency of interest; else 400 Hz.")
]
NearOption = Annotated[
    list[str] | None, typer.Option(help="Where a mode is expected; may be repeated.")
]
ModesOption = Annotated[
    int, typer.Option(min=1, max=12, help="How many modes, the strongest, to tell.")
]
LOW, HIGH = 40.0, 400.0  # Hz
# The band to listen to, around the modes that are expected.
BELOW, ABOVE = 0.6, 1.5
U_EMC = 1.0  # percent of moisture content
U_SHEAR = 0.25  # of E / G


@app.command()
def emc(
    temperature: TemperatureOption, humidity: HumidityOption, json: JsonOption = False
) -> None:
    """Tell at which moisture content wood comes to rest in the shop's air."""
    from ledger import quantities
    from ledger.wood.moisture import equilibrium_moisture
    from ledger.wood.uncertainty import Estimate

    kelvin = quantities.temperature_millikelvin(temperature) / 1000
    air = quantities.humidity_ppm(humidity) / 1e6
    percent = equilibrium_moisture(temperature=kelvin - 273.15, humidity=air)
    moisture = Estimate(value=percent, u=U_EMC)
    _answer(
        json,
        [f"{'moisture content':18}{plus_minus(moisture.value, moisture.u, '%')}"],
        moisture_percent=estimate_data(moisture),
        method="Wood Handbook, equation 4-5",
        warnings=[],
    )


@app.command()
def density(
    length: LengthOption,
    width: WidthOption,
    thickness: ThicknessOption,
    mass: MassOption,
    species: SpeciesOption = None,
    u_size: SizeUncertainty = "0.5 mm",
    u_thickness: ThicknessUncertainty = "0.05 mm",
    u_mass: MassUncertainty = "0.1 g",
    json: JsonOption = False,
) -> None:
    """Tell the density of a board, and whether it is normal for its species."""
    from ledger.wood.density import density as density_of

    found = density_of(
        **_sizes((length, width, thickness, mass), (u_size, u_thickness, u_mass))
    )
    about, data = _normal(species, found.value) if species else ([], None)
    _answer(
        json,
        [f"{'density':18}{plus_minus(found.value, found.u, 'kg/m³')}", *about],
        density_kg_m3=estimate_data(found),
        species=data,
        method="mass over length, width and thickness",
        warnings=[] if data is None or data["is_normal"] is not False else about,
    )


@app.command()
def plate(
    length: LengthOption,
    width: WidthOption,
    thickness: ThicknessOption,
    mass: MassOption,
    along: ModeOption = None,
    across: ModeOption = None,
    twist: ModeOption = None,
    u_size: SizeUncertainty = "0.5 mm",
    u_thickness: ThicknessUncertainty = "0.05 mm",
    u_mass: MassUncertainty = "0.1 g",
    u_frequency: FrequencyUncertainty = "0.2 Hz",
    json: JsonOption = False,
) -> None:
    """Tell the stiffness of a flat board from the modes that were heard."""
    from ledger.wood.plate import rung_plate

    sizes = _sizes((length, width, thickness, mass), (u_size, u_thickness, u_mass))
    heard = {"along": along, "across": across, "twist": twist}
    modes = {
        name: _frequency(text, u_frequency) for name, text in heard.items() if text
    }
    found = rung_plate(**sizes, **modes)
    _answer_with(
        json,
        found,
        [
            ("density_kg_m3", found.density, 1.0),
            ("e_along_gpa", found.e_along, 1e9),
            ("e_across_gpa", found.e_across, 1e9),
            ("g_gpa", found.g, 1e9),
            ("sound_speed_m_s", found.sound_speed, 1.0),
            ("radiation_ratio_m4_kg_s", found.radiation_ratio, 1.0),
        ],
    )


@app.command()
def bar(
    length: LengthOption,
    width: WidthOption,
    thickness: ThicknessOption,
    mass: MassOption,
    frequency: FrequencyOption,
    shear_ratio: ShearOption = None,
    u_size: SizeUncertainty = "0.5 mm",
    u_thickness: ThicknessUncertainty = "0.05 mm",
    u_mass: MassUncertainty = "0.1 g",
    u_frequency: FrequencyUncertainty = "0.2 Hz",
    json: JsonOption = False,
) -> None:
    """Tell the stiffness of a bar, held at its nodes and bent in its thickness."""
    from ledger import quantities
    from ledger.wood.bar import rung_bar
    from ledger.wood.uncertainty import Estimate

    sizes = _sizes((length, width, thickness, mass), (u_size, u_thickness, u_mass))
    shear = quantities.factor_milli(shear_ratio) / 1000 if shear_ratio else None
    found = rung_bar(
        **sizes,
        frequency=_frequency(frequency, u_frequency),
        shear_ratio=(
            Estimate(value=shear, u=U_SHEAR * shear) if shear is not None else None
        ),
    )
    _answer_with(
        json,
        found,
        [
            ("density_kg_m3", found.density, 1.0),
            ("e_gpa", found.youngs_modulus, 1e9),
            ("sound_speed_m_s", found.sound_speed, 1.0),
            ("radiation_ratio_m4_kg_s", found.radiation_ratio, 1.0),
        ],
    )


@app.command()
def tap(
    file: RecordingArgument,
    low: LowOption = None,
    high: HighOption = None,
    near: NearOption = None,
    modes: ModesOption = 3,
    json: JsonOption = False,
) -> None:
    """Tell the modes in a recording of taps: frequency and apparent Q."""
    from ledger.wood.recording import read_recording
    from ledger.wood.tap import hear

    expected = tuple(_hertz(text) for text in near or ())
    lowest = BELOW * min(expected, default=LOW / BELOW)
    highest = ABOVE * max(expected, default=HIGH / ABOVE)
    recording = read_recording(file)
    heard = hear(
        recording,
        band=(_hertz(low) if low else lowest, _hertz(high) if high else highest),
        near=expected or None,
        modes=modes,
    )
    _answer(
        json,
        [*heard_lines(heard), *(f"note: {text}" for text in heard.warnings)],
        readings=[
            reading | {"expected_millihertz": _expected(mode)}
            for reading, mode in zip(heard_data(heard), heard.modes, strict=True)
        ],
        taps=[
            {"at_s": round(tap.at, 3), "used": not tap.rejected, "why": tap.rejected}
            for tap in heard.taps
        ],
        recording={
            "container": recording.container,
            "rate_hz": recording.rate,
            "bits": recording.bits,
            "channels": recording.channels,
        },
        method=heard.method,
        warnings=list(heard.warnings),
    )


def _sizes(texts: Sequence[str], uncertainties: Sequence[str]) -> dict[str, Any]:
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


def _frequency(text: str, uncertainty: str) -> Any:
    from ledger.quantities import frequency_millihertz

    return _estimate(frequency_millihertz, text, uncertainty, 1e3)


def _estimate(
    read: Callable[[str], int], text: str, uncertainty: str, scale: float
) -> Any:
    from ledger.wood.uncertainty import Estimate

    return Estimate(value=read(text) / scale, u=read(uncertainty) / scale)


def _hertz(text: str) -> float:
    from ledger.quantities import frequency_millihertz

    return frequency_millihertz(text) / 1000


def _expected(mode: Any) -> int | None:
    return None if mode.expected is None else round(mode.expected * 1000)


def _normal(name: str, value: float) -> tuple[list[str], dict[str, Any]]:
    """Say whether a density is normal for a species."""
    from ledger.wood.species import density_band

    band = density_band(name)
    if band is None:
        lines = [f"Nothing is known here of {name}, so nobody can say if it is normal."]
        return lines, {"name": name, "is_normal": None}
    is_normal = band.low <= value <= band.high
    told = "normal" if is_normal else "NOT NORMAL"
    after = "" if is_normal else ": measure again, or see whether that is the species"
    line = (
        f"That is {told} for {band.name}, {band.low:.0f} to {band.high:.0f} kg/m³"
        f"{after}."
    )
    data = {"name": band.name, "is_normal": is_normal, "sources": list(band.sources)}
    bounds = {"low_kg_m3": round(band.low, 1), "high_kg_m3": round(band.high, 1)}
    return [line], {**data, **bounds}


def _answer_with(
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
    _answer(as_json, [*lines, *notes], **data, method=method, warnings=warnings)


def _answer(as_json: bool, lines: Iterable[str], **data: Any) -> None:
    """Print lines, or the data as JSON where that was asked for."""
    import json

    if as_json:
        typer.echo(json.dumps(data, ensure_ascii=False, sort_keys=True))
        return
    for line in lines:
        typer.echo(line)
