"""What the tests of the vault and of its file share."""

import sqlite3
from contextlib import closing
from pathlib import Path

from ledger.log.vault import Vault

SUBJECT = "00112233445566778899aabbccddeeff"
OTHER = "ffeeddccbbaa99887766554433221100"
KEY = bytes(range(32))
LONG = "Rua das Oliveiras, " * 400 + "Port Anslow"


def folder_holds(folder: Path, text: str) -> bool:
    """Tell whether any file of a folder holds a text, in UTF-8 or UTF-16."""
    forms = (text.encode(), text.encode("utf-16-le"), text.encode("utf-16-be"))
    contents = [path.read_bytes() for path in folder.rglob("*") if path.is_file()]
    return any(form in data for form in forms for data in contents)


def altered(vault: Vault, change: str) -> None:
    """Alter the vault as somebody might who has a database tool."""
    with closing(sqlite3.connect(vault.path, isolation_level=None)) as tool:
        tool.execute("PRAGMA ignore_check_constraints = ON")
        tool.execute(change)
