"""flitchbook document: papers on file."""

from pathlib import Path
from typing import Annotated

import typer

from cli import document_add, document_expiring, document_used, permit_stack, show
from cli.context import Desk, signs
from ledger.trade.paperkinds import KINDS

app = typer.Typer(
    name="document", help="Papers on file, each under its digest.", no_args_is_help=True
)
FileArgument = Annotated[
    Path, typer.Argument(help="The paper: a scan, a PDF, a photo.")
]
PaperOption = Annotated[
    str,
    typer.Option(
        help=f"What it is, in words that are kept. Told apart by them are: "
        f"{', '.join(kind.name for kind in KINDS)}; several are named together."
    ),
]
NumberOption = Annotated[str | None, typer.Option(help="Its number, as written on it.")]
IssuedOption = Annotated[str | None, typer.Option(help="Its day, such as 2026-11-21.")]
ExpiresOption = Annotated[str | None, typer.Option(help="The last day it is good for.")]
PersonalOption = Annotated[
    bool,
    typer.Option("--personal", help="It holds personal data: keep it forgettable."),
]
AboutOption = Annotated[str, typer.Option(help="The person a personal paper is about.")]


@signs(app)
def file(
    desk: Desk,
    file: FileArgument,
    paper: PaperOption,
    number: NumberOption = None,
    issued: IssuedOption = None,
    expires: ExpiresOption = None,
    personal: PersonalOption = False,
    about: AboutOption = "",
) -> None:
    """File a paper, and be told what it is taken for; others name it by its code."""
    from ledger.acts import documents
    from ledger.trade.paperkinds import kinds_of, notes_on, taken_for

    code = documents.file_document(
        desk.shop,
        file,
        paper=paper,
        number=number,
        issued_on=issued,
        expires_on=expires,
        is_personal=personal or bool(about),
        about=desk.find(about).subject if about else None,
        hands=desk.hands(),
    )
    taken, notes = taken_for(paper), notes_on(paper)
    show.answer(
        desk,
        [
            f"{code}: {paper}, on file{'; taken for ' * bool(taken)}{taken}.",
            *(f"note: {note}" for note in notes),
        ],
        document=code,
        kinds=[kind.name for kind in kinds_of(paper)],
        notes=list(notes),
    )


document_add.add_to(app)
document_expiring.add_to(app)
document_used.add_to(app)
permit_stack.add_to_document(app)
