"""flitchbook lot: wood as it comes in."""

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import (
    lot_balance,
    lot_evidence,
    lot_harvest,
    lot_map,
    lot_plots,
    lot_ready,
    lot_rest,
    permit_stack,
    show,
)
from cli.context import Desk, reads, signs

app = typer.Typer(name="lot", help="Wood as it comes in.", no_args_is_help=True)
LotArgument = Annotated[str, typer.Argument(help="A lot, such as L26-031.")]
SpeciesOption = Annotated[str, typer.Option(help="The scientific name, or unknown.")]
BoardsOption = Annotated[int | None, typer.Option(help="How many boards or sets came.")]
SetOption = Annotated[
    bool, typer.Option("--set", help="Each is a set of two halves, with two labels.")
]
SizeOption = Annotated[
    str, typer.Option(help="How big each piece is: '559 x 203 x 4.2 mm'.")
]
SupplierOption = Annotated[str, typer.Option(help="The sawyer, by name or part of it.")]
DocumentOption = Annotated[
    list[str], typer.Option(help="A paper on file, such as D26-0001; may be repeated.")
]
FormOption = Annotated[str, typer.Option(help="Such as sawn, split billet, veneer.")]
TradeNameOption = Annotated[str | None, typer.Option(help="The trade name.")]
CountryOption = Annotated[
    str | None, typer.Option("--harvested-in", help="Where it grew, by code or name.")
]
ReceivedOption = Annotated[str, typer.Option("--received", help="The day; else today.")]
OpeningOption = Annotated[
    bool, typer.Option("--opening", help="Old stock, entered as it is found.")
]
CodeOption = Annotated[str, typer.Option(help="The code it bears already.")]
ListOption = Annotated[
    Path | None, typer.Option("--list", help="The sawyer's packing list, as CSV.")
]
ForOption = Annotated[
    str | None,
    typer.Option("--for", help="What it is meant for; it is numbered at once."),
]
ColumnOption = Annotated[
    list[str],
    typer.Option(help="Which header says what, such as 'thickness=Stärke'; repeated."),
]
UnitOption = Annotated[
    list[str],
    typer.Option(help="A unit the list leaves out, such as 'length=mm'; repeated."),
]
BySpeciesOption = Annotated[
    bool, typer.Option("--by-species", help="Make a lot of each species in the list.")
]
AsReadOption = Annotated[
    bool,
    typer.Option("--as-read", help="The list was looked at twice: take it as it is."),
]
DryRunOption = Annotated[
    bool, typer.Option("--dry-run", help="Show what would happen; record nothing.")
]
EvidenceOption = Annotated[
    Literal["invoice", "diary", "witness", "none"] | None,
    typer.Option(help="How the origin of old stock is known."),
]


