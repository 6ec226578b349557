"""The facts of an exported record brought to its pages, in the trade's words."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from sqlmodel import Session

from cli.record_words import (
    HEADINGS,
    LEFT_TO_THE_TABLES,
    column_words,
    measured,
    printed,
)
from labels import record_pages as pages
from labels.record_pages import Filed, InstrumentLine, PaperLine, TableLine, WoodLine
from ledger.acts import readable_facts as facts
from ledger.acts.layout import ATTACHMENTS
from ledger.acts.readable import TABLES, Shown
from ledger.log.sealedfile import SEALED

INSTRUMENTS, PAPERS = "instruments", "papers"


def write_pages(
    session: Session,
    folder: Path,
    shown: Shown,
    papers: Mapping[str, Sequence[str]] | None = None,
) -> None:
    """Write the first page of an export, that of all tables, and each instrument's.

    papers  for each serial the files of it below papers/
    """
    first = pages.FirstPage(
        shop=shown.shop,
        told=shown.told,
        instruments=_instruments(session, papers or {}),
        papers=_papers(session, folder),
        has_drawn=bool(papers),
        has_tables=bool(shown.tables),
    )
    with (folder / pages.INDEX).open("x", encoding="utf-8") as page:
        pages.write_index(page, first)
    if not shown.tables:
        return
    with (folder / pages.ALL_TABLES).open("x", encoding="utf-8") as page:
        pages.write_tables(page, (_table(*each) for each in shown.tables))
    (folder / INSTRUMENTS).mkdir()
    badges = facts.badges(session)
    for build, _ in facts.builds(session):
        path = folder / INSTRUMENTS / page_name(build.serial)
        with path.open("x", encoding="utf-8") as page:
            told = _instrument(session, folder, shown, build.serial, badges)
            pages.write_instrument(page, told)


def page_name(serial: str) -> str:
    """Return the file name of an instrument's page, whatever its serial bears."""
    plain = "".join(c if c.isalnum() or c in "-_" else "_" for c in serial)
    return f"{plain if plain == serial else plain + '-' + serial.encode().hex()}.html"


def _instruments(
    session: Session, papers: Mapping[str, Sequence[str]]
) -> Iterator[InstrumentLine]:
    for build, issued in facts.builds(session):
        yield InstrumentLine(
            page=f"{INSTRUMENTS}/{page_name(build.serial)}",
            serial=build.serial,
            model=build.model,
            begun_on=build.begun_at[:10],
            certificates=[f"{each.number} of {each.issued_on}" for each in issued],
            papers=[f"{PAPERS}/{name}" for name in papers.get(build.serial, ())],
        )


def _papers(session: Session, folder: Path) -> Iterator[PaperLine]:
    for row in facts.documents(session):
        yield PaperLine(row.code, row.paper, row.issued_on, _filed(folder, row.digest))


def _filed(folder: Path, digest: str) -> Filed:
    """Return where a paper lies in an export."""
    path = f"{ATTACHMENTS}/{digest}"
    if (folder / path).exists():
        return Filed(digest, path)
    return Filed(digest, is_sealed=(folder / f"{path}{SEALED}").exists())


def _table(name: str, about: str, rows: int) -> TableLine:
    files = ((f"{TABLES}/{name}.csv", "CSV"), (f"{TABLES}/{name}.jsonl", "JSON lines"))
    return TableLine(name, about, rows, files)


def _instrument(
    session: Session, folder: Path, shown: Shown, serial: str, badges: dict[str, str]
) -> pages.InstrumentPage:
    wood = [
        WoodLine(stay.part, stay.board, lot.code, lot.species, lot.harvested_in)
        for stay, lot in facts.wood_in(session, serial)
    ]
    names = {table.name for table in shown.tables}
    told = (
        (heading, facts.told_by(session, name, serial))
        for name, heading in HEADINGS.items()
        if name in names
    )
    sections = (
        _section(heading, table, badges, folder)
        for heading, table in told
        if table.rows
    )
    return pages.InstrumentPage(serial=serial, wood=wood, sections=sections)


def _section(
    heading: str, told: facts.Told, badges: dict[str, str], folder: Path
) -> pages.Section:
    columns = [name for name in told.columns if name not in LEFT_TO_THE_TABLES]
    cell = partial(_cell, badges, folder)
    rows = ([cell(row, name) for name in columns] for row in told.rows)
    return pages.Section(heading, [column_words(name) for name in columns], rows)


def _cell(
    badges: dict[str, str], folder: Path, row: Mapping[Any, Any], column: str
) -> object:
    """Return a value for people: a key by its badge, a measure with its unit."""
    value = row[column]
    if column == "key" and value in badges:
        return f"badge {badges[value]}"
    if column == "digest":
        return _filed(folder, value)
    if column == "value":
        return measured(row["unit"], value)
    return printed(column, value)
