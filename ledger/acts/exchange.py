"""The whole record as plain files: exported for anyone, imported into a new shop."""

import os
import shutil
import stat
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from dataclasses import replace
from pathlib import Path

from sqlmodel import Session, SQLModel

from ledger.acts.copies import newest_keys
from ledger.acts.copying import seal_papers, seal_vault
from ledger.acts.filling import fill
from ledger.acts.folders import (
    PRIVATE_FOLDER,
    copy_database,
    copy_file,
    new_folder,
    require_new,
    write,
)
from ledger.acts.heads import read_notes, sign_head
from ledger.acts.holdings import (
    ABSENT,
    CLEAR,
    EXPORT,
    HOLDS,
    SEALED,
    Holdings,
    holdings,
    holds_text,
    holds_words,
)
from ledger.acts.layout import (
    ATTACHMENTS,
    CHECKPOINTS,
    KEYS,
    KEYS_FILE,
    PUBLISHED,
    RECORDS,
    VAULT,
)
from ledger.acts.numbered import KEYS_FILES, file_name
from ledger.acts.readable import (
    ABOUT,
    NAMES,
    TABLES,
    Shown,
    write_names,
    write_tables,
)
from ledger.acts.restoring import open_into, require_digest, sealed_in, sealed_vault
from ledger.acts.settings import FILE, Settings, read_settings, write_settings
from ledger.acts.shop import Shop
from ledger.audit.present import SecondViews
from ledger.audit.tree import note_findings
from ledger.audit.walk import Walk
from ledger.craft.policy import is_house_policy
from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log import attachments, merkle, queries, tables
from ledger.log.checkpoint import parse_checkpoint, parse_note
from ledger.log.database import transaction
from ledger.log.encoding import canonical
from ledger.log.entry import LARGEST_RECORD
from ledger.log.keysfile import LARGEST_KEYS_FILE, read_keys_file
from ledger.log.policy import POLICY_FORMAT
from ledger.log.sealedfile import SEALED as SEALED_NAME
from ledger.log.sealedfile import Lock
from ledger.log.store import Store
from ledger.log.vault import Vault
from ledger.views import fold
from ledger.views.filed import filed, pictures_of_erased
from ledger.views.standing import governing_entries

Draw = Callable[[Session, Path, Shown], None]

POLICY = "policy"
# What is read of an export, and at one time of what is read whole [bytes]: so many
# checkpoints no shop signs in a century.
MOST_BYTES: dict[str, int | None] = {
    FILE: 65_536,
    KEYS: LARGEST_KEYS_FILE,
    CHECKPOINTS: 64 * 1_048_576,
    RECORDS: None,
    VAULT: None,
    f"{VAULT}{SEALED_NAME}": None,
}


def export(
    shop: Shop,
    folder: Path,
    *,
    draw: Draw,
    with_names: bool = False,
    lock: Lock | None = None,
) -> int:
    """Write the whole record as plain files; return the number of entries.

    Names, papers with personal data and photographs signed by somebody whose name was
    erased stay behind unless they are asked for; under a lock the first two are sealed.
    `draw` draws the pages of it, and what else there is to look at, once all the rest
    lies in the folder.
    """
    if lock is not None and not with_names:
        raise RefusedError(
            "there is nothing to seal in an export without names: ask for them too, "
            "with --with-names"
        )
    vault = ABSENT if not with_names else CLEAR if lock is None else SEALED
    with new_folder(folder, is_private=vault == CLEAR):
        sign_head(shop)
        # One moment: what is shown is of exactly the entries that are written.
        with shop.store.reading() as session:
            head = queries.head(session.connection())
            _export_log(shop, session, folder, head.size)
            named = _papers_to_export(shop, session, with_names=with_names)
            _export_papers(shop, folder / ATTACHMENTS, named, lock)
            if with_names:
                _export_vault(shop, folder, lock)
            held = holdings(
                shop,
                folder,
                what=EXPORT,
                size=head.size,
                root=head.root,
                vault=vault,
            )
            write(folder / HOLDS, holds_text(held).encode())
            draw(session, folder, _export_tables(shop, session, folder, held))
    return head.size


