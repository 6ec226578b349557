"""Reading a table of the law: a CSV file beside this module, a row to an object."""

import csv
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from datetime import date
from functools import cache
from importlib.resources import files
from typing import Any, TypeVar, get_type_hints

Row = TypeVar("Row")


def read_table(kind: type[Row], name: str) -> tuple[Row, ...]:
    """Return the rows of a table as objects of a kind, whose fields are its columns.

    Columns that the kind has no field for are left out.

    Source: RFC 4180 for the files; each row names its own.
    """
    return tuple(read_row(kind, row) for row in raw_rows(name))


def read_row(kind: type[Row], row: Mapping[str, str]) -> Row:
    """Return a row as an object of a kind, whose fields without a default are columns.

    A list is written with semicolons, a set with spaces, an open day as nothing.

    Source: the row itself.
    """
    columns: Any = kind
    return kind(**{name: read(row[name]) for name, read in _columns(columns).items()})


@cache
def _columns(kind: type[Any]) -> dict[str, Callable[[str], Any]]:
    """Return what reads each column of a kind of row."""
    hints = get_type_hints(kind)
    return {
        field.name: _READERS[hints[field.name]]
        for field in fields(kind)
        if field.default is MISSING and field.default_factory is MISSING
    }


def raw_rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a table as they stand, by column.

    Source: RFC 4180 for the files; each row names its own.
    """
    text = files("ledger.trade").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _day_or_open(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


def _listed(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(";") if part.strip())


_READERS: dict[Any, Callable[[str], Any]] = {
    str: str,
    int: int,
    date: date.fromisoformat,
    date | None: _day_or_open,
    frozenset[str]: _words,
    tuple[str, ...]: _listed,
}
