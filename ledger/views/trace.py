"""Wood and papers followed both ways: from a serial to the trees, and back.

A trace is a list of lines, each deeper than the one it belongs to. Every line names
the entry it rests on. A piece that is reached twice is named twice, and what became of
it is told once.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from sqlmodel import Session, col, select

from ledger.errors import NotFoundError
from ledger.views.beside import Beside, gone_from, lot_lines
from ledger.views.boards import boards_in, boards_named
from ledger.views.builds import Build, signed_steps
from ledger.views.certificates import certificates_of, owners_of
from ledger.views.corrections import Override
from ledger.views.family import Family, Member, Way, family, firsts_of
from ledger.views.graduations import graduations_of
from ledger.views.people import Person, subject_of_key
from ledger.views.shipments import Shipment, ShippedThing, shipments_of
from ledger.views.wood import (
    Document,
    Lot,
    LotDocument,
    documents_of,
    joins_of,
    lots_with,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing in a trace: how deep, which code, in which words, from which entry.

    `disputed_since` is of a lost entry that is quoted, whose key was reported.
    """

    depth: int
    code: str
    said: str
    entry: int
    disputed_since: int | None = None


def trace(session: Session, code: str) -> list[Line]:
    """Follow a serial, a board, a lot or a document; anything else is not found."""
    if (build := session.get(Build, code)) is not None:
        return list(_of_build(session, build))
    if (lot := session.get(Lot, code)) is not None:
        return [*_of_lot(session, lot, 0), *_from_lot(session, lot, 1)]
    if (document := session.get(Document, code)) is not None:
        return list(_of_document(session, document))
    boards = [board.code for board in boards_named(session, code)]
    if not boards:
        raise NotFoundError(f"there is no {code}: it was never recorded")
    return list(_of_boards(session, boards))


def _of_build(session: Session, build: Build) -> Iterator[Line]:
    yield Line(depth=0, code=build.serial, said=build.model, entry=build.idx)
    boards = [board.code for board in boards_in(session, build.serial)]
    yield from _Walk.over(session, boards, "parents").lines(boards, 1)
    for gone in gone_from(session, build.serial):
        yield Line(depth=1, code=gone.board, said=gone.said, entry=gone.entry)
    steps = signed_steps(session, build.serial)
    badges = {key: _badge(session, key) for key in {step.key for step in steps}}
    for step in steps:
        said = f"{step.step}, {step.meaning} by {badges[step.key]}"
        yield Line(depth=1, code="step", said=said, entry=step.idx)
    for row in graduations_of(session, build.serial):
        said = f"{row.part} gauged at {row.number} places, {row.day}"
        yield Line(depth=1, code="graduation", said=said, entry=row.idx)
    for issued in certificates_of(session, build.serial):
        unsure = "" if issued.prints else ", issued and perhaps not printed"
        by = issued.withdrawn_idx
        ended = f", withdrawn by entry {by}" if by is not None else ""
        said = f"certificate of {issued.issued_on}{unsure}{ended}"
        yield Line(depth=1, code=issued.number, said=said, entry=issued.idx)
    for owner in owners_of(session, build.serial):
        said = f"registered {owner.registered_on}"
        yield Line(depth=1, code="owner", said=said, entry=owner.idx)
    for shipment in shipments_of(session, build.serial):
        yield _shipment_line(shipment, 1)


def _of_boards(session: Session, boards: Sequence[str]) -> Iterator[Line]:
    """Tell where each board came from, and what became of it."""
    before = _Walk.over(session, boards, "parents")
    after = _Walk.over(session, boards, "pieces")
    for code in boards:
        yield from before.lines([code], 0)
        yield from after.lines(after.kin.next_of.get(code, ()), 1)


@dataclass(slots=True, kw_only=True)
class _Walk:
    """A family being told, what stands beside its boards, and who was told already."""

    session: Session
    kin: Family
    way: Way
    firsts: frozenset[str]
    beside: dict[str, list[Line]]
    told: set[str] = field(default_factory=set)
    lots: dict[str, list[Line]] = field(default_factory=dict)

    @classmethod
    def over(cls, session: Session, boards: Sequence[str], way: Way) -> "_Walk":
        kin = family(session, boards, way)
        beside = _beside(session, kin.boards)
        firsts = frozenset(boards)
        return cls(session=session, kin=kin, way=way, firsts=firsts, beside=beside)

    def lines(self, codes: Iterable[str], depth: int) -> Iterator[Line]:
        # A stack and no recursion: an offcut of an offcut may lie any depth down.
        waiting = [(code, depth) for code in reversed(list(codes))]
        while waiting:
            code, here = waiting.pop()
            nexts = self.kin.next_of.get(code, ())
            is_known = code in self.told
            yield self._board_line(code, here, is_known=is_known)
            if is_known:
                continue
            self.told.add(code)
            if code in self.beside:
                yield from _deeper(self.beside[code], here + 1)
            if self.way == "parents" and not nexts:
                yield from self._lot_lines(self.kin.boards[code].lot, here + 1)
            waiting += [(other, here + 1) for other in reversed(nexts)]

    def _board_line(self, code: str, depth: int, *, is_known: bool) -> Line:
        said, entry = _board_words(self.kin.boards[code])
        if self.way == "parents" and code not in self.firsts:
            said = f"came from this: {said}"
        if is_known:
            said = f"{said}, told above"
        return Line(depth=depth, code=code, said=said, entry=entry)

    def _lot_lines(self, code: str, depth: int) -> Iterator[Line]:
        if code not in self.lots:
            lot = self.session.get_one(Lot, code)
            self.lots[code] = list(_of_lot(self.session, lot, 0))
        yield from _deeper(self.lots[code], depth)


