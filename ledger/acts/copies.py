"""The whole record carried elsewhere: exported, imported, backed up, folded again."""

import itertools
import os
import shutil
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path

from ledger.acts.heads import CHECKPOINTS, read_notes, sign_head
from ledger.acts.settings import FILE, Settings, write_settings
from ledger.acts.shop import Shop
from ledger.audit.present import SecondViews
from ledger.audit.tree import note_findings
from ledger.audit.walk import Walk
from ledger.errors import RefusedError, TamperError
from ledger.log import merkle
from ledger.log.checkpoint import NoteKey, parse_checkpoint, parse_note
from ledger.log.encoding import canonical
from ledger.log.entry import LARGEST_RECORD, parse_record
from ledger.log.keys import SecretKey
from ledger.log.keysfile import read_keys_file, write_keys_file
from ledger.log.store import Store
from ledger.log.vault import Vault
from ledger.views import fold
from ledger.views.standing import governing_entries
from ledger.views.subjects import known_subjects

RECORDS = "records.txt"
KEYS = "keys"
ATTACHMENTS = "attachments"
VAULT = "vault.sqlite3"
LEDGER = "ledger.sqlite3"
BATCH = 1000
ABOUT = """This folder is the whole record of a shop.

records.txt    every record, one after the other: an entry on one line, its signature
               on the next. The leaf hash of a record is SHA-256 over a zero byte and
               its two lines with both line feeds; the tree over the leaves is that of
               RFC 6962.
checkpoints    the heads that the shop's log signed, as C2SP checkpoints.
keys           the shop's newest keys file, signed by its roots, if it has one.
policy/        the policies that were adopted.
attachments/   the papers on file, each under its SHA-256.
vault.sqlite3  only if it was asked for: the names behind the commitments.
"""


def publish_keys(shop: Shop, roots: Sequence[SecretKey]) -> Path:
    """Sign and keep a keys file for the log as it stands; return where it lies."""
    sign_head(shop)
    head = shop.store.head()
    folder = shop.folder / "published"
    folder.mkdir(exist_ok=True)
    newest = newest_keys(shop)
    number = read_keys_file(newest.read_bytes()).number + 1 if newest else 1
    with shop.store.reading() as session:
        governing = governing_entries(session)
    lineage = [
        shop.store.record(entry.index)
        for entry in governing
        if entry.kind in ("shop.founded/1", "root.changed/1")
    ]
    data = write_keys_file(
        shop.standing(),
        lineage=lineage,
        number=number,
        date=shop.today(),
        size=head.size,
        root=head.root,
        roots=roots,
    )
    path = folder / f"keys-{number:04d}.json"
    _write(path, data)
    return path


def newest_keys(shop: Shop) -> Path | None:
    """Return the newest keys file that the shop published, or None."""
    published = sorted((shop.folder / "published").glob("keys-*.json"))
    return published[-1] if published else None


def export(shop: Shop, folder: Path, *, with_names: bool = False) -> int:
    """Write the whole record as plain files; return the number of entries.

    Names stay behind unless they are asked for.
    """
    with _new_folder(folder):
        return _exported(shop, folder, with_names=with_names)


def import_record(source: Path, folder: Path, settings: Settings) -> int:
    """Make a shop's folder out of an exported record; return the number of entries.

    Everything is verified before the first write: every record against the one before,
    every signature and every right to speak, and every checkpoint. The keys of people
    are not in an export: bring the key files, or let the roots replace the keys.
    """
    _require_new(folder)
    size = _verified_size(source)
    keys = (source / KEYS).read_bytes() if (source / KEYS).exists() else None
    if keys is not None:
        read_keys_file(keys)
    with ExitStack() as undo:
        undo.callback(shutil.rmtree, folder, ignore_errors=True)
        folder.mkdir(parents=True, exist_ok=True)
        write_settings(folder, settings)
        (folder / "keys").mkdir(mode=0o700)
        _fill(source, Store.create(settings.url(folder)))
        _copy_files(source / ATTACHMENTS, folder / ATTACHMENTS)
        if (source / VAULT).exists():
            _copy_database(source / VAULT, folder / VAULT)
        else:
            Vault.create(folder / VAULT).close()
        shutil.copyfile(source / CHECKPOINTS, folder / CHECKPOINTS)
        if keys is not None:
            (folder / "published").mkdir()
            path = folder / "published" / f"keys-{read_keys_file(keys).number:04d}.json"
            _write(path, keys)
        undo.pop_all()
    return size


