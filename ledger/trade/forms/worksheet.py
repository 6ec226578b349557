"""What a worksheet says: forms, their boxes, and what stands in each.

A worksheet is no form. It says what to write in which box of one, where that comes
from, and first of all what must be asked. A box that is asked may hold the part that
is known already.
"""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from ledger.trade.consignment import Item

State = Literal["filled", "ask", "for the office", "not for this"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What goes into a box, where it comes from or what to do, and how it stands."""

    value: str = ""
    comes_from: str
    state: State


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box of a form, with its answer.

    number          as the form prints it, or a word where it prints none
    is_from_memory  no printed form was read for this box
    """

    number: str
    label: str
    value: str
    comes_from: str
    state: State
    is_from_memory: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Specimen:
    """A row of a form: one species of one kind, and the items it is the sum of.

    volume is empty where the row is counted by mass.
    """

    name: str  # A on form 1; line 3
    items: tuple[Item, ...]
    boxes: tuple[Box, ...]
    mass: str
    volume: str = ""

    @property
    def taxon(self) -> str:
        """The species of the row."""
        return self.items[0].taxon


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """An official form to fill: boxes above its rows, the rows, and boxes below them.

    copies is how many of the form they take.
    """

    kind: str
    copies: int
    boxes: tuple[Box, ...]
    specimens: tuple[Specimen, ...]
    closing: tuple[Box, ...]
    total_mass: str
    total_volume: str = ""
    rounding: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Worksheet:
    """All forms of one sort for a consignment, ready to draw."""

    title: str
    about: str  # in a line under the title
    edition: str  # of the form
    number: str
    printed_on: date
    moves_on: date
    asks: tuple[str, ...]
    forms: tuple[Form, ...]
    notes: tuple[str, ...]
    table_date: date
    newest_source: date | None
    boxes_checked_on: date
    boxes_newest_source: date | None
    tables: str  # SHA-256
    size: int
    root: str


def filled(value: str, comes_from: str) -> Answer:
    """Return what to write.

    Source: the caller's own.
    """
    return Answer(value=value, comes_from=comes_from, state="filled")


def ask(what: str, value: str = "") -> Answer:
    """Return what to ask, with the part that is known.

    Source: the caller's own.
    """
    return Answer(value=value, comes_from=what, state="ask")


def office(why: str) -> Answer:
    """Return that somebody else writes here.

    Source: the table of the form.
    """
    return Answer(comes_from=why, state="for the office")


def not_for_this(why: str) -> Answer:
    """Return that the box stays empty, and why.

    Source: the caller's own.
    """
    return Answer(comes_from=why, state="not for this")
