"""flitchbook lot: wood as it comes in."""

from typing import Annotated, Literal

import typer

from cli import show
from cli.context import Desk, reads, signs

app = typer.Typer(name="lot", help="Wood as it comes in.", no_args_is_help=True)
LotArgument = Annotated[str, typer.Argument(help="A lot, such as L26-031.")]
SpeciesOption = Annotated[str, typer.Option(help="The scientific name, or unknown.")]
BoardsOption = Annotated[int, typer.Option(help="How many boards or sets came.")]
SupplierOption = Annotated[str, typer.Option(help="The sawyer, by name or part of it.")]
DocumentOption = Annotated[
    list[str], typer.Option(help="A paper on file, such as D26-0001; may be repeated.")
]
FormOption = Annotated[str, typer.Option(help="Such as sawn, split billet, veneer.")]
TradeNameOption = Annotated[str | None, typer.Option(help="The trade name.")]
CountryOption = Annotated[
    str | None, typer.Option("--harvested-in", help="Where it grew: two letters.")
]
ReceivedOption = Annotated[str, typer.Option("--received", help="The day; else today.")]
OpeningOption = Annotated[
    bool, typer.Option("--opening", help="Old stock, entered as it is found.")
]
CodeOption = Annotated[str, typer.Option(help="The code it bears already.")]
EvidenceOption = Annotated[
    Literal["invoice", "diary", "witness", "none"] | None,
    typer.Option(help="How the origin of old stock is known."),
]


@signs(app)
def receive(
    desk: Desk,
    species: SpeciesOption,
    boards: BoardsOption,
    supplier: SupplierOption = "",
    document: DocumentOption = [],  # noqa: B006 - typer reads the default
    form: FormOption = "sawn",
    trade_name: TradeNameOption = None,
    harvested_in: CountryOption = None,
    received: ReceivedOption = "",
    opening: OpeningOption = False,
    evidence: EvidenceOption = None,
    code: CodeOption = "",
) -> None:
    """Receive a lot from a sawyer, or enter old stock."""
    from ledger.acts import wood
    from ledger.ids import DocumentId, LotId

    draft = wood.LotDraft(
        species=species.strip(),
        form=form,
        boards=boards,
        received_on=received or desk.shop.today(),
        supplier=wood.find_supplier(desk.shop, supplier) if supplier else None,
        documents=tuple(str(DocumentId.parse(code)) for code in document),
        trade_name=trade_name,
        harvested_in=harvested_in,
        evidence=evidence,
        is_opening=opening,
        code=LotId.parse(code) if code else None,
    )
    received_as = wood.receive_lot(desk.shop, draft, desk.hands())
    pieces = show.counted(boards, "board")
    lines = [f"Lot {received_as}: {pieces} of {draft.species}."]
    if not draft.documents:
        lines.append("No paper is filed with it: file one before the wood is used.")
    show.answer(desk, lines, lot=received_as, boards=boards)


@reads(app, "show")
def show_(desk: Desk, lot: LotArgument) -> None:
    """Show a lot and its boards."""
    from ledger.errors import NotFoundError
    from ledger.ids import LotId
    from ledger.quantities import grams, millimetres
    from ledger.views.wood import Lot, boards_of, documents_of

    code = str(LotId.parse(desk.own(lot)))
    with desk.shop.store.reading() as session:
        found = session.get(Lot, code)
        if found is None:
            raise NotFoundError(f"there is no lot {code}: it was never received")
        boards = boards_of(session, code)
        papers = [document.code for document in documents_of(session, code)]
        lines = [
            f"{code}: {found.species}, {show.counted(found.boards, 'board')}, "
            f"{found.received_on}",
            f"papers: {', '.join(papers) or 'none'}",
        ]
        lines += [
            f"  {b.code:<14} {b.meant_for:<12} {millimetres(b.length_um)} × "
            f"{millimetres(b.width_um)} × {millimetres(b.thickness_um)}  "
            f"{grams(b.mass_mg)}  {b.serial or 'in the rack'}"
            for b in boards
        ]
        codes = [b.code for b in boards]
        show.answer(
            desk, lines, lot=code, species=found.species, boards=codes, papers=papers
        )