def import_record(
    source: Path, folder: Path, settings: Settings, *, lock: Lock | None = None
) -> int:
    """Make a shop's folder out of an exported record; return the number of entries.

    Everything is verified before the first write: every record against the one before,
    every signature and every right to speak, every checkpoint, and every paper. The
    settings are those of the export, if it has them, with the database of `settings`
    and no folders for backups: whoever had it may have named their own.
    The keys of people are not in an export: bring the key files, or let the roots
    replace the keys. What is sealed is opened with `lock`.
    """
    require_new(folder)
    _require_plain(source)
    size, papers = _verified(source, lock)
    keys = (source / KEYS_FILE).read_bytes() if (source / KEYS_FILE).exists() else None
    number = _number_of(source / KEYS_FILE, keys) if keys is not None else 0
    if (source / FILE).exists():
        settings = replace(
            read_settings(source), database=settings.database, backup_to=""
        )
    with ExitStack() as undo:
        undo.callback(shutil.rmtree, folder, ignore_errors=True)
        folder.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
        write_settings(folder, settings)
        (folder / KEYS).mkdir(mode=0o700)
        store = Store.create(settings.url(folder))
        undo.callback(_drop, settings.url(folder))
        notes = read_notes((source / CHECKPOINTS).read_text(encoding="utf-8"))
        fill(store, read_records(source / RECORDS), notes)
        _import_papers(source / ATTACHMENTS, folder / ATTACHMENTS, papers, lock)
        if lock is not None:
            sealed = source / f"{VAULT}{SEALED_NAME}"
            open_into(sealed, folder / VAULT, name=VAULT, lock=lock)
        elif (source / VAULT).exists():
            copy_database(source / VAULT, folder / VAULT)
        else:
            Vault.create(folder / VAULT).close()
        shutil.copyfile(source / CHECKPOINTS, folder / CHECKPOINTS)
        if keys is not None:
            (folder / PUBLISHED).mkdir()
            write(folder / PUBLISHED / file_name(KEYS_FILES, number), keys)
        undo.pop_all()
    return size


def _number_of(path: Path, keys: bytes) -> int:
    """Return the number of a keys file; TamperError where it is not whole."""
    try:
        return read_keys_file(keys).number
    except TamperError as fault:
        raise TamperError(
            f"{path} is no whole keys file ({fault}): bring another copy of it, or set "
            f"it aside and have the roots sign a new one with flitchbook shop "
            f"keys once the record is imported"
        ) from None


def _export_log(shop: Shop, session: Session, folder: Path, size: int) -> None:
    """Write records, heads, keys, policies and settings: what a shop is made of."""
    with (folder / RECORDS).open("xb") as file:
        for _, record in shop.store.records(0, size):
            file.write(record)
    write(folder / "README", ABOUT.encode())
    # Another station may have signed a larger head since.
    notes = "\n".join(n for at, n in shop.store.checkpoints() if at <= size)
    write(folder / CHECKPOINTS, notes.encode())
    write_settings(folder, replace(shop.settings, database="", backup_to=""))
    keys = newest_keys(shop)
    if keys is not None:
        write(folder / KEYS_FILE, keys.read_bytes())
    _export_policies(session, folder / POLICY)


def _export_tables(shop: Shop, session: Session, folder: Path, held: Holdings) -> Shown:
    """Write what the record adds up to, for whoever has no program for it."""
    with_names = held.vault == CLEAR
    written = write_tables(session, folder / TABLES, with_names=with_names)
    if written and with_names:
        write_names(session, shop.vault, folder / NAMES)
    told = (
        f"{held.size} entries of {held.origin}, exported {held.made}; "
        f"root {held.root}.",
        holds_words(held),
    )
    return Shown(shop.standing().name or "a shop", told, written)


def root_of(folder: Path) -> bytes:
    """Return the root of the newest head in an exported record."""
    notes = read_notes((folder / CHECKPOINTS).read_text(encoding="utf-8"))
    heads = [parse_checkpoint(parse_note(note)) for note in notes]
    return max(heads, key=lambda head: head.size).root


def read_records(path: Path) -> Iterator[bytes]:
    """Read the records of a records.txt, one after the other."""
    with path.open("rb") as file:
        while first := file.readline(LARGEST_RECORD + 1):
            yield first + file.readline(LARGEST_RECORD + 1)


def _export_policies(session: Session, folder: Path) -> None:
    folder.mkdir()
    for entry in governing_entries(session):
        if entry.kind != "policy.adopted/1":
            continue
        policy = entry.event["policy"]
        name = f"entry-{entry.index}"
        if policy["format"] == POLICY_FORMAT:
            name = f"{policy['id']}-{policy['version']}"
        elif is_house_policy(policy):
            name = f"house-{policy['id']}-{policy['version']}"
        path = folder / f"{name}.json"
        if path.exists() and path.read_bytes() != canonical(policy):
            path = folder / f"{name}-entry-{entry.index}.json"
        if not path.exists():
            write(path, canonical(policy))


def _papers_to_export(shop: Shop, session: Session, *, with_names: bool) -> list[str]:
    files = filed(session, shop.store.record)
    named = {f.digest for f in files if with_names or not f.is_salted}
    if not with_names:
        named -= pictures_of_erased(session, shop.store.record)
    return sorted(named & set(attachments.digests(shop.attachments)))


