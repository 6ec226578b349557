"""What the shop holds for its wood: from the board to the lot, and to each paper."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import get_args

from sqlmodel import Session

from ledger.acts.builds import find_build
from ledger.acts.law import law_in_force
from ledger.acts.lots import find_lot
from ledger.acts.names import place_from
from ledger.acts.shop import Shop
from ledger.craft.wares import Use as MaterialUse
from ledger.errors import NotFoundError
from ledger.ids import BoardId, LotId
from ledger.serials import Serial
from ledger.trade.consignment import HeldPaper, Shown
from ledger.trade.holding import Holding, Paper
from ledger.trade.movement import is_in_union
from ledger.trade.requirements import Requirement, missing_of, requirements
from ledger.views.boards import (
    AnyBoard,
    Board,
    boards_in,
    boards_named,
    boards_of,
)
from ledger.views.certificates import certificates_of
from ledger.views.family import shares_of_each
from ledger.views.harvests import HarvestNaming, naming_of
from ledger.views.materials import (
    Material,
    MaterialDocument,
    batch_joins,
    papers_of,
)
from ledger.views.orders import BuildOrder
from ledger.views.permits import permit_rows
from ledger.views.plots import plots_of
from ledger.views.usage import batches_in
from ledger.views.wood import Document, Lot, LotDocument, documents_of, joins_of

SAWYER = "the sawyer"
OWNER_BEFORE = "whoever had it before"


@dataclass(frozen=True, slots=True, kw_only=True)
class Traced:
    """Wood of one lot, or a batch, in a thing: by which boards, and what is shown.

    `entries` are those of the boards, `entry` that of the lot.
    """

    code: str  # the lot, or the batch
    what: str  # the part it is, or what it is meant for
    boards: tuple[str, ...]
    species: str
    is_opening: bool
    evidence: str | None  # how the origin of old stock is known, as it was said
    shown: Shown
    held: tuple[HeldPaper, ...]
    asked: tuple[Requirement, ...]
    entries: tuple[int, ...]
    entry: int
    paper_entries: tuple[int, ...]

    @property
    def missing(self) -> tuple[Requirement, ...]:
        """What must be shown and is not."""
        return tuple(missing_of(self.asked))


@dataclass(frozen=True, slots=True, kw_only=True)
class Occasion:
    """When wood is asked about: today, until when things are due, and where it goes.

    until         the words that what is missing is told to be got by
    enters_union  whether it will enter the European Union as wood
    """

    today: date
    until: str = "before it is sold"
    enters_union: bool = False


def shown_by(lot: Lot, papers: Sequence[HeldPaper]) -> Shown:
    """Return how the origin of a lot is shown.

    What came in by the day's entry stands in the shop's own book; a paper on file is
    better. Old stock is shown as was said when it was entered, and an invoice that
    nobody filed is somebody's word.
    """
    if not lot.is_opening:
        return "document" if papers else "diary"
    if lot.evidence == "invoice":
        return "document" if papers else "witness"
    return "diary" if lot.evidence == "diary" else _word(lot.evidence)


def held_paper(paper: Document) -> HeldPaper:
    """Return a paper on file, as it was filed."""
    return HeldPaper(
        document=paper.code,
        paper=paper.paper,
        number=paper.number_as_written or "",
        issued_on=_day(paper.issued_on) if paper.issued_on else None,
        expires_on=_day(paper.expires_on) if paper.expires_on else None,
    )


def held_papers(session: Session, lot: str) -> tuple[HeldPaper, ...]:
    """Return the papers on file for a lot, as they were filed."""
    return tuple(held_paper(paper) for paper in documents_of(session, lot))


def evidence_of(
    shop: Shop, code: LotId | BoardId | Serial, *, to: str = ""
) -> tuple[Traced, ...]:
    """Tell what is held for a lot, a board, a set or an instrument, lot by lot.

    to  a country that it will go to as wood, in two letters or by name

    Raises NotFoundError where it was never recorded, RefusedError for no country.
    """
    today = _day(shop.today())
    # An instrument is no wood of chapter 44, and brings no plots.
    enters = not isinstance(code, Serial) and _is_to_union(to, today)
    with shop.store.reading() as session:
        if isinstance(code, LotId):
            return (_whole_lot(session, str(code), today, enters),)
        if isinstance(code, BoardId):
            boards = boards_named(session, str(code))
            if not boards:
                raise NotFoundError(
                    f"there is no board {code}: look at its label again"
                )
            serials = [board.serial for board in boards if board.serial]
            when = _occasion(session, serials, today, enters)
            return tuple(wood_of(session, boards, when))
        build = find_build(session, str(code))
        when = _occasion(session, [build.serial], today, enters)
        wood = list(wood_of(session, boards_in(session, build.serial), when))
        batches = batches_in(session, [build.serial], get_args(MaterialUse))
        wood += [of_batch(session, batch, when) for batch in batches if batch.species]
        return tuple(wood)


def holding_of(session: Session, lot: Lot) -> Holding:
    """Return what is on record of a lot, as the requirements look at it."""
    papers, joins = documents_of(session, lot.code), joins_of(session, lot.code)
    naming, plots = naming_of(session, lot.code), plots_of(session, lot.code)
    filed = session.get_one(Document, plots.document) if plots else None
    return Holding(
        code=lot.code,
        species=lot.species,
        form=lot.form,
        origin=lot.harvested_in,
        may_be_from=tuple(lot.may_be_from.split()),
        named_in=naming.idx if naming else None,
        came_in=_day(lot.received_on),
        shown=shown_by(lot, held_papers(session, lot.code)),
        entry=lot.idx,
        asked_of=OWNER_BEFORE if lot.supplier is None else SAWYER,
        papers=tuple(
            _later(_paper(session, paper), joins[paper.code], lot.idx, naming)
            for paper in papers
        ),
        plots=_paper(session, filed) if filed else None,
        law=law_in_force(session),
    )


def batch_holding(session: Session, batch: Material) -> Holding:
    """Return what is on record of a batch of shell or bone."""
    papers = _documents_of_batch(session, batch.batch)
    joins, naming = batch_joins(session, batch.batch), naming_of(session, batch.batch)
    return Holding(
        code=batch.batch,
        species=str(batch.species),
        form="inlay" if batch.use == "shell" else "part",
        origin=batch.harvested_in,
        may_be_from=tuple(batch.may_be_from.split()),
        named_in=naming.idx if naming else None,
        came_in=_day(batch.received_on),
        shown="document" if papers else "diary",
        entry=batch.idx,
        asked_of="whoever sold it",
        papers=tuple(
            _later(_paper(session, paper), joins[paper.code], batch.idx, naming)
            for paper in papers
        ),
        law=law_in_force(session),
    )


def wood_of(
    session: Session, boards: Sequence[Board], when: Occasion
) -> Iterator[Traced]:
    """Yield what is held for the lots that boards are of, each lot once."""
    shares = shares_of_each(session, [board.code for board in boards])
    held: dict[str, list[Board]] = defaultdict(list)
    for board in boards:
        for share in shares[board.code]:
            held[share].append(board)
    for code, of_it in held.items():
        yield of_lot(session, session.get_one(Lot, code), of_it, when)


def of_lot(
    session: Session, lot: Lot, boards: Sequence[AnyBoard], when: Occasion
) -> Traced:
    """Tell what is held for a lot, and by which of its boards it is asked about."""
    held = holding_of(session, lot)
    what = ", ".join(dict.fromkeys(board.part or board.meant_for for board in boards))
    return Traced(
        code=lot.code,
        what=what or lot.form,
        boards=tuple(board.code for board in boards),
        species=lot.species,
        is_opening=lot.is_opening,
        evidence=lot.evidence,
        shown=held.shown,
        held=held_papers(session, lot.code),
        asked=_asked(held, when),
        entries=tuple(dict.fromkeys(board.idx for board in boards)),
        entry=held.entry,
        paper_entries=tuple(n for paper in held.papers for n in paper.entries),
    )


def of_batch(session: Session, batch: Material, when: Occasion) -> Traced:
    """Tell what is held for a batch of shell or bone."""
    held = batch_holding(session, batch)
    papers = _documents_of_batch(session, batch.batch)
    return Traced(
        code=batch.batch,
        what=f"{batch.what} ({batch.use})",
        boards=(),
        species=str(batch.species),
        is_opening=False,
        evidence=None,
        shown=held.shown,
        held=tuple(held_paper(paper) for paper in papers),
        asked=_asked(held, when),
        entries=(),
        entry=held.entry,
        paper_entries=tuple(n for paper in held.papers for n in paper.entries),
    )


def _whole_lot(session: Session, code: str, today: date, enters: bool) -> Traced:
    lot = find_lot(session, code)
    boards = boards_of(session, code)
    serials = [board.serial for board in boards if board.serial]
    return of_lot(session, lot, (), _occasion(session, serials, today, enters))


def _asked(held: Holding, when: Occasion) -> tuple[Requirement, ...]:
    return requirements(
        held, today=when.today, until=when.until, enters_union=when.enters_union
    )


def _occasion(
    session: Session, serials: Sequence[str], today: date, enters: bool
) -> Occasion:
    due = _promised(session, serials)
    return Occasion(today=today, until=until_words(due, today), enters_union=enters)


def _is_to_union(to: str, today: date) -> bool:
    return bool(to) and is_in_union(place_from(to), today)


def _promised(session: Session, serials: Sequence[str]) -> str | None:
    """Return the first day that any of several instruments is promised for.

    One that has its certificate is done, and is promised for no day any more.
    """
    orders = [
        session.get(BuildOrder, serial)
        for serial in serials
        if not certificates_of(session, serial)
    ]
    return min((each.due for each in orders if each and each.due), default=None)


def until_words(due: str | None, today: date) -> str:
    """Say until when what is missing has to be there, by the day it is promised for."""
    if due is None:
        return "before it is sold"
    is_past = due < today.isoformat()
    return f"at once, for it was promised for {due}" if is_past else f"until {due}"


def _documents_of_batch(session: Session, batch: str) -> list[Document]:
    return [session.get_one(Document, code) for code in papers_of(session, batch)]


def _paper(session: Session, paper: Document) -> Paper:
    woods = [row.species for row in permit_rows(session, paper.code)]
    return Paper(
        code=paper.code,
        paper=paper.paper,
        number=paper.number_as_written or "",
        issued_on=_day(paper.issued_on) if paper.issued_on else None,
        expires_on=_day(paper.expires_on) if paper.expires_on else None,
        entry=paper.idx,
        woods=tuple(dict.fromkeys(woods)),
    )


def _later(
    paper: Paper,
    join: LotDocument | MaterialDocument,
    came_in: int,
    naming: HarvestNaming | None,
) -> Paper:
    """Return a paper with the entry that joined it, where it came after the wood.

    The country that it gives may have been named in an entry of its own.
    """
    if naming is not None and naming.document == paper.code:
        is_one = " " not in naming.countries
        paper = replace(paper, origin=naming.countries if is_one else None)
    if join.idx == came_in or paper.origin is not None:
        return paper
    origin = join.harvested_in if isinstance(join, LotDocument) else None
    return replace(paper, joined=join.idx, origin=origin)


def _word(evidence: str | None) -> Shown:
    return "witness" if evidence == "witness" else "none"


def _day(text: str) -> date:
    return date.fromisoformat(text)
