"""flitchbook shipment: what leaves together, and the papers it asks for."""

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import show
from cli.context import Desk, signs

app = typer.Typer(
    name="shipment",
    help="What leaves together, and which papers it asks for.",
    no_args_is_help=True,
)
ThingsArgument = Annotated[
    list[str], typer.Argument(help="Serials of instruments, boards or sets.")
]
ToOption = Annotated[str, typer.Option("--to", help="The country, such as JP.")]
FromOption = Annotated[str, typer.Option("--from", help="Where it starts, such as FR.")]
ViaOption = Annotated[
    list[str], typer.Option(help="A country on the way; may be repeated.")
]
ForOption = Annotated[
    str,
    typer.Option(
        "--for",
        help="Sale, personal, exhibition, repair, loan, performance or gift.",
    ),
]
OnOption = Annotated[
    str, typer.Option("--on", help="The day it moves, whose law counts; else today.")
]
OwnerOption = Annotated[
    bool | None,
    typer.Option(
        "--owner-changes/--owner-stays", help="Where the purpose leaves it open."
    ),
]
HtsOption = Annotated[
    str | None,
    typer.Option(
        "--hts-number", help="Its number in the US tariff, such as 9202.90.40."
    ),
]
AheadOption = Annotated[
    bool, typer.Option("--look-ahead", help="Only look; record nothing.")
]
NumberArgument = Annotated[str, typer.Argument(help="A shipment, such as X26-0001.")]
OutOption = Annotated[Path, typer.Option(help="Where the PDF goes.")]
SheetOption = Annotated[Literal["A4", "Letter"], typer.Option("--on", help="Paper.")]
RecipientOption = Annotated[
    str, typer.Option(help="Whom it goes to, for the paper only; it is not recorded.")
]
SenderOption = Annotated[
    str, typer.Option(help="The shop's address, for the paper only.")
]


@signs(app)
def plan(
    desk: Desk,
    things: ThingsArgument,
    to: ToOption,
    from_: FromOption,
    purpose: ForOption,
    via: ViaOption = [],  # noqa: B006 - typer reads the default
    on: OnOption = "",
    owner_changes: OwnerOption = None,
    hts_number: HtsOption = None,
    look_ahead: AheadOption = False,
) -> None:
    """Plan a shipment: tell what must be asked and which papers are needed."""
    from ledger.acts import shipments

    serials, boards = _things(desk, things)
    journey = shipments.Journey(
        legs=(from_, *via, to),
        moves_on=on or desk.shop.today(),
        purpose=purpose,
        owner_changes=owner_changes,
        hts_number=hts_number,
    )
    if look_ahead:
        found = shipments.foresee(
            desk.shop, serials=serials, boards=boards, journey=journey
        )
    else:
        found = shipments.plan(
            desk.shop,
            serials=serials,
            boards=boards,
            journey=journey,
            hands=desk.hands(),
        )
    show.answer(desk, plan_lines(found), **plan_data(found))


@signs(app)
def papers(
    desk: Desk,
    number: NumberArgument,
    out: OutOption,
    on: SheetOption = "A4",
    recipient: RecipientOption = "",
    sender: SenderOption = "",
) -> None:
    """Draw the materials list that travels with a shipment."""
    from cli.papers_shipment import materials_paper
    from labels import materials as drawing
    from ledger.acts import shipments
    from ledger.acts.heads import sign_head
    from ledger.ids import ShipmentId

    show.require_new(out)
    code, hands = str(ShipmentId.parse(desk.own(number))), desk.hands()
    found = shipments.planned(desk.shop, code)
    note = sign_head(desk.shop)
    drawn = materials_paper(
        desk.shop,
        found,
        note=note,
        signer=desk.person,
        recipient=recipient,
        sender=sender,
    )
    pdf = drawing.draw(drawn, size=on)
    with show.new_file(out, pdf):
        print_number = shipments.papers_printed(
            desk.shop,
            number=code,
            note=note,
            sha256_hex=sha256(pdf).hexdigest(),
            hands=hands,
        )
    show.notices(drawing.notices(drawn))
    lines = [
        f"{out}: the materials list of {code}, print {print_number}.",
        *change_line(found),
        "It is a maker's statement and no permit; ask before anything moves.",
    ]
    show.answer(
        desk,
        lines,
        file=str(out),
        shipment=code,
        number=print_number,
        changes=list(found.changes),
    )


