"""flitchbook material: glue, finish, shell and strings, batch by batch."""

from collections.abc import Iterator
from typing import Annotated, Any

import typer

from cli import lot_harvest, show
from cli.context import Desk, reads, signs
from ledger.craft.wares import Use

app = typer.Typer(
    name="material", help="Glue, finish, shell and strings.", no_args_is_help=True
)
WhatArgument = Annotated[str, typer.Argument(help="What it is, such as hide glue.")]
BatchArgument = Annotated[str, typer.Argument(help="A batch, such as M26-001.")]
AsOption = Annotated[Use, typer.Option("--as", help="What it is used as.")]
FromOption = Annotated[
    str | None,
    typer.Option("--from", help="Who sold it: a supplier, by name or part of it."),
]
LotOption = Annotated[
    str | None, typer.Option("--lot-as-written", help="Its maker's own number.")
]
SpeciesOption = Annotated[
    str | None, typer.Option(help="Of an animal or a plant: its scientific name.")
]
ReceivedOption = Annotated[
    str | None, typer.Option(help="The day it came in; else today.")
]
ExpiresOption = Annotated[str | None, typer.Option(help="The last day it is good for.")]
PaperOption = Annotated[list[str], typer.Option(help="A paper on file; repeated.")]


@signs(app)
def receive(
    desk: Desk,
    what: WhatArgument,
    as_: AsOption,
    from_: FromOption = None,
    lot_as_written: LotOption = None,
    species: SpeciesOption = None,
    received: ReceivedOption = None,
    expires: ExpiresOption = None,
    paper: PaperOption = [],  # noqa: B006 - typer reads the default
) -> None:
    """Receive a batch of what is no board; steps name it by its code."""
    from ledger.acts import materials, suppliers
    from ledger.ids import DocumentId

    sold_by = None if from_ is None else suppliers.find_supplier(desk.shop, from_)
    draft = materials.BatchDraft(
        what=what,
        use=as_,
        received_on=desk.shop.day() if received is None else received,
        supplier=sold_by,
        lot_as_written=lot_as_written,
        species=species,
        expires_on=expires,
        documents=tuple(str(DocumentId.parse(desk.own(code))) for code in paper),
    )
    code = materials.receive_batch(desk.shop, draft, desk.hands())
    lines = [f"{code}: {what.strip()}. Write the code on the tin."]
    if species:
        lines.append(
            f"Of {species.strip()}: ask flitchbook determine about the documents "
            f"needed before an instrument with it leaves."
        )
    show.answer(desk, lines, batch=code)


@signs(app)
def finish(desk: Desk, batch: BatchArgument) -> None:
    """Record that nothing is left of a batch."""
    from ledger.acts import materials

    code = _code(desk, batch)
    entry = materials.finish_batch(desk.shop, code, desk.hands())
    lines = [f"{code} is used up; entry {entry.index}."]
    show.answer(desk, lines, batch=code, entry=entry.index)


@reads(app, "list")
def list_(desk: Desk) -> None:
    """List the batches, the newest last."""
    from ledger.views.materials import materials

    today = desk.shop.today()
    with desk.shop.store.reading() as session:
        rows = [_data(batch, today) for batch in materials(session)]
    lines = [_line(row) for row in rows] or ["no batch has come in yet"]
    show.answer(desk, lines, batches=rows)


@reads(app, "show")
def show_(desk: Desk, batch: BatchArgument) -> None:
    """Show a batch, and each instrument and step that it went into."""
    from ledger.acts import materials
    from ledger.acts.signing import holder_names
    from ledger.acts.suppliers import SUPPLIER_NAME
    from ledger.views.materials import papers_of

    code = _code(desk, batch)
    with desk.shop.store.reading() as session:
        found = materials.find_batch(session, code)
        row = _data(found, desk.shop.today())
        papers = papers_of(session, code)
        used = materials.uses_of(session, code)
        names = holder_names(desk.shop, session, (use.key for use in used))
        uses = [use_data(use, names[use.key]) for use in used]
        opening = None
        if found.supplier:
            opening = desk.shop.vault.get(found.supplier, SUPPLIER_NAME)
    seller = opening.value if opening else None
    serials = sorted({use["serial"] for use in uses})
    lines = [
        _line(row),
        f"  from: {seller or 'not said'}; papers: {', '.join(papers) or 'none'}",
        f"  in {show.counted(len(serials), 'instrument')}",
        *use_lines(uses),
    ]
    told = row | {"supplier": seller, "papers": papers, "uses": uses}
    show.answer(desk, lines, **told, instruments=serials)


def use_data(use: Any, holder: str) -> dict[str, Any]:
    """Return one step that a batch or a gauge had a part in, for a program."""
    return {
        "serial": use.serial,
        "step": use.step,
        "meaning": use.meaning,
        "day": use.day,
        "by": holder,
        "entry": use.idx,
    }


def use_lines(uses: list[dict[str, Any]]) -> Iterator[str]:
    """Tell of steps, one on a line."""
    for use in uses:
        yield (
            f"    {use['serial']}  {use['step']}, {use['meaning']} by {use['by']}, "
            f"{use['day']}, entry {use['entry']}"
        )


def _code(desk: Desk, text: str) -> str:
    from ledger.benchcodes import MaterialId

    return str(MaterialId.parse(desk.own(text)))


def _data(batch: Any, today: str) -> dict[str, Any]:
    state = "in use"
    if batch.finished_idx is not None:
        state = f"used up, entry {batch.finished_idx}"
    elif batch.expires_on and batch.expires_on < today:
        state = f"past its day {batch.expires_on}"
    elif batch.expires_on:
        state = f"good until {batch.expires_on}"
    return {
        "batch": batch.batch,
        "what": batch.what,
        "use": batch.use,
        "lot_as_written": batch.lot_as_written,
        "species": batch.species,
        "received_on": batch.received_on,
        "expires_on": batch.expires_on,
        "state": state,
        "entry": batch.idx,
    }


def _line(row: dict[str, Any]) -> str:
    said = [f"{row['what']} ({row['use']})"]
    if row["species"]:
        said.append(row["species"])
    if row["lot_as_written"]:
        said.append(f"lot {row['lot_as_written']}")
    said += [f"came in on {row['received_on']}", row["state"]]
    return f"{row['batch']}: {', '.join(said)}; entry {row['entry']}"


lot_harvest.add_to(app)
