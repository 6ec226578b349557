"""What lies beside the log: views, files, the vault and the keys."""

import stat
from collections.abc import Iterator
from itertools import zip_longest

from sqlalchemy import Engine, create_engine
from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session, select

from ledger.acts.owners import OWNER_NAME
from ledger.acts.people import PERSON_NAME
from ledger.acts.shop import Shop
from ledger.acts.signing import LOG_KEY, log_key
from ledger.acts.wood import SUPPLIER_NAME
from ledger.audit.findings import Finding
from ledger.errors import LedgerError, TamperError
from ledger.log import attachments, tables
from ledger.log.entry import Entry
from ledger.log.standing import Standing
from ledger.log.vault import commit
from ledger.views import fold
from ledger.views.certificates import Owner
from ledger.views.people import ErasedSubject, Person
from ledger.views.subjects import known_subjects
from ledger.views.wood import Document, Supplier


class SecondViews:
    """The views folded once more, in memory, to compare with the stored ones."""

    def __init__(self) -> None:
        self.findings: list[Finding] = []
        self._engine: Engine = create_engine("sqlite://")
        fold.make(self._engine)
        self._session = Session(self._engine)

    def hear(self, entry: Entry) -> None:
        """Fold one entry; a number taken twice is a finding."""
        try:
            with self._session.begin_nested():
                fold.fold(self._session, entry)
        except SQLAlchemyError as problem:
            reason = str(problem).splitlines()[0]
            self.findings.append(Finding(entry.index, "number", reason))

    def compare(self, stored: Session) -> list[Finding]:
        """Compare every row of every view."""
        found = list(self.findings)
        rows = zip_longest(fold.rows(self._session), fold.rows(stored))
        for ours, theirs in rows:
            if ours != theirs:
                table = (ours or theirs or ("?", ()))[0]
                detail = f"{table} differs; flitchbook record rebuild makes it again"
                found.append(Finding(None, "view", detail))
                break
        return found

    def close(self) -> None:
        """Let go of the memory."""
        self._session.close()
        self._engine.dispose()


def guard_findings(shop: Shop) -> Iterator[Finding]:
    """See that the database still refuses changes to what is written."""
    with shop.store.reading() as session:
        connection = session.connection()
        wanted = {guard.name for guard in tables.guards_for(connection.dialect.name)}
        missing = wanted - tables.guards_present(connection)
    for name in sorted(missing):
        yield Finding(None, "guard", f"the guard {name} is gone")


def attachment_findings(shop: Shop, session: Session) -> Iterator[Finding]:
    """Hash every filed paper again."""
    for document in session.exec(select(Document)).all():
        salt = shop.vault.get_salt(document.digest) if document.is_salted else b""
        if salt is None:
            detail = f"the salt of {document.code} is not in the vault"
            yield Finding(document.idx, "absent", detail)
            continue
        try:
            attachments.verify(shop.attachments, document.digest, salt=salt)
        except LedgerError as fault:
            yield Finding(document.idx, "attachment", f"{document.code}: {fault}")


def vault_findings(shop: Shop, session: Session) -> Iterator[Finding]:
    """Open every commitment that the vault should still be able to open."""
    for fault in shop.vault.faults():
        yield Finding(None, "commitment", fault)
    erased = {row.subject for row in session.exec(select(ErasedSubject)).all()}
    held = shop.vault.subjects()
    for subject in sorted(erased & held):
        yield Finding(None, "erasure", f"subject {subject} is still in the vault")
    for person in session.exec(select(Person)).all():
        if person.subject not in erased:
            yield from _opened(shop, person, PERSON_NAME)
    for supplier in session.exec(select(Supplier)).all():
        if supplier.subject not in erased:
            yield from _opened(shop, supplier, SUPPLIER_NAME)
    for owner in session.exec(select(Owner)).all():
        sealed = shop.vault.fields(owner.subject)
        if owner.subject not in erased and OWNER_NAME not in sealed:
            detail = f"the owner of {owner.serial} is not in the vault"
            yield Finding(owner.idx, "absent", detail)
    yield from _orphans(session, held - erased)


def custody_findings(shop: Shop, standing: Standing) -> Iterator[Finding]:
    """See that the log's key is there, is the one of the log, and is its owner's."""
    path = shop.keys / LOG_KEY
    try:
        public = log_key(shop).public
    except LedgerError as fault:
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


def _orphans(session: Session, held: frozenset[str]) -> Iterator[Finding]:
    for subject in sorted(held - known_subjects(session)):
        yield Finding(None, "orphan", f"subject {subject}: flitchbook record rebuild")
