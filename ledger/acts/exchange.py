"""The whole record as plain files: exported for anyone, imported into a new shop."""

import itertools
import os
import shutil
import stat
from collections.abc import Iterator
from contextlib import ExitStack, closing
from dataclasses import replace
from pathlib import Path

from sqlmodel import Session, SQLModel

from ledger.acts.copies import ATTACHMENTS, PUBLISHED, VAULT, newest_keys
from ledger.acts.folders import copy_database, copy_file, new_folder, require_new, write
from ledger.acts.heads import CHECKPOINTS, read_notes, sign_head
from ledger.acts.settings import FILE, Settings, read_settings, write_settings
from ledger.acts.shop import Shop
from ledger.audit.present import SecondViews
from ledger.audit.tree import note_findings
from ledger.audit.walk import Walk
from ledger.craft.policy import is_house_policy
from ledger.errors import LedgerError, RefusedError, TamperError
from ledger.log import attachments, merkle, tables
from ledger.log.checkpoint import NoteKey, parse_checkpoint, parse_note
from ledger.log.database import transaction
from ledger.log.encoding import canonical
from ledger.log.entry import LARGEST_RECORD, parse_record
from ledger.log.keysfile import LARGEST_KEYS_FILE, read_keys_file
from ledger.log.policy import POLICY_FORMAT
from ledger.log.store import Store
from ledger.log.vault import Vault
from ledger.views import fold
from ledger.views.filed import filed
from ledger.views.standing import governing_entries

RECORDS = "records.txt"
KEYS = "keys"
POLICY = "policy"
BATCH = 1000
# What is read of an export, and at one time of what is read whole [bytes]: so many
# checkpoints no shop signs in a century.
MOST_BYTES: dict[str, int | None] = {
    FILE: 65_536,
    KEYS: LARGEST_KEYS_FILE,
    CHECKPOINTS: 64 * 1_048_576,
    RECORDS: None,
    VAULT: None,
}
ABOUT = """This folder is the whole record of a shop.

records.txt    every record, one after the other: an entry on one line, its signature
               on the next. The leaf hash of a record is SHA-256 over a zero byte and
               its two lines with both line feeds; the tree over the leaves is that of
               RFC 6962.
checkpoints    the heads that the shop's log signed, as C2SP checkpoints.
keys           the shop's newest keys file, signed by its roots, if it has one.
policy/        every policy that was adopted.
attachments/   the papers on file, each under its SHA-256. Papers with personal data
               lie behind a salt, and are here only with the names.
shop.toml      how the shop writes and prints; no part of the record.
vault.sqlite3  only if it was asked for: the names behind the commitments.
"""


def export(shop: Shop, folder: Path, *, with_names: bool = False) -> int:
    """Write the whole record as plain files; return the number of entries.

    Names and papers with personal data stay behind unless they are asked for.
    """
    with new_folder(folder):
        sign_head(shop)
        size = shop.store.head().size
        with (folder / RECORDS).open("xb") as file:
            for _, record in shop.store.records(0, size):
                file.write(record)
        write(folder / "README", ABOUT.encode())
        # Another station may have signed a larger head since.
        notes = "\n".join(n for at, n in shop.store.checkpoints() if at <= size)
        write(folder / CHECKPOINTS, notes.encode())
        write_settings(folder, replace(shop.settings, database=""))
        keys = newest_keys(shop)
        if keys is not None:
            write(folder / KEYS, keys.read_bytes())
        with shop.store.reading() as session:
            _export_policies(session, folder / POLICY)
            _export_papers(shop, session, folder / ATTACHMENTS, with_names=with_names)
        if with_names:
            copy_database(shop.folder / VAULT, folder / VAULT)
    return size


