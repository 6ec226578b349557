"""The way of each wood in a shipment, from the record to its chain of custody."""

from collections.abc import Iterator, Sequence

from sqlmodel import Session

from labels.custody_facts import Chain, Stage, Step, chain, told_once
from ledger.acts.disputes import disputed_at
from ledger.acts.holds import holds_on
from ledger.acts.shop import Shop
from ledger.acts.suppliers import SUPPLIER_NAME
from ledger.trade.consignment import Consignment, Item, Shown
from ledger.trade.due_diligence import Contact
from ledger.trade.forms.sharing import paper_words
from ledger.trade.movement import one_of_places, place_name, place_words
from ledger.trade.paperkinds import OF_ORIGIN, kinds_of
from ledger.views.boards import Board, boards_named, set_of
from ledger.views.certificates import Certificate
from ledger.views.harvests import naming_of
from ledger.views.materials import Material
from ledger.views.usage import uses_of_batch
from ledger.views.wood import Lot, Supplier

KNOWN = "known to the maker"
IN_DISPUTE = "disputed: ask the maker"


def chains(shop: Shop, session: Session, consignment: Consignment) -> list[Chain]:
    """Return the way of each item, in the order of the shipment, like ones as one."""
    told, standing = [], shop.standing()
    for each in consignment.items:
        doubts, steps = _doubts(session, each), []
        for step in _steps(shop, session, consignment, each):
            entries = [] if step.entry is None else [step.entry]
            is_disputed = bool(disputed_at(session, standing, entries))
            steps.append(_in_doubt(_in_dispute(step) if is_disputed else step, doubts))
        told.append(chain(each, steps))
    return told_once(told)


def _in_dispute(step: Step) -> Step:
    """Return a step that says so before its paper; it is shown as it was."""
    papers = "; ".join(filter(None, (IN_DISPUTE, step.document)))
    return step.as_shown._replace(document=papers)


def _doubts(session: Session, item: Item) -> str:
    """Say what of an item is in doubt: its papers that do not count, then its wood."""
    papers = {each.paper.document: each for each in item.doubted}
    holds = holds_on(session, boards=item.boards, lots=item.lots, papers=papers)
    said = [f"HOLD {each.hold}: {paper_words(each.paper)}" for each in item.doubted]
    known = {each.hold for each in item.doubted}
    others = (hold.hold for hold in holds if hold.hold not in known)
    return "; ".join([*said, *(f"HOLD {hold}" for hold in others)])


def _in_doubt(step: Step, doubts: str) -> Step:
    """Return a step with the doubt beside the papers by which the wood came in."""
    if step.stage != "lot" or not doubts:
        return step
    return step._replace(document="; ".join(filter(None, (doubts, step.document))))


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
            yield from _grew(item, _said_in(session, batch, batch.batch))
            yield _came(item, batch.batch, batch.received_on, batch.idx)
            yield from _supplied(shop, session, batch.supplier, item.shown)
    if not item.lots:
        yield from _grew(item, None)
        yield from _described(item)
    boards = [session.get_one(Board, code) for code in item.boards]
    yield from (
        _known("board", _numbered(session, item, board), "", board.idx)
        for board in boards
    )
    yield from _became(session, item, boards)
    yield _goes(session, consignment, item, boards)


def _of_lot(shop: Shop, session: Session, item: Item, lot: Lot) -> Iterator[Step]:
    yield from _grew(item, _said_in(session, lot, lot.code))
    yield from _supplied(shop, session, lot.supplier, item.shown)
    yield _came(item, lot.code, lot.received_on, lot.idx)


def _numbered(session: Session, item: Item, board: Board) -> str:
    """Return a board's code, or that of its set where both halves are in the part."""
    whole = set_of(board.code)
    halves = boards_named(session, whole)
    is_whole = len(halves) > 1 and all(
        (half.serial, half.part) == (item.thing, board.part) for half in halves
    )
    return whole if is_whole else board.code


def _said_in(session: Session, wood: Lot | Material, code: str) -> int | None:
    """Return the entry that says where it was harvested, or may have been."""
    naming = naming_of(session, code)
    return wood.harvested_idx or (naming.idx if naming else None)


