"""flitchbook document add: a paper that came later, joined to its lot or batch."""

from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs

DocumentArgument = Annotated[str, typer.Argument(help="A paper, such as D26-0012.")]
ToArgument = Annotated[
    str,
    typer.Argument(
        metavar="LOT", help="What it is a paper of: a lot or a batch; typed or scanned."
    ),
]
CountryOption = Annotated[
    str | None,
    typer.Option(
        "--harvested-in",
        help="The country of harvest that it gives, by code or name; of a lot only.",
    ),
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the document."""
    signs(app)(add)


def add(
    desk: Desk,
    document: DocumentArgument,
    to: ToArgument,
    harvested_in: CountryOption = None,
) -> None:
    """Join a paper on file to the lot or the batch that it is of."""
    from ledger.benchcodes import MaterialId
    from ledger.errors import RefusedError
    from ledger.ids import DocumentId, LotId, parse_any

    paper = str(DocumentId.parse(desk.own(document)))
    found = parse_any(desk.own(to), desk.shop.settings.pattern)
    if isinstance(found, LotId):
        _add_to_lot(desk, paper, str(found), harvested_in)
        return
    if not isinstance(found, MaterialId):
        raise RefusedError(
            f"{found} is a {found.form.noun}, and a paper is joined to what came in: "
            f"give a lot such as L26-031, or a batch such as M26-001"
        )
    if harvested_in is not None:
        raise RefusedError(
            f"a batch such as {found} has no country of harvest on record: leave out "
            f"--harvested-in"
        )
    _add_to_batch(desk, paper, str(found))


def _add_to_lot(desk: Desk, paper: str, lot: str, harvested_in: str | None) -> None:
    from ledger.acts.lotpapers import add_paper
    from ledger.acts.names import harvest_country
    from ledger.trade.movement import place_words

    harvested_in = harvest_country(harvested_in)
    entry = add_paper(desk.shop, lot, paper, harvested_in, desk.hands())
    grew = "" if harvested_in is None else f"; harvested in {place_words(harvested_in)}"
    lines = [
        f"{paper} is a paper of {lot} from now on{grew}; entry {entry.index}.",
        f"What is still missing: flitchbook lot evidence {lot}",
    ]
    show.answer(
        desk,
        lines,
        document=paper,
        lot=lot,
        harvested_in=harvested_in,
        entry=entry.index,
    )


def _add_to_batch(desk: Desk, paper: str, batch: str) -> None:
    from ledger.acts.lotpapers import add_batch_paper

    entry = add_batch_paper(desk.shop, batch, paper, desk.hands())
    lines = [f"{paper} is a paper of {batch} from now on; entry {entry.index}."]
    show.answer(desk, lines, document=paper, batch=batch, entry=entry.index)
