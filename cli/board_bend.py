"""flitchbook board flex, spectrum: a board bent, and the picture of its tap."""

from typing import Annotated, Any, Literal

import typer

from cli import pictures, show
from cli.board_tap import FIGURES, estimate_data, plus_minus
from cli.context import Desk, reads, signs
from cli.pictures import OutOption, PrintOption
from cli.tap_picture import picture_of
from ledger.errors import NotFoundError, RefusedError
from ledger.scales import in_a_row

BoardArgument = Annotated[
    str, typer.Argument(help="A board or one half of a set, or its scan.")
]
WayOption = Annotated[
    Literal["along", "across"], typer.Option(help="How it spans: by the grain.")
]
SpanOption = Annotated[str, typer.Option(help="Between the two supports: '500 mm'.")]
LoadOption = Annotated[
    list[str],
    typer.Option(
        "--load",
        help="A mass on the middle and how far it bent: '500 g=1.85 mm'; repeated.",
    ),
]
AsReadOption = Annotated[
    bool, typer.Option("--as-read", help="It was looked at twice: take it as it is.")
]
STIFFNESS = {"stiffness_n_mm": ("stiffness", "N/mm")}


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the board."""
    signs(app)(flex)
    reads(app)(spectrum)


def flex(
    desk: Desk,
    board: BoardArgument,
    load: LoadOption,
    span: SpanOption,
    way: WayOption = "along",
    as_read: AsReadOption = False,
) -> None:
    """Record how far a board bends on two supports, and what that comes to."""
    from ledger.acts import flexing
    from ledger.quantities import length_um

    done = flexing.flex(
        desk.shop,
        desk.own(board),
        way=way,
        span_um=length_um(span),
        loads=[_load(text) for text in load],
        hands=desk.hands(),
        as_read=as_read,
    )
    lines = [
        f"{done.board}: entry {done.entry.index}.",
        *bent_lines(done.stiffness),
        *(f"note: {text}" for text in done.stiffness.warnings),
    ]
    show.answer(
        desk,
        lines,
        board=done.board,
        entry=done.entry.index,
        way=way,
        figures=bent_data(done.stiffness),
        method=done.stiffness.method,
        warnings=list(done.stiffness.warnings),
    )


def spectrum(
    desk: Desk, board: BoardArgument, out: OutOption = None, queue: PrintOption = ""
) -> None:
    """Tell and draw how a board rang in its newest tap, with the modes that were read.

    The peaks of the picture carry the frequency and Q that stand in the entry.
    """
    from ledger.acts.boards import stored_board
    from ledger.views.readings import readings_of, taps_of

    place = pictures.place(out, queue)
    with desk.shop.store.reading() as session:
        row = stored_board(session, desk.own(board))
        taps = taps_of(session, row.code)
        if not taps:
            raise NotFoundError(
                f"board {row.code} was not tapped yet: tap it with flitchbook board tap"
            )
        readings = readings_of(session, taps[-1].idx)
        plot, heard = _plot(desk.shop, taps[-1], readings)
    lines = [f"{plot.heading.title}.", *_peak_lines(readings)]
    lines += pictures.put(plot, place, day=desk.shop.today())
    show.answer(
        desk,
        lines,
        board=row.code,
        entry=taps[-1].idx,
        frequencies_millihertz=[round(f * 1000) for f in heard.frequencies],
        levels_db=list(heard.levels_db),
        picture=str(out) if out else None,
    )


def bent_lines(stiffness: Any) -> list[str]:
    """Say what a bending comes to, a figure a line, each with its uncertainty."""
    names = FIGURES | STIFFNESS
    return [
        f"  {names[key][0]:<16} {plus_minus(each.value, each.u, names[key][1])}"
        for key, each in stiffness.figures.items()
    ]


def bent_data(stiffness: Any) -> dict[str, Any]:
    """Return what a bending comes to, for a program."""
    return {key: estimate_data(each) for key, each in stiffness.figures.items()}


def _load(text: str) -> Any:
    """Read '500 g=1.85 mm'."""
    from ledger.events.board import Load
    from ledger.quantities import length_um, mass_mg

    mass, equals, bent = text.partition("=")
    if not equals:
        raise RefusedError(
            f"{text!r} is no load with its reading: write it like '500 g=1.85 mm'"
        )
    load_mg, deflection_um = mass_mg(mass), length_um(bent)
    if load_mg <= 0 or deflection_um <= 0:
        raise RefusedError(
            f"{text!r} bends nothing: give a mass, and how far the board bent under it"
        )
    return Load(load_mg=load_mg, deflection_um=deflection_um)


def _plot(shop: Any, tapping: Any, readings: Any) -> tuple[Any, Any]:
    """Hear the recording again, and return its picture and what it holds."""
    from labels.plot_figure import Heading
    from ledger.log import attachments
    from ledger.wood.recording import read_recording

    recording = read_recording(attachments.get(shop.attachments, tapping.digest))
    modes = in_a_row([reading.mode for reading in readings])
    return picture_of(
        recording,
        band_millihertz=(tapping.low_millihertz, tapping.high_millihertz),
        readings=readings,
        heading=Heading(
            title=f"{tapping.board} rings in {modes}",
            where=f"tapped on {tapping.day}, held as a {tapping.held_as}",
            entries=(tapping.idx,),
        ),
        how=tapping.method,
    )


def _peak_lines(readings: Any) -> list[str]:
    from cli.board_tap import reading_words

    return [f"  {reading_words(reading)}" for reading in readings]
