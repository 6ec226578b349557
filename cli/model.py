"""flitchbook model: what a build is made of and goes through."""

from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs

app = typer.Typer(
    name="model", help="Models: their parts and their steps.", no_args_is_help=True
)
NameArgument = Annotated[str, typer.Argument(help="The model's name.")]
InstrumentOption = Annotated[str, typer.Option(help="Such as flat-top guitar.")]
PartOption = Annotated[list[str], typer.Option(help="A part; repeated, in order.")]
StepOption = Annotated[
    list[str],
    typer.Option(
        help="A step and the qualification it needs: 'brace=brace'; repeated."
    ),
]


@signs(app)
def define(
    desk: Desk,
    name: NameArgument,
    instrument: InstrumentOption,
    part: PartOption,
    step: StepOption,
) -> None:
    """Set down a model, or its next version."""
    from ledger.acts import builds
    from ledger.errors import RefusedError
    from ledger.events.route import PlannedPart, PlannedStep

    steps = []
    for text in step:
        words, found, qualification = text.rpartition("=")
        if not found or not words.strip() or not qualification.strip():
            raise RefusedError(
                f"{text!r} names no qualification: write such as 'brace the top=brace'"
            )
        steps.append(
            PlannedStep(step=words.strip(), qualification=qualification.strip())
        )
    version = builds.define_model(
        desk.shop,
        name=name,
        instrument=instrument,
        parts=[PlannedPart(part=name) for name in part],
        steps=steps,
        hands=desk.hands(),
    )
    lines = [
        f"{name}, version {version}: {show.counted(len(part), 'part')}, "
        f"{show.counted(len(steps), 'step')}."
    ]
    show.answer(desk, lines, model=name, version=version)
