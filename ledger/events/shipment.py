"""What is said of shipments: what was found that they need, and what was printed."""

from typing import Annotated, ClassVar, Literal

from annotated_types import MinLen
from pydantic import Field, StringConstraints

from ledger.events.form import (
    Amount,
    BoardCode,
    Count,
    Countries,
    Country,
    Day,
    Digest,
    DocumentCode,
    LotCode,
    MaterialCode,
    ShipmentCode,
    Words,
    said,
)

# What a shipment leaves for; entries of long ago keep these words, whatever tables say.
Purpose = Literal[
    "sale",
    "no sale",
    "gift",
    "personal",
    "performance",
    "display",
    "loan",
    "competition",
    "teaching",
    "appraisal",
    "repair",
]
Answer = Literal["needed", "not needed", "ask"]
# Heading, subheading, rate line or statistical number, without points.
HtsNumber = Annotated[str, StringConstraints(pattern=r"^[0-9]{4}(?:[0-9]{2}){0,3}$")]


@said
class NeededPaper:
    """A document to ask for, and whom it comes from."""

    name: Words
    from_: Annotated[Words, Field(alias="from")]


@said
class Share:
    """So much of it is of this lot, this batch, or this described piece.

    `number` is its place among the pieces that the plan describes, the first one is 1.
    `mass_mg` is absent where it was never weighed; `origin` and `acquired` as with a
    lot.
    """

    lot: LotCode | None = None
    batch: MaterialCode | None = None
    number: Count | None = None
    mass_mg: Amount | None = None
    origin: Country | None = None
    acquired: Day | None = None

    def __post_init__(self) -> None:
        if sum(each is not None for each in (self.lot, self.batch, self.number)) != 1:
            raise ValueError("a share is of a lot, a batch or a described piece")

    @property
    def of(self) -> str:
        """What it is a share of, in short."""
        return self.lot or self.batch or f"piece {self.number}"


@said
class Determined:
    """What one law was found to ask of some of it, by which row of which table.

    The Convention answers for each species in each form, and apart where the answer
    differs; the mass of that is known where each share's is. What another law answers
    is of the whole shipment, and has neither `species` nor `form`. `shares` is what is
    meant, gram for gram, and `evidence` the papers we hold for it. `row` is absent
    where the tables have none, and `newest_source` where no source was read for it.
    """

    law: Words
    answer: Answer
    rule: Words
    row: Words | None = None
    documents: tuple[NeededPaper, ...]
    species: Words | None = None
    form: Words | None = None
    mass_mg: Amount | None = None
    shares: Annotated[tuple[Share, ...], MinLen(1)]
    evidence: tuple[DocumentCode, ...]
    table_date: Day
    newest_source: Day | None = None

    def __post_init__(self) -> None:
        if (self.species is None) != (self.form is None):
            raise ValueError("species and form are there together, or neither is")
        if len({share.of for share in self.shares}) != len(self.shares):
            raise ValueError("a lot, a batch or a piece is named once, with all of it")
        masses = [share.mass_mg for share in self.shares]
        whole = None if None in masses else sum(mass or 0 for mass in masses)
        if self.species is None:
            whole = None
        if self.mass_mg != whole:
            raise ValueError(
                f"its shares weigh {whole} mg together, not {self.mass_mg}"
            )


@said
class DescribedPiece:
    """A piece of something that was not made here, as somebody described it.

    Pieces of one `thing` go together: a guitar of 1964, a bow. `may_be_from` has the
    countries, sorted, of which its `origin` is one that nobody knows. `documents` are
    the papers on file for it.
    """

    thing: Words
    marks: Words | None = None
    part: Words
    species: Words
    form: Words
    mass_mg: Amount | None = None
    origin: Country | None = None
    may_be_from: Annotated[Countries, MinLen(2)] | None = None
    acquired: Day | None = None
    documents: tuple[DocumentCode, ...] = ()

    def __post_init__(self) -> None:
        if self.may_be_from and self.origin is not None:
            raise ValueError("where it may be from is said of an unknown origin")


