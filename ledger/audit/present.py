"""What lies beside the log: views, files, the vault and the keys."""

import re
import stat
from collections.abc import Callable, Collection, Iterator
from contextlib import suppress
from itertools import zip_longest

from sqlalchemy import Engine, create_engine
from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session, select

from ledger.acts.names import REASON
from ledger.acts.owners import OWNER_NAME
from ledger.acts.people import PERSON_NAME
from ledger.acts.shop import Shop
from ledger.acts.signing import LOG_KEY, log_key
from ledger.acts.suppliers import SUPPLIER_NAME
from ledger.acts.thefts import CLAIMANT_NAME
from ledger.audit.findings import Finding
from ledger.errors import LedgerError, NotFoundError, TamperError
from ledger.log import attachments, tables
from ledger.log.entry import Entry
from ledger.log.standing import Standing
from ledger.log.vault import commit
from ledger.views import fold
from ledger.views.certificates import Owner
from ledger.views.corrections import GivenReason
from ledger.views.filed import filed, pictures_of_erased
from ledger.views.ownership import TheftReport
from ledger.views.people import Person, erased_subjects, subject_of_key
from ledger.views.service import Trip
from ledger.views.subjects import known_subjects
from ledger.views.wood import Supplier

DIGEST = re.compile(r"(?<![0-9a-f])[0-9a-f]{64}(?![0-9a-f])")
# What a row that somebody else wrote can make of reading it.
UNREADABLE = (SQLAlchemyError, LedgerError, TypeError, ValueError, AttributeError)


OTHER = (
    "the views were folded by another version: flitchbook record rebuild makes them "
    "again"
)


class SecondViews:
    """The views folded once more, in memory, to compare with the stored ones.

    `session` reads them: what the log says, whatever became of the stored views.
    """

    def __init__(self) -> None:
        self.findings: list[Finding] = []
        self._engine: Engine = create_engine("sqlite://")
        fold.make(self._engine)
        self.session = Session(self._engine)

    def hear(self, entry: Entry) -> None:
        """Fold one entry; a number taken twice is a finding."""
        try:
            with self.session.begin_nested():
                fold.fold(self.session, entry)
        except (SQLAlchemyError, LedgerError) as problem:
            reason = str(problem).splitlines()[0]
            self.findings.append(Finding(entry.index, "number", reason))

    def compare(self, stored: Session) -> Iterator[Finding]:
        """Compare every row of every view, of another edition too where that can be.

        Else whoever names another edition could change what is shown unseen.
        """
        again = "flitchbook record rebuild makes it again"
        try:
            if not fold.is_of_this_edition(stored):
                if not fold.has_columns_of_today(stored):
                    yield Finding(None, "edition", f"{OTHER}; they were not compared")
                    return
                yield Finding(None, "edition", OTHER)
            for ours, theirs in zip_longest(fold.rows(self.session), fold.rows(stored)):
                if ours != theirs:
                    table = (ours or theirs or ("?", ()))[0]
                    yield Finding(None, "view", f"{table} differs; {again}")
                    return
        except UNREADABLE as problem:
            reason = str(problem).splitlines()[0]
            yield Finding(None, "view", f"it cannot be read ({reason}); {again}")

    def close(self) -> None:
        """Let go of the memory."""
        self.session.close()
        self._engine.dispose()


def guard_findings(session: Session) -> list[Finding]:
    """See that the database still refuses changes to what is written."""
    faults = tables.guard_faults(session.connection())
    return [Finding(None, "guard", fault) for fault in faults]


def attachment_findings(shop: Shop, session: Session) -> Iterator[Finding]:
    """Hash every paper, photograph and recording again.

    What may show somebody who was erased is in no export without names, so a shop that
    was imported from one has not got it.
    """
    kept_back = pictures_of_erased(session, shop.store.record)
    for file in filed(session, shop.store.record):
        try:
            salt = shop.vault.get_salt(file.digest) if file.is_salted else b""
            if salt is None:
                detail = f"the salt of {file.what} is not in the vault"
                yield Finding(file.idx, "absent", detail)
                continue
            attachments.verify(shop.attachments, file.digest, salt=salt)
        except NotFoundError as fault:
            is_left_out = file.digest in kept_back
            why = "; somebody signed for it whose name was erased" * is_left_out
            cause = "absent" if is_left_out else "attachment"
            yield Finding(file.idx, cause, f"{file.what}: {fault}{why}")
        except (LedgerError, OSError) as fault:
            yield Finding(file.idx, "attachment", f"{file.what}: {fault}")


def vault_findings(shop: Shop, session: Session) -> Iterator[Finding]:
    """Open every commitment that the vault should still be able to open.

    `session` reads the views up to where the audit walked; what was said since is
    looked up before a name is missed or called an orphan.
    """
    try:
        yield from _vault_findings(shop, session)
    except UNREADABLE as fault:
        yield Finding(None, "commitment", f"the vault cannot be read: {fault}")