def back_up(shop: Shop, folder: Path) -> Path:
    """Copy the whole shop into a new folder below this one; return it.

    The copy is a shop of its own: open it and audit it. Root keys are not in it, since
    they are not in the shop's folder. Raises RefusedError for a log on PostgreSQL,
    whose own tools copy it.
    """
    if shop.settings.database:
        raise RefusedError(
            "this shop's log is on a database server: use flitchbook record export"
        )
    sign_head(shop)
    stamp = shop.now().strftime("%Y%m%dT%H%M%SZ")
    copy = folder / f"flitchbook-{stamp}"
    with _new_folder(copy):
        _copy_shop(shop.folder, copy)
    return copy


def rebuild(shop: Shop) -> int:
    """Fold every view again from the entries, sweep the vault; return the entries.

    Entries never change; what is shown of them may.
    """
    fold.make(shop.store.engine)
    with shop.store.appending() as appending:
        fold.empty(appending.session)
        for _, record in shop.store.records():
            fold.fold(appending.session, parse_record(record).entry)
        appending.session.flush()
        shop.vault.sweep(known_subjects(appending.session))
        return appending.head.size


def read_records(path: Path) -> Iterator[bytes]:
    """Read the records of a records.txt, one after the other."""
    with path.open("rb") as file:
        while first := file.readline(LARGEST_RECORD + 1):
            yield first + file.readline(LARGEST_RECORD + 1)


def _exported(shop: Shop, folder: Path, *, with_names: bool) -> int:
    sign_head(shop)
    size = shop.store.head().size
    with (folder / RECORDS).open("wb") as file:
        for _, record in shop.store.records(0, size):
            file.write(record)
    _write(folder / "README", ABOUT.encode())
    # Another station may have signed a larger head since.
    notes = "\n".join(n for at, n in shop.store.checkpoints() if at <= size)
    _write(folder / CHECKPOINTS, notes.encode())
    keys = newest_keys(shop)
    if keys is not None:
        _write(folder / KEYS, keys.read_bytes())
    policy = shop.standing().policy
    if policy is not None:
        (folder / "policy").mkdir()
        name = f"{policy['id']}-{policy['version']}.json"
        _write(folder / "policy" / name, canonical(policy))
    _copy_files(shop.attachments, folder / ATTACHMENTS)
    if with_names:
        _copy_database(shop.folder / VAULT, folder / VAULT)
    return size


def _verified_size(source: Path) -> int:
    """Walk over an exported record before anything is written."""
    views = SecondViews()
    walk = Walk(heard=lambda entry, _: views.hear(entry))
    roots = {0: merkle.EMPTY_ROOT}
    try:
        notes = read_notes((source / CHECKPOINTS).read_text(encoding="utf-8"))
        for index, record in enumerate(read_records(source / RECORDS)):
            walk.feed(index, record, merkle.leaf_hash(record))
            roots[walk.size] = walk.root
    except OSError as problem:
        raise RefusedError(
            f"{source} is no exported record: {problem.filename} cannot be read "
            f"({problem.strerror})"
        ) from None
    except UnicodeDecodeError:
        raise RefusedError(
            f"{source} is no exported record: its {CHECKPOINTS} are no text"
        ) from None
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
    return walk.size


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


@contextmanager
def _new_folder(folder: Path) -> Iterator[None]:
    """Make a folder that is new or empty; it goes again if what follows fails."""
    _require_new(folder)
    with ExitStack() as undo:
        undo.callback(shutil.rmtree, folder, ignore_errors=True)
        folder.mkdir(parents=True, exist_ok=True)
        yield
        undo.pop_all()


def _require_new(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise RefusedError(f"{folder} is a file: name a new folder")
    if folder.exists() and any(folder.iterdir()):
        raise RefusedError(f"{folder} is not empty: name a new folder")


def _write(path: Path, data: bytes) -> None:
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _copy_shop(source: Path, copy: Path) -> None:
    # Before the log, so that it speaks of no head beyond the log's copy.
    for name in (FILE, CHECKPOINTS):
        shutil.copy2(source / name, copy / name)
    for name in (LEDGER, VAULT):
        _copy_database(source / name, copy / name)
    for name in ("keys", ATTACHMENTS, "published"):
        _copy_files(source / name, copy / name)
    (copy / "keys").chmod(0o700)


def _copy_files(source: Path, target: Path) -> None:
    target.mkdir(parents=True, exist_ok=True)
    for path in sorted(source.glob("*")):
        if path.is_file():
            shutil.copy2(path, target / path.name)


def _copy_database(source: Path, target: Path) -> None:
    """Copy a database that may be in use, as it stands at one moment."""
    address = f"{source.resolve().as_uri()}?mode=ro"
    try:
        with (
            closing(sqlite3.connect(address, uri=True)) as old,
            closing(sqlite3.connect(target)) as new,
        ):
            old.backup(new)
    except sqlite3.Error as problem:
        raise RefusedError(
            f"{source} cannot be copied to {target} ({problem}): see that the disk has "
            f"room"
        ) from None
