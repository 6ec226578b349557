"""flitchbook calc moisture and shrink: water in wood, and what it does to sizes."""

from typing import Annotated, Any

import typer

from cli.board_tap import estimate_data, plus_minus
from cli.calc_parts import MassUncertainty, answer
from cli.context import JsonOption
from ledger.errors import RefusedError

MassOption = Annotated[
    str | None, typer.Option(help="What it weighs now, such as '176.0 g'.")
]
OvenDryOption = Annotated[
    str | None, typer.Option(help="What it, or a piece of it, weighed oven-dry.")
]
ReadingOption = Annotated[
    str | None, typer.Option(help="What a meter with pins showed, such as '8.5 %'.")
]
WarmthOption = Annotated[
    str, typer.Option("--wood", help="How warm the wood is: '20 C' or '68 F'.")
]
CompensatedOption = Annotated[
    bool, typer.Option("--set", help="The meter was set to the wood's temperature.")
]
AtOption = Annotated[
    str | None, typer.Option(help="Tell its mass at another moisture too: '6 %'.")
]
SizeOption = Annotated[
    str, typer.Option(help="Width or thickness across the grain, such as '203 mm'.")
]
BeforeOption = Annotated[
    str, typer.Option("--from", help="The moisture it has now, such as '9 %'.")
]
AfterOption = Annotated[
    str, typer.Option("--to", help="The moisture it will have, such as '6 %'.")
]
SpeciesOption = Annotated[
    str | None, typer.Option(help="A scientific name, for its printed shrinkage.")
]
RadialOption = Annotated[
    str | None, typer.Option(help="Radial shrinkage, green to oven-dry: '4.3 %'.")
]
TangentialOption = Annotated[
    str | None, typer.Option(help="Likewise the tangential one: '7.5 %'.")
]
AngleOption = Annotated[
    str,
    typer.Option(
        "--ring-angle",
        help="0 where the size runs across the rings (the width of quartersawn wood), "
        "90 along them.",
    ),
]
SizeUncertainty = Annotated[
    str, typer.Option("--u-size", help="Standard uncertainty of the size.")
]
MoistureUncertainty = Annotated[
    str, typer.Option("--u-moisture", help="Standard uncertainty of each moisture.")
]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those that reckon."""
    app.command()(moisture)
    app.command()(shrink)


def moisture(
    mass: MassOption = None,
    oven_dry: OvenDryOption = None,
    reading: ReadingOption = None,
    wood: WarmthOption = "20 C",
    compensated: CompensatedOption = False,
    at: AtOption = None,
    u_mass: MassUncertainty = "0.1 g",
    json: JsonOption = False,
) -> None:
    """Tell how much water wood holds, from two masses or from a meter's reading."""
    from ledger.wood import moisture as water

    weighed = _estimate("mass", mass, u_mass)
    dry = _estimate("mass", oven_dry, u_mass)
    if reading is not None and dry is None:
        found, method, warnings = _metered(reading, wood, compensated)
    elif reading is None and weighed is not None and dry is not None:
        found = water.moisture_content(mass=weighed, oven_dry=dry)
        method, warnings = "oven-dry mass, ASTM D4442", []
    else:
        raise RefusedError(
            "give --mass and --oven-dry, or --reading with the wood's temperature: one "
            "of the two ways, not both"
        )
    rows: list[tuple[str, str, Any, str]] = [
        ("moisture_percent", "moisture content", found, "%")
    ]
    if weighed is not None:
        dry = dry or water.oven_dry_mass(mass=weighed, moisture=found)
        rows.append(("oven_dry_g", "oven-dry mass", _scaled(dry, 1e3), "g"))
        if at is not None:
            other = water.mass_at(mass=weighed, moisture=found, at=_percent(at))
            name = f"mass at {_percent(at):g} %"
            rows.append(("mass_at_g", name, _scaled(other, 1e3), "g"))
    _tell(json, rows, method=method, warnings=warnings)