def import_record(source: Path, folder: Path, settings: Settings) -> int:
    """Make a shop's folder out of an exported record; return the number of entries.

    Everything is verified before the first write: every record against the one before,
    every signature and every right to speak, every checkpoint, and every paper. The
    settings are those of the export, if it has them, with the database of `settings`.
    The keys of people are not in an export: bring the key files, or let the roots
    replace the keys.
    """
    require_new(folder)
    _require_plain(source)
    size, papers = _verified(source)
    keys = (source / KEYS).read_bytes() if (source / KEYS).exists() else None
    number = read_keys_file(keys).number if keys is not None else 0
    if (source / FILE).exists():
        settings = replace(read_settings(source), database=settings.database)
    with ExitStack() as undo:
        undo.callback(shutil.rmtree, folder, ignore_errors=True)
        folder.mkdir(parents=True, exist_ok=True)
        write_settings(folder, settings)
        (folder / "keys").mkdir(mode=0o700)
        store = Store.create(settings.url(folder))
        undo.callback(_drop, settings.url(folder))
        _fill(source, store)
        _import_papers(source / ATTACHMENTS, folder / ATTACHMENTS, papers)
        if (source / VAULT).exists():
            copy_database(source / VAULT, folder / VAULT)
        else:
            Vault.create(folder / VAULT).close()
        shutil.copyfile(source / CHECKPOINTS, folder / CHECKPOINTS)
        if keys is not None:
            (folder / PUBLISHED).mkdir()
            write(folder / PUBLISHED / f"keys-{number:04d}.json", keys)
        undo.pop_all()
    return size


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


def _export_papers(
    shop: Shop, session: Session, folder: Path, *, with_names: bool
) -> None:
    folder.mkdir()
    files = filed(session, shop.store.record)
    named = {f.digest for f in files if with_names or not f.is_salted}
    for digest in sorted(named & set(attachments.digests(shop.attachments))):
        copy_file(attachments.get(shop.attachments, digest), folder / digest)


def _import_papers(source: Path, folder: Path, papers: dict[str, bytes]) -> None:
    """Keep every paper under its digest; one that changed since is refused."""
    folder.mkdir()
    for digest, salt in papers.items():
        attachments.put(folder, source / digest, salt=salt, announced=digest)


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


def _verified(source: Path) -> tuple[int, dict[str, bytes]]:
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
        papers = _verified_papers(source)
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
    log_key = walk.standing.log_key
    findings = [finding for finding in walk.findings if not finding.is_open]
    findings += views.findings
    if log_key is not None:
        keys = [NoteKey(walk.standing.origin, log_key)]
        findings += note_findings(notes, keys, roots, walk.size)
    if findings or log_key is None:
        first = findings[0] if findings else "it is empty"
        raise TamperError(f"{source} is not imported: {first}")
    return walk.size, papers


def _verified_papers(source: Path) -> dict[str, bytes]:
    """Hash every paper again; return each with its salt, nothing where it has none."""
    salts: dict[str, bytes] = {}
    if (source / VAULT).exists():
        with Vault.open(source / VAULT) as vault:
            salts = {d: vault.get_salt(d) or b"" for d in vault.salted()}
    folder = source / ATTACHMENTS
    papers = {}
    for path in sorted(folder.iterdir()) if folder.is_dir() else []:
        salt = salts.get(path.name, b"")
        try:
            attachments.verify(folder, path.name, salt=salt)
        except LedgerError as fault:
            raise TamperError(f"{source} is not imported: {fault}") from None
        papers[path.name] = salt
    return papers


def _fill(source: Path, store: Store) -> None:
    with closing(store):
        fold.make(store.engine)
        batch = list(itertools.islice(records := read_records(source / RECORDS), BATCH))
        while batch:
            with store.appending() as appending:
                for data in batch:
                    appending.append(parse_record(data), fold.fold)
            batch = list(itertools.islice(records, BATCH))
        for note in read_notes((source / CHECKPOINTS).read_text(encoding="utf-8")):
            store.add_checkpoint(parse_checkpoint(parse_note(note)).size, note)


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
