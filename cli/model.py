"""flitchbook model: what an instrument is made of, and the road that it takes."""

from pathlib import Path
from typing import Annotated, Any

import typer

from cli import model_lines, show
from cli.context import Desk, reads, signs
from ledger.scales import LARGEST

app = typer.Typer(
    name="model", help="Models: their parts and their steps.", no_args_is_help=True
)
NameArgument = Annotated[str, typer.Argument(help="The model's name.")]
FamilyArgument = Annotated[
    str, typer.Argument(help="Flat-top, arch-top or solid-body.")
]
OutOption = Annotated[Path | None, typer.Option(help="Where the text goes.")]
FromOption = Annotated[
    Path | None, typer.Option("--from", help="A text as model draft writes it.")
]
InstrumentOption = Annotated[
    str, typer.Option(help="Such as flat-top guitar, where there is no text.")
]
PartOption = Annotated[
    list[str], typer.Option(help="A part, where there is no text; repeated, in order.")
]
StepOption = Annotated[
    list[str],
    typer.Option(
        help="A step and the qualification it needs: 'brace=brace'; repeated."
    ),
]
VersionOption = Annotated[
    int | None,
    typer.Option(
        "--version", min=1, max=LARGEST, help="Another version than the newest."
    ),
]
TextOption = Annotated[
    bool, typer.Option("--text", help="As a text, to be changed and set down again.")
]
SpeciesOption = Annotated[
    str | None,
    typer.Option(help="Only parts that may be of it; a genus stands for all."),
]


@reads(app)
def draft(desk: Desk, family: FamilyArgument, out: OutOption = None) -> None:
    """Write a family's model as a text, to be changed and then set down."""
    from ledger.craft import families

    name, text = families.find_family(family), families.family_text(family)
    if out is None:
        lines = text.decode().splitlines()
        show.answer(desk, lines, family=name, text=text.decode())
        return
    with show.new_file(out, text):
        lines = [f"{out}: change it, then flitchbook model define NAME --from {out}."]
        show.answer(desk, lines, family=name, file=str(out))


@signs(app)
def define(
    desk: Desk,
    name: NameArgument,
    from_: FromOption = None,
    instrument: InstrumentOption = "",
    part: PartOption = [],  # noqa: B006 - typer reads the default
    step: StepOption = [],  # noqa: B006 - typer reads the default
) -> None:
    """Set down a model, or its next version, from a text or from bare names."""
    from ledger.acts import models

    if from_ is None:
        told = _named(instrument, part, step)
    else:
        _require_text_alone(from_, instrument, part, step)
        told = _written(from_)
    version = models.define_model(desk.shop, name=name, hands=desk.hands(), **told)
    with desk.shop.store.reading() as session:
        nobody = models.unheld(session, told["steps"])
    lines = [
        f"{name}, version {version}: {show.counted(len(told['parts']), 'part')}, "
        f"{show.counted(len(told['steps']), 'step')}.",
        *(f"note: nobody but a lead may sign {work} today" for work in nobody),
    ]
    show.answer(desk, lines, model=name, version=version, nobody_holds=nobody)


@reads(app, "show")
def show_(
    desk: Desk,
    name: NameArgument,
    version: VersionOption = None,
    text: TextOption = False,
) -> None:
    """Show a model: its parts, and its road step by step."""
    from ledger.acts import models
    from ledger.craft.modelwords import write_model
    from ledger.events.codec import plain
    from ledger.views.models import Model

    with desk.shop.store.reading() as session:
        event = models.find_model(session, name, version)
        index = session.get_one(Model, (event.model, event.version)).idx
    drafted = models.drafted(event)
    if text:
        written = write_model(drafted)
        show.answer(desk, written.splitlines(), model=name, text=written)
        return
    family = f" ({event.family})" if event.family else ""
    head = f"{name}, version {event.version}: {event.instrument}{family}, entry {index}"
    lines = [head, *model_lines.part_lines(drafted), *model_lines.step_lines(drafted)]
    show.answer(desk, lines, entry=index, **plain(event))


@reads(app, "list")
def list_(desk: Desk) -> None:
    """List the models, each in its newest version."""
    from ledger.views.models import models, parts_of, steps_of

    with desk.shop.store.reading() as session:
        found = [
            {
                "model": row.name,
                "version": row.version,
                "instrument": row.instrument,
                "parts": len(parts_of(session, row.name, row.version)),
                "steps": len(steps_of(session, row.name, row.version)),
                "entry": row.idx,
            }
            for row in models(session)
        ]
    lines = [model_lines.listed(each) for each in found]
    show.answer(
        desk,
        lines or ["no model is set down: see flitchbook model draft"],
        models=found,
    )


@reads(app)
def makes(
    desk: Desk,
    name: NameArgument,
    species: SpeciesOption = None,
    version: VersionOption = None,
) -> None:
    """Tell how many instruments the rack's wood allows, and which part is scarcest."""
    from ledger.acts.makes import makes as made
    from ledger.views.behind import entries_behind
    from ledger.views.models import Model

    with desk.shop.store.reading() as session:
        found = made(
            session,
            name,
            today=desk.shop.today(),
            version=version,
            species=species,
        )
        codes = [code for part in found.parts for code in part.boards]
        behind = entries_behind(session, codes) if desk.json else {}
        idx = session.get_one(Model, (found.model, found.version)).idx
    show.answer(
        desk,
        model_lines.makes_lines(found, species),
        **model_lines.makes_data(found, behind),
        entry=idx,
    )


def _written(path: Path) -> dict[str, Any]:
    from ledger.acts.models import planned
    from ledger.craft.modeltext import read_model
    from ledger.errors import RefusedError

    data = show.read_file(path)
    try:
        return planned(read_model(data))
    except RefusedError as fault:
        raise RefusedError(f"{path}: {fault}") from None


def _named(instrument: str, part: list[str], step: list[str]) -> dict[str, Any]:
    """Return a model of bare names: parts without sizes, steps without an order."""
    from ledger.errors import RefusedError
    from ledger.events.route import PlannedPart, PlannedStep

    if not (instrument or part or step):
        raise RefusedError(
            "say what the model is: give --from with a text, as flitchbook model "
            "draft writes it, or --instrument, --part and --step"
        )
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
    if not all(name.strip() for name in part):
        raise RefusedError("a part has a name: leave the empty --part away")
    parts = [PlannedPart(part=name) for name in part]
    return {"instrument": instrument, "parts": parts, "steps": steps}


def _require_text_alone(
    path: Path, instrument: str, part: list[str], step: list[str]
) -> None:
    from ledger.errors import RefusedError

    if instrument or part or step:
        raise RefusedError(
            f"{path} says it all: leave --instrument, --part and --step away"
        )
