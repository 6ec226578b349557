"""What every species paper is drawn from: who sends what to whom, piece by piece.

A paper never reckons: what it prints stands here, and what it cannot know is `None`.
"""

from dataclasses import dataclass
from datetime import date
from typing import Literal

# How something is shown: by a paper, the shop's own book, somebody's word, not at all.
Shown = Literal["document", "diary", "witness", "none"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """Who sends or receives: a name, and an address in lines, as for an envelope."""

    name: str
    address: tuple[str, ...] = ()
    country: str = ""  # two letters, or EU; empty where it may be one of several


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldPaper:
    """A paper on file for some wood, as it was filed.

    number  as it stands on the paper; empty where none was written down
    """

    document: str  # our own code, D26-0007
    paper: str  # export permit, invoice, packing list …
    number: str = ""
    issued_on: date | None = None
    expires_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubted:
    """A paper that was filed, and the hold by which it is not counted as on file."""

    hold: str  # H26-001
    paper: HeldPaper


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One species in one form in one thing of the shipment.

    Masses are net [mg]; None was never weighed. `lots` are the lots or batches that it
    is of, and `boards` the pieces of wood; both are empty for what was not made here.
    `source` is the letter of the Convention, empty where it must be asked. Where nobody
    knows the `origin`, `may_be_from` has every country that it may be, if any is named.
    `held` are the papers that count, without those that are `doubted`.
    """

    thing: str  # the serial or the board, as in Thing.code
    taxon: str
    trade_name: str
    part: str
    form: str
    pieces: int
    mass_mg: int | None
    volume_mm3: int | None
    origin: str | None
    may_be_from: tuple[str, ...] = ()
    acquired: date | None
    shown: Shown
    held: tuple[HeldPaper, ...]
    lots: tuple[str, ...]
    boards: tuple[str, ...]
    kind: Literal["plant", "animal", "unknown"]
    appendix: str  # I, II, III or empty
    annex: str  # A, B, C, D or empty
    annotation: str  # as annotation #15; empty where there is none
    source: str
    first_listed: date | None  # in any Appendix; None where it never was
    answer: Literal["needed", "not needed", "ask"]
    documents: tuple[str, ...]  # that are needed, by name
    doubted: tuple[Doubted, ...] = ()

    @property
    def countries(self) -> tuple[str, ...]:
        """The country of origin, or all that it may be; none where none is named."""
        return (self.origin,) if self.origin else self.may_be_from


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """An instrument or a piece of wood that goes as one: what it is, and its marks.

    mass_mg  as weighed whole; None where it never was
    """

    code: str
    what: str  # flat-top guitar; fingerboard blank
    model: str
    made_in: int | None  # the year
    marks: tuple[str, ...]  # serial on the headstock, label inside
    certificate: str
    mass_mg: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What a law asks of one wood, or of all: which papers, and of whom.

    Where nobody knows which papers there are none; where it is of all, no taxon.
    """

    law: str
    taxon: str
    papers: tuple[str, ...]
    whom: str  # as a sentence names the offices
    is_needed: bool  # else it is open, and has to be asked


@dataclass(frozen=True, slots=True, kw_only=True)
class Consignment:
    """A shipment, ready to be put on paper."""

    number: str
    printed_on: date
    moves_on: date
    legs: tuple[str, ...]
    purpose: str
    owner_changes: bool | None
    sender: Party
    recipient: Party
    things: tuple[Thing, ...]
    items: tuple[Item, ...]
    hts_number: str  # digits; empty where it was not said
    table_date: date
    newest_source: date | None
    edition: str  # SHA-256 of the tables
    ask_first: tuple[Ask, ...]  # what is open, then what is needed
    size: int  # of the head that the paper carries
    root: str
