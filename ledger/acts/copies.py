"""A shop vouched for and copied: its keys file, its backup, its views folded again."""

from collections.abc import Sequence
from datetime import timedelta
from itertools import chain, count
from pathlib import Path

from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session

from ledger.acts import numbered
from ledger.acts.backups import names_taken
from ledger.acts.copying import copy_shop
from ledger.acts.folders import new_folder, write
from ledger.acts.heads import sign_head
from ledger.acts.holdings import HOLDS, holdings_of, holds_text
from ledger.acts.layout import PUBLISHED
from ledger.acts.names import REASON
from ledger.acts.numbered import KEYS_FILES
from ledger.acts.shop import Shop
from ledger.audit.present import digests_in
from ledger.audit.walk import ROLES, Walk
from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log import attachments
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.log.entry import parse_record
from ledger.log.keys import SecretKey
from ledger.log.keysfile import write_keys_file
from ledger.log.sealedfile import Lock
from ledger.log.standing import Standing
from ledger.log.strokes import UNFINISHED, sync_folder
from ledger.views import fold
from ledger.views.subjects import known_subjects

# A file that another station is writing is younger than this.
UNFINISHED_AFTER = timedelta(days=1)


def publish_keys(shop: Shop, roots: Sequence[SecretKey]) -> Path:
    """Sign and keep a keys file for the log as it stands; return where it lies.

    The roots vouch for nothing that was not judged: the whole log is walked, and the
    keys file is written from the walk. Raises TamperError with the first finding.
    """
    head = parse_checkpoint(parse_note(sign_head(shop)))
    walk, lineage = _walked(shop, head.size)
    if walk.root != head.root:
        raise TamperError(
            f"the first {head.size} entries are not those that the log signed for: "
            f"no keys file is written, run flitchbook record audit"
        )
    return _published(shop, walk, lineage, roots)


def newest_keys(shop: Shop) -> Path | None:
    """Return the newest keys file that the shop published, or None."""
    found = numbered.newest(shop.folder / PUBLISHED, KEYS_FILES)
    return found.path if found else None


def back_up(shop: Shop, folder: Path, *, lock: Lock | None = None) -> Path:
    """Copy the whole shop into a new folder below this one; return it.

    The copy is a shop of its own: open it and audit it. Root keys are not in it, since
    they are not in the shop's folder. Under a lock its vault, its key files and papers
    with personal data are sealed, and it is opened with `restoring`. Raises
    RefusedError for a folder within the shop, which is lost with it.
    """
    if folder.resolve().is_relative_to(shop.folder.resolve()):
        raise RefusedError(
            f"{folder} lies in the shop's own folder, and would be lost with it: name "
            f"one elsewhere, best on another machine"
        )
    sign_head(shop)
    copy = folder / _new_name(shop, folder)
    # What a power cut leaves has another name, and nobody takes it for a copy.
    part = copy.with_name(f"{copy.name}{UNFINISHED}")
    with new_folder(part):
        part.chmod(0o700)
        copy_shop(shop, part, lock=lock)
        held = holdings_of(shop, part, is_sealed=lock is not None)
        write(part / HOLDS, holds_text(held).encode())
        (part / HOLDS).chmod(0o600)
        part.rename(copy)
    sync_folder(folder)
    return copy


def rebuild(shop: Shop) -> int:
    """Fold every view again from the entries, sweep vault and files; return the size.

    Entries never change; what is shown of them may. Raises TamperError where they do
    not add up any more, and then leaves everything as it is.
    """
    with shop.store.appending() as appending:
        named = _fold_again(shop, appending.session)
        _sweep(shop, appending.session, named)
        return appending.head.size


def _new_name(shop: Shop, folder: Path) -> str:
    """Return a name that no copy bears that the shop knows of, or that lies here."""
    stamp = f"flitchbook-{shop.now():%Y%m%dT%H%M%SZ}"
    here = {path.name.removesuffix(UNFINISHED) for path in folder.glob(f"{stamp}*")}
    taken = here | names_taken(shop.folder)
    names = chain([stamp], (f"{stamp}-{number}" for number in count(2)))
    return next(name for name in names if name not in taken)


def _walked(shop: Shop, size: int) -> tuple[Walk, list[bytes]]:
    """Walk over the log up to a size; return the walk and what changed its keys."""
    walk, lineage = Walk(level=ROLES), []
    for index, data, leaf in shop.store.rows(0, size):
        before = _decisive(walk.standing)
        walk.feed(index, data, leaf)
        if _decisive(walk.standing) != before:
            lineage.append(data)
    fault = next((found for found in walk.findings if not found.is_open), None)
    if fault is not None:
        raise TamperError(
            f"no keys file is written, run flitchbook record audit: {fault}"
        )
    if walk.standing.clouded_by is not None:
        raise RefusedError(
            f"{walk.standing.clouded_by} is not understood here: no keys file is "
            f"written, take the version of flitchbook that wrote it"
        )
    return walk, lineage


def _decisive(standing: Standing) -> tuple[int, int]:
    """Return what a record of the lineage changes: the roots, or the log's keys."""
    return standing.root_version, len(standing.log_tenures)


def _published(
    shop: Shop, walk: Walk, lineage: Sequence[bytes], roots: Sequence[SecretKey]
) -> Path:
    """Write the keys file under the next number that nobody else took meanwhile."""

    def made(number: int) -> bytes:
        return write_keys_file(
            walk.standing,
            lineage=lineage,
            number=number,
            date=shop.today(),
            size=walk.size,
            root=walk.root,
            roots=roots,
        )

    return numbered.keep_next(shop.folder / PUBLISHED, KEYS_FILES, made).path


def _fold_again(shop: Shop, session: Session) -> set[str]:
    """Fold every entry, and return all digests that any of them names."""
    reached, named = -1, set[str]()
    try:
        fold.renew(session)
        for reached, record in shop.store.records():  # noqa: B007 - told below
            fold.fold(session, parse_record(record).entry)
            # Out of the bytes, so that kinds of a newer version keep their files too.
            named |= digests_in(record)
        session.flush()
        return named
    # Whatever a fold stumbles over in an entry that should never have been written.
    except (
        LedgerError,
        SQLAlchemyError,
        LookupError,
        TypeError,
        ValueError,
        AttributeError,
    ) as problem:
        reason = str(problem).partition("\n")[0]
        raise TamperError(
            f"the entries up to {reached} do not add up ({reason}): the views stay as "
            f"they are, run flitchbook record audit"
        ) from None


def _sweep(shop: Shop, session: Session, named: set[str]) -> None:
    """Forget what no entry speaks of, under the log's lock."""
    shop.vault.sweep(known_subjects(session))
    unsaid = shop.vault.commitments(REASON) - named
    if unsaid:
        shop.vault.forget(*sorted(unsaid))
    orphans = shop.vault.salted() - named
    if orphans:
        shop.vault.forget_salt(*sorted(orphans))
    for digest in attachments.digests(shop.attachments):
        if digest not in named:
            attachments.remove(shop.attachments, digest)
    attachments.sweep(shop.attachments, before=shop.now() - UNFINISHED_AFTER)
