"""flitchbook calc plate and calc modes: a flat board, tapped or about to be."""

from collections.abc import Iterator
from typing import Annotated, Any

import typer

from cli.board_tap import FIGURES, estimate_data, plus_minus
from cli.calc_parts import (
    FrequencyUncertainty,
    LengthOption,
    MassOption,
    MassUncertainty,
    SizeUncertainty,
    ThicknessOption,
    ThicknessUncertainty,
    WidthOption,
    answer,
    frequency_of,
    sizes_of,
)
from cli.context import JsonOption

AlongOption = Annotated[
    str | None, typer.Option(help="The long mode, such as '71.29 Hz'.")
]
AcrossOption = Annotated[
    str | None, typer.Option(help="The cross mode, such as '150.51 Hz'.")
]
TwistOption = Annotated[
    str | None, typer.Option(help="The twist mode, such as '52.32 Hz'.")
]
WoodOption = Annotated[
    str | None,
    typer.Option(
        "--species", help="A scientific name or a genus, to know what is usual for it."
    ),
]
PoissonOption = Annotated[
    str | None,
    typer.Option(
        help="How much it narrows across when stretched along, such as 0.37 for "
        "spruce; known to 0.05. Else the species' own, else 0.35 known to 0.06."
    ),
]
AirOption = Annotated[
    bool,
    typer.Option(
        "--air-load",
        help="Reckon with the air that moves with a thin plate: our own correction, "
        "4 to 9 % of a light top's moduli.",
    ),
]
ClosedOption = Annotated[
    bool, typer.Option("--closed", help="Show what the closed formulas say, too.")
]
GuessOption = Annotated[
    str | None, typer.Option(help="A guess, such as '11 GPa'; else the usual one.")
]
U_POISSON = 0.05
GIGA = 1e9


def add_to(app: typer.Typer) -> None:
    """Add the commands about plates."""
    app.command()(modes)
    app.command()(plate)


def modes(
    length: LengthOption,
    width: WidthOption,
    thickness: ThicknessOption,
    mass: MassOption,
    species: WoodOption = None,
    e_along: GuessOption = None,
    e_across: GuessOption = None,
    g: GuessOption = None,
    poisson: PoissonOption = None,
    json: JsonOption = False,
) -> None:
    """Tell where a board's modes are to be expected, where to hold and where to tap."""
    from ledger.wood.elastic import usual_stiffness
    from ledger.wood.modes import expected_modes, usual_moduli
    from ledger.wood.sizes import Sizes

    usual = usual_stiffness(species or "")
    sizes = Sizes(**sizes_of((length, width, thickness, mass), ("0 mm", "0 mm", "0 g")))
    guessed = {"along": e_along, "across": e_across, "shear": g}
    moduli, is_told = _guessed(usual_moduli(usual), guessed, poisson)
    # A frequency follows the root of a modulus.
    spread = 0.0 if is_told else usual.spreads[1] / 2
    found = expected_modes(sizes, moduli, give_or_take=spread)
    of = "as guessed" if is_told else f"usual for {usual.name}"
    answer(
        json,
        [*map(_mode_words, found.modes), *_guess_words(moduli, of, spread)]
        + [f"note: {text}" for text in found.warnings],
        modes=[_mode_data(mode) for mode in found.modes],
        wood=None if is_told else usual.name,
        e_along_gpa=_gpa(moduli.along),
        e_across_gpa=_gpa(moduli.across),
        g_gpa=_gpa(moduli.shear),
        poisson=moduli.poisson,
        method=found.method,
        warnings=list(found.warnings),
    )


