"""The pages of an exported record: what there is, and a page for each instrument.

Each is written as its rows come, so that a large shop needs no more memory than a
small one.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TextIO

from labels.record_html import Html, head, link, links, prose, species, write_table

INDEX = "index.html"
ALL_TABLES = "tables.html"


class Filed(NamedTuple):
    """A paper on file: its digest, and where it lies in the export, if it does.

    path  from the first page; nothing where it is sealed or was left out
    """

    digest: str
    path: str = ""
    is_sealed: bool = False


class InstrumentLine(NamedTuple):
    """An instrument on the first page; its page and its papers by their paths."""

    page: str
    serial: str
    model: str
    begun_on: str
    certificates: Sequence[str] = ()
    papers: Sequence[str] = ()


class PaperLine(NamedTuple):
    """A paper on file, on the first page."""

    code: str
    paper: str
    issued_on: str | None
    file: Filed


class TableLine(NamedTuple):
    """A table: its name, what it is, its rows, and its files by what they are."""

    name: str
    about: str
    rows: int
    files: Sequence[tuple[str, str]]


class WoodLine(NamedTuple):
    """Wood that is in an instrument."""

    part: str
    board: str
    lot: str
    species: str
    harvested_in: str | None


class Section(NamedTuple):
    """What is told of an instrument under one heading; cells in the trade's words."""

    heading: str
    columns: Sequence[str]
    rows: Iterable[Sequence[object]]


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstPage:
    """What the first page shows.

    told  sentences about the whole: how many entries, whose names
    has_drawn  whether papers of instruments were drawn beside it
    """

    shop: str
    told: Sequence[str]
    instruments: Iterable[InstrumentLine] = ()
    papers: Iterable[PaperLine] = ()
    has_drawn: bool = False
    has_tables: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class InstrumentPage:
    """What the page of an instrument shows: its wood first, then all that is told."""

    serial: str
    wood: Sequence[WoodLine]
    sections: Iterable[Section]


def write_index(page: TextIO, shown: FirstPage) -> None:
    """Write the first page."""
    page.write(head(f"The record of {shown.shop}"))
    page.writelines(f"<p>{prose(line)}</p>\n" for line in shown.told)
    page.write(
        "<p>How to check it by hand stands in "
        f"{link('README')}, what it holds in {link('HOLDS.txt')}.</p>\n"
    )
    if not shown.has_tables:
        page.write("<p>No tables: what is shown was folded by another version.</p>\n")
        return
    page.write(
        "<p>All that it adds up to, for a spreadsheet or a program: "
        f"{link(ALL_TABLES, 'the tables')}.</p>\n"
    )
    _write_instruments(page, shown)
    _write_papers(page, shown.papers)


def write_tables(page: TextIO, tables: Iterable[TableLine]) -> None:
    """Write the page of all tables."""
    page.write(head("All tables"))
    page.write(f'<p><a href="{INDEX}">All of the record</a></p>\n')
    page.write(
        "<p>They keep whole numbers; the unit ends the name of a column, as "
        f"{link('README')} says.</p>\n"
    )
    rows = ([t.name, t.about, t.rows, _files(t)] for t in tables)
    write_table(page, ("table", "what it is", "rows", "open it"), rows)


def write_instrument(page: TextIO, shown: InstrumentPage) -> None:
    """Write the page of an instrument, which lies in a folder below the first one."""
    page.write(head("Instrument", shown.serial))
    page.write(f'<p><a href="../{INDEX}">All of the record</a></p>\n')
    if shown.wood:
        page.write("<h2>The wood in it</h2>\n")
        heads = ("part", "board", "lot", "species", "harvested in")
        wood = (each._replace(species=species(each.species)) for each in shown.wood)
        write_table(page, heads, wood)
    for section in shown.sections:
        page.write(f"<h2>{section.heading}</h2>\n")
        rows = (_cells(row, "../") for row in section.rows)
        write_table(page, section.columns, rows)


def _write_instruments(page: TextIO, shown: FirstPage) -> None:
    page.write("<h2>Instruments</h2>\n")
    rows = (
        [
            link(each.page, each.serial),
            each.model,
            each.begun_on,
            "\n".join(each.certificates),
            *([links(each.papers)] if shown.has_drawn else []),
        ]
        for each in shown.instruments
    )
    drawn = ["pictures, proofs"] if shown.has_drawn else []
    write_table(page, ("serial", "model", "begun", "certificates", *drawn), rows)


def _write_papers(page: TextIO, papers: Iterable[PaperLine]) -> None:
    page.write("<h2>Papers on file</h2>\n")
    write_table(page, ("code", "paper", "issued", "file"), map(_cells, papers))


def _cells(row: Sequence[object], beside: str = "") -> list[object]:
    return [_file(cell, beside) if isinstance(cell, Filed) else cell for cell in row]


def _file(filed: Filed, beside: str) -> str:
    """Return where a paper lies, from a page `beside` the first one."""
    if filed.path:
        return link(f"{beside}{filed.path}", filed.digest[:16])
    return "sealed" if filed.is_sealed else "not in this export"


def _files(table: TableLine) -> Html:
    return Html(", ".join(link(path, what) for path, what in table.files))
