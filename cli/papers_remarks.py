"""What a certificate says plainly: old stock, glued wood, rules overridden, mistakes.

Each remark names its entry. Why a lead let a rule go, or struck an entry, is kept in
the vault and stays with the shop: a reason may name somebody.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Any

from sqlmodel import Session, col, select

from cli.papers_life import life_remarks
from cli.papers_reasons import reasons_in
from labels.certificate import Remark
from labels.terms import in_a_row
from labels.tongue import Tongue, term
from ledger.acts.closing import wood_at
from ledger.events import CertificateIssued
from ledger.log.entry import Entry
from ledger.views.boards import Board, Cut, parents_of, set_of
from ledger.views.builds import Build
from ledger.views.corrections import Correction, Override
from ledger.views.family import family, lots_of
from ledger.views.said import entry_said
from ledger.views.wood import Lot

PARTS_NAMED = 4  # in one remark; more are counted
# What is told of a struck entry; where a board lay, and its pictures, changed nothing.
STRUCK = {
    "board.measured": term("sizes of {board}"),
    "board.weighed": term("a weighing of {board}"),
    "board.tapped": term("a tap of {board}"),
    "board.allotted": term("{board} as its {part}"),
    "build.step-signed": term("{step} ({meaning})"),
}


def remarks_of(
    session: Session, event: CertificateIssued, as_of: int, say: Tongue
) -> tuple[Remark, ...]:
    """Return what must be said of an instrument and its wood, the oldest first."""
    wood = _wood(session, event.serial, as_of)
    found = [
        *_old_stock(session, event, say),
        *_glued(session, wood, say),
        *_overridden(session, wood, event.serial, as_of, say),
        *_struck(session, event.serial, as_of, say),
        *life_remarks(session, event, as_of, say),
    ]
    return tuple(sorted(found))


def _wood(session: Session, serial: str, as_of: int) -> list[tuple[str, Board]]:
    """Return the parts of an instrument as they were, each with its board."""
    stays = wood_at(session, serial, as_of)
    return [(stay.part, session.get_one(Board, stay.board)) for stay in stays]


def _old_stock(
    session: Session, event: CertificateIssued, say: Tongue
) -> Iterator[Remark]:
    """Say which parts are of old stock, once a lot, and how its origin is known."""
    parts: dict[str, dict[str, None]] = defaultdict(dict)
    for material in event.materials:
        if material.opening:
            parts[material.lot][say(material.part)] = None
    for code, names in parts.items():
        lot = session.get_one(Lot, code)
        text = say("{parts}: old stock, entered late; origin not proved")
        if lot.evidence and lot.evidence != "none":
            text = say("{parts}: old stock, entered late; origin known by {evidence}")
        known = say(lot.evidence) if lot.evidence else None
        text = text.format(parts=in_a_row(list(names), say), evidence=known)
        yield Remark(lot.received_on, lot.idx, text)


def _glued(
    session: Session, wood: Sequence[tuple[str, Board]], say: Tongue
) -> Iterator[Remark]:
    """Say which parts are glued; of several woods, whose grams are reckoned."""
    for part, board in wood:
        parents = parents_of(session, board.code)
        if is_glued(session, board):
            text = say("{part}: {board} was glued from {boards}")
            if len(lots_of(session, board.code)) > 1:
                text = say(
                    "{part}: {board} was glued from {boards}; each wood has the share "
                    "of the grams that went into the joint"
                )
            text = text.format(
                part=say(part), board=board.code, boards=in_a_row(parents, say)
            )
            yield Remark(
                entry_said(session, board.idx).happened_at[:10], board.idx, text
            )


def is_glued(session: Session, board: Board) -> bool:
    """Tell whether a board came out of the clamps, and not off the saw."""
    made = bool(parents_of(session, board.code))
    return made and session.get(Cut, board.idx) is None


def _overridden(
    session: Session,
    wood: Sequence[tuple[str, Board]],
    serial: str,
    as_of: int,
    say: Tongue,
) -> Iterator[Remark]:
    """Say which wood was let through against a rule; a set's halves in one."""
    parts = {board.code: part for part, board in wood}
    model = session.get_one(Build, serial).model
    query = select(Override).where(
        col(Override.serial) == serial, col(Override.idx) <= as_of
    )
    given: dict[tuple[str, str, bool], list[Entry]] = defaultdict(list)
    for row in session.exec(query.order_by(col(Override.idx))):
        if row.board in parts:
            entry = entry_said(session, row.idx)
            against = reasons_in(entry.event["against"], say).replace("'", "’")
            is_young = entry.event["policy"] != model
            given[entry.happened_at[:10], against, is_young].append(entry)
    for (day, against, is_young), entries in given.items():
        of_parts = [parts[entry.event["board"]] for entry in entries]
        codes = list(dict.fromkeys(set_of(entry.event["board"]) for entry in entries))
        text = _let_through(of_parts, codes, say, is_young=is_young)
        text = text.format(
            part=say(of_parts[0]),
            board=codes[0],
            parts=_parts_in_words(of_parts, say),
            model=model,
            against=against,
        )
        if len(entries) > 1:
            numbers = in_a_row([str(entry.index) for entry in entries], say)
            text = say("{text} (entries {numbers})").format(text=text, numbers=numbers)
        yield Remark(day, entries[0].index, text)


def _let_through(
    parts: Sequence[str], codes: Sequence[str], say: Tongue, *, is_young: bool
) -> str:
    """Return in what words parts were let through; they still want their blanks."""
    if len(codes) == 1 or len(set(parts)) == 1:
        if is_young:
            return say("{part}: {board} was let through before it was ready: {against}")
        return say("{part}: {board} was let through against {model}: {against}")
    if is_young:
        return say("{parts}: let through before they were ready: {against}")
    return say("{parts}: let through against {model}: {against}")


def _parts_in_words(parts: Sequence[str], say: Tongue) -> str:
    """Return the names of a few parts, or how many they are."""
    names = list(dict.fromkeys(say(part) for part in parts))
    if len(names) > PARTS_NAMED:
        return say("{number} parts").format(number=len(names))
    return in_a_row(names, say)


def _struck(session: Session, serial: str, as_of: int, say: Tongue) -> Iterator[Remark]:
    """Say which entries about the instrument or its wood were struck as mistakes."""
    codes = [board.code for _, board in _wood(session, serial, as_of)]
    wood = family(session, codes, "parents").boards
    query = select(Correction).where(col(Correction.idx) <= as_of)
    for row in session.exec(query.order_by(col(Correction.idx))):
        entry = entry_said(session, row.struck)
        body, words = entry.event, STRUCK.get(entry.kind.partition("/")[0])
        is_ours = body.get("serial") == serial or body.get("board") in wood
        if words and is_ours:
            text = say("{what}, entry {entry}, was struck: a mistake").format(
                what=_struck_words(words, body, say), entry=row.struck
            )
            day = entry_said(session, row.idx).happened_at[:10]
            yield Remark(day, row.idx, text)


def _struck_words(words: str, body: dict[str, Any], say: Tongue) -> str:
    """Return in words what a struck entry said; codes are the same in any language."""
    told = {
        name: say(body[name]) if name in body else ""
        for name in ("part", "step", "meaning")
    }
    return say(words).format(board=body.get("board", ""), **told)
