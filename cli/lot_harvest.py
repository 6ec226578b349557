"""flitchbook lot harvest, and of materials: the countries of a harvest, named later."""

from typing import Annotated

import typer

from cli import show
from cli.context import Desk, signs
from ledger.errors import RefusedError

WoodArgument = Annotated[
    str,
    typer.Argument(
        metavar="CODE", help="A lot such as L26-031, or a batch such as M26-001."
    ),
]
CountriesArgument = Annotated[
    list[str],
    typer.Argument(
        metavar="COUNTRY...",
        help="Where it was harvested; several where nobody knows which of them.",
    ),
]
PaperOption = Annotated[
    str | None, typer.Option(help="The paper of it that names them, such as D26-0012.")
]
WhyOption = Annotated[
    str, typer.Option(help="Who named them, and how, where no paper does.")
]


def add_to(app: typer.Typer) -> None:
    """Add the command to those of lots, or of materials."""
    signs(app)(harvest)


def harvest(
    desk: Desk,
    code: WoodArgument,
    countries: CountriesArgument,
    paper: PaperOption = None,
    why: WhyOption = "",
) -> None:
    """Name the country of harvest, or every one that it may be, of what came in."""
    from ledger.acts.harvests import Named, name_harvest
    from ledger.benchcodes import MaterialId
    from ledger.ids import DocumentId, LotId, parse_any
    from ledger.trade.movement import one_of_places

    found = parse_any(desk.own(code), desk.shop.settings.pattern)
    if not isinstance(found, LotId | MaterialId):
        raise RefusedError(
            f"{found} is a {found.form.noun}, and what has a country of harvest came "
            f"in as a lot such as L26-031, or a batch such as M26-001: give that"
        )
    named = Named(
        code=str(found),
        countries=countries,
        document=str(DocumentId.parse(desk.own(paper))) if paper else None,
        why=why.strip(),
    )
    made = name_harvest(desk.shop, named, desk.hands())
    said = one_of_places(made.countries)
    is_one = len(made.countries) == 1
    line = (
        f"{found}: harvested in {said}, entry {made.entry.index}."
        if is_one
        else f"{found}: harvested in {said}, and nobody knows which; entry "
        f"{made.entry.index}. Papers that ask for the country name them all."
    )
    show.answer(
        desk,
        [line, *(f"note: {text}" for text in made.notes)],
        code=str(found),
        countries=list(made.countries),
        entry=made.entry.index,
        notes=list(made.notes),
    )