def shrink(
    size: SizeOption,
    before: BeforeOption,
    after: AfterOption,
    species: SpeciesOption = None,
    radial: RadialOption = None,
    tangential: TangentialOption = None,
    ring_angle: AngleOption = "0 deg",
    u_size: SizeUncertainty = "0.1 mm",
    u_moisture: MoistureUncertainty = "0.5 %",
    json: JsonOption = False,
) -> None:
    """Tell how much a size changes when the wood dries or takes up water."""
    from ledger import quantities
    from ledger.wood import shrinkage

    across, along, source = _printed(species, radial, tangential)
    share = shrinkage.shrinkage_between(
        radial=across,
        tangential=along,
        ring_angle=quantities.angle_millidegree(ring_angle) / 1000,
    )
    found = shrinkage.movement(
        size=_estimate("length", size, u_size),
        shrinkage=share,
        before=_estimate("moisture", before, u_moisture),
        after=_estimate("moisture", after, u_moisture),
    )
    rows: list[tuple[str, str, Any, str]] = [
        ("change_mm", "change", _scaled(found.change, 1e3), "mm"),
        ("size_mm", "size then", _scaled(found.size, 1e3), "mm"),
    ]
    _tell(json, rows, method=f"{found.method}; {source}", warnings=[])


def at_moisture(
    density: Any, moisture: str | None, u_moisture: str, at: str, species: str | None
) -> tuple[list[str], dict[str, Any]]:
    """Return the lines and data of a density at another moisture, if it is asked."""
    from ledger.wood import gravity
    from ledger.wood.handbook import printed_of

    if moisture is None:
        return [], {}
    row = printed_of(species) if species else None
    water = _estimate("moisture", moisture, u_moisture)
    other = gravity.density_at(
        density=density,
        moisture=water,
        at=_percent(at),
        volumetric=row.volumetric if row else None,
    )
    found = gravity.specific_gravity(density=density, moisture=water)
    lines = [
        f"{f'at {_percent(at):g} %':18}{plus_minus(other.value, other.u, 'kg/m³')}",
        f"{'specific gravity':18}{plus_minus(found.value.value, found.value.u)}, "
        f"{found.basis}",
    ]
    return lines, {
        "density_at_kg_m3": estimate_data(other),
        "at_percent": _percent(at),
        "specific_gravity": {**estimate_data(found.value), "basis": found.basis},
    }


def _metered(reading: str, wood: str, compensated: bool) -> tuple[Any, str, list[str]]:
    from ledger.quantities import temperature_millikelvin
    from ledger.wood.meter import moisture_from_meter

    found = moisture_from_meter(
        reading=_percent(reading),
        temperature=temperature_millikelvin(wood) / 1000 - 273.15,
        is_compensated=compensated,
    )
    return found.moisture, found.rule, list(found.warnings)


def _printed(
    species: str | None, radial: str | None, tangential: str | None
) -> tuple[float, float, str]:
    """Return both shrinkages and where they are from: as given, or as printed."""
    from ledger.wood.handbook import printed_of

    if radial is not None and tangential is not None:
        return _percent(radial), _percent(tangential), "shrinkage as given"
    row = printed_of(species) if species else None
    if row is None:
        known = f"nothing is printed here of {species}" if species else "no species"
        raise RefusedError(
            f"{known}: give its shrinkage, green to oven-dry, such as --radial '4.3 %' "
            f"--tangential '7.5 %'"
        )
    return row.radial, row.tangential, f"shrinkage of {row.name} from {row.confidence}"


def _estimate(kind: str, text: str | None, uncertainty: str) -> Any:
    """Read a mass, a length or a moisture into kilograms, metres or percent."""
    from ledger import quantities
    from ledger.wood.uncertainty import Estimate

    if text is None:
        return None
    read, scale = {
        "mass": (quantities.mass_mg, 1e6),
        "length": (quantities.length_um, 1e6),
        "moisture": (quantities.moisture_ppm, 1e4),
    }[kind]
    return Estimate(value=read(text) / scale, u=read(uncertainty) / scale)


def _percent(text: str) -> float:
    from ledger.quantities import moisture_ppm

    return moisture_ppm(text) / 1e4


def _scaled(found: Any, scale: float) -> Any:
    from ledger.wood.uncertainty import Estimate

    return Estimate(value=found.value * scale, u=found.u * scale)


def _tell(
    as_json: bool,
    rows: list[tuple[str, str, Any, str]],
    *,
    method: str,
    warnings: list[str],
) -> None:
    """Answer with each number, then the method and what to doubt."""
    lines = [
        f"{name:18}{plus_minus(found.value, found.u, unit)}"
        for _, name, found, unit in rows
    ]
    notes = [f"note: {text}" for text in warnings]
    data = {key: estimate_data(found) for key, _, found, _ in rows}
    answer(
        as_json,
        [*lines, f"{'method':18}{method}", *notes],
        **data,
        method=method,
        warnings=warnings,
    )
