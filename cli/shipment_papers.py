"""flitchbook shipment papers, and file: what travels with a shipment, drawn."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from cli import disputed, printing, show
from cli.context import Desk, signs
from cli.shipment_lines import change_line, country_open
from ledger.errors import RefusedError

NumberArgument = Annotated[str, typer.Argument(help="A shipment, such as X26-0001.")]
Kind = Literal[
    "materials",
    "packing",
    "custody",
    "cites",
    "union",
    "declaration",
    "instrument",
    "due-diligence",
]
KindOption = Annotated[
    Kind,
    typer.Option(
        "--paper",
        help="The materials list, the packing list, the chain of custody, or what to "
        "write on a form: of CITES, of the Union, the US declaration, a musical "
        "instrument certificate, a due diligence statement.",
    ),
]
FolderOption = Annotated[Path, typer.Option("--out", help="A folder that is new.")]
SheetOption = Annotated[
    Literal["A4", "Letter"] | None,
    typer.Option("--on", help="The paper; else the shop's own."),
]
RecipientOption = Annotated[
    str,
    typer.Option(
        help="Whom it goes to, with commas between the lines, and the country at the "
        "end where it goes to several; for the paper only, it is not recorded."
    ),
]
SenderOption = Annotated[
    str, typer.Option(help="The shop's address, for the paper only.")
]
# What each paper is called in its entry.
PAPERS: dict[Kind, str] = {
    "materials": "materials list",
    "packing": "packing list",
    "custody": "chain of custody",
    "cites": "CITES worksheet",
    "union": "EU worksheet",
    "declaration": "declaration worksheet",
    "instrument": "instrument certificate worksheet",
    "due-diligence": "due diligence sheet",
}
NO_PERMIT = "It is a maker's statement and no permit; ask before anything moves."


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A paper that was drawn, and what could not be printed at its best."""

    pdf: bytes
    notices: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A shipment on its way to paper: what is known, under which head, and for whom.

    The head is signed once all is drawn: what is refused leaves nothing behind.
    """

    shop: Any
    signer: Any
    plan: Any
    head: Any
    addressed: Any
    size: Any

    @property
    def consignment(self) -> Any:
        """What every paper but the materials list is drawn from."""
        from ledger.acts.consignments import consignment_of

        return consignment_of(
            self.shop, self.plan, head=self.head, addressed=self.addressed
        )


def add_to(app: typer.Typer) -> None:
    """Add the commands to those of shipments."""
    signs(app)(papers)
    signs(app)(file)


def papers(
    desk: Desk,
    number: NumberArgument,
    out: printing.OutOption = None,
    paper: KindOption = "materials",
    on: SheetOption = None,
    recipient: RecipientOption = "",
    sender: SenderOption = "",
    queue: printing.PrintOption = "",
) -> None:
    """Draw one paper of a shipment: the list that travels with it, or a worksheet."""
    place = printing.place(out, queue)
    case = _case(desk, number, on, recipient, sender)
    drawn = _drawn(case, paper)
    note = _signed(case)
    print_number = _record(desk, case, note, paper, (place, drawn))
    show.notices(country_open(case.addressed.recipient, case.plan.journey))
    show.notices(drawn.notices)
    named = f"the {PAPERS[paper]} of {case.plan.number}"
    disputed.tell_of_shipment(desk.shop, named, case.plan)
    lines = [
        f"{place}: {named}, print {print_number}.",
        *change_line(case.plan),
        NO_PERMIT,
    ]
    show.answer(
        desk,
        lines,
        **place.told(),
        shipment=case.plan.number,
        paper=PAPERS[paper],
        number=print_number,
        changes=list(case.plan.changes),
    )


def file(
    desk: Desk,
    number: NumberArgument,
    out: FolderOption,
    on: SheetOption = None,
    recipient: RecipientOption = "",
    sender: SenderOption = "",
    queue: printing.PrintOption = "",
) -> None:
    """Draw every paper that a shipment asks for into one folder, and say which not."""
    _require_new_folder(out)
    printer = printing.maybe(None, queue)
    case = _case(desk, number, on, recipient, sender)
    drawn, not_drawn = _all_drawn(case)
    note = _signed(case)
    out.mkdir(parents=True)
    told = []
    show.notices(country_open(case.addressed.recipient, case.plan.journey))
    for kind, each in drawn.items():
        place = replace(printer, out=out / f"{case.plan.number}-{kind}.pdf")
        print_number = _record(desk, case, note, kind, (place, each))
        told.append({"paper": PAPERS[kind], **place.told(), "number": print_number})
        show.notices(each.notices)
    file_of = f"the file of {case.plan.number}"
    disputed.tell_of_shipment(desk.shop, file_of, case.plan)
    plots = _plots(case, out)
    lines = [f"{row['file']}: the {row['paper']}." for row in told]
    lines += [f"{path}: the plots of the wood." for path in plots]
    lines += _why_not(not_drawn)
    lines += [*change_line(case.plan), NO_PERMIT]
    show.answer(
        desk,
        lines,
        shipment=case.plan.number,
        papers=told,
        plots=plots,
        not_drawn={PAPERS[kind]: why for kind, why in not_drawn.items()},
        changes=list(case.plan.changes),
    )
    if "materials" in not_drawn:
        # Every shipment has one; what a form does not apply to is no failure.
        raise typer.Exit(1)


def _why_not(not_drawn: dict[Kind, str]) -> list[str]:
    """Say why papers are not drawn, each reason once."""
    reasons: dict[str, list[str]] = {}
    for kind, why in not_drawn.items():
        reasons.setdefault(why, []).append(PAPERS[kind])
    return [f"No {' or '.join(of)}: {why}." for why, of in reasons.items()]


def _case(desk: Desk, number: str, size: Any, recipient: str, sender: str) -> Case:
    from ledger.acts import shipments
    from ledger.acts.consignments import Addressed
    from ledger.acts.heads import head_now
    from ledger.ids import ShipmentId

    desk.hands()  # whoever may not sign is told before anything is drawn
    plan = shipments.planned(desk.shop, str(ShipmentId.parse(desk.own(number))))
    return Case(
        shop=desk.shop,
        signer=desk.person,
        plan=plan,
        head=head_now(desk.shop),
        addressed=Addressed(sender=sender, recipient=recipient),
        size=size or desk.shop.settings.paper,
    )


def _all_drawn(case: Case) -> tuple[dict[Kind, Drawn], dict[Kind, str]]:
    """Draw whatever can be, and say of the rest why it is not issued."""
    from labels.species_page import require_room

    require_room(case.consignment)
    drawn: dict[Kind, Drawn] = {}
    not_drawn: dict[Kind, str] = {}
    for kind in DRAWN:
        try:
            drawn[kind] = _drawn(case, kind)
        except RefusedError as why:
            not_drawn[kind] = str(why)
    if not drawn:
        raise RefusedError(next(iter(not_drawn.values())))
    return drawn, not_drawn


def _drawn(case: Case, kind: Kind) -> Drawn:
    """Draw a paper; but the packing list, none where a permit does not bear it."""
    from ledger.acts.soundness import require_sound_papers

    if kind != "packing":
        require_sound_papers(case.plan.faults)
    return DRAWN[kind](case)


def _signed(case: Case) -> str:
    """Sign the head that the papers carry."""
    from ledger.acts.heads import sign_head
    from ledger.log.checkpoint import parse_checkpoint, parse_note

    note = sign_head(case.shop)
    if parse_checkpoint(parse_note(note)) != case.head:
        raise RefusedError(
            "another station wrote to the log while the papers were drawn: draw them "
            "again"
        )
    return note


def _record(
    desk: Desk, case: Case, note: str, kind: Kind, paper: tuple[printing.Place, Drawn]
) -> int:
    """Write or print a paper and record it; return which print of it it is."""
    from ledger.acts import shipments

    place, drawn = paper
    record = partial(
        shipments.paper_printed,
        number=case.plan.number,
        paper=PAPERS[kind],  # type: ignore[arg-type]
        note=note,
        sha256_hex=sha256(drawn.pdf).hexdigest(),
        hands=desk.hands(),
    )
    title = f"{PAPERS[kind]} {case.plan.number}"
    return printing.put(case.shop, place, drawn.pdf, title=title, record=record)


def _require_new_folder(out: Path) -> None:
    if out.exists():
        raise RefusedError(f"{out} is there already: name a folder that is new")


def _materials(case: Case) -> Drawn:
    from cli.papers_shipment import materials_paper
    from labels import materials

    drawn = materials_paper(
        case.shop,
        case.plan,
        head=case.head,
        signer=case.signer,
        recipient=case.addressed.recipient,
        sender=case.addressed.sender,
    )
    pdf = materials.draw(drawn, size=case.size)
    return Drawn(pdf=pdf, notices=tuple(materials.notices(drawn)))


def _imprint(case: Case) -> Any:
    from cli.papers_shipment import imprint

    return imprint(case.shop, case.plan, head=case.head, signer=case.signer)


def _packing(case: Case) -> Drawn:
    from labels import packing_list

    told, imprint = _from_letterhead(case).consignment, _imprint(case)
    lines = () if case.addressed.sender else case.shop.settings.letterhead_lines
    pdf = packing_list.draw(told, imprint, letterhead=lines, size=case.size)
    return Drawn(pdf=pdf, notices=packing_list.notices(told, imprint))


def _from_letterhead(case: Case) -> Case:
    """Let the packing list say how to reach the shop, where nothing else was typed."""
    sender = case.addressed.sender or "\n".join(case.shop.settings.letterhead_lines)
    return replace(case, addressed=replace(case.addressed, sender=sender))


def _custody(case: Case) -> Drawn:
    from cli.papers_custody import chains
    from labels import custody

    shop, told, imprint = case.shop, case.consignment, _imprint(case)
    with shop.store.reading() as session:
        ways = chains(shop, session, told)
    pdf = custody.draw(told, ways, imprint, size=case.size)
    return Drawn(pdf=pdf, notices=custody.notices(told, ways, imprint))


def _due_diligence(case: Case) -> Drawn:
    from cli.papers_custody import suppliers_of
    from labels import due_diligence as drawing
    from ledger.acts.plots import grown_of
    from ledger.trade.due_diligence import Contact, due_diligence

    shop, told, imprint = case.shop, case.consignment, _imprint(case)
    lots = {lot for item in told.items if item.boards for lot in item.lots}
    party = told.recipient
    customer = Contact(name=party.name, address=party.address, country=party.country)
    with shop.store.reading() as session:
        sheet = due_diligence(
            told,
            customer=customer if party.name else None,
            suppliers=suppliers_of(shop, session, lots),
            grown=grown_of(shop, session, sorted(lots)),
        )
    pdf = drawing.draw(told, sheet, imprint, size=case.size)
    return Drawn(pdf=pdf, notices=drawing.notices(told, sheet, imprint))


def _worksheet(form: str) -> Callable[[Case], Drawn]:
    """Return what draws a worksheet of a form."""

    def draw(case: Case) -> Drawn:
        from labels import worksheet
        from ledger.trade.forms import cites, declaration, musical, union

        make: dict[str, Callable[[Any], Any]] = {
            "cites": cites.cites_worksheet,
            "union": union.union_worksheet,
            "declaration": declaration.declaration_worksheet,
            "instrument": musical.musical_worksheet,
        }
        shop, told = case.shop, case.consignment
        sheet, host = make[form](told), shop.settings.label_host
        pdf = worksheet.draw(sheet, host=host, size=case.size)
        return Drawn(pdf=pdf, notices=worksheet.notices(sheet, host=host))

    return draw


DRAWN: dict[Kind, Callable[[Case], Drawn]] = {
    "materials": _materials,
    "packing": _packing,
    "custody": _custody,
    "cites": _worksheet("cites"),
    "union": _worksheet("union"),
    "declaration": _worksheet("declaration"),
    "instrument": _worksheet("instrument"),
    "due-diligence": _due_diligence,
}


def _plots(case: Case, out: Path) -> list[str]:
    """Write the plots of the wood that are on file, for the authority's system."""
    from ledger.acts.plots import counted_plots, plots_file

    shop = case.shop
    lots = {lot for i in case.consignment.items if i.boards for lot in i.lots}
    with shop.store.reading() as session:
        known = counted_plots(shop, session, sorted(lots))
        if not known:
            return []
        path = out / f"{case.plan.number}-plots.geojson"
        path.write_bytes(plots_file(known))
    return [str(path)]
