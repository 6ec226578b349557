"""The way of each wood in a shipment, from the record to its chain of custody."""

from collections.abc import Iterator

from sqlmodel import Session

from labels.custody_facts import Chain, Stage, Step, chain
from ledger.acts.shop import Shop
from ledger.acts.suppliers import SUPPLIER_NAME
from ledger.trade.consignment import Consignment, HeldPaper, Item, Shown
from ledger.trade.due_diligence import Contact
from ledger.trade.forms.sharing import paper_words
from ledger.trade.movement import place_name
from ledger.views.boards import Board
from ledger.views.certificates import Certificate
from ledger.views.materials import Material
from ledger.views.wood import Lot, Supplier

# Papers that say where wood grew, the best first, as words in their names.
OF_ORIGIN = ("export permit", "certificate of origin", "permit", "certificate")


def chains(shop: Shop, session: Session, consignment: Consignment) -> list[Chain]:
    """Return the way of each item, in the order of the shipment."""
    return [
        chain(item, list(_steps(shop, session, consignment, item)))
        for item in consignment.items
    ]


def suppliers_of(shop: Shop, session: Session, lots: set[str]) -> dict[str, Contact]:
    """Return by lot who sent it, where the sawyer may be named.

    Address and e-mail are not on record, and are asked for.
    """
    found = {}
    for code in sorted(lots):
        lot = session.get(Lot, code)
        sawyer = session.get(Supplier, lot.supplier) if lot and lot.supplier else None
        name = _name(shop, sawyer) if sawyer else ""
        if sawyer is not None and name:
            found[code] = Contact(name=name, country=sawyer.country or "")
    return found


def _steps(
    shop: Shop, session: Session, consignment: Consignment, item: Item
) -> Iterator[Step]:
    for code in item.lots:
        lot, batch = session.get(Lot, code), session.get(Material, code)
        if lot is not None:
            yield from _of_lot(shop, session, item, lot)
        elif batch is not None:
            yield _came(item, batch.batch, batch.received_on, batch.idx)
            yield from _sawn(shop, session, batch.supplier, item.shown)
    if not item.lots:
        yield from _grew(item, None)
    for code in item.boards:
        board = session.get_one(Board, code)
        yield _known("board", code, "", board.idx)
        if board.allotted_idx is not None:
            yield _known("part", item.part, "", board.allotted_idx)
    if not item.boards or not any(session.get_one(Board, c).part for c in item.boards):
        yield _known(
            "part", item.part, "", None, "diary" if item.boards else item.shown
        )
    yield _goes(session, consignment, item)


def _of_lot(shop: Shop, session: Session, item: Item, lot: Lot) -> Iterator[Step]:
    yield from _grew(item, lot.idx)
    yield from _sawn(shop, session, lot.supplier, item.shown)
    yield _came(item, lot.code, lot.received_on, lot.idx)


def _grew(item: Item, entry: int | None) -> Iterator[Step]:
    if item.origin:
        paper = _best(item.held)
        shown: Shown = item.shown if entry is not None or paper else "none"
        said = f"{place_name(item.origin)} ({item.origin})"
        yield Step("grew", said, "", paper, entry, shown)


def _sawn(
    shop: Shop, session: Session, subject: str | None, shown: Shown
) -> Iterator[Step]:
    sawyer = session.get(Supplier, subject) if subject else None
    if sawyer is not None:
        region = sawyer.region or sawyer.country
        words = f"a sawyer of {region}" if region else "known to the maker"
        said = _name(shop, sawyer) or words
        yield Step("sawn", said, "", "", sawyer.idx, shown)


def _came(item: Item, code: str, day: str, entry: int) -> Step:
    papers = ", ".join(paper_words(paper) for paper in item.held[:1])
    return Step("lot", code, day, papers, entry, item.shown)


def _goes(session: Session, consignment: Consignment, item: Item) -> Step:
    thing = next(each for each in consignment.things if each.code == item.thing)
    issued = session.get(Certificate, thing.certificate) if thing.certificate else None
    if issued is not None:
        said = f"{thing.code}, certificate {issued.number}"
        return _known("thing", said, issued.issued_on, issued.idx)
    return _known("thing", thing.code, "", None, "diary" if item.boards else item.shown)


def _known(
    stage: Stage, said: str, day: str, entry: int | None, shown: Shown = "diary"
) -> Step:
    """Return a step that stands in the shop's own book."""
    return Step(stage, said, day, "", entry, shown)


def _best(held: tuple[HeldPaper, ...]) -> str:
    """Return the paper that says best where it grew, in words, or nothing."""
    for words in OF_ORIGIN:
        for paper in held:
            if words in paper.paper.casefold():
                return paper_words(paper)
    return ""


def _name(shop: Shop, sawyer: Supplier) -> str:
    """Return a sawyer's name where it may be shown and was not erased."""
    if sawyer.shown != "by-name":
        return ""
    opening = shop.vault.get(sawyer.subject, SUPPLIER_NAME)
    return opening.value if opening else ""
