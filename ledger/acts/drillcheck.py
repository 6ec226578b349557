"""What a drill checks of all that it tells: proofs, files, names, papers, masses.

An entry is proved under the newest checkpoint that was signed; what came later rests on
the stored head alone. Nothing is signed or recorded for it.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.closing import news_since
from ledger.acts.drawdown import used_of
from ledger.acts.shop import Shop
from ledger.errors import LedgerError, TamperError
from ledger.events import CertificateIssued
from ledger.events.codec import parse
from ledger.ids import CertificateId, DocumentId, LotId, ShipmentId
from ledger.log import attachments, merkle
from ledger.log.checkpoint import checkpoint_by
from ledger.log.entry import parse_record
from ledger.log.proof import Proof
from ledger.quantities import grams
from ledger.trade.balance import Sheet
from ledger.views.boards import Board, boards_in
from ledger.views.builds import weighed_parts
from ledger.views.certificates import certificates_of
from ledger.views.family import firsts_of, lots_of
from ledger.views.filed import filed
from ledger.views.trace import Line

# What is told by an entry that has its code in it.
NAMED = (LotId, DocumentId, CertificateId, ShipmentId)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What did not add up: of what, in which entry if in one, and how."""

    what: str
    entry: int | None
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What entries are proved under: a signed head, or the stored one alone."""

    size: int
    root: bytes
    note: str
    signed_size: int


def ground_of(shop: Shop) -> tuple[Ground, list[Fault]]:
    """Return the newest signed head, and what is wrong with it, if anything is."""
    head, newest = shop.store.head(), shop.store.newest_checkpoint()
    standing = shop.standing()
    bare = Ground(size=head.size, root=head.root, note="", signed_size=0)
    if newest is None or standing.log_key is None:
        return bare, []
    try:
        signed = checkpoint_by(newest[1], standing.log_keys_at)
    except TamperError as fault:
        return bare, [Fault(what="checkpoint", entry=None, said=str(fault))]
    return (
        Ground(size=head.size, root=head.root, note=newest[1], signed_size=signed.size),
        [],
    )


def checked(
    shop: Shop, session: Session, entries: Iterable[int], ground: Ground
) -> tuple[int, list[Fault]]:
    """Prove each entry and hash each file it names; return how many files it hashed."""
    touched = set(entries)
    faults = [
        fault for entry in sorted(touched) for fault in _proved(shop, entry, ground)
    ]
    files = [file for file in filed(session, shop.store.record) if file.idx in touched]
    for file in files:
        try:
            salt = shop.vault.get_salt(file.digest) if file.is_salted else b""
            if salt is not None:
                attachments.verify(shop.attachments, file.digest, salt=salt)
        except (LedgerError, OSError) as fault:
            faults.append(Fault(what=file.what, entry=file.idx, said=str(fault)))
    return len(files), faults


def _proved(shop: Shop, entry: int, ground: Ground) -> Iterator[Fault]:
    """Yield that an entry is not under the head it should be under."""
    what = "inclusion proof"
    try:
        leaf = merkle.leaf_hash(shop.store.record(entry))
        is_signed = entry < ground.signed_size
        size = ground.signed_size if is_signed else ground.size
        path = merkle.inclusion_path(entry, size, shop.store.node)
        if is_signed:
            proof = Proof(index=entry, path=path, checkpoint=ground.note)
            is_there = proof.covers(leaf)
        else:
            found = merkle.root_from_path(leaf, entry, size, path)
            is_there = found == ground.root
    except (LedgerError, IndexError) as fault:
        yield Fault(what=what, entry=entry, said=str(fault))
        return
    if not is_there:
        said = "it is not what stood there when the head was signed"
        yield Fault(what=what, entry=entry, said=said)


def unnamed(shop: Shop, lines: Iterable[Line]) -> Iterator[Fault]:
    """Yield that an entry does not speak of what the trace says it does."""
    for code, entry in dict.fromkeys((line.code, line.entry) for line in lines):
        if not any(kind.form.shape.fullmatch(code) for kind in NAMED):
            continue
        if code.encode() not in shop.store.record(entry):
            yield Fault(what=code, entry=entry, said=f"the entry does not name {code}")


def over_drawn(shop: Shop, papers: Sequence[str]) -> Iterator[Fault]:
    """Yield which lines of a paper more was received on than it was issued for."""
    for code in papers:
        for line in used_of(shop, code).lines:
            if line.is_over:
                said = f"line {line.number}, {line.species}, is drawn over"
                yield Fault(what=code, entry=line.entry, said=said)


def unbalanced(shop: Shop, session: Session, lot: str, sheet: Sheet) -> Iterator[Fault]:
    """Yield where the masses of a lot do not add up, or are none of the entries'."""
    if sheet.off_mg:
        said = f"{grams(sheet.off_mg)} are neither in, made, lost nor left"
        yield Fault(what=lot, entry=None, said=said)
    for name, mass_mg in (
        ("pieces weigh more than what was sawn", sheet.not_weighed_mg),
        ("parts weigh more than their boards", sheet.worked_mg),
    ):
        if mass_mg < 0:
            yield Fault(what=lot, entry=None, said=f"{name} by {grams(-mass_mg)}")
    codes = firsts_of(session, lot)
    boards = [session.get_one(Board, code) for code in codes]
    said_mg = sum(
        parse_record(shop.store.record(board.idx)).entry.event.get("mass_mg") or 0
        for board in boards
    )
    counted_mg = sheet.received.mass_mg + sheet.old_stock.mass_mg
    if said_mg != counted_mg:
        said = f"the entries say {grams(said_mg)}, and {grams(counted_mg)} are counted"
        yield Fault(what=lot, entry=None, said=said)


def uncertified(shop: Shop, session: Session, serial: str) -> Iterator[Fault]:
    """Yield where the newest certificate tells other wood than is in an instrument."""
    issued = certificates_of(session, serial)
    if not issued or news_since(session, serial, issued[-1].idx):
        return
    newest = issued[-1]
    event = parse(parse_record(shop.store.record(newest.idx)).entry.event)
    if not isinstance(event, CertificateIssued):
        yield Fault(what=newest.number, entry=newest.idx, said="it is no certificate")
        return
    told = {each.lot for each in event.materials}
    boards = [board.code for board in boards_in(session, serial)]
    held = {lot for board in boards for lot in lots_of(session, board)}
    if told != held:
        other = ", ".join(sorted(told ^ held))
        said = f"wood and certificate differ in {other}"
        yield Fault(what=newest.number, entry=newest.idx, said=said)
    told_mg = sum(each.mass_mg for each in event.materials)
    parts_mg = sum(weighed_parts(session, serial).values())
    if told_mg != parts_mg:
        said = f"it tells {grams(told_mg)} of parts, and they weigh {grams(parts_mg)}"
        yield Fault(what=newest.number, entry=newest.idx, said=said)
