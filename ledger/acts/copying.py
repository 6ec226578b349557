"""Every file of a shop brought into a folder, in the clear or in part under a seal.

The log comes first and the vault behind it, so that no entry of the copy lacks its
name; an erasure that comes between the two makes the copying begin again.
"""

import shutil
from collections.abc import Collection
from contextlib import suppress
from dataclasses import replace
from itertools import chain
from pathlib import Path

from ledger.acts.backups import BACKUPS, EXPORTS
from ledger.acts.filling import fill
from ledger.acts.folders import copy_database, copy_file
from ledger.acts.layout import (
    ATTACHMENTS,
    CHECKPOINTS,
    KEYS,
    LEDGER,
    PUBLISHED,
    VAULT,
    WITNESSES,
)
from ledger.acts.settings import FILE, write_settings
from ledger.acts.shop import Entropy, Shop
from ledger.errors import RefusedError
from ledger.log import attachments
from ledger.log.entry import parse_record
from ledger.log.sealedfile import SEALED, Lock, pieces_of, seal
from ledger.log.store import Store
from ledger.log.strokes import UNFINISHED
from ledger.log.vaultcopy import vault_bytes

ERASED = "person.erased/"
TRIES = 3
# What the shop knows of its copies goes with it, for an erasure asks for them.
BESIDE = (BACKUPS, EXPORTS)


def copy_shop(shop: Shop, copy: Path, *, lock: Lock | None = None) -> None:
    """Copy a shop that may be in use into a folder that is there and empty.

    Under a lock the vault, the key files and the papers with personal data are sealed.
    Raises RefusedError where people are erased faster than the shop can be copied.
    """
    for _ in range(TRIES):
        size = _copy_log(shop, copy)
        _copy_beside(shop, copy, lock)
        if not _erased_since(shop, size):
            return
        _clear(copy)
    raise RefusedError(
        f"somebody was erased each of the {TRIES} times that the shop was copied: make "
        f"the backup again when that is done"
    )


def copy_named(source: Path, target: Path, names: Collection[str]) -> None:
    """Copy files of a folder by their names; one that is gone by then is no loss."""
    target.mkdir(mode=0o700, parents=True, exist_ok=True)
    for name in names:
        with suppress(FileNotFoundError):
            copy_file(source / name, target / name)


def names_in(folder: Path) -> list[str]:
    """Return the names of the files in a folder, but for those half written."""
    if not folder.is_dir():
        return []
    files = (p for p in folder.iterdir() if p.is_file() and not p.is_symlink())
    return sorted(p.name for p in files if not p.name.endswith(UNFINISHED))


def seal_named(
    source: Path,
    target: Path,
    names: Collection[str],
    *,
    lock: Lock,
    entropy: Entropy,
) -> None:
    """Seal files of a folder, each apart under its own name."""
    target.mkdir(mode=0o700, parents=True, exist_ok=True)
    for name in names:
        pieces = pieces_of(source / name)
        try:
            first = next(pieces, b"")
        except FileNotFoundError:
            continue
        path, about = target / f"{name}{SEALED}", f"{source.name}/{name}"
        seal(chain([first], pieces), path, name=about, lock=lock, entropy=entropy)


def seal_vault(shop: Shop, folder: Path, lock: Lock) -> None:
    """Seal the vault as it stands, without a byte of it in the clear on the way."""
    data = vault_bytes(shop.folder / VAULT)
    path = folder / f"{VAULT}{SEALED}"
    seal([data], path, name=VAULT, lock=lock, entropy=shop.entropy)


def seal_papers(shop: Shop, folder: Path, papers: Collection[str], lock: Lock) -> None:
    """Bring papers into a folder, those with personal data sealed."""
    personal = sorted(shop.vault.salted() & set(papers))
    seal_named(shop.attachments, folder, personal, lock=lock, entropy=shop.entropy)
    copy_named(shop.attachments, folder, sorted(set(papers) - set(personal)))


def _copy_log(shop: Shop, copy: Path) -> int:
    """Copy settings, heads and log; return how many entries the copy has."""
    if shop.settings.database:
        write_settings(copy, replace(shop.settings, database=""))
    else:
        copy_file(shop.folder / FILE, copy / FILE)
    # Before the log, so that it speaks of no head beyond the log's copy.
    copy_file(shop.folder / CHECKPOINTS, copy / CHECKPOINTS)
    url = f"sqlite:///{copy / LEDGER}"
    if not shop.settings.database:
        copy_database(shop.folder / LEDGER, copy / LEDGER)
        store = Store.open(url, for_audit=True)
        size = store.head().size
        store.close()
        return size
    size = shop.store.head().size
    notes = [note for at, note in shop.store.checkpoints() if at <= size]
    records = (record for _, record in shop.store.records(0, size))
    fill(Store.create(url), records, notes)
    (copy / LEDGER).chmod(0o600)
    return size


def _copy_beside(shop: Shop, copy: Path, lock: Lock | None) -> None:
    """Copy what lies beside the log: vault, keys, papers, and a few notes."""
    source = shop.folder
    kept = (shop.settings.emblem, *BESIDE)
    copy_named(source, copy, [name for name in kept if name])
    for folder in (PUBLISHED, WITNESSES):
        if (source / folder).is_dir():
            names = names_in(source / folder)
            copy_named(source / folder, copy / folder, names)
    papers, keys = attachments.digests(shop.attachments), names_in(shop.keys)
    if lock is None:
        copy_database(source / VAULT, copy / VAULT)
        copy_named(shop.keys, copy / KEYS, keys)
        copy_named(shop.attachments, copy / ATTACHMENTS, papers)
        return
    seal_vault(shop, copy, lock)
    seal_named(shop.keys, copy / KEYS, keys, lock=lock, entropy=shop.entropy)
    seal_papers(shop, copy / ATTACHMENTS, papers, lock)


def _erased_since(shop: Shop, size: int) -> bool:
    records = shop.store.records(size, shop.store.head().size)
    return any(parse_record(data).entry.kind.startswith(ERASED) for _, data in records)


def _clear(folder: Path) -> None:
    for path in folder.iterdir():
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink()
