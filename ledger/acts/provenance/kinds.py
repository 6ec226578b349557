"""How each kind of entry is told: what it used, what it made, what ended by it.

Source: the members of `ledger.events`; W3C PROV-DM for what the relations mean.
"""

from collections.abc import Callable, Iterable
from typing import Any

from ledger import events as said
from ledger.acts.provenance.graph import local, named, typed
from ledger.acts.provenance.telling import REVISION, Act, facts_in, names_in


def _plainly(act: Act) -> None:
    act.use(*names_in(act.event))
    act.files()


def _paper(act: Act) -> None:
    """Tell of a paper on file by its digest; its number may tell whom it is from."""
    event: said.DocumentFiled = act.event
    about = typed("Document") | facts_in(act.members)
    for member in ("sha256", "salted_sha256"):
        if getattr(event, member) is not None:
            about[named(member)] = getattr(event, member)
    act.make(local("document", event.document), **about)


def _lot(act: Act) -> None:
    event: said.LotReceived = act.event
    name = local("lot", event.lot)
    act.use(*(local("document", code) for code in event.documents))
    act.make(name, **typed("Lot"), **facts_in(act.members))
    act.attribute(name, event.supplier)


def _batch(act: Act) -> None:
    event: said.MaterialReceived = act.event
    name = local("batch", event.batch)
    act.use(*(local("document", code) for code in event.documents))
    act.make(name, **typed("Batch"), **facts_in(act.members))
    act.attribute(name, event.supplier)


def _gauge(act: Act) -> None:
    event: said.GaugeListed = act.event
    name = local("gauge", event.gauge)
    act.make(name, **typed("Gauge"), **facts_in(act.members))


def _finish(act: Act) -> None:
    act.use(local("batch", act.event.batch))
    act.end(local("batch", act.event.batch))


def _board(act: Act) -> None:
    lot, name = local("lot", act.event.lot), local("board", act.event.board)
    act.use(lot)
    act.make(name, **typed("Board"), **facts_in(act.members))
    act.derive(name, lot)


def _saw(act: Act) -> None:
    """Boards sawn into pieces, or glued into one: they end, and the pieces begin."""
    event: said.BoardSplit | said.BoardJoined = act.event
    parents = [local("board", code) for code in event.parents]
    act.use(*parents)
    pieces = event.made if isinstance(event, said.BoardSplit) else (event.made,)
    members = act.members["made"]
    told = members if isinstance(members, list) else [members]
    for piece, about in zip(pieces, told, strict=True):
        name = local("board", piece.board)
        act.make(name, **typed("Board"), **facts_in(about))
        for parent, mass_mg in zip(parents, event.masses_mg, strict=True):
            act.derive(name, parent, **{named("mass_mg"): mass_mg})
    for parent in parents:
        act.end(parent)


def _reject(act: Act) -> None:
    """Tell of a rejected board, which may still be sawn unless it went back."""
    _plainly(act)
    if act.event.returned:
        act.end(local("board", act.event.board))


def _begin(act: Act) -> None:
    name = local("serial", act.event.serial)
    about = typed("Instrument", "prov:Collection") | facts_in(act.members)
    act.make(name, **about)


def _allot(act: Act) -> None:
    """Tell that a board becomes a part of an instrument, which is made of the board.

    The instrument was begun before most of its wood came in, so that it has its parts
    for members; what is made of them is the instrument as it was certified.
    """
    event: said.BoardAllotted = act.event
    board, serial = local("board", event.board), local("serial", event.serial)
    part = local("part", act.index)
    act.use(board, serial)
    act.make(part, **typed("Part"), **facts_in(act.members))
    act.derive(part, board)
    act.telling.graph.relate("hadMember", act.index, serial, part)
    act.telling.part_of[event.board] = part
    act.telling.serial_of[event.board] = event.serial


def _release(act: Act) -> None:
    _plainly(act)
    _leave(act, [act.event.board])


def _consume(act: Act) -> None:
    _plainly(act)
    part = act.telling.part_of.get(act.event.board)
    if part is not None:
        act.use(part)
    act.end(local("board", act.event.board))


def _scrap(act: Act) -> None:
    _plainly(act)
    _leave(act, act.event.boards)
    for board in act.event.boards:
        act.end(local("board", board))


def _take_off(act: Act) -> None:
    _plainly(act)
    _leave(act, act.event.boards)


