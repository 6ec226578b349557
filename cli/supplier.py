"""flitchbook supplier: the sawyers, known by name."""

from typing import Annotated, Literal

import typer

from cli import show, supplier_yield
from cli.context import Desk, reads, signs

app = typer.Typer(
    name="supplier",
    help="The sawyers and other suppliers, and how they may be named.",
    no_args_is_help=True,
)
NameArgument = Annotated[
    str, typer.Argument(help="The name of a sawyer or another house.")
]
ShownOption = Annotated[
    Literal["by-name", "by-region", "known-to-maker"],
    typer.Option(help="How a certificate may show the supplier."),
]
RegionOption = Annotated[str | None, typer.Option(help="The region, such as a valley.")]
CountryOption = Annotated[str | None, typer.Option(help="Two letters, such as IT.")]


@signs(app)
def record(
    desk: Desk,
    name: NameArgument,
    shown: ShownOption,
    region: RegionOption = None,
    country: CountryOption = None,
) -> None:
    """Enter a sawyer or another supplier, and how the name may be shown."""
    from ledger.acts import suppliers

    entered = suppliers.record_supplier(
        desk.shop,
        name=name,
        shown=shown,
        region=region,
        country=country,
        hands=desk.hands(),
    )
    show.answer(desk, [f"{entered} is entered, shown {shown}."], name=entered)


@reads(app, "list")
def list_(desk: Desk) -> None:
    """List the sawyers and the other suppliers."""
    from ledger.acts import suppliers

    with desk.shop.store.reading() as session:
        rows = [
            {"name": name, "shown": s.shown, "region": s.region, "country": s.country}
            for s, name in suppliers.named(desk.shop, session)
        ]
    lines = [
        ", ".join(str(row[k]) for k in ("name", "region", "country", "shown") if row[k])
        for row in rows
    ]
    show.answer(desk, lines, suppliers=rows)


@signs(app)
def erase(desk: Desk, name: NameArgument) -> None:
    """Erase a sawyer's name; lots, certificates and every proof stay as they are."""
    from ledger.acts import people, suppliers

    sawyer = suppliers.find_supplier(desk.shop, name)
    entry = people.erase(desk.shop, sawyer.subject, desk.hands())
    shown = sawyer.region or "known to the maker"
    lines = [f"The sawyer's name is erased, and {shown} is left; entry {entry.index}."]
    show.answer(desk, lines, subject=sawyer.subject, entry=entry.index)


supplier_yield.add_to(app)
