"""flitchbook build rework, concede, scrap: what went wrong, and how it goes on."""

from typing import Annotated

import typer

from cli import show
from cli.build_sign import AsReadOption, measure
from cli.context import Desk, signs
from ledger.scales import in_a_row

SerialArgument = Annotated[str, typer.Argument(help="The serial, typed or scanned.")]
StepArgument = Annotated[str, typer.Argument(help="The step, as the model names it.")]
PartArgument = Annotated[str, typer.Argument(help="The part, as the model names it.")]
WhatArgument = Annotated[
    str, typer.Argument(help="What is let pass: a measure's name, or in words.")
]
MeasuredOption = Annotated[str, typer.Option(help="What was read: '0.35 mm'.")]
WhyOption = Annotated[str, typer.Option("--why", help="Why, in one line.")]


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of the build."""
    for command in (rework, concede, scrap):
        signs(app)(command)


def rework(
    desk: Desk, serial: SerialArgument, step: StepArgument, why: WhyOption
) -> None:
    """Order a step to be done again: what was signed of it counts no more."""
    from ledger.acts import rework as reworks

    code = desk.serial(serial)
    done = reworks.order(
        desk.shop, serial=code, step=step, reason=why, hands=desk.hands()
    )
    gone = in_a_row([str(index) for index in done.gone])
    counts = "entry {} counts" if len(done.gone) == 1 else "entries {} count"
    lines = [
        f"{step} of {code} is done again, entry {done.entry.index}; "
        f"{counts.format(gone)} no more."
    ]
    if done.after:
        lines.append(
            f"note: {in_a_row(done.after)} came after it and still stands as signed; "
            f"order again what has to be undone."
        )
    show.answer(
        desk,
        lines,
        serial=code,
        step=step,
        entry=done.entry.index,
        gone=list(done.gone),
        done_after=list(done.after),
    )


def concede(
    desk: Desk,
    serial: SerialArgument,
    step: StepArgument,
    what: WhatArgument,
    why: WhyOption,
    measured: MeasuredOption = "",
    as_read: AsReadOption = False,
) -> None:
    """Let an instrument go on though something is not as it should be."""
    from ledger.acts import rework as reworks

    code = desk.serial(serial)
    entry = reworks.concede(
        desk.shop,
        serial=code,
        step=step,
        what=what,
        measure=measure(f"{what}={measured}") if measured else None,
        reason=why,
        as_read=as_read,
        hands=desk.hands(),
    )
    read = f", {measured}," if measured else ""
    lines = [f"{what}{read} of {step} on {code} is let pass, entry {entry.index}."]
    show.answer(desk, lines, serial=code, step=step, what=what, entry=entry.index)


def scrap(
    desk: Desk, serial: SerialArgument, part: PartArgument, why: WhyOption
) -> None:
    """Record that a part was spoiled: its wood is gone, and it waits for other wood."""
    from ledger.acts import rework as reworks

    code = desk.serial(serial)
    done = reworks.scrap(
        desk.shop, serial=code, part=part, reason=why, hands=desk.hands()
    )
    lines = [
        f"{in_a_row(done.boards)}, the {part} of {code}, is spoiled, entry "
        f"{done.entry.index}; allot other wood to it."
    ]
    if done.steps:
        lines.append(
            f"note: {in_a_row(done.steps)} used it up, and is open again for the "
            f"other wood."
        )
    show.answer(
        desk,
        lines,
        serial=code,
        part=part,
        boards=list(done.boards),
        entry=done.entry.index,
        used_up_by=list(done.steps),
    )
