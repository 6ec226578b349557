"""flitchbook build sign: a key put to a step, with all that the step asks for."""

from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import show
from cli.context import Desk, signs
from cli.photographs import bared_lines, seen_lines

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
StepArgument = Annotated[str, typer.Argument(help="The step, as the model names it.")]
MeaningOption = Annotated[
    Literal["did", "assisted", "inspected", "approved", "witnessed"],
    typer.Option(help="What the key says."),
]
WayOption = Annotated[
    str | None, typer.Option(help="In which of the accepted ways: 'by hand'.")
]
MeasuredOption = Annotated[
    list[str], typer.Option(help="Such as 'relief=0.18 mm'; may be repeated.")
]
WeighedOption = Annotated[
    list[str], typer.Option(help="A finished part: 'top=190 g'; may be repeated.")
]
UsedOption = Annotated[
    list[str], typer.Option(help="A batch that went in: M26-001; may be repeated.")
]
GaugeOption = Annotated[
    list[str],
    typer.Option(help="What it was measured with: G26-001; may be repeated."),
]
PhotoOption = Annotated[
    list[Path], typer.Option(help="A photograph to file; may be repeated.")
]
BodyOption = Annotated[
    str | None, typer.Option(help="The number on the body, where it is joined.")
]
NeckOption = Annotated[
    str | None, typer.Option(help="The number on the neck, where it is joined.")
]

AsReadOption = Annotated[
    bool, typer.Option("--as-read", help="It was read twice: take it as it was read.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the build."""
    signs(app)(sign)


def sign(
    desk: Desk,
    serial: SerialArgument,
    step: StepArgument,
    meaning: MeaningOption = "did",
    way: WayOption = None,
    measured: MeasuredOption = [],  # noqa: B006 - typer reads the default
    weighed: WeighedOption = [],  # noqa: B006 - typer reads the default
    used: UsedOption = [],  # noqa: B006 - typer reads the default
    gauge: GaugeOption = [],  # noqa: B006 - typer reads the default
    photo: PhotoOption = [],  # noqa: B006 - typer reads the default
    body: BodyOption = None,
    neck: NeckOption = None,
    as_read: AsReadOption = False,
) -> None:
    """Put a key to a step: did it, helped, inspected, approved or witnessed it."""
    from ledger.acts import signoffs
    from ledger.acts.asked import SignOff
    from ledger.benchcodes import GaugeId, MaterialId
    from ledger.ids import BodyId, NeckId

    code = desk.serial(serial)
    said = SignOff(
        serial=code,
        step=step,
        meaning=meaning,
        way=way,
        measures=tuple(map(measure, measured)),
        weighed=tuple(map(_weighed, weighed)),
        materials=tuple(str(MaterialId.parse(desk.own(text))) for text in used),
        gauges=tuple(str(GaugeId.parse(desk.own(text))) for text in gauge),
        photographs=tuple(photo),
        body=str(BodyId.parse(desk.own(body))) if body else None,
        neck=str(NeckId.parse(desk.own(neck))) if neck else None,
        as_read=as_read,
    )
    before = seen_lines(desk, photo)
    done = signoffs.sign(desk.shop, said, desk.hands())
    signed = f"{done.step} of {code}: {meaning}, signed in entry {done.index}."
    bared = bared_lines(photo, done.photographs)
    lines = [signed, *went_in_lines(done), *before, *bared]
    show.answer(
        desk,
        lines,
        entry=done.index,
        step=done.step,
        entries=sorted(done.entries),
        consumed=list(done.consumed),
        needs_countersign=done.countersign is not None,
    )


def went_in_lines(done: Any) -> list[str]:
    """Return what went in for good with a step, and what it waits for."""
    from ledger.scales import in_a_row

    lines = []
    if done.consumed:
        lines.append(f"{in_a_row(done.consumed)} went in for good.")
    if done.countersign:
        lines.append(f"It was done under supervision and {done.countersign}.")
    return lines


def pair(text: str) -> tuple[str, str]:
    """Read what has two sides: top=190 g."""
    from ledger.errors import RefusedError

    name, found, value = text.partition("=")
    if not found or not name.strip() or not value.strip():
        raise RefusedError(f"{text!r} needs a name and a value, such as 'top=190 g'")
    return name.strip(), value.strip()


def measure(text: str) -> Any:
    """Read a measure by the unit it is given in, such as mm, g, Hz, %RH or cents."""
    from ledger.craft.measured import read_measure
    from ledger.events.build import Measure

    what, value = pair(text)
    unit, amount = read_measure(value)
    return Measure(what=what, **{unit: amount})


def _weighed(text: str) -> Any:
    from ledger.events.build import PartWeighed
    from ledger.quantities import mass_mg

    part, mass = pair(text)
    return PartWeighed(part=part, mass_mg=mass_mg(mass))
