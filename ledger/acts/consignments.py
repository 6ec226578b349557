"""A planned shipment made ready for its papers: every piece with what is known of it.

    consignment_of(shop, planned(shop, "X26-0001"), head=head_now(shop), …)

It is looked up afresh, as the plan is; whatever a paper prints stands in it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal, cast

from sqlmodel import Session

from ledger.acts.described import PIECE
from ledger.acts.evidence import batch_holding, held_paper, shown_by
from ledger.acts.holds import by_paper, holds_on
from ledger.acts.shipments import Journey, Plan
from ledger.acts.shop import Shop
from ledger.errors import NotFoundError, RefusedError
from ledger.events import CertificateIssued, codec
from ledger.events.shipment import Answer
from ledger.log.checkpoint import Checkpoint
from ledger.trade.consignment import (
    Ask,
    Consignment,
    Doubted,
    HeldPaper,
    Item,
    Party,
    Shown,
    Thing,
)
from ledger.trade.documents import Document as Needed
from ledger.trade.documents import office_words
from ledger.trade.edition import tables_sha256
from ledger.trade.law import Law
from ledger.trade.listings import first_listing
from ledger.trade.movement import UNION, is_in_union, place_for, place_name
from ledger.trade.names import read_name
from ledger.trade.shipment import Line, Material
from ledger.trade.tables import Annotation
from ledger.trade.ways import ends_of, receiving
from ledger.views.boards import Board
from ledger.views.certificates import certificates_of
from ledger.views.materials import Material as Batch
from ledger.views.said import entry_said
from ledger.views.wood import Document, Lot

# What stands on an instrument that nobody can change without its being seen.
MARKED = "serial {serial}, stamped on the back of the headstock and on the neck block"
LABELLED = "code {code} on its label"
# The source code of what was acquired before its first listing.
PRE_CONVENTION = "O"
# Countries that bear the name of a State in another: Georgia.
STATES = {"GE": "US"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Addressed:
    """Who sends and who receives, as typed for the paper; it is not recorded."""

    sender: str = ""
    recipient: str = ""


def consignment_of(
    shop: Shop, plan: Plan, *, head: Checkpoint, addressed: Addressed
) -> Consignment:
    """Return a planned shipment as its papers show it, under a head of the log."""
    if plan.number is None:
        raise RefusedError("only what was planned has papers: plan it first")
    journey, law = plan.journey, plan.law
    with shop.store.reading() as session:
        items = tuple(
            i for line in plan.found.lines for i in _items(session, line, law)
        )
        things = tuple(_things(session, plan))
    seen = [line.determination.newest_source for line in plan.found.lines]
    known = [day for day in seen if day is not None]
    name = shop.standing().name
    return Consignment(
        number=plan.number,
        printed_on=date.fromisoformat(shop.today()),
        moves_on=date.fromisoformat(journey.moves_on),
        legs=journey.legs,
        purpose=journey.purpose,
        owner_changes=journey.owner_changes,
        sender=_party(f"{name}\n{addressed.sender}", journey.legs[0]),
        recipient=recipient_of(addressed.recipient, journey),
        things=things,
        items=items,
        hts_number=journey.hts_number or "",
        table_date=plan.found.table_date,
        newest_source=min(known, default=None),
        edition=tables_sha256(law),
        ask_first=tuple(_ask_first(plan)),
        size=head.size,
        root=head.root.hex(),
    )


def recipient_of(text: str, journey: Journey) -> Party:
    """Read who receives, and in which country.

    It is the one whose name ends the address, if the journey leads there; else the end
    of the journey, or the one country abroad that it comes home from. Of several it is
    none. An address that ends in another country is refused.
    """
    legs, moves_on = journey.legs, date.fromisoformat(journey.moves_on)
    who = _party(text, receiving(legs, moves_on))
    named = _country_named(who.address[-1:])
    if not named or _is_a_state(named, legs):
        return who
    if not _leads_to(named, legs, moves_on):
        ends = " or ".join(place_name(end) for end in ends_of(legs, moves_on))
        raise RefusedError(
            f"the recipient's address ends in {place_name(named)}, and the shipment "
            f"goes to {ends}: correct --recipient, or plan the shipment again"
        )
    return replace(who, address=who.address[:-1], country=named)


def _leads_to(country: str, legs: tuple[str, ...], day: date) -> bool:
    """Tell whether a way leads to a country, or to the Union that it is a member of."""
    is_member = UNION in legs[1:] and is_in_union(country, day)
    return country in legs[1:] or is_member


def _is_a_state(country: str, legs: tuple[str, ...]) -> bool:
    """Tell whether a name is that of a State in a country that a way leads to."""
    return STATES.get(country) in legs[1:] and country not in legs[1:]


def _country_named(lines: tuple[str, ...]) -> str:
    """Return the country that a line names, or nothing.

    Two letters may as well be a state, as CA is California, and are no name here.
    """
    for line in lines:
        name = line.rstrip(".").casefold().removeprefix("the ")
        code = place_for(name) if len(name) > len("CA") or name == "uk" else None
        if code is not None:
            return code
    return ""


def _party(text: str, country: str) -> Party:
    """Read a name and an address, in lines or with commas between."""
    lines = [line.strip() for line in text.replace("\n", ",").split(",")]
    said = [line for line in lines if line]
    return Party(name=said[0] if said else "", address=tuple(said[1:]), country=country)


def _ask_first(plan: Plan) -> Iterator[Ask]:
    """Yield what must be asked before it moves, then what is needed."""
    said = [*(line.determination for line in plan.found.lines), *plan.found.also]
    for answer in ("ask", "needed"):
        for one in said:
            if one.answer == answer:
                yield Ask(
                    law=one.law,
                    taxon=one.taxon,
                    papers=_papers(one.documents),
                    whom=office_words(one.ask_whom),
                    is_needed=answer == "needed",
                )


def _papers(documents: Sequence[Needed]) -> tuple[str, ...]:
    """Name papers; of those that several countries give, tell which country's it is."""
    names = [paper.name for paper in documents]
    return tuple(
        paper.name
        if names.count(paper.name) == 1
        else f"{paper.name} from {office_words(paper.issuer)}"
        for paper in documents
    )


