"""Tests of the vault's file: made, opened, cut off, busy, full."""

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from ledger.errors import LedgerError, NotFoundError, RefusedError, TamperError
from ledger.log import vaultfile
from ledger.log.vault import Vault
from tests.ledger.log.keeping import KEY, LONG, OTHER, SUBJECT, altered, folder_holds


def rewritten(path: Path) -> None:
    """Write something else in its place."""
    path.write_bytes(b"this is a note and no database" * 200)


def cut_in_half(path: Path) -> None:
    """Leave only the first half."""
    os.truncate(path, path.stat().st_size // 2)


def emptied(path: Path) -> None:
    """Leave nothing of the file but its name."""
    os.truncate(path, 0)


def scribbled(path: Path) -> None:
    """Write over everything after the first page's header."""
    data = path.read_bytes()
    path.write_bytes(data[:100] + b"\xaa" * (len(data) - 100))


@pytest.mark.parametrize("damage", [rewritten, cut_in_half, emptied, scribbled])
def test_a_damaged_vault_is_told_in_a_sentence(
    vault: Vault, damage: Callable[[Path], None]
) -> None:
    """No bare database error reaches a person."""
    vault.put(SUBJECT, "person.name", LONG, KEY)
    vault.close()
    damage(vault.path)

    with pytest.raises(TamperError, match="put back the newest copy"):
        Vault.open(vault.path)


def test_every_cut_of_a_vault_is_found(vault: Vault) -> None:
    """Cut anywhere, the vault is told to be damaged and loses no name silently."""
    for n in range(60):
        vault.put(f"{n:032x}", "person.name", f"Person {n} of the Loft", KEY)
    vault.close()
    data = vault.path.read_bytes()

    for size in (*range(0, len(data), 509), len(data) - 1):
        vault.path.write_bytes(data[:size])
        with pytest.raises(TamperError):
            Vault.open(vault.path)


def test_pages_altered_anywhere_give_no_bare_error(vault: Vault) -> None:
    """Whatever page is overwritten, the answer is a sentence of ours or the truth."""
    for n in range(60):
        vault.put(f"{n:032x}", "person.name", f"Person {n} of the Loft", KEY)
    vault.close()
    data = vault.path.read_bytes()

    found = 0
    for place in range(100, len(data), 211):
        bad = data[:place] + b"\xff\x00\x7f\x80" + data[place + 4 :]
        vault.path.write_bytes(bad)
        try:
            with Vault.open(vault.path) as again:
                names = [again.get(f"{n:032x}", "person.name") for n in range(60)]
                found += bool(again.faults())
        except LedgerError:
            found += 1
        else:
            assert {o.value for o in names if o} <= {
                f"Person {n} of the Loft" for n in range(60)
            }
    assert found > 50


def test_a_missing_vault_is_not_begun_anew(tmp_path: Path) -> None:
    """An empty vault in the place of a lost one would hide the loss."""
    with pytest.raises(NotFoundError, match="put back the newest copy"):
        Vault.open(tmp_path / "vault.sqlite3")
    assert list(tmp_path.iterdir()) == []


def test_a_vault_is_not_made_over_another(vault: Vault) -> None:
    """Whatever lies in its place stays."""
    vault.put(SUBJECT, "person.name", "Maura Kiely", KEY)

    with pytest.raises(RefusedError, match="is there already"):
        Vault.create(vault.path)
    assert vault.get(SUBJECT, "person.name") is not None


def test_only_its_owner_may_read_the_vault_s_file(vault: Vault) -> None:
    """Others on the same machine are kept out."""
    assert vault.path.stat().st_mode & 0o777 == 0o600


def test_a_busy_vault_is_waited_for_and_then_told(
    vault: Vault, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No "database is locked" reaches a person."""
    monkeypatch.setattr(vaultfile, "PATIENCE_SECONDS", 0.05)
    with (
        Vault.open(vault.path) as other,
        closing(sqlite3.connect(vault.path, isolation_level=None)) as tool,
    ):
        tool.execute("BEGIN EXCLUSIVE")
        with pytest.raises(RefusedError, match="let it finish, then try again"):
            other.put(SUBJECT, "person.name", "Maura Kiely", KEY)
        tool.execute("ROLLBACK")
        other.put(SUBJECT, "person.name", "Maura Kiely", KEY)

        assert other.get(SUBJECT, "person.name") is not None


def test_stations_wait_for_each_other(vault: Vault) -> None:
    """Four processes that put, read and erase at once lose nothing."""
    program = (
        "import hashlib, sys; from pathlib import Path\n"
        "from ledger.log.vault import Vault\n"
        "path, station = Path(sys.argv[1]), int(sys.argv[2])\n"
        "with Vault.open(path) as vault:\n"
        "    for n in range(12):\n"
        "        subject = f'{station * 100 + n:032x}'\n"
        "        key = hashlib.sha256(subject.encode()).digest()\n"
        "        vault.put(subject, 'person.name', 'Somebody', key)\n"
        "        assert vault.get(subject, 'person.name').value == 'Somebody'\n"
        "        if n % 3 == 0: vault.erase(subject)\n"
    )
    stations = [
        subprocess.Popen([sys.executable, "-c", program, str(vault.path), str(n)])
        for n in range(4)
    ]
    exits = [station.wait() for station in stations]

    assert exits == [0, 0, 0, 0]
    assert len(vault.subjects()) == 4 * 8
    assert vault.faults() == ()


def test_a_full_disk_keeps_the_vault_whole(vault: Vault) -> None:
    """What does not fit is refused in a sentence, and nothing is half kept."""
    pages = vault.connection.execute("PRAGMA page_count").fetchone()[0]
    vault.connection.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(RefusedError, match="is full; make room, then try again"):
        vault.put(SUBJECT, "person.name", LONG, KEY)

    vault.put(OTHER, "person.name", "Maura Kiely", KEY)
    assert vault.subjects() == {OTHER}


def test_a_vault_switched_to_write_ahead_is_switched_back(vault: Vault) -> None:
    """A write-ahead log would keep old pages; another tool's setting does not stay."""
    vault.put(SUBJECT, "person.name", "Hallvard Ness", KEY)
    vault.close()
    altered(vault, "PRAGMA journal_mode = WAL")
    with Vault.open(vault.path) as again:
        again.erase(SUBJECT)

        assert [p.name for p in vault.path.parent.iterdir()] == ["vault.sqlite3"]
        assert not folder_holds(vault.path.parent, "Hallvard")


@pytest.mark.parametrize(
    "change",
    [
        "CREATE TABLE copied (name TEXT)",
        "CREATE TRIGGER copying AFTER DELETE ON opening BEGIN SELECT 1; END",
        "DROP TABLE salt",
        "ALTER TABLE opening ADD COLUMN more TEXT",
    ],
)
def test_a_vault_with_other_tables_is_refused(vault: Vault, change: str) -> None:
    """A trigger slipped in would copy what is to be forgotten."""
    altered(vault, change)

    with pytest.raises(TamperError, match="are not the ones that were made"):
        Vault.open(vault.path)


def test_what_is_kept_of_a_subject_is_listed_without_its_values(vault: Vault) -> None:
    """In the order in which it was put there, and of nobody else."""
    key = bytes(32)
    name = vault.put("a" * 32, "person.name", "Jakub", key)
    vault.put("b" * 32, "person.name", "Maura", key)
    why = vault.put("a" * 32, "reason", "read too much", key)

    kept = vaultfile.kept_of(vault.path, vault.connection, "a" * 32)
    assert kept == [(name, "person.name", False), (why, "reason", False)]