def _vault_findings(shop: Shop, session: Session) -> Iterator[Finding]:
    for fault in shop.vault.faults():
        yield Finding(None, "commitment", fault)
    erased = erased_subjects(session)
    held = frozenset(s for s in shop.vault.subjects() if isinstance(s, str))
    if held != shop.vault.subjects():
        yield Finding(None, "commitment", "a subject in the vault is no text")
    for subject in sorted(erased & held):
        yield Finding(None, "erasure", f"subject {subject} is still in the vault")
    yield from _all_opened(shop, session, erased | _since(shop, erased_subjects))
    unknown = held - erased - known_subjects(session)
    unknown -= _since(shop, known_subjects) if unknown else frozenset()
    for subject in sorted(unknown):
        yield Finding(None, "orphan", f"subject {subject}: flitchbook record rebuild")
    for commitment in sorted(_unsaid(shop, session)):
        detail = f"the reason {commitment[:16]} was given for no entry"
        yield Finding(None, "orphan", f"{detail}: flitchbook record rebuild")


def digests_in(record: bytes) -> set[str]:
    """Return every digest and commitment that a record names.

    Out of its bytes, so that a kind of a newer version names what is its own, too.
    """
    return set(DIGEST.findall(record.decode("utf-8", errors="replace")))


def _unsaid(shop: Shop, session: Session) -> set[str]:
    """Return the reasons in the vault that no entry names: it never came to be."""
    given = set(session.exec(select(GivenReason.commitment)).all())
    unsaid = set(shop.vault.commitments(REASON)) - given
    if unsaid:
        # Those said since, and those beside a kind that is not known here.
        for _, record in shop.store.records():
            unsaid -= digests_in(record)
    return unsaid


def _all_opened(shop: Shop, session: Session, erased: set[str]) -> Iterator[Finding]:
    for person in session.exec(select(Person)).all():
        if person.subject not in erased:
            yield from _opened(shop, person, PERSON_NAME)
    for supplier in session.exec(select(Supplier)).all():
        if supplier.subject not in erased:
            yield from _opened(shop, supplier, SUPPLIER_NAME)
    yield from _owned(shop, session, erased)
    gone = _went_to(session, erased)
    for reason in session.exec(select(GivenReason)).all():
        is_erased = subject_of_key(session, reason.key) in erased
        if not is_erased and reason.idx not in gone:
            yield from _given(shop, reason)


def _owned(shop: Shop, session: Session, erased: set[str]) -> Iterator[Finding]:
    """See that the names of owners and of claimants are in the vault, sealed."""
    sealed = [
        (owner.idx, owner.subject, OWNER_NAME, f"the owner of {owner.serial}")
        for owner in session.exec(select(Owner)).all()
    ]
    sealed += [
        (row.idx, row.claimant, CLAIMANT_NAME, f"who reported {row.serial}")
        for row in session.exec(select(TheftReport)).all()
    ]
    for index, subject, field, who in sealed:
        if subject not in erased and field not in shop.vault.fields(subject):
            yield Finding(index, "absent", f"{who} is not in the vault")


def _went_to(session: Session, erased: set[str]) -> set[int]:
    """Return the trips of erased owners' instruments: whither went with the owner."""
    owners = session.exec(select(Owner)).all()
    serials = {owner.serial for owner in owners if owner.subject in erased}
    trips = session.exec(select(Trip)).all() if serials else ()
    return {trip.idx for trip in trips if trip.serial in serials}


def custody_findings(shop: Shop, standing: Standing) -> Iterator[Finding]:
    """See that the log's key is there, is the one of the log, and is its owner's."""
    path = shop.keys / LOG_KEY
    try:
        public = log_key(shop).public
    except NotFoundError as fault:
        yield Finding(None, "absent", f"{fault}; without it no head is signed here")
        return
    except (LedgerError, OSError) as fault:
        yield Finding(None, "custody", str(fault))
        return
    if public != standing.log_key:
        yield Finding(None, "custody", "the log's key in the folder is another")
    if stat.S_IMODE(path.stat().st_mode) & 0o077:
        yield Finding(None, "custody", f"{path.name} can be read by others: chmod 600")


def _opened(shop: Shop, row: Person | Supplier, field: str) -> Iterator[Finding]:
    try:
        opening = shop.vault.get(row.subject, field)
    except TamperError as fault:
        yield Finding(row.idx, "commitment", str(fault))
        return
    if opening is None:
        yield Finding(row.idx, "absent", f"the {field} is not in the vault")
    elif commit(field, row.subject, opening.value, opening.key) != row.name_commitment:
        detail = f"the {field} in the vault is not the one that was committed to"
        yield Finding(row.idx, "commitment", detail)


def _given(shop: Shop, reason: GivenReason) -> Iterator[Finding]:
    with suppress(TamperError):  # a changed one is among the vault's own faults
        if shop.vault.opening_of(reason.commitment) is None:
            yield Finding(reason.idx, "absent", "the reason is not in the vault")


def _since(shop: Shop, look: Callable[[Session], Collection[str]]) -> frozenset[str]:
    """Return what the stored views hold by now, or nothing where they are damaged."""
    try:
        with shop.store.reading() as session:
            return frozenset(look(session))
    except UNREADABLE:
        # The comparison of the views says so.
        return frozenset()
