"""flitchbook lot: wood as it comes in."""

from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import show
from cli.context import Desk, reads, signs

app = typer.Typer(name="lot", help="Wood as it comes in.", no_args_is_help=True)
LotArgument = Annotated[str, typer.Argument(help="A lot, such as L26-031.")]
SpeciesOption = Annotated[str, typer.Option(help="The scientific name, or unknown.")]
BoardsOption = Annotated[int | None, typer.Option(help="How many boards or sets came.")]
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
ListOption = Annotated[
    Path | None, typer.Option("--list", help="The sawyer's packing list, as CSV.")
]
ForOption = Annotated[
    str, typer.Option("--for", help="What the list's wood is meant for, such as top.")
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
    list_: ListOption = None,
    meant_for: ForOption = "",
    column: ColumnOption = [],  # noqa: B006 - typer reads the default
    unit: UnitOption = [],  # noqa: B006 - typer reads the default
    by_species: BySpeciesOption = False,
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
    from ledger.acts import suppliers
    from ledger.acts.lots import LotDraft
    from ledger.ids import DocumentId, LotId

    draft = LotDraft(
        species=species.strip(),
        form=form,
        boards=boards or 0,
        received_on=received or desk.shop.today(),
        supplier=suppliers.find_supplier(desk.shop, supplier) if supplier else None,
        documents=tuple(str(DocumentId.parse(code)) for code in document),
        trade_name=trade_name,
        harvested_in=harvested_in,
        evidence=evidence,
        is_opening=opening,
        code=LotId.parse(code) if code else None,
    )
    if list_ is None:
        _receive_counted(desk, draft, is_counted=boards is not None)
        return
    listed = read(list_, column, unit)
    if dry_run:
        _show_plan(desk, listed, draft, meant_for, by_species)
    else:
        _receive_listed(desk, list_, listed, told(draft, meant_for, by_species))


@reads(app, "show")
def show_(desk: Desk, lot: LotArgument) -> None:
    """Show a lot and its boards."""
    from ledger.errors import NotFoundError
    from ledger.ids import LotId
    from ledger.views.boards import boards_of
    from ledger.views.wood import Lot, documents_of

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
        lines += [f"  {board_words(board)}" for board in boards]
        codes = [b.code for b in boards]
        show.answer(
            desk, lines, lot=code, species=found.species, boards=codes, papers=papers
        )


def read(path: Path, column: list[str], unit: list[str]) -> Any:
    """Read a packing list, with what the sawyer's headers and numbers mean."""
    from ledger.acts.packing import read_list

    columns = dict(_pairs(column, "thickness=Stärke"))
    units = dict(_pairs(unit, "length=mm"))
    return read_list(show.read_file(path), columns=columns, units=units)


def told(draft: Any, meant_for: str, by_species: bool) -> Any:
    """Return what the shop says of a delivery beside its list."""
    from ledger.acts.deliveries import Told

    return Told(lot=draft, meant_for=meant_for or None, by_species=by_species)


def _receive_counted(desk: Desk, draft: Any, *, is_counted: bool) -> None:
    from ledger.acts.lots import receive_lot
    from ledger.errors import RefusedError

    if not draft.species or not is_counted:
        raise RefusedError(
            "say what came: --species and --boards, or the sawyer's packing list with "
            "--list"
        )
    received_as = receive_lot(desk.shop, draft, desk.hands())
    pieces = show.counted(draft.boards, "board")
    lines = [f"Lot {received_as}: {pieces} of {draft.species}."]
    if not draft.documents:
        lines.append("No paper is filed with it: file one before the wood is used.")
    show.answer(desk, lines, lot=received_as, boards=draft.boards)


def _receive_listed(desk: Desk, path: Path, listed: Any, said: Any) -> None:
    from ledger.acts.deliveries import deliver, parcels

    found = parcels(listed, said)
    came = deliver(desk.shop, path, found, hands=desk.hands())
    lines = [
        f"Lot {code}: {_parcel_words(parcel)}, {codes[0]} to {codes[-1]}."
        for (code, codes), parcel in zip(came.lots.items(), found, strict=True)
    ]
    lines += [
        *(f"  note: {note}" for note in listed.notes),
        f"The list is on file as {came.document}.",
        f"Label them: flitchbook label board {' '.join(came.lots)} --out labels.pdf",
    ]
    show.answer(desk, lines, lots=came.lots, document=came.document)


def _show_plan(
    desk: Desk, listed: Any, draft: Any, meant_for: str, by_species: bool
) -> None:
    """Show how a list was understood and what would happen; nothing is recorded."""
    from ledger.acts.deliveries import parcels

    lines = [
        *(
            f"  {header}: {_meaning(what, unit)}"
            for header, what, unit in listed.columns
        ),
        *(f"  note: {note}" for note in listed.notes),
        *(f"  line {fault.line}: {fault.reason}" for fault in listed.faults),
    ]
    faults = [{"line": f.line, "reason": f.reason} for f in listed.faults]
    lots: list[dict[str, Any]] = []
    if not faults:
        for parcel in parcels(listed, told(draft, meant_for, by_species)):
            lots.append({"species": parcel.lot.species, "pieces": parcel.pieces})
            lines.append(f"would receive {_parcel_words(parcel)}")
    first = (
        f"{show.counted(len(faults), 'row')} cannot be read:"
        if faults
        else "All rows can be read:"
    )
    lines = [first, *lines, "Nothing was recorded."]
    notes = list(listed.notes)
    show.answer(desk, lines, faults=faults, notes=notes, lots=lots, recorded=False)
    if faults:
        raise typer.Exit(1)


def _meaning(what: str, unit: str) -> str:
    return f"{what}{f' in {unit}' if unit else ''}" if what else "not read"


def _parcel_words(parcel: Any) -> str:
    sets = sum(board.is_set for board in parcel.boards)
    single = len(parcel.boards) - sets
    counted = [show.counted(sets, "set")] if sets else []
    counted += [show.counted(single, "board")] if single else []
    return (
        f"{' and '.join(counted)} of {parcel.lot.species}, "
        f"{show.counted(parcel.pieces, 'piece')} to label"
    )


def _pairs(texts: list[str], example: str) -> list[tuple[str, str]]:
    from ledger.errors import RefusedError

    pairs = []
    for text in texts:
        name, found, value = text.partition("=")
        if not found or not name.strip():
            raise RefusedError(f"{text!r} needs two sides, such as '{example}'")
        pairs.append((name.strip(), value.strip()))
    return pairs


def board_words(board: Any) -> str:
    """Return a board's code, use, sizes, mass and where it is, in one line."""
    from ledger.quantities import grams, millimetres

    sizes = (board.length_um, board.width_um, board.thickness_um)
    size = " × ".join("?" if um is None else millimetres(um) for um in sizes)
    mass = "not weighed" if board.mass_mg is None else grams(board.mass_mg)
    where = board.serial or board.place or "in the rack"
    if board.became_idx is not None:
        where = f"made into pieces, entry {board.became_idx}"
    return f"{board.code:<14} {board.meant_for:<12} {size}  {mass}  {where}"
