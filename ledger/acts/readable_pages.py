"""The pages of an exported record: what there is, and a page for each instrument.

They are plain HTML without a script, and load nothing from anywhere.
"""

from collections.abc import Sequence
from html import escape
from pathlib import Path
from typing import Any, TextIO
from urllib.parse import quote

from sqlmodel import Session, SQLModel, col, select

from ledger.acts.readable import TABLES, Written, said, shown_views
from ledger.views.allotting import Stay
from ledger.views.boards import Board
from ledger.views.builds import Build
from ledger.views.certificates import Certificate
from ledger.views.people import Person, PersonKey
from ledger.views.wood import Document, Lot

INDEX = "index.html"
# What fits on one line of a cell is not broken.
SHORT = 24
INSTRUMENTS = "instruments"
HEAD = """<!DOCTYPE html>
<html lang="en">
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy"
 content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width">
<title>{title}</title>
<style>
body {{ font: 16px/1.5 serif; margin: 2em auto; max-width: 60em; padding: 0 1em; }}
table {{ border-collapse: collapse; display: block; overflow-x: auto; }}
th, td {{ border-bottom: 1px solid #bbb; padding: .2em .8em .2em 0; text-align: left;
 vertical-align: top; }}
td {{ font-variant-numeric: tabular-nums; max-width: 24em; overflow-wrap: break-word; }}
td.short {{ white-space: nowrap; }}
h2 {{ margin-top: 2em; }}
</style>
<h1>{title}</h1>
"""


def write_index(
    folder: Path,
    session: Session,
    *,
    shop: str,
    told: Sequence[str],
    tables: Sequence[Written],
    papers: dict[str, list[str]],
) -> None:
    """Write the first page: what lies in the folder, with a link to each of it.

    told    sentences about the whole: how many entries, whose names
    papers  for each serial the files of it below papers/
    """
    with (folder / INDEX).open("x", encoding="utf-8") as page:
        page.write(HEAD.format(title=escape(f"The record of {shop}")))
        page.writelines(f"<p>{escape(line)}</p>\n" for line in told)
        page.write(
            "<p>How to check it by hand stands in "
            f"{_link('README')}, what it holds in {_link('HOLDS.txt')}.</p>\n"
        )
        if not tables:
            page.write(
                "<p>No tables: what is shown was folded by another version.</p>\n"
            )
            return
        _instruments(page, session, papers)
        _documents(page, session, folder)
        page.write("<h2>Tables</h2>\n")
        rows = ([t.name, t.about, t.rows, _both(t.name)] for t in tables)
        _table(page, ("table", "what it is", "rows", "open it"), rows)


def write_instruments(
    folder: Path, session: Session, *, with_names: bool = False
) -> int:
    """Write a page for each instrument; return how many."""
    folder.mkdir()
    shown = shown_views(with_names=with_names)
    views = [v for v in shown if "serial" in v.model_fields]
    views.sort(key=lambda view: (view is not Build, view is Board))
    asked = select(PersonKey.key, Person.badge).join(
        Person, col(Person.subject) == PersonKey.subject
    )
    badges = dict(session.exec(asked).all())
    count = 0
    for serial in session.exec(select(Build.serial).order_by(col(Build.serial))):
        path = folder / page_name(serial)
        with path.open("x", encoding="utf-8") as page:
            page.write(HEAD.format(title=escape(f"Instrument {serial}")))
            page.write(f'<p><a href="../{INDEX}">All of the record</a></p>\n')
            _wood(page, session, serial)
            for view in views:
                _rows_of(page, session, view, serial, badges)
        count += 1
    return count


def page_name(serial: str) -> str:
    """Return the file name of an instrument's page, whatever its serial bears."""
    plain = "".join(c if c.isalnum() or c in "-_" else "_" for c in serial)
    return f"{plain if plain == serial else plain + '-' + serial.encode().hex()}.html"


