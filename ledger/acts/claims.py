"""What the record says of a code, of a certificate since it was issued, of a person.

Each answer is a list of entries, found in the records themselves.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session, col, select

from ledger.acts.certificates import find_certificate
from ledger.acts.disputes import since_when
from ledger.acts.shop import Shop
from ledger.acts.signing import holder_names
from ledger.audit.tree import given_up
from ledger.check import certificate_bytes
from ledger.check.unsigned import LARGEST_READ
from ledger.errors import LedgerError, NotFoundError, RefusedError
from ledger.events import EntryRecovered
from ledger.log import merkle
from ledger.log.checkpoint import Checkpoint, checkpoint_by
from ledger.log.entry import Entry, at_moment, parse_record
from ledger.log.proof import parse_certificate_file
from ledger.log.tables import StoredCheckpoint
from ledger.views import fold
from ledger.views.boards import boards_in, boards_named
from ledger.views.builds import Build
from ledger.views.certificates import Certificate, certificates_of
from ledger.views.corrections import Correction, corrections_of
from ledger.views.naming import entries_by, entries_naming, entries_on_boards
from ledger.views.people import Person, PersonKey
from ledger.views.said import entry_said

# What tells which thing an entry is about, the first one that it has.
THINGS = ("serial", "board", "number", "lot", "document", "shipment", "badge", "model")


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """An entry that names what was asked for: who said it, when, whether it stands.

    `disputed_since` is from which entry on its key, or that of somebody who approved
    it, may have been in other hands, where nobody has affirmed or struck it.
    """

    entry: int
    entered: str
    happened: str | None
    kind: str
    about: str
    key: str
    who: str
    struck_by: int | None
    disputed_since: int | None = None

    @property
    def words(self) -> str:
        """The claim in words."""
        late = f", happened {self.happened}" if self.happened else ""
        struck = f", struck by entry {self.struck_by}" if self.struck_by else ""
        if self.disputed_since is not None:
            struck = f", disputed since entry {self.disputed_since}"
        about = f" {self.about}" if self.about else ""
        return f"{self.kind}{about}, {self.who}, {self.entered}{late}{struck}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Since:
    """What was said of an instrument and its wood since a certificate was issued.

    `head` is the signed head that the certificate carries, or the first one that was
    signed over it; `is_kept` whether the log still holds that head; `disputed_since`
    from which entry on the key that issued it may have been in other hands.
    """

    number: str
    serial: str
    issued: Certificate
    head: Checkpoint | None
    is_kept: bool
    replaced_by: str | None
    claims: tuple[Claim, ...]
    disputed_since: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Signatures:
    """All that a person ever signed: how much, with which keys, and what is wrong."""

    keys: tuple[str, ...]
    count: int
    bad: tuple[int, ...]


def claims(shop: Shop, session: Session, code: str) -> list[Claim]:
    """Return every entry that names a code: its number, its labels, its pictures."""
    start = _first_named(session, code)
    named = entries_naming(session, *_names(session, code), start=start)
    entries = {entry.index: entry for entry in named}
    if not entries:
        raise NotFoundError(f"no entry names {code}: it was never recorded")
    strikes = _strikes(session, entries)
    return claims_of(shop, session, (entries | strikes).values())


def since(shop: Shop, text: str) -> Since:
    """Tell what was said of a certificate's instrument and wood since it was issued.

    `text` is its number, its serial, or a file that holds it: then the head in the file
    is looked for in the log.
    """
    path = Path(text)
    number, head = _from_file(shop, path) if path.is_file() else (None, None)
    number = number or find_certificate(shop, text)
    with shop.store.reading() as session:
        issued = session.get_one(Certificate, number)
        head = head or _first_head(shop, session, issued.idx)
        later = [
            row.number
            for row in certificates_of(session, issued.serial)
            if row.idx > issued.idx
        ]
        entries = _entries_since(session, issued)
        found = claims_of(shop, session, entries)
        (own,) = claims_of(shop, session, [entry_said(session, issued.idx)])
        session.expunge_all()
    return Since(
        number=number,
        serial=issued.serial,
        issued=issued,
        head=head,
        is_kept=head is not None and _holds(shop, head),
        replaced_by=later[-1] if later else None,
        claims=tuple(found),
        disputed_since=own.disputed_since,
    )


def signed_by(
    shop: Shop,
    session: Session,
    person: Person,
    *,
    start: str | None = None,
    end: str | None = None,
) -> list[Claim]:
    """Return what a person's keys signed between two moments, both of them included."""
    for moment in filter(None, (start, end)):
        _require_moment(moment)
    if start and end and end < start:
        raise RefusedError(f"{start} is after {end}: give the earlier moment first")
    records = entries_by(session, keys_of(session, person))
    entries = [parse_record(record).entry for record in records]
    until = f"{end}T23:59:59Z" if end and "T" not in end else end
    between = [
        entry
        for entry in entries
        if (start or "") <= entry.at and (until is None or entry.at <= until)
    ]
    return claims_of(shop, session, between)


def signatures_of(shop: Shop, session: Session, person: Person) -> Signatures:
    """Verify all that a person ever signed, with the keys as the log gave them."""
    standing = shop.standing()
    keys = keys_of(session, person)
    records = [parse_record(data) for data in entries_by(session, keys)]
    bad = [
        record.entry.index
        for record in records
        if not (
            record.is_signed_by(standing.keys[record.entry.key].public)
            and standing.keys[record.entry.key].counts_at(record.entry.index)
        )
    ]
    return Signatures(keys=tuple(keys), count=len(records), bad=tuple(bad))