def _grew(item: Item, entry: int | None) -> Iterator[Step]:
    if item.origin:
        said = f"{place_name(item.origin)} ({item.origin})"
        yield Step("grew", said, "", _of_origin(item), entry, item.shown)
    elif item.may_be_from:
        # One of several is not known: it is a gap until somebody says which.
        said = f"one of {one_of_places(item.may_be_from)}; ask which"
        yield Step("grew", said, "", "", entry, "none")


def _supplied(
    shop: Shop, session: Session, subject: str | None, shown: Shown
) -> Iterator[Step]:
    """Yield from whom it came; who felled or sawed it is not on record."""
    supplier = session.get(Supplier, subject) if subject else None
    if supplier is not None:
        said = _name(shop, supplier) or _unnamed(supplier)
        yield Step("supplied", said, "", "", supplier.idx, shown)


def _unnamed(supplier: Supplier) -> str:
    """Say of whoever may not be named what may be told: the region, or the country.

    Of one who did not agree to so much nothing is told.
    """
    if supplier.shown == "known-to-maker":
        return KNOWN
    if supplier.region:
        return f"a supplier ({supplier.region})"
    if supplier.country:
        return f"a supplier in {place_words(supplier.country)}"
    return KNOWN


def _described(item: Item) -> Iterator[Step]:
    """Yield what came from elsewhere, as described, with every paper filed for it."""
    if item.held or item.doubted:
        papers = ", ".join(map(paper_words, item.held))
        day = item.acquired.isoformat() if item.acquired else ""
        yield Step("lot", "as described", day, papers, None, item.shown)


def _came(item: Item, code: str, day: str, entry: int) -> Step:
    papers = ", ".join(paper_words(paper) for paper in item.held[:1])
    return Step("lot", code, day, papers, entry, item.shown)


def _became(session: Session, item: Item, boards: Sequence[Board]) -> Iterator[Step]:
    """Yield which part it is of, by the entry that gave it to one or says what for."""
    allotted = [board for board in boards if board.part and board.allotted_idx]
    for board in allotted:
        yield _known("part", item.part, "", board.allotted_idx)
    if allotted:
        return
    if boards:
        yield _known("part", item.part, "", boards[0].idx)
        return
    used = [
        use.idx
        for code in item.lots
        for use in uses_of_batch(session, code)
        if use.serial == item.thing
    ]
    # Nobody here saw what was made elsewhere: no entry, and no paper says so.
    yield _known("part", item.part, "", next(iter(used), None))


def _goes(
    session: Session, consignment: Consignment, item: Item, boards: Sequence[Board]
) -> Step:
    thing = next(each for each in consignment.things if each.code == item.thing)
    issued = session.get(Certificate, thing.certificate) if thing.certificate else None
    if issued is not None:
        said = f"{thing.code}, certificate {issued.number}"
        return _known("thing", said, issued.issued_on, issued.idx)
    if boards:
        return _known("thing", thing.code, "", boards[0].idx)
    # What was not made here goes as whoever sends it describes it.
    return _known("thing", thing.code, "", None, "witness")


def _known(
    stage: Stage, said: str, day: str, entry: int | None, shown: Shown = "diary"
) -> Step:
    """Return a step that stands in the shop's own book."""
    return Step(stage, said, day, "", entry, shown)


def _of_origin(item: Item) -> str:
    """Return the paper that says best where it grew, in words, or nothing.

    A permit that was issued after the wood came in let other wood go.
    """
    for kind in OF_ORIGIN:
        for paper in item.held:
            is_late = (
                item.acquired is not None
                and paper.issued_on is not None
                and paper.issued_on > item.acquired
            )
            if kind in kinds_of(paper.paper) and not is_late:
                return paper_words(paper)
    return ""


def _name(shop: Shop, sawyer: Supplier) -> str:
    """Return a sawyer's name where it may be shown and was not erased."""
    if sawyer.shown != "by-name":
        return ""
    opening = shop.vault.get(sawyer.subject, SUPPLIER_NAME)
    return opening.value if opening else ""