def _void(act: Act) -> None:
    _plainly(act)
    serials = act.telling.serial_of
    _leave(act, [board for board, of in serials.items() if of == act.event.serial])
    act.end(local("serial", act.event.serial))


def _leave(act: Act, boards: Iterable[str]) -> None:
    for board in boards:
        act.telling.serial_of.pop(board, None)
        part = act.telling.part_of.pop(board, None)
        if part is not None:
            act.end(part)


def _certify(act: Act) -> None:
    """Tell that the instrument, as it is certified, is made of its parts."""
    event: said.CertificateIssued = act.event
    serial, paper = local("serial", event.serial), local("certificate", event.number)
    made = local("made", event.number)
    act.use(serial)
    facts = facts_in(act.members)
    act.make(paper, **typed("Certificate"), **facts)
    act.make(made, **typed("CertifiedInstrument"), **facts)
    act.telling.graph.relate("specializationOf", act.index, made, serial)
    for material in event.materials:
        parts = act.telling.parts_of(event.serial, material.board)
        # Nobody weighed the halves of a set apart.
        mass = "mass_mg" if len(parts) == 1 else "set_mass_mg"
        for part in parts:
            about = {named("part"): material.part, named(mass): material.mass_mg}
            act.derive(made, part, **about)
    before = act.telling.certified.get(event.serial)
    if before is not None:
        act.derive(made, before, **REVISION)
    act.telling.certified[event.serial] = made
    act.files()


def _print(act: Act) -> None:
    name = local("certificate", act.event.number)
    act.use(name)
    act.files(of=name)


def _shipment(act: Act) -> None:
    act.use(*(name for name in names_in(act.event) if not name.startswith("shipment-")))
    about = typed("Shipment") | {named("moves_on"): act.event.moves_on}
    act.make(local("shipment", act.event.shipment), **about)


def _doubt(act: Act) -> None:
    """Tell of a doubt; one of a person or a sawyer names nobody."""
    code = act.event.code
    known = act.telling.graph.entities
    kinds = ("board", "lot", "document", "batch", "gauge", "serial")
    names = [local(kind, code) for kind in kinds if code is not None]
    found = [name for name in names if name in known]
    act.use(*found)


# Of any other kind only that it was said is told: people, keys, rules, rooms, and
# whatever a later version says.
PLAIN = (
    *(said.PermitRead, said.LotPaperAdded, said.LotHarvestNamed, said.PlotsFiled),
    *(said.MaterialPaperAdded, said.MaterialHarvestNamed, said.GaugeCalibrated),
    *(said.BoardMeasured, said.BoardWeighed, said.BoardMetered, said.BoardFlexed),
    *(said.BoardMoved, said.BoardPhotographed, said.BoardTapped, said.BoardGraded),
    *(said.BoardsMatched, said.BoardReserved, said.BoardIdentified),
    *(said.LabelPrinted, said.LabelReplaced, said.PlateGraduated, said.OverrideGiven),
    *(said.BuildOrdered, said.BuildChanged, said.StepSignedV1, said.StepSigned),
    *(said.ReworkOrdered, said.ConcessionGiven, said.BuildTapped, said.TagPrinted),
    *(said.SerialMisstamped, said.OwnerRegistered, said.InstrumentServiced),
    *(said.InstrumentSentV1, said.InstrumentSent, said.InstrumentReturned),
    *(said.ShipmentPapersPrinted, said.ShipmentPapersPrintedV1),
)
TOLD: dict[type[Any], Callable[[Act], None]] = {
    **dict.fromkeys(PLAIN, _plainly),
    said.DocumentFiled: _paper,
    said.LotReceived: _lot,
    said.MaterialReceived: _batch,
    said.MaterialFinished: _finish,
    said.GaugeListed: _gauge,
    said.BoardNumberedV1: _board,
    said.BoardNumbered: _board,
    said.BoardSplit: _saw,
    said.BoardJoined: _saw,
    said.BoardRejected: _reject,
    said.BoardAllotted: _allot,
    said.BoardReleased: _release,
    said.BoardConsumed: _consume,
    said.PartScrapped: _scrap,
    said.PartRemoved: _take_off,
    said.BuildBegun: _begin,
    said.BuildVoided: _void,
    said.CertificateIssued: _certify,
    said.CertificatePrinted: _print,
    said.ShipmentPlanned: _shipment,
    said.ShipmentPlannedV1: _shipment,
    said.HoldPlaced: _doubt,
    said.HoldLifted: _doubt,
}
