"""flitchbook calc: what nature says, reckoned without a shop and without a record.

Where nothing else is told, standard uncertainties are those of common tools: a tape
0.5 mm on length and width, a caliper 0.05 mm on the mean thickness, a scale 0.1 g, and
0.2 Hz on a frequency that was read off somewhere.
"""

from typing import Annotated, Any

import typer

from cli import (
    calc_bar,
    calc_moisture,
    calc_plate,
    calc_season,
    calc_stiffness,
    calc_tap,
    calc_thickness,
)
from cli.board_tap import estimate_data, plus_minus
from cli.calc_parts import (
    LengthOption,
    MassOption,
    MassUncertainty,
    SizeUncertainty,
    SpeciesOption,
    ThicknessOption,
    ThicknessUncertainty,
    WidthOption,
    answer,
    sizes_of,
)
from cli.context import JsonOption

app = typer.Typer(
    name="calc", help="Moisture, density, stiffness, taps.", no_args_is_help=True
)
calc_plate.add_to(app)
calc_bar.add_to(app)
calc_tap.add_to(app)
calc_moisture.add_to(app)
calc_season.add_to(app)
calc_stiffness.add_to(app)
calc_thickness.add_to(app)
TemperatureOption = Annotated[str, typer.Option(help="Of the air: '20 C' or '68 F'.")]
HumidityOption = Annotated[str, typer.Option(help="Of the air, such as '45 %RH'.")]
MoistureOption = Annotated[
    str | None, typer.Option(help="The moisture it was measured at, such as '8 %'.")
]
MoistureUncertainty = Annotated[
    str, typer.Option("--u-moisture", help="Standard uncertainty of the moisture.")
]
AtOption = Annotated[
    str, typer.Option(help="With --moisture: tell the density at this one too.")
]
U_EMC = 1.0  # percent of moisture content


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
    answer(
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
    moisture: MoistureOption = None,
    at: AtOption = "12 %",
    u_size: SizeUncertainty = "0.5 mm",
    u_thickness: ThicknessUncertainty = "0.05 mm",
    u_mass: MassUncertainty = "0.1 g",
    u_moisture: MoistureUncertainty = "1 %",
    json: JsonOption = False,
) -> None:
    """Tell the density of a board, and whether it is normal for its species.

    With its moisture, also the density at another one, and the specific gravity.
    """
    from ledger.wood.density import density as density_of

    found = density_of(
        **sizes_of((length, width, thickness, mass), (u_size, u_thickness, u_mass))
    )
    more, at_rest = calc_moisture.at_moisture(found, moisture, u_moisture, at, species)
    about, data = _normal(species, found.value) if species else ([], None)
    answer(
        json,
        [f"{'density':18}{plus_minus(found.value, found.u, 'kg/m³')}", *more, *about],
        density_kg_m3=estimate_data(found),
        **at_rest,
        species=data,
        method="mass over length, width and thickness",
        warnings=[] if data is None or data["is_normal"] is not False else about,
    )


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
