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
    """What goes into a box, where it comes from or what to do, and how it stands.

    differs  what is asked has another answer in each row
    """

    value: str = ""
    comes_from: str
    state: State
    differs: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box of a form, with its answer.

    number          as the form prints it, or a word where it prints none
    is_from_memory  no printed form was read for this box
    differs         what is asked has another answer in each row
    """

    number: str
    label: str
    value: str
    comes_from: str
    state: State
    is_from_memory: bool = False
    differs: bool = False


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
    """All forms of one sort for a consignment, ready to draw.

    papers         what is needed for sure, and where to get it
    asks           what must be asked, in the order to ask it
    by_row         those of asks that stand at their boxes too
    newest_source  the oldest among the newest sources of the rows that decided
    """

    title: str
    about: str  # in a line under the title
    edition: str  # of the form
    number: str
    printed_on: date
    moves_on: date
    papers: tuple[str, ...] = ()
    asks: tuple[str, ...]
    by_row: tuple[str, ...] = ()
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


def ask(what: str, value: str = "", *, differs: bool = False) -> Answer:
    """Return what to ask, with the part that is known.

    Source: the caller's own.
    """
    return Answer(value=value, comes_from=what, state="ask", differs=differs)


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
