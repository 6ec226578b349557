"""The facts of a shipment brought to its materials list."""

from typing import Any

from labels.materials_facts import (
    Counts,
    MaterialRow,
    MaterialsPaper,
    RuleRow,
    WithThisPage,
)
from ledger.acts.shipments import Plan
from ledger.acts.shop import Shop
from ledger.acts.signing import person_name
from ledger.codes import check_character
from ledger.trade.movement import place_words
from ledger.trade.names import read_name
from ledger.trade.shipment import Line
from ledger.views.wood import Document

# The record keeps no shell, bone or ivory yet; so it does not say that there is none.
ANIMAL_PARTS = "none on record; look for shell, bone and ivory before it goes"


def materials_paper(
    shop: Shop, plan: Plan, *, signer: Any, recipient: str, sender: str
) -> MaterialsPaper:
    """Return what the materials list of a shipment shows."""
    found, journey, totals = plan.found, plan.journey, plan.found.totals
    leads = "lead" in shop.standing().roles_of(signer.subject)
    return MaterialsPaper(
        number=str(plan.number),
        date=shop.today(),
        place=shop.settings.place,
        shop=shop.standing().name,
        address=sender,
        sent_from=_place(journey.legs[0]),
        recipient=recipient,
        sent_to=" via ".join(_place(leg) for leg in reversed(journey.legs[1:])),
        what=_what(plan),
        movement=journey.moves_on,
        purpose=journey.purpose,
        counts=Counts(
            ask=totals.to_ask,
            needed=totals.permits_needed,
            listed=totals.on_a_list,
            listed_mass_mg=totals.listed_wood_mg,
            species=totals.species,
        ),
        rows=tuple(_row(shop, plan, line) for line in found.lines),
        totals="net, as weighed",
        animal_parts=(ANIMAL_PARTS,),
        papers=tuple(_papers(shop, plan)),
        table_compiled=found.table_date.isoformat(),
        newest_source=_newest_source(plan),
        rules=tuple(_rule(line) for line in found.lines if line.row),
        whom_to_ask="; ".join(
            dict.fromkeys(line.ask_whom for line in found.lines if line.ask_whom)
        ),
        host=shop.settings.label_host,
        check=check_character(str(plan.number)),
        signer_badge=signer.badge,
        signer_name=person_name(shop, signer),
        signer_rank="lead builder" if leads else "shipping",
    )


def _place(code: str) -> str:
    return f"{place_words(code)} ({code})"


def _what(plan: Plan) -> str:
    parts = []
    if plan.serials:
        noun = "instrument" if len(plan.serials) == 1 else "instruments"
        parts.append(f"{len(plan.serials)} {noun}, {', '.join(plan.serials)}")
    if plan.boards:
        noun = "piece" if len(plan.boards) == 1 else "pieces"
        parts.append(f"{len(plan.boards)} {noun} of wood, {', '.join(plan.boards)}")
    return "; ".join(parts)


def _row(shop: Shop, plan: Plan, line: Line) -> MaterialRow:
    materials = [m for m in plan.materials if m.taxon == line.taxon]
    known = read_name(line.taxon).name
    origins = dict.fromkeys(m.origin or "not known" for m in materials)
    return MaterialRow(
        species=line.taxon,
        trade_name=known.trade_names[0] if known and known.trade_names else "",
        part=", ".join(line.parts),
        form=line.form.replace("_", " "),
        harvest=", ".join(origins),
        mass_mg=line.mass_mg,
        volume_mm3=None,
        listing=_listing(line),
        answer=line.answer,
        words=_words(shop, line),
    )


def _listing(line: Line) -> str:
    """Return the listing in short; rule and date stand in full further down."""
    if not line.is_listed:
        return "no listing found"
    return line.rule.partition(", text")[0].replace("annotation ", "")


def _words(shop: Shop, line: Line) -> str:
    needed = "; ".join(f"{p.name} from the {p.issuer}" for p in line.documents)
    held = _held(shop, line.evidence)
    return ". ".join(text for text in (line.why.rstrip("."), needed, held) if text)


def _held(shop: Shop, codes: tuple[str, ...]) -> str:
    if not codes:
        return "No paper on file"
    with shop.store.reading() as session:
        papers = [session.get_one(Document, code) for code in codes]
        named = [
            f"{p.paper} {p.number_as_written or ''}".strip() + f" ({p.code})"
            for p in papers
        ]
    return f"On file: {', '.join(named)}"


def _papers(shop: Shop, plan: Plan) -> list[WithThisPage]:
    """Return the papers that should travel along; only what we hold is ticked."""
    wanted = [
        f"{paper.name}, from the {paper.issuer}"
        for line in plan.found.lines
        for paper in line.documents
    ]
    others = [
        f"{paper.name}, from {paper.issuer}"
        for other in plan.found.also
        for paper in other.documents
    ]
    held = [f"owner certificate of {serial}" for serial in plan.serials]
    return [
        *(WithThisPage(text, False) for text in dict.fromkeys([*wanted, *others])),
        *(WithThisPage(text, True) for text in held),
    ]


def _newest_source(plan: Plan) -> str:
    seen = [line.determination.newest_source for line in plan.found.lines]
    known = [day for day in seen if day is not None]
    return min(known).isoformat() if known else "none"


def _rule(line: Line) -> RuleRow:
    said = line.determination
    newest = said.newest_source.isoformat() if said.newest_source else "none"
    return RuleRow(
        row=line.row,
        rule=f"{line.taxon}, {line.form.replace('_', ' ')}: {line.why}",
        source=line.source,
        dates=f"compiled {said.table_date.isoformat()}, newest source {newest}",
    )
