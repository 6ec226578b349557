"""The pages of an exported record: what there is, and a page for each instrument."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, TextIO

from sqlmodel import Session, SQLModel, col, select

from ledger.acts.readable import TABLES, Written, shown_views
from ledger.acts.readable_html import (
    Html,
    head,
    link,
    links,
    prose,
    species,
    write_table,
)
from ledger.acts.readable_words import (
    HEADINGS,
    LEFT_TO_THE_TABLES,
    column_words,
    measured,
    printed,
)
from ledger.views.allotting import Stay
from ledger.views.boards import Board
from ledger.views.builds import Build
from ledger.views.certificates import Certificate
from ledger.views.people import Person, PersonKey
from ledger.views.wood import Document, Lot

INDEX = "index.html"
ALL_TABLES = "tables.html"
INSTRUMENTS = "instruments"
ATTACHMENTS = "attachments"


def write_index(
    folder: Path,
    session: Session,
    *,
    shop: str,
    told: Sequence[str],
    tables: Sequence[Written],
    papers: dict[str, list[str]],
) -> None:
    """Write the first page, and one of all tables that it leads to.

    told    sentences about the whole: how many entries, whose names
    papers  for each serial the files of it below papers/
    """
    with (folder / INDEX).open("x", encoding="utf-8") as page:
        page.write(head(f"The record of {shop}"))
        page.writelines(f"<p>{prose(line)}</p>\n" for line in told)
        page.write(
            "<p>How to check it by hand stands in "
            f"{link('README')}, what it holds in {link('HOLDS.txt')}.</p>\n"
        )
        if not tables:
            page.write(
                "<p>No tables: what is shown was folded by another version.</p>\n"
            )
            return
        page.write(
            "<p>All that it adds up to, for a spreadsheet or a program: "
            f"{link(ALL_TABLES, 'the tables')}.</p>\n"
        )
        _instruments(page, session, papers)
        _documents(page, session, folder)
    _write_tables_page(folder, tables)


def write_instruments(
    folder: Path, session: Session, *, with_names: bool = False
) -> int:
    """Write a page for each instrument; return how many."""
    folder.mkdir()
    shown = {str(v.__tablename__) for v in shown_views(with_names=with_names)}
    asked = select(PersonKey.key, Person.badge).join(
        Person, col(Person.subject) == PersonKey.subject
    )
    badges = dict(session.exec(asked).all())
    count = 0
    for serial in session.exec(select(Build.serial).order_by(col(Build.serial))):
        path = folder / page_name(serial)
        with path.open("x", encoding="utf-8") as page:
            page.write(head("Instrument", serial))
            page.write(f'<p><a href="../{INDEX}">All of the record</a></p>\n')
            _wood(page, session, serial)
            for name in filter(shown.__contains__, HEADINGS):
                _rows_of(page, session, name, serial, badges, folder.parent)
        count += 1
    return count


def page_name(serial: str) -> str:
    """Return the file name of an instrument's page, whatever its serial bears."""
    plain = "".join(c if c.isalnum() or c in "-_" else "_" for c in serial)
    return f"{plain if plain == serial else plain + '-' + serial.encode().hex()}.html"


def _write_tables_page(folder: Path, tables: Sequence[Written]) -> None:
    with (folder / ALL_TABLES).open("x", encoding="utf-8") as page:
        page.write(head("All tables"))
        page.write(f'<p><a href="{INDEX}">All of the record</a></p>\n')
        page.write(
            "<p>They keep whole numbers; the unit ends the name of a column, as "
            f"{link('README')} says.</p>\n"
        )
        rows = ([t.name, t.about, t.rows, _both(t.name)] for t in tables)
        write_table(page, ("table", "what it is", "rows", "open it"), rows)


def _instruments(page: TextIO, session: Session, papers: dict[str, list[str]]) -> None:
    numbers: dict[str, list[str]] = {}
    for row in session.exec(select(Certificate).order_by(col(Certificate.idx))):
        numbers.setdefault(row.serial, []).append(f"{row.number} of {row.issued_on}")
    page.write("<h2>Instruments</h2>\n")
    rows = (
        [
            link(f"{INSTRUMENTS}/{page_name(build.serial)}", build.serial),
            build.model,
            build.begun_at[:10],
            "\n".join(numbers.get(build.serial, [])),
            links([f"papers/{name}" for name in papers.get(build.serial, [])]),
        ]
        for build in session.exec(select(Build).order_by(col(Build.idx)))
    )
    heads = ("serial", "model", "begun", "certificates", "pictures, proofs")
    write_table(page, heads, rows)


def _documents(page: TextIO, session: Session, folder: Path) -> None:
    page.write("<h2>Papers on file</h2>\n")
    rows = (
        [paper.code, paper.paper, paper.issued_on, _file(folder, paper.digest)]
        for paper in session.exec(select(Document).order_by(col(Document.idx)))
    )
    write_table(page, ("code", "paper", "issued", "file"), rows)


def _file(folder: Path, digest: str, beside: str = "") -> object:
    """Return where a file lies, from a page `beside` the folder's own."""
    path = f"{ATTACHMENTS}/{digest}"
    if (folder / path).exists():
        return link(f"{beside}{path}", digest[:16])
    return "sealed" if (folder / f"{path}.sealed").exists() else "not in this export"


def _wood(page: TextIO, session: Session, serial: str) -> None:
    """Write which wood is in it: what came off again stands among the stays."""
    asked = (
        select(Stay, Lot)
        .join(Board, col(Board.code) == Stay.board)
        .join(Lot, col(Lot.code) == Board.lot)
        .where(Stay.serial == serial, col(Stay.ended_idx).is_(None))
        .order_by(col(Stay.idx))
    )
    rows = [
        [stay.part, stay.board, lot.code, species(lot.species), lot.harvested_in]
        for stay, lot in session.exec(asked)
    ]
    if rows:
        page.write("<h2>The wood in it</h2>\n")
        heads = ("part", "board", "lot", "species", "harvested in")
        write_table(page, heads, rows)


def _rows_of(
    page: TextIO,
    session: Session,
    name: str,
    serial: str,
    badges: dict[str, str],
    folder: Path,
) -> None:
    """Write the rows of one instrument, without the columns that are empty in all."""
    table = SQLModel.metadata.tables[name]
    asked = select(*table.columns).where(table.c.serial == serial)
    rows = session.connection().execute(asked.order_by(*table.primary_key.columns))
    found = [row._mapping for row in rows]
    if not found:
        return
    names = [
        column.name
        for column in table.columns
        if column.name not in LEFT_TO_THE_TABLES
        and not (column.name == "unit" and "value" in table.columns)
        and any(row[column.name] is not None for row in found)
    ]
    page.write(f"<h2>{HEADINGS[name]}</h2>\n")
    shown = ([_shown(row, n, badges, folder) for n in names] for row in found)
    write_table(page, [column_words(n) for n in names], shown)


def _shown(
    row: Mapping[Any, Any], column: str, badges: dict[str, str], folder: Path
) -> object:
    """Return a value for people: a key by its badge, a measure with its unit."""
    value = row[column]
    if column == "key" and value in badges:
        return f"badge {badges[value]}"
    if column == "digest":
        return _file(folder, value, "../")
    if column == "value":
        return measured(row["unit"], value)
    return printed(column, value)


def _both(name: str) -> Html:
    files = ((f"{TABLES}/{name}.csv", "CSV"), (f"{TABLES}/{name}.jsonl", "JSON lines"))
    return Html(", ".join(link(path, text) for path, text in files))