def plate(
    length: LengthOption,
    width: WidthOption,
    thickness: ThicknessOption,
    mass: MassOption,
    along: AlongOption = None,
    across: AcrossOption = None,
    twist: TwistOption = None,
    species: WoodOption = None,
    poisson: PoissonOption = None,
    air_load: AirOption = False,
    closed: ClosedOption = False,
    u_size: SizeUncertainty = "0.5 mm",
    u_thickness: ThicknessUncertainty = "0.05 mm",
    u_mass: MassUncertainty = "0.1 g",
    u_frequency: FrequencyUncertainty = "0.2 Hz",
    json: JsonOption = False,
) -> None:
    """Tell the stiffness of a flat board from the modes that were heard.

    Which mode is which is told by how the board was held and tapped: see calc modes.
    """
    from ledger.wood.elastic import usual_stiffness
    from ledger.wood.plate import rung_plate

    sizes = sizes_of((length, width, thickness, mass), (u_size, u_thickness, u_mass))
    said = {"along": along, "across": across, "twist": twist}
    found = rung_plate(
        **sizes,
        **{
            name: frequency_of(text, u_frequency) for name, text in said.items() if text
        },
        poisson=_poisson(poisson) if poisson else None,
        with_air=air_load,
        usual=usual_stiffness(species or ""),
    )
    beside = [f"{words}, closed formula" for words in _figure_words(found.closed)]
    answer(
        json,
        [*_figure_words(found), *(beside if closed else []), *_method_words(found)]
        + [f"note: {text}" for text in found.warnings],
        **_figure_data(found),
        closed=_figure_data(found.closed),
        poisson=estimate_data(found.poisson),
        air_load=air_load,
        method=found.method,
        warnings=list(found.warnings),
    )


# Names of the figures, and what of an answer is in them, in SI units.
PARTS = {
    "density_kg_m3": ("density", 1.0),
    "e_along_gpa": ("e_along", GIGA),
    "e_across_gpa": ("e_across", GIGA),
    "g_gpa": ("g", GIGA),
    "sound_speed_m_s": ("sound_speed", 1.0),
    "radiation_ratio_m4_kg_s": ("radiation_ratio", 1.0),
}


def _figures(found: Any) -> Iterator[tuple[str, Any]]:
    """Yield the figures in the unit of their name, None where there is none."""
    from ledger.wood.uncertainty import Estimate

    for key, (part, scale) in PARTS.items():
        if hasattr(found, part):
            each = getattr(found, part)
            yield (
                key,
                each and Estimate(value=each.value / scale, u=each.u / scale),
            )


def _figure_words(found: Any) -> Iterator[str]:
    for key, each in _figures(found):
        if each is not None:
            name, unit = FIGURES[key]
            yield f"{name:18}{plus_minus(each.value, each.u, unit)}"


def _figure_data(found: Any) -> dict[str, Any]:
    return {key: each and estimate_data(each) for key, each in _figures(found)}


def _method_words(found: Any) -> Iterator[str]:
    """Say by which method, where there is more than the density."""
    if any(each for key, each in _figures(found) if key != "density_kg_m3"):
        yield f"by: {found.method}; Poisson {found.poisson.value:.2f}"


def _poisson(text: str) -> Any:
    from ledger.quantities import factor_milli
    from ledger.wood.uncertainty import Estimate

    return Estimate(value=factor_milli(text) / 1000, u=U_POISSON)


def _guessed(
    moduli: Any, guesses: dict[str, str | None], poisson: str | None
) -> tuple[Any, bool]:
    """Return moduli with what was guessed in their place, and whether all were."""
    from dataclasses import replace

    from ledger.quantities import pressure_pa

    told = {name: float(pressure_pa(text)) for name, text in guesses.items() if text}
    is_told = len(told) == len(guesses)
    if poisson:
        told["poisson"] = _poisson(poisson).value
    return replace(moduli, **told), is_told


def _guess_words(moduli: Any, of: str, spread: float) -> Iterator[str]:
    yield (
        f"by: E along {_gpa(moduli.along):g}, E across {_gpa(moduli.across):g}, "
        f"G {_gpa(moduli.shear):g} GPa, {of}"
        + (f"; each tone may lie {spread:.0%} off" if spread else "")
    )


def _mode_words(mode: Any) -> str:
    if mode.name is None:
        lines = f"({mode.lines[0]},{mode.lines[1]})"
        return f"{mode.frequency:6.0f} Hz  {lines:6} another mode, none of the three"
    return f"{mode.frequency:6.0f} Hz  {mode.name:6} hold {mode.hold}, tap {mode.tap}"


def _mode_data(mode: Any) -> dict[str, Any]:
    return {
        "frequency_millihertz": round(1000 * mode.frequency),
        "give_or_take_ppm": round(1e6 * mode.give_or_take),
        "lines_across": mode.lines[0],
        "lines_along": mode.lines[1],
        "mode": mode.name,
        "hold": mode.hold,
        "tap": mode.tap,
    }


def _gpa(pascals: float) -> float:
    return float(f"{pascals / GIGA:.3g}")
