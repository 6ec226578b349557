"""flitchbook calc thickness: how thick a plate must be for the shop's own number."""

from typing import Annotated, Any

import typer

from cli.board_tap import estimate_data, plus_minus
from cli.calc_parts import ThicknessUncertainty, answer
from cli.context import JsonOption

FrequencyOption = Annotated[
    str, typer.Option(help="The shop's own number, such as '70 Hz'; there is no usual.")
]
LengthOption = Annotated[
    str, typer.Option("--body-length", help="Of the model's body, such as '500 mm'.")
]
WidthOption = Annotated[
    str, typer.Option("--lower-bout", help="Its greatest width, such as '380 mm'.")
]
DensityOption = Annotated[str, typer.Option(help="Of this plate: '400 kg/m3'.")]
AlongOption = Annotated[
    str, typer.Option("--e-along", help="As read, not corrected for air: '11 GPa'.")
]
AcrossOption = Annotated[str, typer.Option("--e-across", help="Likewise: '0.85 GPa'.")]
ShearOption = Annotated[str, typer.Option("--g", help="Likewise: '0.75 GPa'.")]
MeasuredOption = Annotated[
    str | None,
    typer.Option(
        "--measured-at",
        help="The thickness at which these were found: its error then counts once.",
    ),
]
ModuliUncertainty = Annotated[
    str, typer.Option("--u-moduli", help="Standard uncertainty of each modulus.")
]
DensityUncertainty = Annotated[
    str, typer.Option("--u-density", help="Standard uncertainty of the density.")
]
SizeUncertainty = Annotated[
    str, typer.Option("--u-outline", help="Standard uncertainty of length and bout.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those that reckon."""
    app.command()(thickness)


def thickness(
    frequency: FrequencyOption,
    length: LengthOption,
    width: WidthOption,
    density: DensityOption,
    e_along: AlongOption,
    e_across: AcrossOption,
    g: ShearOption,
    measured_at: MeasuredOption = None,
    u_moduli: ModuliUncertainty = "4 %",
    u_density: DensityUncertainty = "1.3 %",
    u_outline: SizeUncertainty = "1 mm",
    u_thickness: ThicknessUncertainty = "0.05 mm",
    json: JsonOption = False,
) -> None:
    """Tell the thickness at which a plain clamped plate sounds a stated frequency.

    A rectangle as long as the body and as wide as its lower bout, without braces. It
    tells how thick to work a plate of this wood; it tells nothing of what is heard.
    """
    from ledger.quantities import frequency_millihertz
    from ledger.wood.thickness import thickness_for
    from ledger.wood.uncertainty import Estimate

    hertz = frequency_millihertz(frequency) / 1e3
    found = thickness_for(
        frequency=Estimate(value=hertz, u=0.0),
        length=_size(length, u_outline),
        width=_size(width, u_outline),
        density=_density(density, u_density),
        e_along=_modulus(e_along, u_moduli),
        e_across=_modulus(e_across, u_moduli),
        g=_modulus(g, u_moduli),
        measured_at=_size(measured_at, u_thickness) if measured_at else None,
    )
    sized = Estimate(value=found.thickness.value * 1e3, u=found.thickness.u * 1e3)
    answer(
        json,
        [
            f"{'thickness':18}{plus_minus(sized.value, sized.u, 'mm')}",
            f"{'method':18}{found.method}",
            *(f"note: {text}" for text in found.warnings),
        ],
        thickness_mm=estimate_data(sized),
        method=found.method,
        warnings=list(found.warnings),
    )


def _size(text: str, u: str) -> Any:
    """Read a size into metres."""
    from ledger.quantities import length_um
    from ledger.wood.uncertainty import Estimate

    return Estimate(value=length_um(text) / 1e6, u=length_um(u) / 1e6)


def _density(text: str, share: str) -> Any:
    from ledger.quantities import density_gram_per_m3

    return _sure_to(density_gram_per_m3(text) / 1e3, share)


def _modulus(text: str, share: str) -> Any:
    from ledger.quantities import pressure_pa

    return _sure_to(float(pressure_pa(text)), share)


def _sure_to(value: float, share: str) -> Any:
    from ledger.quantities import share_ppm
    from ledger.wood.uncertainty import Estimate

    return Estimate(value=value, u=share_ppm(share) / 1e6 * value)