@signs(app)
def receive(
    desk: Desk,
    species: SpeciesOption = "",
    boards: BoardsOption = None,
    set_: SetOption = False,
    size: SizeOption = "",
    list_: ListOption = None,
    meant_for: ForOption = None,
    column: ColumnOption = [],  # noqa: B006 - typer reads the default
    unit: UnitOption = [],  # noqa: B006 - typer reads the default
    by_species: BySpeciesOption = False,
    as_read: AsReadOption = False,
    dry_run: DryRunOption = False,
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
    """Receive a lot from a sawyer, counted or from a packing list, or old stock."""
    from cli import delivery
    from ledger.acts import suppliers
    from ledger.acts.deliveries import Told
    from ledger.acts.lots import LotDraft
    from ledger.ids import DocumentId, LotId

    draft = LotDraft(
        species=species.strip(),
        form=form,
        boards=boards or 0,
        received_on=received or desk.shop.day(),
        supplier=suppliers.find_supplier(desk.shop, supplier) if supplier else None,
        documents=tuple(str(DocumentId.parse(code)) for code in document),
        trade_name=trade_name,
        harvested_in=harvested_in,
        evidence=evidence,
        is_opening=opening,
        code=LotId.parse(code) if code else None,
    )
    delivery.receive(
        desk,
        Told(lot=draft, meant_for=meant_for, by_species=by_species, as_read=as_read),
        delivery.Came(path=list_, columns=column, units=unit, count=boards, size=size),
        is_set=set_,
        is_dry=dry_run,
    )


@reads(app, "show")
def show_(desk: Desk, lot: LotArgument) -> None:
    """Show a lot and its boards."""
    from ledger.acts.corrections import reason_words
    from ledger.errors import NotFoundError
    from ledger.ids import BoardId, LotId
    from ledger.views.boards import boards_of
    from ledger.views.plots import plots_of
    from ledger.views.wood import Lot, documents_of

    code = str(LotId.parse(desk.own(lot)))
    with desk.shop.store.reading() as session:
        found = session.get(Lot, code)
        if found is None:
            raise NotFoundError(
                f"there is no lot {code}: look at the label again, or receive it with "
                f"flitchbook lot receive"
            )
        boards = boards_of(session, code)
        numbered = {BoardId.parse(board.code).number for board in boards}
        papers = [document.code for document in documents_of(session, code)]
        plots = plots_of(session, code)
        named = [*papers, *([f"{plots.document} (its plots)"] if plots else [])]
        lines = [
            f"{code}: {found.species}, came in on {found.received_on}; "
            f"{len(numbered)} of {show.counted(found.boards, 'board')} numbered",
            f"papers: {', '.join(named) or 'none'}",
            f"harvested in {_grown(found)}",
        ]
        codes = [b.code for b in boards]
        struck = _struck(desk.shop, session, code, codes)
    lines += [f"  {board_words(board)}" for board in boards]
    lines += [
        f"  {row['board']:<14} its number was struck: {reason_words(row['reason'])}  "
        f"(entry {row['entry']})"
        for row in struck
    ]
    show.answer(
        desk,
        lines,
        lot=code,
        species=found.species,
        boards=codes,
        papers=papers,
        harvested_in=found.harvested_in,
        may_be_from=found.may_be_from.split(),
        plots=plots.document if plots else None,
        struck=struck,
    )


def _grown(lot: Any) -> str:
    """Return where a lot was harvested, or what is known of that."""
    from ledger.trade.movement import one_of_places

    if lot.harvested_in:
        return f"{one_of_places([lot.harvested_in])}  (entry {lot.harvested_idx})"
    if lot.may_be_from:
        return f"{one_of_places(lot.may_be_from.split())}, and nobody knows which"
    return (
        f"a country that nobody said: ask, and name it with flitchbook lot harvest "
        f"{lot.code}"
    )


def _struck(
    shop: Any, session: Any, lot: str, standing: Iterable[str]
) -> list[dict[str, Any]]:
    """Return the boards of a lot whose number was struck, by which entry and why."""
    from ledger.acts.corrections import reasons_of
    from ledger.views.boards import Board, codes_ever_given

    gone = set(codes_ever_given(session, lot)) - set(standing)
    rows = [(code, session.get_one(Board, code).struck_idx) for code in sorted(gone)]
    given = reasons_of(shop, session, {entry for _, entry in rows})
    return [
        {"board": code, "entry": entry, "reason": given.get(entry)}
        for code, entry in rows
    ]


def board_words(board: Any) -> str:
    """Return a board's code, use, sizes, mass and where it is, in one line."""
    from ledger.quantities import grams, millimetres

    sizes = (board.length_um, board.width_um, board.thickness_um)
    size = " × ".join("?" if um is None else millimetres(um) for um in sizes)
    listed = "" if board.listed_mg is None else f", listed {grams(board.listed_mg)}"
    mass = f"not weighed{listed}" if board.mass_mg is None else grams(board.mass_mg)
    where = board.serial or board.place or "in the rack"
    if board.became_idx is not None:
        where = f"made into pieces, entry {board.became_idx}"
    elif board.off_idx is not None:
        where = f"spoiled or taken off, entry {board.off_idx}"
    return f"{board.code:<14} {board.meant_for:<12} {size}  {mass}  {where}"


lot_rest.add_to(app)
lot_ready.add_to(app)
lot_map.add_to(app)
lot_balance.add_to(app)
lot_evidence.add_to(app)
lot_plots.add_to(app)
lot_harvest.add_to(app)
permit_stack.add_to_lot(app)
