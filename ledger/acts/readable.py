"""What a shop's record adds up to, as tables that any program opens.

Each table of the views is written twice: as CSV for a person with a spreadsheet, and as
lines of JSON for a program. Rows are written as they come, so that a large shop needs
no more memory than a small one.

Source: RFC 4180 (CSV); UTF-8 with a mark at its beginning, by which spreadsheets know
it; OWASP, "CSV Injection", for cells that a spreadsheet would take for a formula.
"""

import csv
import json
import re
from collections.abc import Iterable, Sequence
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

from sqlmodel import Session, SQLModel, select

from ledger.acts.folders import write
from ledger.acts.names import REASON
from ledger.acts.owners import OWNER_NAME
from ledger.acts.people import PERSON_NAME
from ledger.acts.suppliers import SUPPLIER_NAME
from ledger.acts.thefts import CLAIMANT_NAME
from ledger.log.vault import Vault
from ledger.log.vaultfile import told
from ledger.views import fold
from ledger.views.certificates import Owner
from ledger.views.ownership import TheftReport, TransferCode
from ledger.views.people import Person

TABLES = "tables"
NAMES = "names.csv"
FORMULA = ("=", "+", "-", "@", "\t", "\r")
NAMED = (PERSON_NAME, SUPPLIER_NAME, OWNER_NAME, CLAIMANT_NAME, REASON)
# Which instrument was taken and whose slip is lost is nobody's business outside.
PRIVATE: tuple[type[SQLModel], ...] = (TheftReport, TransferCode)
FOR_OFFICE = "sealed for the office's keys"
ABOUT = """This folder is the whole record of a shop. Nothing is needed to read it but a
browser and a spreadsheet: begin with index.html.

index.html     what there is, with links; it has no script and asks no network.
tables.html    the tables one by one, with links.
instruments/   a page for each instrument: its wood, its steps, its papers.
tables/        what the record adds up to, as CSV for a spreadsheet and as JSON lines
               for a program. The unit ends the name of a column: _um is a thousandth of
               a millimetre, _mg a milligram, _ppm a millionth, _milli a thousandth,
               _millihertz a thousandth of a hertz, _pa a pascal. `idx` is the number of
               the entry that says it. In CSV a text that a spreadsheet would take for a
               formula has a ' before it; the JSON lines have it as it is. Tables of
               slips and of reports of theft come only with the names.
papers/        pictures of each instrument, if they were asked for.
names.csv      the names of people and suppliers, only if they were asked for.
HOLDS.txt      whose names are in here, and what an erasure in the shop reaches.

records.txt    every record, one after the other: an entry on one line, its signature
               on the next. The leaf hash of a record is SHA-256 over a zero byte and
               its two lines with both line feeds; the tree over the leaves is that of
               RFC 6962.
checkpoints    the heads that the shop's log signed, as C2SP checkpoints.
keys           the shop's newest keys file, signed by its roots, if it has one.
policy/        every policy that was adopted.
attachments/   the papers on file, each under its SHA-256. Papers with personal data
               lie behind a salt, and are here only with the names. So are photographs
               that somebody signed for whose name was erased: they may show them.
shop.toml      how the shop writes and prints; no part of the record.
vault.sqlite3  only if it was asked for: the names behind the commitments. Where it ends
               in .sealed it lies under a pass-phrase, as do papers with personal data.

To check it by hand, in this folder, with tools that are everywhere:

a paper on file without personal data is the one that was filed:
    sha256sum attachments/*
each line shows a digest and then a name, and the two must be the same.

an entry follows from the one before (here entry 0, the first two lines):
    { printf '\\000'; head -n 2 records.txt; } | sha256sum
gives the digest that stands as "previous" in entry 1, the third line.

an entry was signed by the key that it names (here entry 0 again):
    sed -n 1p records.txt | tr -d '\\n' > entry
    sed -n 2p records.txt | base64 -d > signature
    printf '302a300506032b6570032100%s' PUBLIC | xxd -r -p > key.der
    openssl pkeyutl -verify -pubin -inkey key.der -keyform DER \\
        -rawin -in entry -sigfile signature
PUBLIC is the 64 letters and digits of the key: those of the founders stand in entry 0
as "public", those of a person in the entry that enrolled the person. The first 16
digits of the SHA-256 of its 32 bytes are the key's name, which stands as "key" in an
entry.

All of it at once, with who might say what: flitchbook record import, then flitchbook
record audit.
"""
QUOTED = re.compile(r"`([^`]+)`")