def keys_of(session: Session, person: Person) -> list[str]:
    """Return the keys that are or were a person's, oldest first."""
    query = select(PersonKey).where(col(PersonKey.subject) == person.subject)
    return [row.key for row in session.exec(query.order_by(col(PersonKey.idx))).all()]


def _require_moment(text: str) -> None:
    try:
        at_moment(text if "T" in text else f"{text}T00:00:00Z")
    except ValueError:
        raise RefusedError(
            f"{text!r} is no day such as 2026-11-24 and no moment such as "
            f"2026-11-24T16:40:00Z, in UTC"
        ) from None


def _names(session: Session, code: str) -> list[str]:
    """Return under which codes a thing is named: a set's halves have their own."""
    return list(dict.fromkeys([code, *(b.code for b in boards_named(session, code))]))


def _first_named(session: Session, code: str) -> int:
    """Return the entry before which nothing named a code, as far as a view knows."""
    build = session.get(Build, code)
    first = [build.idx] if build else [b.idx for b in boards_named(session, code)]
    return min(first, default=0)


def _strikes(session: Session, indexes: Collection[int]) -> dict[int, Entry]:
    """Return the entries that struck some of these: they name them by index only."""
    found = corrections_of(session, indexes).values()
    return {row.idx: entry_said(session, row.idx) for row in found}


def _entries_since(session: Session, issued: Certificate) -> Iterable[Entry]:
    after = issued.idx
    codes = issued.serial, issued.number
    entries = entries_naming(session, *codes, start=after + 1)
    boards = [board.code for board in boards_in(session, issued.serial)]
    event = entry_said(session, after).event
    sets = [material["board"] for material in event["materials"]]
    boards += [b.code for code in sets for b in boards_named(session, code)]
    found = {entry.index: entry for entry in entries}
    for index in entries_on_boards(session, fold.TABLES, set(boards), after=after):
        found[index] = found.get(index) or entry_said(session, index)
    strikes = select(Correction).where(col(Correction.idx) > after)
    for row in session.exec(strikes).all():
        struck = entry_said(session, row.struck).event
        if struck.get("serial") == issued.serial or struck.get("board") in boards:
            found[row.idx] = entry_said(session, row.idx)
    return found.values()


def claims_of(shop: Shop, session: Session, entries: Iterable[Entry]) -> list[Claim]:
    """Tell of entries, in order, who said each and whether it stands."""
    entries, standing = list(entries), shop.standing()
    names = holder_names(shop, session, (entry.key for entry in entries))
    strikes = corrections_of(session, {entry.index for entry in entries})
    told = []
    for entry in sorted(entries, key=lambda each: each.index):
        struck = strikes.get(entry.index)
        told.append(
            Claim(
                entry=entry.index,
                entered=entry.at,
                happened=_happened(entry),
                kind=entry.kind.partition("/")[0],
                about=_about(entry),
                key=entry.key,
                who=names[entry.key],
                struck_by=struck.idx if struck else None,
                disputed_since=None if struck else since_when(standing, entry),
            )
        )
    return told


def _happened(entry: Entry) -> str | None:
    said = entry.event.get("happened_at")
    return str(said) if said else None


def _about(entry: Entry) -> str:
    """Return which thing an entry is about, and which step or part of it."""
    event = entry.event
    if entry.kind == EntryRecovered.kind:
        return f"{event['index']} of {event['origin']}: recovered, not folded"
    thing = next((str(event[name]) for name in THINGS if name in event), "")
    rest = [str(event[name]) for name in ("step", "part", "face") if name in event]
    if "codes" in event:
        rest += [str(code) for code in event["codes"][:2]]
    return " ".join([thing, *rest]).strip()


def _from_file(shop: Shop, path: Path) -> tuple[str, Checkpoint]:
    """Return the number of the certificate in a file, and the head it carries.

    Raises RefusedError where it is no certificate of this shop's record.
    """
    try:
        with path.open("rb") as opened:
            data = opened.read(LARGEST_READ + 1)
        file = parse_certificate_file(certificate_bytes(data))
        head = _verified(shop, file.proof.checkpoint)
    except (OSError, LedgerError) as fault:
        raise RefusedError(
            f"{path} holds no certificate of this shop ({fault}): give a number such "
            f"as C-2026-00088"
        ) from None
    number = str(file.record.entry.event.get("number"))
    with shop.store.reading() as session:
        issued = session.get(Certificate, number)
    if issued is None or shop.store.record(issued.idx) != file.record.data:
        raise RefusedError(
            f"{path} holds a certificate {number} that is not the one in this record: "
            f"judge it with flitchbook certificate check"
        )
    return number, head


def _first_head(shop: Shop, session: Session, index: int) -> Checkpoint | None:
    """Return the first signed head over an entry, or None where there is none yet."""
    query = select(StoredCheckpoint).where(col(StoredCheckpoint.size) > index)
    row = session.exec(query.order_by(col(StoredCheckpoint.size)).limit(1)).first()
    return _verified(shop, row.note.decode("utf-8")) if row else None


def _verified(shop: Shop, note: str) -> Checkpoint:
    closed = given_up(shop.standing(), note)
    if closed is not None:
        raise RefusedError(f"it is of entries that are lost: {closed}")
    return checkpoint_by(note, shop.standing().log_keys_at)


def _holds(shop: Shop, head: Checkpoint) -> bool:
    """Tell whether the log of today is the one that a head was signed over."""
    if head.size > shop.store.head().size:
        return False
    edge = merkle.edge_at(head.size, shop.store.node)
    return merkle.edge_root(edge) == head.root