def _board_words(board: Member) -> tuple[str, int]:
    """Say what a board is or has become, and by which entry."""
    if board.struck_idx is not None:
        return f"{board.meant_for}, its number was struck", board.struck_idx
    if board.consumed_idx is not None:
        return f"{board.part} of {board.serial}, used up", board.consumed_idx
    if board.serial is not None:
        return f"{board.part} of {board.serial}", board.allotted_idx or board.idx
    if board.off_idx is not None:
        return f"{board.meant_for}, no board any more", board.off_idx
    if board.became_idx is not None:
        return f"{board.meant_for}, made into pieces", board.became_idx
    what = f"offcut for {board.meant_for}" if board.is_offcut else board.meant_for
    return f"{what}, {board.place or 'in the rack'}", board.idx


def _beside(session: Session, boards: dict[str, Member]) -> dict[str, list[Line]]:
    """Tell what became of boards on the way: let through, shipped, let go, lost."""
    beside: dict[str, list[Line]] = defaultdict(list)
    for lot in sorted({board.lot for board in boards.values()}):
        of_lot = f"{lot}-"
        query = select(Override).where(col(Override.board).startswith(of_lot))
        for given in session.exec(query.order_by(col(Override.idx))):
            if given.board in boards:
                beside[given.board].append(_override_line(session, given))
        shipped = (
            select(ShippedThing.code, Shipment)
            .join(Shipment, col(Shipment.number) == col(ShippedThing.shipment))
            .where(col(ShippedThing.code).startswith(of_lot))
        )
        for code, shipment in session.exec(shipped.order_by(col(Shipment.idx))):
            beside[code].append(_shipment_line(shipment, 0))
        for line in lot_lines(session, of_lot):
            beside[line.board].append(_beside_line(line))
    for lines in beside.values():
        lines.sort(key=lambda line: line.entry)
    return beside


def _beside_line(line: Beside) -> Line:
    return Line(depth=0, code=line.what, said=line.said, entry=line.entry)


def _override_line(session: Session, given: Override) -> Line:
    build = session.get(Build, given.serial)
    # Against the model it is other wood, against the house's limits it is too young.
    if build is not None and given.policy == build.model:
        against = f"though it is not what the model {given.policy} asks for"
    else:
        against = f"before it was ready, under the house's limits {given.policy}"
    said = f"let through for {given.serial} {against}, version {given.version}"
    return Line(depth=0, code="override", said=said, entry=given.idx)


def _deeper(lines: Iterable[Line], depth: int) -> Iterator[Line]:
    for line in lines:
        below = line.depth + depth
        yield Line(depth=below, code=line.code, said=line.said, entry=line.entry)


def _of_lot(session: Session, lot: Lot, depth: int) -> Iterator[Line]:
    came = "old stock, evidence " + str(lot.evidence) if lot.is_opening else "came in"
    grown = lot.harvested_in or " or ".join(lot.may_be_from.split())
    grew = f", grown in {grown}" if grown else ""
    said = f"{lot.species}{grew}, {came} {lot.received_on}"
    yield Line(depth=depth, code=lot.code, said=said, entry=lot.idx)
    joins = joins_of(session, lot.code)
    for document in documents_of(session, lot.code):
        join = joins[document.code]
        came_later = join if join.idx != lot.idx else None
        yield _document_line(document, depth + 1, came_later)


def _of_document(session: Session, document: Document) -> Iterator[Line]:
    yield _document_line(document, 0)
    for lot in lots_with(session, document.code):
        yield from _of_lot(session, lot, 1)
        yield from _from_lot(session, lot, 2)


def _from_lot(session: Session, lot: Lot, depth: int) -> Iterator[Line]:
    """Tell what became of a lot: its boards, and under each of them its pieces."""
    boards = firsts_of(session, lot.code)
    yield from _Walk.over(session, boards, "pieces").lines(boards, depth)


def _badge(session: Session, key: str) -> str:
    subject = subject_of_key(session, key)
    person = session.get(Person, subject) if subject else None
    return f"badge {person.badge}" if person else f"key {key}"


def _document_line(
    document: Document, depth: int, came_later: LotDocument | None = None
) -> Line:
    """Name a paper; one that was joined to its lot later rests on the entry of that."""
    number = f" {document.number_as_written}" if document.number_as_written else ""
    said, entry = f"{document.paper}{number}", document.idx
    if came_later is not None:
        grew = came_later.harvested_in
        said += ", joined later" + (f", which says grown in {grew}" if grew else "")
        entry = came_later.idx
    return Line(depth=depth, code=document.code, said=said, entry=entry)


def _shipment_line(shipment: Shipment, depth: int) -> Line:
    said = f"planned to {shipment.to}, moves {shipment.moves_on}"
    return Line(depth=depth, code=shipment.number, said=said, entry=shipment.idx)
