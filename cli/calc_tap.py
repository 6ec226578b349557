"""flitchbook calc tap: what a recording of taps holds."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import pictures, show
from cli.board_tap import estimate_data, heard_data, heard_lines, plus_minus
from cli.calc_parts import answer, hertz
from cli.context import JsonOption, now
from cli.pictures import OutOption, PrintOption
from cli.printing import Place
from cli.tap_picture import picture_of

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


def add_to(app: typer.Typer) -> None:
    """Add the command about taps."""
    app.command()(tap)


def tap(
    file: RecordingArgument,
    low: LowOption = None,
    high: HighOption = None,
    near: NearOption = None,
    modes: ModesOption = 3,
    out: OutOption = None,
    queue: PrintOption = "",
    json: JsonOption = False,
) -> None:
    """Tell the modes in a recording of taps: frequency and apparent Q."""
    from ledger.wood.recording import read_recording
    from ledger.wood.tap import hear

    place = pictures.place(out, queue)
    expected = tuple(hertz(text) for text in near or ())
    lowest = BELOW * min(expected, default=LOW / BELOW)
    highest = ABOVE * max(expected, default=HIGH / ABOVE)
    recording = read_recording(file)
    band = hertz(low) if low else lowest, hertz(high) if high else highest
    heard = hear(recording, band=band, near=expected or None, modes=modes)
    drawn = _drawn(recording, heard, band, file, place) if place else []
    lines = [*heard_lines(heard), *map(_damping, heard.modes)]
    lines += [f"note: {text}" for text in heard.warnings]
    answer(
        json,
        [*lines, *drawn],
        readings=[
            reading | {"expected_millihertz": _expected(mode)}
            for reading, mode in zip(heard_data(heard), heard.modes, strict=True)
        ],
        damping=[
            {"apparent_tan_delta": _loss(mode), "envelope_q": _envelope(mode)}
            for mode in heard.modes
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
        picture=str(out) if out else None,
    )


def _drawn(
    recording: Any, heard: Any, band: tuple[float, float], file: Path, place: Place
) -> list[str]:
    """Draw the recording with its modes, of which nobody said which is which."""
    from labels.plot_figure import Heading
    from ledger.acts.hearing import reading_of

    taps = sum(tap.rejected is None for tap in heard.taps)
    plot, _ = picture_of(
        recording,
        band_millihertz=(round(band[0] * 1000), round(band[1] * 1000)),
        readings=[reading_of("other", mode) for mode in heard.modes],
        heading=Heading(
            title=f"{show.counted(len(heard.modes), 'mode')} in {file.name}",
            where=f"{show.counted(taps, 'tap')} used, of {len(heard.taps)}",
        ),
        how=heard.method,
    )
    return pictures.put(plot, place, day=now().date().isoformat())


def _expected(mode: Any) -> int | None:
    return None if mode.expected is None else round(mode.expected * 1000)


def _loss(mode: Any) -> dict[str, float]:
    """Return the apparent loss, 1 / Q, with its uncertainty."""
    from ledger.wood.uncertainty import Estimate

    return estimate_data(Estimate(value=1 / mode.q, u=mode.u_q / mode.q**2))


def _envelope(mode: Any) -> dict[str, float] | None:
    return None if mode.envelope_q is None else estimate_data(mode.envelope_q)


def _damping(mode: Any) -> str:
    """Return the loss of a mode in one line, and Q as its envelope shows it."""
    loss, other = _loss(mode), mode.envelope_q
    shown = "" if other is None else f", by the envelope Q {other.value:.0f}"
    return (
        f"{mode.frequency:.2f} Hz: apparent tan δ "
        f"{plus_minus(loss['value'], loss['u'])}{shown}"
    )