def plan_lines(plan: Any) -> list[str]:
    """Say what must be asked first, then what is needed, then the rest."""
    from ledger.quantities import grams, kilograms
    from ledger.trade.answers import CAUTION

    totals = plan.found.totals
    name = f"Shipment {plan.number}" if plan.number else "Looking ahead, not recorded"
    lines = [
        f"{name}: {totals.to_ask} to ask about, documents needed for "
        f"{totals.permits_needed}, {totals.on_a_list} species on a CITES list, "
        f"{kilograms(totals.listed_wood_mg, places=2)} of listed wood, "
        f"{totals.species} species.",
    ]
    lines += _others_first(plan.found.also)
    for line in plan.found.lines:
        lines.append(
            f"  {line.answer:<10} {line.taxon} ({', '.join(line.parts)}), "
            f"{grams(line.mass_mg, places=0)}: {line.why}"
        )
        if line.is_listed:
            lines.append(f"             wood: {'; '.join(map(_wood, line.lots))}")
        lines += _beneath(line.determination)
        held = ", ".join(line.evidence) or "no paper on file"
        lines.append(f"             papers of the wood: {held}")
    for other in plan.found.also:
        lines.append(f"  also {other.answer}: {other.law}, {other.why}")
        lines += _beneath(other)
    lines += [f"  note: {note}" for note in plan.found.notes]
    compiled = plan.found.table_date.isoformat()
    lines.append(f"Tables compiled {compiled}. This is {CAUTION}.")
    return lines


def _beneath(said: Any) -> Iterator[str]:
    """Yield what stands under an answer: its papers, whom to ask, what it rests on."""
    from ledger.trade.confidence import confidence_words
    from ledger.trade.documents import office_words

    for paper in said.documents:
        yield f"             {paper.name}, from {office_words(paper.issuer)}"
    if said.answer != "not needed":
        yield f"             ask {office_words(said.ask_whom)}"
    if said.note:
        yield f"             note: {said.note}"
    if said.row:
        yield f"             row {said.row}: {confidence_words(said.confidence)}"


def _wood(lot: Any) -> str:
    """Say what a line holds of a lot, whence it is and since when it is held."""
    from ledger.quantities import grams

    origin = f"from {lot.origin}" if lot.origin else "of no known origin"
    day = f"acquired {lot.acquired}" if lot.acquired else "of no proven day"
    return f"{grams(lot.mass_mg, places=0)} of {lot.lot}, {origin}, {day}"


def _others_first(also: Any) -> list[str]:
    """Say under the totals what laws beside CITES ask, where they ask anything."""
    counts = [
        sum(other.answer == answer for other in also) for answer in ("ask", "needed")
    ]
    if not any(counts):
        return []
    return [
        f"  Beside CITES: {counts[0]} to ask about, documents needed for {counts[1]}."
    ]


def change_line(plan: Any) -> list[str]:
    """Say in a sentence what the tables answer otherwise since it was planned."""
    if not plan.changes:
        return []
    return [f"Changed since {plan.number} was planned: {'; '.join(plan.changes)}."]


def plan_data(plan: Any) -> dict[str, Any]:
    """Return a plan as stable JSON."""
    from dataclasses import asdict

    from ledger.trade.answers import as_data
    from ledger.trade.edition import tables_sha256

    return {
        "shipment": plan.number,
        "answer": plan.found.answer,
        "totals": asdict(plan.found.totals),
        "rows": [
            {"mass_mg": line.mass_mg, "parts": list(line.parts)}
            | {"evidence": list(line.evidence)}
            | {"lots": [_lot_data(lot) for lot in line.lots]}
            | as_data(line.determination)
            for line in plan.found.lines
        ],
        "also": [as_data(other) for other in plan.found.also],
        "notes": list(plan.found.notes),
        "entries": list(plan.entries),
        "table_date": plan.found.table_date.isoformat(),
        "tables_sha256": tables_sha256(),
    }


def _lot_data(lot: Any) -> dict[str, Any]:
    day = lot.acquired.isoformat() if lot.acquired else None
    return {**lot._asdict(), "acquired": day}


def _things(desk: Desk, things: list[str]) -> tuple[list[str], list[str]]:
    """Tell serials from boards."""
    from ledger.errors import RefusedError
    from ledger.ids import BoardId, parse_any
    from ledger.serials import Serial
    from ledger.views.boards import boards_named

    serials: list[str] = []
    boards: list[str] = []
    for text in things:
        code = parse_any(desk.own(text), desk.shop.settings.pattern)
        if isinstance(code, Serial):
            serials.append(str(code))
        elif isinstance(code, BoardId):
            # Of a set both halves go.
            with desk.shop.store.reading() as session:
                halves = [board.code for board in boards_named(session, str(code))]
            boards += halves or [str(code)]
        else:
            raise RefusedError(
                f"{code} is a {code.form.noun}: name serials of instruments, or boards"
            )
    return serials, boards
