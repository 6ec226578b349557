"""flitchbook build: an instrument from its serial to its last step."""

from typing import Annotated, Any, Literal

import typer

from cli import build_voice, show
from cli.context import Desk, reads, signs

app = typer.Typer(name="build", help="Instruments in the making.", no_args_is_help=True)
ModelArgument = Annotated[str, typer.Argument(help="The model's name.")]
SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
StepArgument = Annotated[str, typer.Argument(help="The step, as the model names it.")]
BoardArgument = Annotated[str, typer.Argument(help="A board or a set, or its scan.")]
PartOption = Annotated[str, typer.Option(help="The part it becomes.")]
RunOption = Annotated[str, typer.Option(help="A short run: 'Harbour Lights, 3 of 12'.")]
MeaningOption = Annotated[
    Literal["did", "inspected", "approved"], typer.Option(help="What the key says.")
]
MeasuredOption = Annotated[
    list[str], typer.Option(help="Such as 'relief=0.18 mm'; may be repeated.")
]
WeighedOption = Annotated[
    list[str], typer.Option(help="A finished part: 'top=190 g'; may be repeated.")
]


@signs(app)
def begin(desk: Desk, model: ModelArgument, run: RunOption = "") -> None:
    """Begin an instrument: its serial is taken and never given again."""
    from ledger.acts import builds

    serial = builds.begin(desk.shop, model=model, run=_run(run), hands=desk.hands())
    show.answer(desk, [f"{serial}: {model}. Stamp nothing else."], serial=serial)


@signs(app)
def allot(
    desk: Desk, serial: SerialArgument, board: BoardArgument, part: PartOption
) -> None:
    """Allot a board, or both halves of a set, to a part of an instrument."""
    from ledger.acts import builds
    from ledger.ids import BoardId

    code = desk.serial(serial)
    codes = builds.allot(
        desk.shop,
        serial=code,
        part=part,
        code=str(BoardId.parse(desk.own(board))),
        hands=desk.hands(),
    )
    lines = [f"{' and '.join(codes)}: {part} of {code}."]
    show.answer(desk, lines, boards=codes, part=part)


@signs(app)
def sign(
    desk: Desk,
    serial: SerialArgument,
    step: StepArgument,
    meaning: MeaningOption = "did",
    measured: MeasuredOption = [],  # noqa: B006 - typer reads the default
    weighed: WeighedOption = [],  # noqa: B006 - typer reads the default
) -> None:
    """Put a key to a step: did it, inspected it or approved it."""
    from ledger import quantities
    from ledger.acts import builds
    from ledger.events.build import PartWeighed

    code = desk.serial(serial)
    index = builds.sign(
        desk.shop,
        serial=code,
        step=step,
        meaning=meaning,
        measures=[measure(text) for text in measured],
        weighed=[
            PartWeighed(part=part, mass_mg=quantities.mass_mg(mass))
            for part, mass in map(pair, weighed)
        ],
        hands=desk.hands(),
    )
    lines = [f"{step} of {code}: {meaning}, signed in entry {index}."]
    show.answer(desk, lines, entry=index, step=step)


@reads(app, "show")
def show_(desk: Desk, serial: SerialArgument) -> None:
    """Show an instrument: its boards, its steps, and what is still missing."""
    from ledger.acts.builds import find_build
    from ledger.acts.signing import holder_name
    from ledger.quantities import grams
    from ledger.views.boards import boards_in
    from ledger.views.builds import signed_steps
    from ledger.views.builds import weighed_parts as weights_of
    from ledger.views.models import parts_of, steps_of

    code = desk.serial(serial)
    with desk.shop.store.reading() as session:
        build = find_build(session, code)
        boards = {b.code: str(b.part) for b in boards_in(session, code)}
        parts = parts_of(session, build.model, build.version)
        signed = signed_steps(session, code)
        weighed = weights_of(session, code)
        steps = [s.step for s in steps_of(session, build.model, build.version)]
        said = [
            f"  {s.step}: {s.meaning} by {holder_name(desk.shop, session, s.key)}, "
            f"{s.at[:10]}, entry {s.idx}"
            for s in signed
        ]
    done = {s.step for s in signed if s.meaning == "did"}
    open_parts = [part for part in parts if part not in boards.values()]
    not_weighed = [part for part in parts if part not in weighed]
    open_steps = [step for step in steps if step not in done]
    lines = [
        f"{code}: {build_words(build)}",
        *(f"  {part}: {board}" for board, part in boards.items()),
        *(f"  {part} weighs {grams(mass)}" for part, mass in weighed.items()),
        *said,
        f"parts without wood: {', '.join(open_parts) or 'none'}",
        f"parts not weighed: {', '.join(not_weighed) or 'none'}",
        f"steps not signed: {', '.join(open_steps) or 'none'}",
    ]
    show.answer(
        desk,
        lines,
        serial=code,
        boards=boards,
        open_parts=open_parts,
        weighed_mg=weighed,
        not_weighed=not_weighed,
        open_steps=open_steps,
    )


def build_words(build: Any) -> str:
    """Return model, run, body and neck of an instrument in words."""
    run = ""
    if build.run:
        run = f", {build.run} {build.run_number} of {build.run_pieces}"
    return f"{build.model}{run}, body {build.body}, neck {build.neck}"


def _run(text: str) -> Any:
    from ledger.errors import RefusedError
    from ledger.events.build import Run

    if not text:
        return None
    name, _, count = text.rpartition(",")
    number, _, pieces = count.strip().partition(" of ")
    if not (name.strip() and number.isdecimal() and pieces.isdecimal()):
        raise RefusedError(
            f"{text!r} is no run: write such as 'Harbour Lights, 3 of 12'"
        )
    if not 1 <= int(number) <= int(pieces):
        raise RefusedError(f"{number} of {pieces} is no place in a run")
    return Run(name=name.strip(), number=int(number), pieces=int(pieces))


def pair(text: str) -> tuple[str, str]:
    """Read what has two sides: top=190 g."""
    from ledger.errors import RefusedError

    name, found, value = text.partition("=")
    if not found or not name.strip() or not value.strip():
        raise RefusedError(f"{text!r} needs a name and a value, such as 'top=190 g'")
    return name.strip(), value.strip()


def measure(text: str) -> Any:
    """Read a measure by the unit it is given in: mm, g, Hz or %RH."""
    from ledger import quantities
    from ledger.errors import RefusedError
    from ledger.events.build import Measure

    what, value = pair(text)
    readers = {
        "mass_mg": quantities.mass_mg,
        "length_um": quantities.length_um,
        "frequency_millihertz": quantities.frequency_millihertz,
        "humidity_ppm": quantities.humidity_ppm,
    }
    for unit, read in readers.items():
        try:
            return Measure(what=what, **{unit: read(value)})
        except RefusedError:
            continue
    raise RefusedError(
        f"{value!r} is no length, mass, frequency or humidity: write it with its unit, "
        f"such as 0.18 mm, 1986 g, 98.4 Hz or 45 %RH"
    )


build_voice.add_to(app)
