"""flitchbook calc stiffness: a modulus along the grain, brought to another moisture."""

from typing import Annotated

import typer

from cli.board_tap import estimate_data, plus_minus
from cli.calc_parts import answer
from cli.context import JsonOption

ModulusArgument = Annotated[
    str, typer.Argument(help="Along the grain, as measured: '11.2 GPa'.")
]
MoistureOption = Annotated[
    str, typer.Option(help="The wood's moisture when it was measured, such as '8 %'.")
]
AtOption = Annotated[str, typer.Option(help="The moisture to bring it to.")]
SpeciesOption = Annotated[
    str, typer.Option(help="A scientific name, for its printed green and dry moduli.")
]
ModulusUncertainty = Annotated[
    str, typer.Option("--u-modulus", help="Standard uncertainty of the modulus.")
]
MoistureUncertainty = Annotated[
    str, typer.Option("--u-moisture", help="Standard uncertainty of the moisture.")
]
PERCENT_PPM = 10_000


def add_to(app: typer.Typer) -> None:
    """Add the command about stiffness and moisture."""
    app.command()(stiffness)


def stiffness(
    modulus: ModulusArgument,
    moisture: MoistureOption,
    at: AtOption = "12 %",
    species: SpeciesOption = "",
    u_modulus: ModulusUncertainty = "0.3 GPa",
    u_moisture: MoistureUncertainty = "1 %",
    json: JsonOption = False,
) -> None:
    """Tell the stiffness along the grain that wood would have at another moisture."""
    from ledger.quantities import moisture_ppm, pressure_pa
    from ledger.wood.stiffness_at import stiffness_at
    from ledger.wood.uncertainty import Estimate

    found = stiffness_at(
        modulus=Estimate(value=pressure_pa(modulus), u=pressure_pa(u_modulus)),
        moisture=Estimate(
            value=moisture_ppm(moisture) / PERCENT_PPM,
            u=moisture_ppm(u_moisture) / PERCENT_PPM,
        ),
        at=moisture_ppm(at) / PERCENT_PPM,
        species=species,
    )
    giga = Estimate(value=found.modulus.value / 1e9, u=found.modulus.u / 1e9)
    answer(
        json,
        [f"{'E along at ' + at:18}{plus_minus(giga.value, giga.u, 'GPa')}"],
        e_along_gpa=estimate_data(giga),
        method=found.method,
        warnings=[],
    )