def _instruments(page: TextIO, session: Session, papers: dict[str, list[str]]) -> None:
    numbers: dict[str, list[str]] = {}
    for row in session.exec(select(Certificate).order_by(col(Certificate.idx))):
        numbers.setdefault(row.serial, []).append(f"{row.number} of {row.issued_on}")
    page.write("<h2>Instruments</h2>\n")
    rows = (
        [
            _link(f"{INSTRUMENTS}/{page_name(build.serial)}", build.serial),
            build.model,
            build.begun_at[:10],
            ", ".join(numbers.get(build.serial, [])),
            _links([f"papers/{name}" for name in papers.get(build.serial, [])]),
        ]
        for build in session.exec(select(Build).order_by(col(Build.idx)))
    )
    _table(page, ("serial", "model", "begun", "certificates", "pictures, proofs"), rows)


def _documents(page: TextIO, session: Session, folder: Path) -> None:
    page.write("<h2>Papers on file</h2>\n")
    rows = (
        [paper.code, paper.paper, paper.issued_on, _file(folder, paper.digest)]
        for paper in session.exec(select(Document).order_by(col(Document.idx)))
    )
    _table(page, ("code", "paper", "issued", "file"), rows)


def _file(folder: Path, digest: str) -> Any:
    path = f"attachments/{digest}"
    if (folder / path).exists():
        return _link(path, digest[:16])
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
        [stay.part, stay.board, lot.code, lot.species, lot.harvested_in]
        for stay, lot in session.exec(asked)
    ]
    if rows:
        page.write("<h2>The wood in it</h2>\n")
        heads = ("part", "board", "lot", "species", "harvested in")
        _table(page, heads, rows)


def _rows_of(
    page: TextIO,
    session: Session,
    view: type[SQLModel],
    serial: str,
    badges: dict[str, str],
) -> None:
    """Write the rows of one instrument, without the columns that are empty in all."""
    table = SQLModel.metadata.tables[str(view.__tablename__)]
    asked = select(*table.columns).where(table.c.serial == serial)
    rows = session.connection().execute(asked.order_by(*table.primary_key.columns))
    found = [row._mapping for row in rows]
    if not found:
        return
    names = [
        column.name
        for column in table.columns
        if column.name != "serial"
        and any(row[column.name] is not None for row in found)
    ]
    page.write(f"<h2>{escape(str(view.__tablename__))}</h2>\n")
    page.write(f"<p>{escape(said(view))}</p>\n")
    _table(page, names, ([_whose(row[n], n, badges) for n in names] for row in found))


def _whose(value: object, column: str, badges: dict[str, str]) -> object:
    """Return a key as the badge of whose it is, and anything else as it is."""
    badge = badges.get(str(value)) if column == "key" else None
    return f"badge {badge}" if badge else value


class _Html(str):
    """What is HTML already."""

    __slots__ = ()


def _table(page: TextIO, heads: Sequence[str], rows: Any) -> None:
    page.write(f"<table><tr>{''.join(f'<th>{escape(h)}</th>' for h in heads)}</tr>\n")
    for row in rows:
        cells = "".join(map(_td, row))
        page.write(f"<tr>{cells}</tr>\n")
    page.write("</table>\n")


def _td(value: object) -> str:
    is_short = not isinstance(value, _Html) and len(str(value)) <= SHORT
    return f"<td{' class=short' if is_short else ''}>{_cell(value)}</td>"


def _cell(value: object) -> str:
    if isinstance(value, _Html):
        return value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return escape(str(value))


def _link(path: str, text: str = "") -> _Html:
    return _Html(f'<a href="{quote(path)}">{escape(text or path)}</a>')


def _links(paths: Sequence[str]) -> _Html:
    return _Html(", ".join(_link(path, path.rpartition("/")[2]) for path in paths))


def _both(name: str) -> _Html:
    files = ((f"{TABLES}/{name}.csv", "CSV"), (f"{TABLES}/{name}.jsonl", "JSON lines"))
    return _Html(", ".join(_link(path, text) for path, text in files))
