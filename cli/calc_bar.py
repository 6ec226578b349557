"""flitchbook calc bar and deflection: stiffness of braces, necks and strips."""

from collections.abc import Iterable
from typing import Annotated, Any

import typer

from cli.board_tap import FIGURES, estimate_data, plus_minus
from cli.calc_parts import (
    FrequencyUncertainty,
    LengthOption,
    MassOption,
    MassUncertainty,
    SizeUncertainty,
    ThicknessUncertainty,
    WidthOption,
    answer,
    frequency_of,
    sizes_of,
)
from cli.context import JsonOption
from ledger.errors import RefusedError

BarThicknessOption = Annotated[
    str, typer.Option(help="In the direction in which it bends, such as '15.00 mm'.")
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
SecondOption = Annotated[
    str | None,
    typer.Option(help="The second bending mode, which tells E over G of a thick bar."),
]
TorsionOption = Annotated[
    str | None,
    typer.Option(help="The first torsional mode, which tells G: tap a corner."),
]
SpanOption = Annotated[
    str, typer.Option(help="Between the two supports, such as '500 mm'.")
]
LoadsOption = Annotated[
    list[str],
    typer.Option(
        "--load",
        help="A weight or force in the middle and how far it sank there, such as "
        "'500 g=1.85 mm'; repeated for each load.",
    ),
]
GaugeUncertainty = Annotated[
    str, typer.Option("--u-deflection", help="Standard uncertainty of a gauge reading.")
]
SpanUncertainty = Annotated[
    str, typer.Option("--u-size", help="Standard uncertainty of span and width.")
]
U_SHEAR = 0.25  # of E / G
# Names and units of what a plate has not.
OWN = {
    "shear_ratio": ("E over G", ""),
    "stiffness_n_mm": ("stiffness", "N/mm"),
}


def add_to(app: typer.Typer) -> None:
    """Add the commands about bars."""
    app.command()(bar)
    app.command()(deflection)


def bar(
    length: LengthOption,
    width: WidthOption,
    thickness: BarThicknessOption,
    mass: MassOption,
    frequency: FrequencyOption,
    shear_ratio: ShearOption = None,
    second: SecondOption = None,
    torsion: TorsionOption = None,
    u_size: SizeUncertainty = "0.5 mm",
    u_thickness: ThicknessUncertainty = "0.05 mm",
    u_mass: MassUncertainty = "0.1 g",
    u_frequency: FrequencyUncertainty = "0.2 Hz",
    json: JsonOption = False,
) -> None:
    """Tell the stiffness of a bar, held at its nodes and bent in its thickness."""
    from ledger.wood.bar import rung_bar

    found = rung_bar(
        **sizes_of((length, width, thickness, mass), (u_size, u_thickness, u_mass)),
        frequency=frequency_of(frequency, u_frequency),
        shear_ratio=_shear(shear_ratio),
        second=frequency_of(second, u_frequency) if second else None,
        torsion=frequency_of(torsion, u_frequency) if torsion else None,
    )
    _answer(
        json,
        found,
        [
            ("density_kg_m3", found.density, 1.0),
            ("e_gpa", found.youngs_modulus, 1e9),
            ("g_gpa", found.shear_modulus, 1e9),
            ("shear_ratio", found.shear_ratio, 1.0),
            ("sound_speed_m_s", found.sound_speed, 1.0),
            ("radiation_ratio_m4_kg_s", found.radiation_ratio, 1.0),
        ],
        [f"held {found.node * 1000:.0f} mm from each end, tapped in the middle"],
        node_um=round(found.node * 1e6),
    )


def deflection(
    span: SpanOption,
    width: WidthOption,
    thickness: BarThicknessOption,
    load: LoadsOption,
    shear_ratio: ShearOption = None,
    u_size: SpanUncertainty = "0.5 mm",
    u_thickness: ThicknessUncertainty = "0.05 mm",
    u_deflection: GaugeUncertainty = "0.02 mm",
    json: JsonOption = False,
) -> None:
    """Tell the stiffness of a board that lies on two supports and bears a weight.

    The second way to stiffness, without sound; along the grain or across it, as the
    board lies. Only how much further it sinks with each further load counts.
    """
    from ledger.quantities import length_um
    from ledger.wood.deflection import flexed
    from ledger.wood.uncertainty import Estimate

    def size(text: str, u: str) -> Estimate:
        return Estimate(value=length_um(text) / 1e6, u=length_um(u) / 1e6)

    found = flexed(
        span=size(span, u_size),
        width=size(width, u_size),
        thickness=size(thickness, u_thickness),
        loads=[_load(text, u_deflection) for text in load],
        shear_ratio=_shear(shear_ratio),
    )
    _answer(
        json,
        found,
        [
            ("e_gpa", found.youngs_modulus, 1e9),
            ("stiffness_n_mm", found.stiffness, 1e3),
        ],
        [],
    )


def _shear(text: str | None) -> Any:
    from ledger.quantities import factor_milli
    from ledger.wood.uncertainty import Estimate

    if text is None:
        return None
    ratio = factor_milli(text) / 1000
    return Estimate(value=ratio, u=U_SHEAR * ratio)


def _load(text: str, u_deflection: str) -> Any:
    """Read '500 g=1.85 mm' or '5 N=1.85 mm'; weights stand in standard gravity."""
    from ledger.quantities import force_millinewton, length_um, mass_mg
    from ledger.scales import GRAVITY
    from ledger.wood.deflection import Load
    from ledger.wood.uncertainty import Estimate

    weight, equals, sunk = text.partition("=")
    if not equals:
        raise RefusedError(
            f"{text!r} is no load with its reading: write it like '500 g=1.85 mm'"
        )
    try:
        newton = mass_mg(weight) / 1e6 * float(GRAVITY)
    except RefusedError:
        newton = force_millinewton(weight) / 1000
    return Load(
        force=Estimate(value=newton, u=0.0),
        sunk=Estimate(value=length_um(sunk) / 1e6, u=length_um(u_deflection) / 1e6),
    )


def _answer(
    as_json: bool,
    found: Any,
    rows: Iterable[tuple[str, Any, float]],
    after: Iterable[str],
    **more: Any,
) -> None:
    """Answer with what is known, each number in the unit of its name."""
    from ledger.wood.uncertainty import Estimate

    lines: list[str] = []
    data: dict[str, Any] = {}
    for key, estimate, scale in rows:
        data[key] = None
        if estimate is not None:
            name, unit = (FIGURES | OWN)[key]
            scaled = Estimate(value=estimate.value / scale, u=estimate.u / scale)
            data[key] = estimate_data(scaled)
            lines.append(f"{name:18}{plus_minus(scaled.value, scaled.u, unit)}")
    notes = [f"note: {text}" for text in found.warnings]
    warnings = list(found.warnings)
    answer(
        as_json,
        [*lines, *after, *notes],
        **(data | more),
        method=found.method,
        warnings=warnings,
    )