def _items(session: Session, line: Line, law: Law) -> Iterator[Item]:
    listing, text = law.listings.get(line.row), _text(line, law)
    name = read_name(line.taxon, law).name
    kind: Literal["plant", "animal", "unknown"] = "unknown"
    if name is not None:
        kind = "animal" if name.kind == "animal" else "plant"
    for each in line.materials:
        held, doubted = _papers_of(session, each)
        first = first_listing(name, each.origin, law) if name else None
        yield Item(
            thing=each.thing,
            taxon=line.taxon,
            trade_name=name.trade_names[0] if name and name.trade_names else "",
            part=each.part,
            form=line.form,
            pieces=1,
            mass_mg=each.mass_mg,
            volume_mm3=each.volume_mm3,
            origin=each.origin,
            may_be_from=() if each.origin else each.may_be_from,
            acquired=each.acquired,
            shown=_shown(session, each, held, is_doubted=bool(doubted)),
            held=held,
            doubted=doubted,
            lots=() if each.lot.startswith(PIECE) else (each.lot,),
            boards=each.boards,
            kind=kind,
            appendix=listing.appendix if listing and line.is_listed else "",
            annex=listing.eu_annex if listing and line.is_listed else "",
            annotation=text.label if text else "",
            source=PRE_CONVENTION if _is_old(first, each.acquired) else "",
            first_listed=first,
            answer=cast("Answer", line.answer),
            documents=tuple(paper.name for paper in line.documents),
        )


def _text(line: Line, law: Law) -> Annotation | None:
    """Return the text of the annotation that decided a line."""
    marks = line.determination.rows[1:]
    return next((law.annotations[m] for m in marks if m in law.annotations), None)


def _is_old(first_listed: date | None, acquired: date | None) -> bool:
    """Tell whether it was acquired before the first listing in any Appendix."""
    return first_listed is not None and acquired is not None and acquired < first_listed


def _papers_of(
    session: Session, material: Material
) -> tuple[tuple[HeldPaper, ...], tuple[Doubted, ...]]:
    """Return the papers on file that count, and those that are on hold."""
    holds = by_paper(
        holds_on(
            session,
            boards=material.boards,
            lots=(material.lot,),
            papers=material.documents,
        )
    )
    papers = [
        held_paper(session.get_one(Document, code)) for code in material.documents
    ]
    counts = tuple(paper for paper in papers if paper.document not in holds)
    doubted = tuple(
        Doubted(hold=holds[paper.document], paper=paper)
        for paper in papers
        if paper.document in holds
    )
    return counts, doubted


def _shown(
    session: Session,
    material: Material,
    held: tuple[HeldPaper, ...],
    *,
    is_doubted: bool,
) -> Shown:
    """Return how well it is shown whence it came: by papers, our book, word, or not.

    A batch all of whose papers are in doubt is not shown at all.
    """
    lot, batch = session.get(Lot, material.lot), session.get(Batch, material.lot)
    if lot is not None:
        return shown_by(lot, held)
    if batch is not None and (held or not is_doubted):
        return batch_holding(session, batch).shown
    return "document" if held else "none"


def _things(session: Session, plan: Plan) -> Iterator[Thing]:
    for serial in plan.goods.serials:
        yield _instrument(session, serial)
    for code in plan.goods.boards:
        board = session.get_one(Board, code)
        yield Thing(
            code=code,
            what=f"piece of wood for a {board.meant_for}",
            model="",
            made_in=None,
            marks=(LABELLED.format(code=code),),
            certificate="",
            mass_mg=board.mass_mg,
        )
    for piece in {piece.thing: piece for piece in plan.goods.described}.values():
        yield Thing(
            code=piece.thing,
            what=piece.thing,
            model="",
            made_in=None,
            marks=(piece.marks,) if piece.marks else (),
            certificate="",
            mass_mg=None,
        )


def _instrument(session: Session, serial: str) -> Thing:
    """Return an instrument as its newest certificate has it."""
    newest = certificates_of(session, serial)[-1]
    event = codec.parse(entry_said(session, newest.idx).event)
    if not isinstance(event, CertificateIssued):
        raise NotFoundError(f"entry {newest.idx} issues no certificate")
    return Thing(
        code=serial,
        what=event.instrument or "instrument",
        model=event.model,
        made_in=int(event.issued_on[:4]),
        marks=(MARKED.format(serial=serial),),
        certificate=event.number,
        mass_mg=event.mass_mg,
    )
