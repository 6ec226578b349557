"""flitchbook board taps: a plate tapped as it is worked, expected against measured."""

from collections.abc import Iterator
from typing import Annotated, Any

import typer

from cli import pictures, show
from cli.board_tap import plus_minus, reading_data, reading_words
from cli.context import Desk, reads
from cli.pictures import OutOption, PrintOption
from ledger.scales import in_a_row

BoardArgument = Annotated[
    str, typer.Argument(help="A board or one half of a set, or its scan.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the board."""
    reads(app)(taps)


def taps(
    desk: Desk, board: BoardArgument, out: OutOption = None, queue: PrintOption = ""
) -> None:
    """Tell how a board's tones went as it was worked, beside what was to be expected.

    Expected is what the same wood would do at the new thickness, size and mass.
    """
    from ledger.acts.boards import stored_board
    from ledger.acts.series import series

    place = pictures.place(out, queue)
    with desk.shop.store.reading() as session:
        code = stored_board(session, desk.own(board)).code
        stages = series(session, code)
        lines = list(_lines(code, stages))
        data = [_data(stage) for stage in stages]
        plot = _plot(code, stages) if place else None
    lines += pictures.put(plot, place, day=desk.shop.today())
    show.answer(desk, lines, board=code, stages=data, picture=str(out) if out else None)


def _lines(code: str, stages: Any) -> Iterator[str]:
    from ledger.quantities import grams, millimetres

    if not stages:
        yield f"{code}: not tapped yet; flitchbook board tap files a recording."
        return
    yield f"{code}: tapped {_times(len(stages))}"
    for stage in stages:
        tap = stage.tapping
        yield (
            f"  {tap.day}, as a {tap.held_as}: {millimetres(tap.thickness_um)} thick, "
            f"{grams(tap.mass_mg)}, entry {tap.idx}"
        )
        for tone in stage.tones:
            yield f"    {reading_words(tone.reading)}"
            if tone.expected:
                yield f"      {_expected_words(tone.expected)}"
        yield from (f"    note: {text}" for text in stage.notes)


def _times(number: int) -> str:
    return "once" if number == 1 else f"{number} times"


def _expected_words(expected: Any) -> str:
    """Say what was expected, by which rule, and how far off the tone is."""
    told = plus_minus(
        expected.millihertz / 1000, expected.u_millihertz / 1000, "Hz", most=2
    )
    off = plus_minus(
        expected.difference_ppm / 10_000,
        expected.u_difference_ppm / 10_000,
        "%",
        most=1,
    )
    sign = "" if expected.difference_ppm < 0 else "+"
    seen = "as expected" if expected.is_met else "more than was measured with"
    return (
        f"expected {told} by entry {expected.since}, off {sign}{off}: {seen} "
        f"({expected.method})"
    ).replace("-", "−")


def _data(stage: Any) -> dict[str, Any]:
    tap = stage.tapping
    return {
        "entry": tap.idx,
        "day": tap.day,
        "held_as": tap.held_as,
        "length_um": tap.length_um,
        "width_um": tap.width_um,
        "thickness_um": tap.thickness_um,
        "mass_mg": tap.mass_mg,
        "tones": [
            reading_data(tone.reading) | {"expected": _expected_data(tone.expected)}
            for tone in stage.tones
        ],
        "notes": list(stage.notes),
    }


def _expected_data(expected: Any) -> dict[str, Any] | None:
    if expected is None:
        return None
    return {
        "since_entry": expected.since,
        "frequency_millihertz": expected.millihertz,
        "uncertainty_millihertz": expected.u_millihertz,
        "difference_ppm": expected.difference_ppm,
        "difference_uncertainty_ppm": expected.u_difference_ppm,
        "as_expected": expected.is_met,
        "method": expected.method,
    }


def _plot(code: str, stages: Any) -> Any:
    """Return the series as it is drawn."""
    from labels.plot_figure import Heading
    from labels.plot_series import StageTone, TapSeries, TapStage

    methods = {t.expected.method for s in stages for t in s.tones if t.expected}
    return TapSeries(
        heading=Heading(
            title=_title(code, stages),
            where=f"tapped {_times(len(stages))}; expected: "
            f"{', '.join(sorted(methods)) or 'nothing yet'}",
            entries=tuple(stage.tapping.idx for stage in stages),
        ),
        stages=tuple(
            TapStage(
                name=stage.tapping.day,
                thickness_um=stage.tapping.thickness_um,
                mass_mg=stage.tapping.mass_mg,
                tones=tuple(
                    StageTone(
                        mode=tone.reading.mode,
                        measured_millihertz=tone.reading.frequency_millihertz,
                        expected_millihertz=tone.expected and tone.expected.millihertz,
                    )
                    for tone in stage.tones
                ),
            )
            for stage in stages
        ),
    )


def _title(code: str, stages: Any) -> str:
    """Say what a series found."""
    last = stages[-1] if stages else None
    told = [tone for tone in last.tones if tone.expected] if last else []
    if not told:
        return f"{code}: nothing to compare yet"
    off = [tone.reading.mode for tone in told if not tone.expected.is_met]
    if not off:
        return f"{code} rings where its thickness and mass lead it"
    return f"{code}: {in_a_row(off)} lies off what was expected"
