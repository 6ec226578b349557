"""A copy put back as a shop's folder, or opened where it lies to be judged.

A copy in the clear is a shop by itself. Of a sealed one nothing is written in the clear
but into the folder of the new shop; to be judged it is opened in memory.
"""

import hashlib
import secrets
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from ledger.acts.copying import BESIDE, copy_named, names_in
from ledger.acts.folders import copy_database, copy_file
from ledger.acts.layout import (
    ATTACHMENTS,
    CHECKPOINTS,
    KEYS,
    LEDGER,
    PUBLISHED,
    RECORDS,
    VAULT,
    WITNESSES,
)
from ledger.acts.settings import FILE, Settings, read_settings, write_settings
from ledger.acts.shop import Clock, Shop
from ledger.errors import RefusedError, TamperError
from ledger.log.sealedfile import SEALED, Lock, lock_of, unseal
from ledger.log.store import Store
from ledger.log.strokes import write_pieces_over
from ledger.log.vault import Vault
from ledger.log.vaultcopy import vault_in_memory


def is_sealed(copy: Path) -> bool:
    """Tell whether a copy's vault lies under a pass-phrase."""
    return (copy / f"{VAULT}{SEALED}").exists()


def require_copy(copy: Path) -> None:
    """Refuse a folder that is no copy of a shop, and say what it may be."""
    if (copy / RECORDS).exists():
        raise RefusedError(
            f"{copy} is an exported record: make a shop of it with flitchbook record "
            f"import"
        )
    needed = [FILE, LEDGER, f"{VAULT}{SEALED}" if is_sealed(copy) else VAULT]
    missing = [name for name in needed if not (copy / name).is_file()]
    if missing:
        raise RefusedError(
            f"{copy} is no copy of a shop, it has no {missing[0]}: name the folder "
            f"flitchbook-… that flitchbook record backup made"
        )


def lock_of_copy(copy: Path, pass_phrase: str) -> Lock:
    """Return the lock of a sealed copy; WrongPassPhraseError where it is another."""
    return lock_of(copy / f"{VAULT}{SEALED}", pass_phrase)


def put_back(copy: Path, folder: Path, *, lock: Lock | None) -> None:
    """Bring a copy into a folder that is there and empty, every seal opened.

    What comes of it is judged by whoever asked: nothing here reads an entry. Neither a
    database nor folders for backups are taken over: whoever had the copy may have
    named their own.
    """
    require_copy(copy)
    settings = settings_in(copy)
    write_settings(folder, replace(settings, backup_to=""))
    copy_named(copy, folder, [n for n in (CHECKPOINTS, settings.emblem, *BESIDE) if n])
    if (copy / f"{LEDGER}-wal").exists():
        copy_database(copy / LEDGER, folder / LEDGER)
    else:
        # On a stick that takes no writing SQLite would not open it.
        copy_file(copy / LEDGER, folder / LEDGER)
    for name in (PUBLISHED, WITNESSES, KEYS, ATTACHMENTS):
        _bring_files(copy / name, folder / name, lock)
    if lock is None:
        copy_database(copy / VAULT, folder / VAULT)
    else:
        open_into(copy / f"{VAULT}{SEALED}", folder / VAULT, name=VAULT, lock=lock)


def open_copy_for_audit(copy: Path, *, now: Clock, lock: Lock | None) -> Shop:
    """Open a copy where it lies, to be judged; a sealed one without its salts.

    Papers under a seal are judged by `require_sealed_whole`, and an audit calls them
    absent. Nothing of the vault is written anywhere.
    """
    settings = settings_in(copy)
    if lock is None:
        vault = Vault.open(copy / VAULT)
    else:
        vault = sealed_vault(copy, lock)
        vault.connection.execute("DELETE FROM salt")
    return Shop(
        folder=copy,
        settings=settings,
        store=Store.open(settings.url(copy), for_audit=True),
        vault=vault,
        now=now,
        entropy=secrets.token_bytes,
    )


def settings_in(copy: Path) -> Settings:
    """Return a copy's settings: its log lies in it, whatever they name."""
    return replace(read_settings(copy), database="")


def require_sealed_whole(folder: Path, lock: Lock) -> int:
    """Open every sealed file of a copy or an export to its end; return how many.

    Papers are hashed with their salts. Raises TamperError with the first that is not
    what was sealed.
    """
    with sealed_vault(folder, lock) as vault:
        papers = 0
        for digest, pieces in sealed_in(folder / ATTACHMENTS, lock):
            salt = vault.get_salt(digest)
            if salt is None:
                raise TamperError(f"{digest}{SEALED} has no salt in the sealed vault")
            require_digest(digest, salt, pieces)
            papers += 1
    keys = [sum(map(len, pieces)) for _, pieces in sealed_in(folder / KEYS, lock)]
    return 1 + papers + len(keys)


def sealed_in(folder: Path, lock: Lock) -> Iterable[tuple[str, Iterable[bytes]]]:
    """Yield the name and the bytes of each sealed file in a folder."""
    for name in names_in(folder):
        if name.endswith(SEALED):
            bare = name.removesuffix(SEALED)
            about = f"{folder.name}/{bare}"
            yield bare, unseal(folder / name, name=about, lock=lock)


def require_digest(digest: str, salt: bytes, pieces: Iterable[bytes]) -> None:
    """See that a stream is the paper of a digest."""
    found = hashlib.sha256(salt)
    for piece in pieces:
        found.update(piece)
    if found.hexdigest() != digest:
        raise TamperError(
            f"attachment {digest} now has the digest {found.hexdigest()}: take another "
            f"copy"
        )


def open_into(path: Path, target: Path, *, name: str, lock: Lock) -> None:
    """Open a sealed file into a new one; a part that is not whole goes again."""
    write_pieces_over(target, unseal(path, name=name, lock=lock))


def _bring_files(source: Path, target: Path, lock: Lock | None) -> None:
    names = names_in(source)
    bare = [name for name in names if not name.endswith(SEALED)]
    copy_named(source, target, bare)
    for name in names:
        if name in bare:
            continue
        if lock is None:
            raise RefusedError(
                f"{source / name} is sealed, and the copy's vault is not: take another "
                f"copy"
            )
        plain = name.removesuffix(SEALED)
        about = f"{source.name}/{plain}"
        open_into(source / name, target / plain, name=about, lock=lock)


def sealed_vault(folder: Path, lock: Lock) -> Vault:
    """Open the sealed vault of a copy or an export in memory."""
    path = folder / f"{VAULT}{SEALED}"
    return vault_in_memory(b"".join(unseal(path, name=VAULT, lock=lock)), path)
