"""flitchbook board tap: a recording filed, and what was read of it."""

from collections.abc import Iterator
from math import floor, log10
from pathlib import Path
from typing import Annotated, Any

import typer

from cli import show
from cli.context import Desk, signs

BoardArgument = Annotated[
    str, typer.Argument(help="A board or one half of a set, or its scan.")
]
RecordingArgument = Annotated[
    Path, typer.Argument(help="A WAV, FLAC or AIFF file of several taps.")
]
AlongOption = Annotated[
    str, typer.Option(help="Roughly where the long mode lies, such as '71 Hz'.")
]
AcrossOption = Annotated[str, typer.Option(help="Likewise the cross mode.")]
TwistOption = Annotated[str, typer.Option(help="Likewise the twist mode.")]
BarOption = Annotated[
    bool, typer.Option("--bar", help="A bar: a brace, a neck; not a plate.")
]
AtOption = Annotated[
    str, typer.Option(help="Roughly where a bar's tone lies, if more is heard.")
]
LowOption = Annotated[str, typer.Option(help="The lowest frequency listened to.")]
HighOption = Annotated[str, typer.Option(help="The highest frequency listened to.")]
DryOption = Annotated[
    bool, typer.Option("--dry-run", help="Only tell what is heard; record nothing.")
]
AsReadOption = Annotated[
    bool, typer.Option("--as-read", help="It was looked at twice: take it as it is.")
]
# What is told of a mode, by the log's own names.
READ = (
    "mode",
    "frequency_millihertz",
    "uncertainty_millihertz",
    "q_milli",
    "q_uncertainty_milli",
    "taps",
    "scatter_ppm",
)
# How each figure is called, and its unit.
FIGURES = {
    "density_kg_m3": ("density", "kg/m³"),
    "e_along_gpa": ("E along", "GPa"),
    "e_across_gpa": ("E across", "GPa"),
    "g_gpa": ("G", "GPa"),
    "e_gpa": ("E", "GPa"),
    "sound_speed_m_s": ("sound speed", "m/s"),
    "radiation_ratio_m4_kg_s": ("radiation ratio", "m⁴/(kg s)"),
}


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the board."""
    signs(app)(tap)


def tap(
    desk: Desk,
    board: BoardArgument,
    file: RecordingArgument,
    along: AlongOption = "",
    across: AcrossOption = "",
    twist: TwistOption = "",
    bar: BarOption = False,
    at: AtOption = "",
    low: LowOption = "",
    high: HighOption = "",
    dry_run: DryOption = False,
    as_read: AsReadOption = False,
) -> None:
    """File a recording of a tapped board, and record what it rings at.

    Which mode is which is told by how the board was held and tapped, and never guessed.
    """
    from ledger.acts import hearing, tapping
    from ledger.quantities import frequency_millihertz

    said = {"along": along, "across": across, "twist": twist, "bar": at}
    expected: Any = {m: frequency_millihertz(text) for m, text in said.items() if text}
    held_as: Any = "bar" if bar else "plate"
    band = band_of(low, high, tapping.band_for(held_as, expected))
    if dry_run:
        tapping.require_board(desk.shop, desk.own(board))
        _answer_heard(desk, hearing.listen(file, band))
        return
    done = tapping.tap(
        desk.shop,
        desk.own(board),
        file,
        held_as=held_as,
        band=band,
        expected=expected,
        hands=desk.hands(),
        as_read=as_read,
    )
    _answer_tapped(desk, done)


def band_of(low: str, high: str, usual: tuple[int, int]) -> tuple[int, int]:
    """Return the band to listen to [mHz]: as told, else the usual one."""
    from ledger.quantities import frequency_millihertz

    return (
        frequency_millihertz(low) if low else usual[0],
        frequency_millihertz(high) if high else usual[1],
    )


def _answer_heard(desk: Desk, heard: Any) -> None:
    lines = [*heard_lines(heard), *map(_note, heard.warnings)]
    show.answer(
        desk,
        lines,
        readings=heard_data(heard),
        method=heard.method,
        warnings=list(heard.warnings),
    )


def _answer_tapped(desk: Desk, done: Any) -> None:
    lines = [
        f"{done.board}: entry {done.entry.index}.",
        *(f"  {reading_words(reading)}" for reading in done.readings),
        *(f"  {words}" for words in figure_words(done.stiffness)),
        *map(_note, done.warnings),
    ]
    show.answer(
        desk,
        lines,
        board=done.board,
        entry=done.entry.index,
        readings=[reading_data(reading) for reading in done.readings],
        figures=figure_data(done.stiffness),
        method=done.stiffness.method,
        warnings=list(done.warnings),
    )


def heard_lines(heard: Any) -> Iterator[str]:
    """Yield what a recording holds, a mode a line, of which nobody said which it is."""
    taps = f" of {len(heard.taps)}"
    yield from (_words(reading, taps) for reading in _unnamed(heard))


def heard_data(heard: Any) -> list[dict[str, Any]]:
    """Return what a recording holds, as readings whose mode nobody has named."""
    return [reading_data(reading) | {"mode": None} for reading in _unnamed(heard)]


def reading_words(reading: Any) -> str:
    """Return what was read of one mode, in one line."""
    return f"{reading.mode:<16} {_words(reading)}"


def reading_data(reading: Any) -> dict[str, Any]:
    """Return what was read of one mode, for a program, in the units of the log."""
    return {name: getattr(reading, name) for name in READ}


def _unnamed(heard: Any) -> Iterator[Any]:
    from ledger.acts.hearing import reading_of

    yield from (reading_of("other", mode) for mode in heard.modes)


def _words(reading: Any, of_taps: str = "") -> str:
    from ledger.quantities import percent

    hertz, u_hertz = reading.frequency_millihertz, reading.uncertainty_millihertz
    q, u_q = reading.q_milli / 1000, reading.q_uncertainty_milli
    known = f"{q:.0f}" if u_q is None else plus_minus(q, u_q / 1000, most=1)
    said = [
        plus_minus(hertz / 1000, u_hertz / 1000, "Hz", most=3),
        f"Q {known}",
        f"{reading.taps}{of_taps} taps"
        if of_taps
        else show.counted(reading.taps, "tap"),
    ]
    if reading.scatter_ppm is not None:
        said.append(f"scatter {percent(reading.scatter_ppm)}")
    return ", ".join(said)


def figure_words(stiffness: Any) -> Iterator[str]:
    """Yield what a tap comes to, a figure a line, each with its uncertainty."""
    for key, estimate in stiffness.figures.items():
        name, unit = FIGURES[key]
        yield f"{name:<16} {plus_minus(estimate.value, estimate.u, unit)}"


def figure_data(stiffness: Any) -> dict[str, dict[str, float]]:
    """Return what a tap comes to, for a program."""
    return {key: estimate_data(each) for key, each in stiffness.figures.items()}


def estimate_data(estimate: Any) -> dict[str, float]:
    """Return a number and its standard uncertainty; six digits are more than known."""
    return {
        "value": float(f"{estimate.value:.6g}"),
        "u": float(f"{estimate.u:.6g}"),
    }


def plus_minus(value: float, u: float, unit: str = "", *, most: int = 6) -> str:
    """Print a number to the second digit of its standard uncertainty, or `most`."""
    places = min(most, max(0, 1 - floor(log10(u)))) if u > 0 else min(most, 3)
    least = max(u, 10.0**-places)  # nothing is known better than it is printed
    return f"{value:.{places}f} ± {least:.{places}f} {unit}".rstrip()


def _note(text: str) -> str:
    return f"note: {text}"
