"""flitchbook document stack, lot stack: what came in, who drew of it, what is left."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Any

import typer

from cli import pictures, show
from cli.context import Desk, reads
from cli.pictures import OutOption, PrintOption
from cli.printing import Place
from ledger.errors import RefusedError

DocumentArgument = Annotated[str, typer.Argument(help="A paper, such as D26-0001.")]
LotArgument = Annotated[str, typer.Argument(help="A lot, such as L26-031.")]
SpeciesOption = Annotated[
    str, typer.Option(help="Which line of a paper with several: its species.")
]
LOST = "kerf, dust and drying"
OPEN, OPEN_OR_UNKNOWN = "not come in yet", "not come in, or not weighed yet"
# What says that a board went, or is kept for somebody.
WENT = ("consumed_idx", "allotted_idx", "reserved_idx", "returned_idx", "off_idx")
NO_BREAK = "\N{NO-BREAK SPACE}"


@dataclass(slots=True, kw_only=True)
class _Heap:
    """What became of the wood of some lots: who has how much of it [mg].

    `unknown` boards were never weighed and `unnumbered` pieces have no number yet;
    neither counts for anything.
    """

    lots: Sequence[str]
    came_mg: int = 0
    boards: int = 0
    left: dict[str, int] = field(default_factory=dict)
    shares: dict[tuple[str, str], int] = field(default_factory=lambda: defaultdict(int))
    unknown: list[str] = field(default_factory=list)
    unnumbered: int = 0
    entries: set[int] = field(default_factory=set)

    @property
    def is_known(self) -> bool:
        """Whether all that came in was weighed."""
        return not (self.unknown or self.unnumbered)

    @property
    def left_mg(self) -> int:
        """What lies in the rack and is kept for nobody."""
        return sum(self.left.values())

    @property
    def lost_mg(self) -> int:
        """What no piece has any more: kerf, dust, and what dried out or was planed."""
        return self.came_mg - self.left_mg - sum(self.shares.values())


def add_to_document(app: typer.Typer) -> None:
    """Add the command to those of the document."""
    reads(app, "stack")(of_document)


def add_to_lot(app: typer.Typer) -> None:
    """Add the command to those of the lot."""
    reads(app, "stack")(of_lot)


def of_document(
    desk: Desk,
    document: DocumentArgument,
    species: SpeciesOption = "",
    out: OutOption = None,
    queue: PrintOption = "",
) -> None:
    """Tell what is left of the wood that came in under a paper, and who drew of it."""
    from ledger.acts.drawdown import used_of
    from ledger.ids import DocumentId

    place = pictures.place(out, queue)
    code = str(DocumentId.parse(desk.own(document)))
    found = used_of(desk.shop, code)
    line = _line_of(code, found.lines, species)
    draws = [
        draw
        for draw in found.draws
        if line is None or draw.drawn_by.get("mass_mg") == line.species
    ]
    paper = found.document
    named = f"{paper.paper} {paper.number_as_written or code}"
    until = f"; good until {paper.expires_on}" if paper.expires_on else ""
    if found.lines and line is None:
        until += "; issued in another unit than kilograms"
    lots = [draw.lot for draw in draws]
    heap = _heap(desk, lots)
    heap.entries |= {paper.idx, *([line.entry] if line else [])}
    species = line.species if line else ", ".join(sorted({d.species for d in draws}))
    where = f"{code}, {named}{until}; {show.listed(lots) if lots else 'no lot'}"
    issued_mg = line.permitted if line else None
    _answer(desk, heap, named, where, species, issued_mg, place)


def of_lot(
    desk: Desk, lot: LotArgument, out: OutOption = None, queue: PrintOption = ""
) -> None:
    """Tell what is left of the wood of a lot, and who drew of it."""
    from ledger.acts.lots import find_lot
    from ledger.ids import LotId

    place = pictures.place(out, queue)
    code = str(LotId.parse(desk.own(lot)))
    with desk.shop.store.reading() as session:
        row = find_lot(session, code)
        species, day = row.species, row.received_on
    where = f"{code}, came in {day}"
    _answer(desk, _heap(desk, [code]), code, where, species, None, place)


def _line_of(code: str, lines: Sequence[Any], species: str) -> Any:
    """Return the line of a paper that is asked for, of those that are in kilograms."""
    fitting = [line for line in lines if line.unit == "mass_mg"]
    if species:
        named = [line for line in fitting if line.species.lower() == species.lower()]
        if not named:
            raise RefusedError(
                f"{code} has no line in kilograms for {species}: see its lines with "
                f"flitchbook document used {code}"
            )
        return named[0]
    if len(fitting) > 1:
        names = ", ".join(line.species for line in fitting)
        raise RefusedError(
            f"{code} has a line in kilograms for each of {names}: say with --species "
            f"which of them to stack"
        )
    return fitting[0] if fitting else None


def _heap(desk: Desk, lots: Sequence[str]) -> _Heap:
    """Follow the wood of lots to where each piece of it is today."""
    from ledger.views.boards import Board, set_of
    from ledger.views.family import family, firsts_of, shares_of_each
    from ledger.views.wood import Lot

    heap = _Heap(lots=lots)
    with desk.shop.store.reading() as session:
        firsts = []
        for code in lots:
            own = firsts_of(session, code)
            lot = session.get_one(Lot, code)
            heap.unnumbered += max(lot.boards - len({set_of(each) for each in own}), 0)
            heap.entries.add(lot.idx)
            firsts += own
        heap.boards = len(firsts)
        for code in firsts:
            came = _first_mass(session, code)
            heap.came_mg += came or 0
            heap.unknown += [code] if came is None else []
        kin = family(session, firsts, "pieces").boards.values()
        last = [b.code for b in kin if b.became_idx is None and b.struck_idx is None]
        parts = shares_of_each(session, last)
        for code in last:
            board = session.get_one(Board, code)
            heap.entries |= {
                board.idx,
                *filter(None, (getattr(board, n) for n in WENT)),
            }
            share = sum(parts[code].get(lot, 0) for lot in lots)
            _lay(heap, board, share, became(desk, session, board))
    return heap


def _first_mass(session: Any, code: str) -> int | None:
    """Return what a board weighed first here, else what the sawyer wrote."""
    from ledger.views.boards import Board
    from ledger.views.measures import weighings_of

    weighed = weighings_of(session, code)
    if weighed:
        return int(weighed[0].mass_mg)
    listed: int | None = session.get_one(Board, code).listed_mg
    return listed


def _lay(heap: _Heap, board: Any, share: Any, became: tuple[str, str] | None) -> None:
    """Lay a board on the heap: in the rack, or with whoever has it."""
    from ledger.scales import half_up

    mass = board.mass_mg if board.mass_mg is not None else board.listed_mg
    if mass is None:
        heap.unknown += [board.code] if board.code not in heap.unknown else []
        return
    part = half_up(mass * share)
    if became is None:
        heap.left[board.code] = part
    else:
        heap.shares[became] += part


def became(desk: Desk, session: Any, board: Any) -> tuple[str, str] | None:
    """Return who has a board, and how, or None of one that is free in the rack.

    What was allotted before a certificate went into the instrument with it.
    """
    from ledger.views.certificates import certificates_after
    from ledger.views.shipments import shipments_of

    if board.serial is not None and (
        board.consumed_idx is not None
        or certificates_after(session, board.serial, board.allotted_idx)
    ):
        return "instrument", board.serial
    if board.serial is not None:
        return "kept", f"for {board.serial}"
    if board.off_idx is not None:
        return "gone", "spoiled or taken off"
    if board.returned_idx is not None:
        return "gone", "sent back to the sawyer"
    for shipment in shipments_of(session, board.code):
        if shipment.moves_on <= desk.shop.today():
            return "gone", f"shipped, {shipment.number}"
        return "kept", f"to go with {shipment.number}"
    if board.reserved_for is not None:
        return "kept", f"for {board.reserved_for}"
    return None


def _answer(
    desk: Desk,
    heap: _Heap,
    named: str,
    where: str,
    species: str,
    issued_mg: int | None,
    place: Place,
) -> None:
    plot = _plot(heap, named, where, species, issued_mg)
    lines = [f"{plot.heading.title}.", f"  {where}", *_lines(plot, heap)]
    lines += pictures.put(plot, place, day=desk.shop.today())
    show.answer(
        desk,
        lines,
        lots=list(heap.lots),
        species=species,
        issued_mg=issued_mg,
        came_mg=heap.came_mg,
        boards=heap.boards,
        left_mg=heap.left_mg,
        left=heap.left,
        shares=[
            {"kind": each.kind, "name": each.name, "mass_mg": each.mass_mg}
            for each in plot.shares
        ],
        lost_mg=heap.lost_mg,
        never_weighed=heap.unknown,
        without_number=heap.unnumbered,
        entries=sorted(heap.entries),
        picture=str(place.out) if place.out else None,
    )


def _plot(
    heap: _Heap, named: str, where: str, species: str, issued_mg: int | None
) -> Any:
    from labels.plot_figure import Heading
    from labels.plot_permit import PermitStack, Share, places_for

    places = places_for(max(heap.came_mg, issued_mg or 0))
    shares = list(_shares(heap, Share))
    if heap.lost_mg > 0:
        shares.append(Share(name=LOST, mass_mg=heap.lost_mg, kind="lost"))
    if issued_mg is not None and issued_mg > heap.came_mg:
        more = issued_mg - heap.came_mg
        name = OPEN if heap.is_known else OPEN_OR_UNKNOWN
        shares.append(Share(name=name, mass_mg=more, kind="open"))
    return PermitStack(
        heading=Heading(
            title=_title(heap, named, issued_mg, places),
            where=where,
            entries=tuple(sorted(heap.entries)),
        ),
        what=f"kg of {named}",
        species=species,
        left_mg=tuple(heap.left.values()),
        shares=tuple(shares),
        issued_mg=issued_mg,
        said=_said(heap, issued_mg, places),
        note=_note(heap),
    )


def _shares(heap: _Heap, share: Any) -> Iterator[Any]:
    """Yield what is kept lowest, then the instruments, then what is gone."""
    order = ("kept", "instrument", "gone")
    for (kind, name), mass in sorted(
        heap.shares.items(), key=lambda each: (order.index(each[0][0]), each[0][1])
    ):
        yield share(name=name, mass_mg=mass, kind=kind)


def _title(heap: _Heap, named: str, issued_mg: int | None, places: int) -> str:
    from ledger.quantities import kilograms

    left, came = (kilograms(n, places=places) for n in (heap.left_mg, heap.came_mg))
    how = "that came in" if heap.is_known else "weighed so far"
    told = f"is left of {came} {how}"
    if issued_mg is not None and issued_mg < heap.came_mg:
        over = kilograms(heap.came_mg - issued_mg, places=places)
        begun = named[:1].upper() + named[1:]
        return f"{begun} is over-drawn by {over}; {left} {told}"
    by = "as" if named in heap.lots else "under"
    return f"{left if heap.left_mg else 'Nothing'} {told} {by} {named}"


def _said(heap: _Heap, issued_mg: int | None, places: int) -> str:
    from ledger.quantities import kilograms

    came = kilograms(heap.came_mg, places=places)
    said = f"of {came} that came in by the first weighing, in "
    said += f"{show.counted(heap.boards, 'board')}.".replace(" ", NO_BREAK)
    if issued_mg is None:
        return said
    issued = kilograms(issued_mg, places=places)
    at = ", at the dashed line" if issued_mg < heap.came_mg else ""
    return f"{said} The paper was issued for {issued}{at}."


def _note(heap: _Heap) -> str:
    parts = [
        f"{show.counted(len(heap.unknown), 'board')} never weighed"
        if heap.unknown
        else "",
        f"{show.counted(heap.unnumbered, 'piece')} without a number yet"
        if heap.unnumbered
        else "",
        "heavier now than when it came in" if heap.lost_mg < 0 else "",
    ]
    return "; ".join(filter(None, parts))


def _lines(plot: Any, heap: _Heap) -> Iterable[str]:
    from ledger.quantities import kilograms

    for each in reversed(plot.shares):
        yield f"  {each.name:<28} {kilograms(each.mass_mg, places=3):>12}"
    left = kilograms(heap.left_mg, places=3)
    told = show.counted(len(heap.left), "board")
    yield f"  {'left in the rack':<28} {left:>12}  {told}"
    if plot.note:
        yield f"  note: {plot.note}"