def _export_papers(
    shop: Shop, folder: Path, named: list[str], lock: Lock | None
) -> None:
    if lock is not None:
        seal_papers(shop, folder, named, lock)
        return
    folder.mkdir()
    for digest in named:
        copy_file(attachments.get(shop.attachments, digest), folder / digest)


def _export_vault(shop: Shop, folder: Path, lock: Lock | None) -> None:
    if lock is None:
        copy_database(shop.folder / VAULT, folder / VAULT)
    else:
        seal_vault(shop, folder, lock)


def _import_papers(
    source: Path, folder: Path, papers: dict[str, bytes], lock: Lock | None
) -> None:
    """Keep every paper under its digest; one that changed since is refused."""
    folder.mkdir()
    for digest, salt in papers.items():
        if (source / digest).exists():
            attachments.put(folder, source / digest, salt=salt, announced=digest)
    for digest, pieces in sealed_in(source, lock) if lock is not None else ():
        data = b"".join(pieces)
        attachments.put(folder, data, salt=papers[digest], announced=digest)


def _require_plain(source: Path) -> None:
    """Refuse what in an export is no plain file, or larger than any that is true."""
    for name, most in MOST_BYTES.items():
        path = source / name
        if not os.path.lexists(path):
            continue
        told = path.lstat()
        if not stat.S_ISREG(told.st_mode):
            raise RefusedError(
                f"{source} is no exported record: {name} is no plain file; name the "
                f"folder that flitchbook record export wrote"
            )
        if most is not None and told.st_size > most:
            raise RefusedError(
                f"{source} is no exported record: {name} has {told.st_size} bytes of "
                f"at most {most}; name the folder that flitchbook record export wrote"
            )


def _verified(source: Path, lock: Lock | None) -> tuple[int, dict[str, bytes]]:
    """Walk over an exported record; return its size, and its papers and their salts."""
    views = SecondViews()
    walk = Walk(heard=lambda entry, _: views.hear(entry))
    roots = {0: merkle.EMPTY_ROOT}
    try:
        notes = read_notes((source / CHECKPOINTS).read_text(encoding="utf-8"))
        for index, record in enumerate(read_records(source / RECORDS)):
            walk.feed(index, record, merkle.leaf_hash(record))
            if any(not finding.is_open for finding in walk.findings):
                break  # one fault is enough, however much stands behind it
            roots[walk.size] = walk.root
        papers = _verified_papers(source, lock)
    except OSError as problem:
        raise RefusedError(
            f"{source} is no exported record: {problem.filename} cannot be read "
            f"({problem.strerror}); name the folder that flitchbook record export wrote"
        ) from None
    except UnicodeDecodeError:
        raise RefusedError(
            f"{source} is no exported record: its {CHECKPOINTS} are no text; name the "
            f"folder that flitchbook record export wrote"
        ) from None
    finally:
        views.close()
    findings = [finding for finding in walk.findings if not finding.is_open]
    findings += views.findings
    findings += note_findings(notes, walk.standing, roots, walk.size)
    if findings or walk.standing.log_key is None:
        first = findings[0] if findings else "it is empty"
        raise TamperError(f"{source} is not imported: {first}")
    return walk.size, papers


def _verified_papers(source: Path, lock: Lock | None) -> dict[str, bytes]:
    """Hash every paper again; return each with its salt, nothing where it has none."""
    salts = _salts(source, lock)
    folder = source / ATTACHMENTS
    papers = {}
    sealed = {f"{d}{SEALED_NAME}" for d in salts} if lock is not None else set()
    for path in sorted(folder.iterdir()) if folder.is_dir() else []:
        if path.name in sealed:
            continue
        salt = salts.get(path.name, b"")
        try:
            attachments.verify(folder, path.name, salt=salt)
        except LedgerError as fault:
            raise TamperError(f"{source} is not imported: {fault}") from None
        papers[path.name] = salt
    for digest, pieces in sealed_in(folder, lock) if lock is not None else ():
        require_digest(digest, salts[digest], pieces)
        papers[digest] = salts[digest]
    return papers


def _salts(source: Path, lock: Lock | None) -> dict[str, bytes]:
    if lock is not None:
        vault = sealed_vault(source, lock)
    elif (source / VAULT).exists():
        vault = Vault.open(source / VAULT)
    else:
        return {}
    with vault:
        return {d: vault.get_salt(d) or b"" for d in vault.salted()}


def _drop(url: str) -> None:
    """Drop the tables of an import that failed; a file's go with the folder."""
    if url.startswith("sqlite"):
        return
    with (
        closing(Store.open(url, for_audit=True)) as store,
        transaction(store.engine, writing=True) as connection,
    ):
        SQLModel.metadata.drop_all(
            connection, tables=[*fold.tables_of_views(), *tables.TABLES]
        )
        for guard in tables.guards_for(connection.dialect.name):
            connection.exec_driver_sql(f"DROP FUNCTION IF EXISTS {guard.name}()")