class Written(NamedTuple):
    """A table that was written: its name, what it is, and how many rows it has."""

    name: str
    about: str
    rows: int


class Shown(NamedTuple):
    """What the pages of an export show beside the views themselves.

    told    sentences about the whole: how many entries, whose names
    tables  those that were written; none where another version folded the views
    """

    shop: str
    told: Sequence[str]
    tables: Sequence[Written]


def shown_views(*, with_names: bool) -> list[type[SQLModel]]:
    """Return the views that an export shows, without names fewer of them."""
    return [view for view in fold.TABLES if with_names or view not in PRIVATE]


def write_tables(
    session: Session, folder: Path, *, with_names: bool = False
) -> list[Written]:
    """Write the tables of the views into a new folder; return what was written.

    Nothing is written where the views were folded by another version: nobody here can
    say what their columns mean.
    """
    if not fold.is_of_this_edition(session):
        return []
    folder.mkdir()
    about = {
        str(view.__tablename__): said(view)
        for view in shown_views(with_names=with_names)
    }
    counts = dict.fromkeys(about, 0)
    columns = {table.name: table.columns.keys() for table in fold.tables_of_views()}
    for name, rows in groupby(fold.rows(session), key=lambda row: row[0]):
        if name in counts:
            plain = (row for _, row in rows)
            counts[name] = _write(folder, name, columns[name], plain)
    for name, count in counts.items():
        if not count:
            _write(folder, name, columns[name], ())
    return [Written(name, about[name], count) for name, count in counts.items()]


def write_names(session: Session, vault: Vault, path: Path) -> int:
    """Write whose names and reasons the vault keeps as CSV; return how many rows.

    Tokens and codes stay in the vault: who has one of those can act with it.
    """
    badges = dict(session.exec(select(Person.subject, Person.badge)).all())
    serials = dict(session.exec(select(Owner.subject, Owner.serial)).all())
    claims = session.exec(select(TheftReport.claimant, TheftReport.serial)).all()
    serials |= dict(claims)
    named = ", ".join("?" * len(NAMED))
    asked = (
        f"SELECT field, subject, value FROM opening WHERE field IN ({named}) "  # noqa: S608 - marks only
        f"ORDER BY field, id"
    )
    count = 0
    write(path, b"", is_private=True)
    with told(vault.path), path.open("a", encoding="utf-8-sig", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(("what", "of", "subject", "value"))
        for what, subject, value in vault.connection.execute(asked, NAMED):
            whose = f"badge {badges[subject]}" if subject in badges else ""
            whose = whose or serials.get(subject, "")
            text = FOR_OFFICE if value is None else value
            rows.writerow([cell(c) for c in (what, whose, subject, text)])
            count += 1
    return count


def said(view: type[SQLModel]) -> str:
    """Return what a table is, in one sentence; the name of a column is quoted."""
    return QUOTED.sub(r"“\1”", (view.__doc__ or "").strip().partition("\n")[0])


def cell(value: object) -> str:
    """Return a value as a cell of CSV: no formula, yes and no for what is so or not."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = str(value)
    return f"'{text}" if isinstance(value, str) and text.startswith(FORMULA) else text


def _write(
    folder: Path, name: str, columns: Iterable[str], rows: Iterable[tuple[object, ...]]
) -> int:
    count, names = 0, list(columns)
    with (
        (folder / f"{name}.csv").open("x", encoding="utf-8-sig", newline="") as sheet,
        (folder / f"{name}.jsonl").open("x", encoding="utf-8") as lines,
    ):
        table = csv.writer(sheet)
        table.writerow(names)
        for row in rows:
            table.writerow(map(cell, row))
            plain = dict(zip(names, map(_plain, row), strict=True))
            lines.write(json.dumps(plain, ensure_ascii=False) + "\n")
            count += 1
    return count


def _plain(value: object) -> object:
    return value.hex() if isinstance(value, bytes) else value
