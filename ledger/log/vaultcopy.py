"""The vault as it stands at one moment, in memory: counted, sealed, opened again.

What is in the clear never touches a disk on its way under a pass-phrase.

Source: SQLite documentation, "Online Backup API" and "Database Serialization".
"""

import sqlite3
from contextlib import ExitStack, closing
from pathlib import Path

from ledger.errors import TamperError
from ledger.log.vault import Vault
from ledger.log.vaultfile import told


def vault_bytes(path: Path) -> bytes:
    """Return the bytes of a vault that may be in use, as it stands at one moment."""
    address = f"{path.resolve().as_uri()}?mode=ro"
    with (
        told(path),
        closing(sqlite3.connect(address, uri=True)) as old,
        closing(sqlite3.connect(":memory:")) as new,
    ):
        old.backup(new)
        return new.serialize()


def vault_in_memory(data: bytes, path: Path) -> Vault:
    """Open the bytes of a vault, which are written nowhere; `path` is what names it."""
    if not data:
        raise TamperError(f"the vault {path} is empty; put back the newest copy")
    with told(path), ExitStack() as unless_open:
        connection = sqlite3.connect(":memory:", isolation_level=None)
        unless_open.callback(connection.close)
        connection.deserialize(data)
        connection.execute("SELECT count(*) FROM opening").fetchone()
        unless_open.pop_all()
    return Vault(path=path, connection=connection)


def values_kept(vault: Vault) -> dict[str, tuple[int, int]]:
    """Return for each field of how many subjects a value is kept, and sealed."""
    asked = (
        "SELECT field, count(DISTINCT CASE WHEN sealed IS NULL THEN subject END), "
        "count(DISTINCT CASE WHEN sealed IS NOT NULL THEN subject END) "
        "FROM opening GROUP BY field ORDER BY field"
    )
    with told(vault.path):
        rows = vault.connection.execute(asked).fetchall()
    return {field: (clear, sealed) for field, clear, sealed in rows}