@said
class ShipmentPlanned:
    """A shipment was planned, and what it needs was looked up.

    `legs` are the countries it goes through, the first one where it starts; `EU` stands
    for the Union. `described` is what goes along and was not made here. `hts_number` is
    its number in the tariff of the United States. What the tables said that day stands
    in `determined`, CITES first, and `tables_sha256` names their edition; it is worked
    out again whenever it is asked for.
    """

    kind: ClassVar[str] = "shipment.planned/2"

    shipment: ShipmentCode
    legs: Annotated[tuple[Country, ...], MinLen(2)]
    purpose: Purpose
    owner_changes: bool
    moves_on: Day
    serials: tuple[Words, ...]
    boards: tuple[BoardCode, ...]
    described: tuple[DescribedPiece, ...] = ()
    determined: Annotated[tuple[Determined, ...], MinLen(1)]
    tables_sha256: Digest
    hts_number: HtsNumber | None = None

    def __post_init__(self) -> None:
        if not self.serials and not self.boards and not self.described:
            raise ValueError("a shipment holds an instrument, a board or a piece")
        pieces = {s.number for one in self.determined for s in one.shares if s.number}
        if any(piece > len(self.described) for piece in pieces):
            raise ValueError("a share is of a piece that nobody described")


# The papers of a shipment; entries of long ago keep these words.
Paper = Literal[
    "materials list",
    "packing list",
    "chain of custody",
    "CITES worksheet",
    "EU worksheet",
    "declaration worksheet",
    "instrument certificate worksheet",
    "due diligence sheet",
]


@said
class ShipmentPapersPrinted:
    """A paper of a shipment was drawn for the printer; number 2 of a kind is a reprint.

    It carries a checkpoint out of the building: `root` is the log's root hash at `size`
    entries. `sha256` is that of the PDF.
    """

    kind: ClassVar[str] = "shipment.papers-printed/2"

    shipment: ShipmentCode
    paper: Paper
    number: Count
    size: Count
    root: Digest
    sha256: Digest


@said
class LotShare:
    """So much of the wood is of this lot, from there and held since that day.

    `origin` is where it was harvested, absent where that is not known. `acquired` is
    the day it came in, absent where nothing shows that day.
    """

    lot: LotCode
    mass_mg: Amount
    origin: Country | None = None
    acquired: Day | None = None


@said
class DeterminedV1:
    """What one law was found to ask of some of the wood, as first it was said.

    The Convention answers for each species in each form, and apart where the answer
    differs. What another law answers is of the whole shipment: it has no `species`,
    `form` and `mass_mg`. `lots` is the wood that is meant, gram for gram, and
    `evidence` the papers we hold for it. `row` is absent where the tables have none,
    and `newest_source` where no source was read for the row, or there is no row.
    """

    law: Words
    answer: Answer
    rule: Words
    row: Words | None = None
    documents: tuple[NeededPaper, ...]
    species: Words | None = None
    form: Words | None = None
    mass_mg: Amount | None = None
    lots: Annotated[tuple[LotShare, ...], MinLen(1)]
    evidence: tuple[DocumentCode, ...]
    table_date: Day
    newest_source: Day | None = None

    def __post_init__(self) -> None:
        of_wood = (self.species, self.form, self.mass_mg)
        if None in of_wood and of_wood != (None, None, None):
            raise ValueError("species, form and mass are there together, or none is")
        if len({share.lot for share in self.lots}) != len(self.lots):
            raise ValueError("a lot is named once, with all its mass")
        shares_mg = sum(share.mass_mg for share in self.lots)
        if self.mass_mg is not None and shares_mg != self.mass_mg:
            raise ValueError(
                f"its lots weigh {shares_mg} mg together, and it {self.mass_mg} mg"
            )


@said
class ShipmentPlannedV1:
    """A shipment of our own wood was planned, as first it was said.

    `legs` are the countries it goes through, the first one where it starts; `EU` stands
    for the Union. `hts_number` is its number in the tariff of the United States. What
    the tables said that day stands in `determined`, CITES first, and `tables_sha256`
    names their edition; it is worked out again whenever it is asked for.
    """

    kind: ClassVar[str] = "shipment.planned/1"

    shipment: ShipmentCode
    legs: Annotated[tuple[Country, ...], MinLen(2)]
    purpose: Purpose
    owner_changes: bool
    moves_on: Day
    serials: tuple[Words, ...]
    boards: tuple[BoardCode, ...]
    determined: Annotated[tuple[DeterminedV1, ...], MinLen(1)]
    tables_sha256: Digest
    hts_number: HtsNumber | None = None

    def __post_init__(self) -> None:
        if not self.serials and not self.boards:
            raise ValueError("a shipment holds an instrument or a board")


@said
class ShipmentPapersPrintedV1:
    """A shipment's materials list was drawn for the printer, as first it was said.

    Number 2 is a reprint. It carries a checkpoint out of the building: `root` is the
    log's root hash at `size` entries. `sha256` is that of the PDF.
    """

    kind: ClassVar[str] = "shipment.papers-printed/1"

    shipment: ShipmentCode
    number: Count
    size: Count
    root: Digest
    sha256: Digest
