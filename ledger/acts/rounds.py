"""What somebody on a round holds in the hand: a board, an instrument, a lot, a paper.

A round is one person going from board to board with a scanner and a scale. What is
here is read in one look, and is the moment's truth: acts check again in their turn.
"""

from dataclasses import dataclass, replace
from typing import Literal

from sqlmodel import Session, col, func, or_, select

from ledger.acts.boards import boards_there, require_whole
from ledger.acts.gauges import find_gauge
from ledger.acts.materials import find_batch
from ledger.acts.measuring import species_of
from ledger.acts.names import checked_words
from ledger.acts.resting import joined, readiness
from ledger.acts.roads import next_words, road_of
from ledger.acts.shop import Shop
from ledger.acts.signing import holder_name
from ledger.craft.seasoning import Verdict, ready_words
from ledger.errors import NotFoundError
from ledger.quantities import grams
from ledger.scales import some_of
from ledger.views.allotting import standing_steps
from ledger.views.boards import Board, boards_in, boards_of, set_of
from ledger.views.builds import Build, weighed_parts
from ledger.views.materials import calibrations_of
from ledger.views.measures import weighings_of
from ledger.views.models import plan_of, steps_of
from ledger.views.said import entry_said
from ledger.views.wood import Document, Lot, documents_of, lots_with


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardHeld:
    """A board, or a set of two halves, as it lies in the hand.

    `taken_by` is the entry that allotted it.
    """

    noun: Literal["board"] = "board"
    code: str
    boards: tuple[str, ...]
    meant_for: str
    place: str | None
    serial: str | None
    part: str | None
    taken_by: int | None
    verdict: Verdict
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepHeld:
    """A step of an instrument's route, its number in it, and what was signed of it."""

    number: int
    step: str
    signed: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildHeld:
    """An instrument as its tag lies in the hand: its parts with their wood, its steps.

    `wood` has the boards and the entries that allotted them, by part; of the parts
    `not_weighed` nobody said the finished mass, and `pieces` says of how many a part is
    that is of more than one.
    """

    noun: Literal["instrument"] = "instrument"
    code: str
    parts: tuple[str, ...]
    wood: dict[str, tuple[tuple[str, int], ...]]
    steps: tuple[StepHeld, ...]
    not_weighed: tuple[str, ...]
    pieces: dict[str, int]
    words: str

    @property
    def open_parts(self) -> tuple[str, ...]:
        """The parts that have no wood yet."""
        return tuple(part for part in self.parts if part not in self.wood)

    @property
    def next_step(self) -> StepHeld | None:
        """The first step that nobody has done."""
        return next((step for step in self.steps if "did" not in step.signed), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThingHeld:
    """A lot, a paper, a batch or a gauge, which is looked at."""

    noun: Literal["lot", "document", "batch", "gauge"]
    code: str
    words: str


def look_at_board(shop: Shop, code: str) -> BoardHeld:
    """Return a board, or the set of this code, with all that one line tells.

    Raises NotFoundError where it was never numbered, RefusedError where it is pieces
    by now or its number was struck.
    """
    with shop.store.reading() as session:
        boards = boards_there(session, code)
        for board in boards:
            require_whole(board)
        first = boards[0]
        name = first.code if len(boards) == 1 else code
        verdict = _verdict(shop, session, boards)
        return BoardHeld(
            code=name,
            boards=tuple(board.code for board in boards),
            meant_for=first.meant_for,
            place=first.place,
            serial=first.serial,
            part=first.part,
            taken_by=first.allotted_idx,
            verdict=verdict,
            words=f"{name} {_board_words(session, boards)}; {ready_words(verdict)}",
        )


def weighed_again(shop: Shop, held: BoardHeld) -> BoardHeld:
    """Return a board in hand with its readiness after a weighing.

    Its words stay as they were read; whoever scans it again is told the new ones.
    """
    with shop.store.reading() as session:
        boards = [session.get_one(Board, code) for code in held.boards]
        return replace(held, verdict=_verdict(shop, session, boards))


def look_at_build(shop: Shop, serial: str) -> BuildHeld:
    """Return an instrument by its serial."""
    with shop.store.reading() as session:
        build = session.get(Build, serial)
        if build is None:
            raise NotFoundError(
                f"there is no instrument {serial}: look at the tag again"
            )
        wood: dict[str, tuple[tuple[str, int], ...]] = {}
        for board in boards_in(session, serial):
            row = (board.code, int(board.allotted_idx or 0))
            wood[str(board.part)] = (*wood.get(str(board.part), ()), row)
        plan = plan_of(session, build.model, build.version)
        parts = tuple(each.part for each in plan.parts)
        weighed = weighed_parts(session, serial)
        held = BuildHeld(
            code=serial,
            parts=parts,
            wood=wood,
            steps=_steps(session, build),
            not_weighed=tuple(part for part in parts if part not in weighed),
            pieces={p.part: p.pieces for p in plan.parts if p.pieces is not None},
            words="",
        )
        coming = next_words(road_of(session, build), today=shop.today())
    wanting = f"without wood: {some_of(held.open_parts)}"
    wood_words = wanting if held.open_parts else "every part has its wood"
    words = f"{serial} {build.model}; {wood_words}; {coming}"
    return replace(held, words=words)


def serial_of(shop: Shop, code: str) -> str:
    """Return the serial of the instrument that a body or a neck is of."""
    with shop.store.reading() as session:
        either = or_(col(Build.body) == code, col(Build.neck) == code)
        found = session.exec(select(Build.serial).where(either)).first()
    if found is None:
        raise NotFoundError(
            f"{code} is of no instrument of this shop: look at it again"
        )
    return found


def look_at_lot(shop: Shop, code: str) -> ThingHeld:
    """Return a lot in one line."""
    with shop.store.reading() as session:
        lot = session.get(Lot, code)
        if lot is None:
            raise NotFoundError(
                f"there is no lot {code}: look at the label again, or receive it with "
                f"flitchbook lot receive"
            )
        numbered = len({set_of(board.code) for board in boards_of(session, code)})
        papers = [document.code for document in documents_of(session, code)]
        words = (
            f"{code} {lot.species}, {lot.form}, came in on {lot.received_on}; "
            f"{numbered} of {lot.boards} boards numbered; papers: "
            f"{', '.join(papers) or 'none'}"
        )
    return ThingHeld(noun="lot", code=code, words=words)


def look_at_document(shop: Shop, code: str) -> ThingHeld:
    """Return a paper on file in one line."""
    with shop.store.reading() as session:
        paper = session.get(Document, code)
        if paper is None:
            raise NotFoundError(
                f"there is no document {code}: file it with flitchbook document file"
            )
        lots = ", ".join(lot.code for lot in lots_with(session, code)) or "none"
        dated = f" of {paper.issued_on}" if paper.issued_on else ""
        words = f"{code} {paper.paper}{dated}; for the lots: {lots}"
    return ThingHeld(noun="document", code=code, words=words)


def look_at_batch(shop: Shop, code: str) -> ThingHeld:
    """Return a batch in one line."""
    with shop.store.reading() as session:
        batch = find_batch(session, code)
        good = f", good until {batch.expires_on}" if batch.expires_on else ""
        gone = batch.finished_idx
        left = "" if gone is None else f", finished by entry {gone}"
    words = f"{code} {batch.what}, came in on {batch.received_on}{good}{left}"
    return ThingHeld(noun="batch", code=code, words=words)


def look_at_gauge(shop: Shop, code: str) -> ThingHeld:
    """Return a gauge in one line."""
    with shop.store.reading() as session:
        gauge = find_gauge(session, code)
        done = calibrations_of(session, code)
    newest = done[-1] if done else None
    state = f"{newest.outcome} on {newest.day}" if newest else "never calibrated"
    until = f", until {newest.until}" if newest and newest.until else ""
    words = f"{code} {gauge.what}, for {gauge.measures}; {state}{until}"
    return ThingHeld(noun="gauge", code=code, words=words)


def who_said(shop: Shop, index: int) -> str:
    """Return who said an entry and on which day: Maura Kiely on 2026-01-05."""
    with shop.store.reading() as session:
        entry = entry_said(session, index)
        return f"{holder_name(shop, session, entry.key)} on {entry.at[:10]}"


def known_place(shop: Shop, text: str) -> str | None:
    """Return a place that holds wood already, as it was written first, or None."""
    checked_words("place", text)
    wanted = func.lower(col(Board.place)) == text.strip().lower()
    with shop.store.reading() as session:
        query = select(Board.place).where(wanted).order_by(col(Board.idx)).limit(1)
        return session.exec(query).first()


def _verdict(shop: Shop, session: Session, boards: list[Board]) -> Verdict:
    """Judge every board of a set: it is ready when its last half is."""
    today = shop.today()
    return joined([readiness(session, board, today=today) for board in boards])


def _board_words(session: Session, boards: list[Board]) -> str:
    first = boards[0]
    masses = " and ".join(_mass_words(session, board) for board in boards)
    places = " and ".join(dict.fromkeys(b.place or "no place known" for b in boards))
    said = f"{masses}; {first.meant_for}, {species_of(session, first.code)}; {places}"
    if first.serial is None:
        return said
    return (
        f"{said}; it is the {first.part} of {first.serial}, entry {first.allotted_idx}"
    )


def _mass_words(session: Session, board: Board) -> str:
    weighings = weighings_of(session, board.code)
    if not weighings:
        listed = board.listed_mg
        return f"not weighed{'' if listed is None else f', listed {grams(listed)}'}"
    return f"{grams(weighings[-1].mass_mg)} on {weighings[-1].day}"


def _steps(session: Session, build: Build) -> tuple[StepHeld, ...]:
    signed: dict[str, tuple[str, ...]] = {}
    for row in standing_steps(session, build):
        signed[row.step] = (*signed.get(row.step, ()), row.meaning)
    route = steps_of(session, build.model, build.version)
    return tuple(
        StepHeld(number=n, step=row.step, signed=signed.get(row.step, ()))
        for n, row in enumerate(route, start=1)
    )
