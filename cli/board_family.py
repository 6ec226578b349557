"""flitchbook board family: what saw and glue made of a board, to the gram."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Annotated, Any

import typer

from cli import pictures, show
from cli.context import Desk, reads
from cli.permit_stack import became
from cli.pictures import OutOption, PrintOption
from ledger.errors import NotFoundError, RefusedError
from ledger.scales import half_up, in_a_row

BoardArgument = Annotated[
    str, typer.Argument(help="A board or one half of a set, or its scan.")
]
MOST_MET = 2000


@dataclass(slots=True, kw_only=True)
class _Walk:
    """A family being followed: who is next, how many were met, what it rests on.

    Wood of a board that was glued together again is met once on each way, with its
    share by mass.
    """

    desk: Desk
    session: Any
    next_of: dict[str, tuple[str, ...]]
    met: int = 0
    entries: set[int] = field(default_factory=set)
    tally: dict[str, int] = field(default_factory=dict)
    serials: set[str] = field(default_factory=set)


def add_to(app: typer.Typer) -> None:
    """Add the command to those of the board."""
    reads(app)(family)


def family(
    desk: Desk, board: BoardArgument, out: OutOption = None, queue: PrintOption = ""
) -> None:
    """Tell what saw and glue made of a board: each piece, its mass, and where it is."""
    from ledger.views.boards import boards_named, parents_of
    from ledger.views.family import family as follow
    from ledger.views.wood import Lot

    place = pictures.place(out, queue)
    with desk.shop.store.reading() as session:
        found = boards_named(session, desk.own(board))
        if not found:
            raise NotFoundError(
                f"there is no board {board}: scan its label again, or number it first"
            )
        if len(found) > 1:
            names = " or ".join(each.code for each in found)
            raise RefusedError(
                f"{board} is a set, and each half has its own family: name {names}"
            )
        kin = follow(session, [found[0].code], "pieces")
        walk = _Walk(desk=desk, session=session, next_of=kin.next_of)
        tree = _kin(walk, found[0].code, Fraction(1))
        lot = session.get_one(Lot, found[0].lot)
        came = parents_of(session, found[0].code)
        plot = _plot(walk, tree, lot, came)
    lines = [f"{plot.heading.title}.", f"  {plot.heading.where}", *_lines(tree, 1)]
    lines += pictures.put(plot, place, day=desk.shop.today())
    show.answer(
        desk,
        lines,
        board=tree.code,
        lot=lot.code,
        species=lot.species,
        came_from=came,
        tree=_data(tree),
        entries=sorted(walk.entries),
        picture=str(place.out) if place.out else None,
    )


def _kin(walk: _Walk, code: str, share: Fraction) -> Any:
    """Return a board with all that came of it.

    share  how much of it is of the board that the family begins with, by mass
    """
    from labels.plot_family import Kin
    from ledger.views.boards import Board

    board = walk.session.get_one(Board, code)
    walk.entries.add(board.idx)
    made_mg = _mass_made(walk, board)
    kin = Kin(
        code=code,
        mass_mg=made_mg,
        part_mg=half_up(made_mg * share),
        said=_said(walk, board),
        now_mg=None if board.became_idx is not None else board.mass_mg,
        is_there=board.became_idx is None and not _is_gone(walk, board),
    )
    walk.met += 1
    if walk.met > MOST_MET:
        raise RefusedError(
            f"the family has more than {MOST_MET} members: ask for one of its pieces"
        )
    if board.became_idx is None:
        _count(walk, board, share)
        return kin
    return _with_pieces(walk, board, kin, share)


def _with_pieces(walk: _Walk, board: Any, kin: Any, share: Fraction) -> Any:
    """Return a board with the pieces it became, each with its share of it."""
    from labels.plot_family import Loss
    from ledger.views.boards import Board, Cut, origins_of

    session, by = walk.session, board.became_idx
    walk.entries.add(by)
    rows = [session.get_one(Board, code) for code in walk.next_of.get(board.code, ())]
    made = [row for row in rows if row.idx == by and row.struck_idx is None]
    origins = origins_of(session, [made[0].code]) if made else []
    masses = {origin.parent: origin.mass_mg for origin in origins}
    went_in = sum(masses.values())
    own = Fraction(masses.get(board.code, 0), went_in) if went_in else Fraction(0)
    pieces = tuple(_kin(walk, row.code, share * own) for row in made)
    cut = session.get(Cut, by)
    lost = _losses(cut, went_in, sum(_mass_made(walk, row) for row in made))
    losses = [(what, half_up(mass * share * own)) for what, mass in lost]
    before = kin.part_mg - half_up(masses.get(board.code, 0) * share)
    if before > 0:
        losses.append(("dried or planed before", before))
    others = [code for code in masses if code != board.code]
    how = "sawn" if cut else "glued"
    beside = f" with {show.listed(others)}" if others else ""
    told = tuple(Loss(what=what, mass_mg=mass) for what, mass in losses if mass > 0)
    for loss in told:
        walk.tally["lost"] = walk.tally.get("lost", 0) + loss.mass_mg
    return replace(
        kin, said=f"{board.meant_for}, {how}{beside}", pieces=pieces, losses=told
    )


def _losses(cut: Any, went_in: int, made_mg: int) -> Iterator[tuple[str, int]]:
    """Yield what a cut took away beside the pieces; what nobody weighed is the rest."""
    dust, waste = (cut.dust_mg or 0, cut.waste_mg or 0) if cut else (0, 0)
    yield "sawdust", dust
    yield "waste", waste
    yield "lost, by difference", went_in - made_mg - dust - waste


def _mass_made(walk: _Walk, board: Any) -> int:
    """Return what a board weighed first here, else what the sawyer wrote, or nought."""
    from ledger.views.measures import weighings_of

    weighed = weighings_of(walk.session, board.code)
    return int(weighed[0].mass_mg if weighed else board.listed_mg or 0)


def _is_gone(walk: _Walk, board: Any) -> bool:
    found = became(walk.desk, walk.session, board)
    return found is not None and found[0] == "gone"


def _said(walk: _Walk, board: Any) -> str:
    """Say what a board is for, and where it is today."""
    what = f"{board.meant_for}, offcut" if board.is_offcut else board.meant_for
    found = became(walk.desk, walk.session, board)
    if found is None:
        rejected = ", not for instruments" if board.rejected_idx is not None else ""
        return f"{what}, {board.place or 'in the rack'}{rejected}"
    kind, name = found
    return f"{board.part} of {name}" if kind == "instrument" else f"{what}, {name}"


def _count(walk: _Walk, board: Any, share: Fraction) -> None:
    """Count a board that is there, or gone, under what became of it."""
    found = became(walk.desk, walk.session, board)
    kind = found[0] if found else "left"
    mass = board.mass_mg if board.mass_mg is not None else board.listed_mg or 0
    walk.tally[kind] = walk.tally.get(kind, 0) + half_up(mass * share)
    if found and kind == "instrument":
        walk.serials.add(found[1])


def _plot(walk: _Walk, kin: Any, lot: Any, came: list[str]) -> Any:
    from labels.plot_family import FamilyTree
    from labels.plot_figure import Heading

    of = f"; it came of {show.listed(came)}" if came else ""
    return FamilyTree(
        heading=Heading(
            title=_title(walk, kin),
            where=f"{lot.code}, came in {lot.received_on}{of}",
            entries=tuple(sorted(walk.entries)),
        ),
        species=lot.species,
        board=kin,
    )


def _title(walk: _Walk, kin: Any) -> str:
    """Say where the mass of the board is today."""
    from ledger.quantities import grams

    tally = walk.tally
    parts = []
    if tally.get("instrument"):
        number = show.counted(len(walk.serials), "instrument")
        parts.append(f"{grams(tally['instrument'])} is in {number}")
    if tally.get("kept"):
        parts.append(f"{grams(tally['kept'])} is kept")
    if tally.get("left"):
        parts.append(f"{grams(tally['left'])} is left")
    if tally.get("gone"):
        parts.append(f"{grams(tally['gone'])} is gone")
    if not kin.mass_mg:
        return f"Nobody has weighed {kin.code} yet"
    return (
        f"Of {grams(kin.mass_mg)} of {kin.code}, {in_a_row(parts or ['none is there'])}"
    )


def _lines(kin: Any, depth: int) -> Iterator[str]:
    from ledger.quantities import grams

    indent = "  " * depth
    mass = grams(kin.mass_mg) if kin.mass_mg else "never weighed"
    now = "" if kin.now_mg in (None, kin.mass_mg) else f", {grams(kin.now_mg)} now"
    part = ""
    if kin.part_mg != kin.mass_mg:
        part = f", {grams(kin.part_mg)} of it from here"
    yield f"{indent}{kin.code}  {mass}{part}{now}  {kin.said}"
    for piece in kin.pieces:
        yield from _lines(piece, depth + 1)
    for loss in kin.losses:
        yield f"{indent}  {loss.what}  {grams(loss.mass_mg)}"


def _data(kin: Any) -> dict[str, Any]:
    return {
        "board": kin.code,
        "mass_mg": kin.mass_mg,
        "part_mg": kin.part_mg,
        "now_mg": kin.now_mg,
        "said": kin.said,
        "pieces": [_data(piece) for piece in kin.pieces],
        "lost": [{"what": loss.what, "mass_mg": loss.mass_mg} for loss in kin.losses],
    }
