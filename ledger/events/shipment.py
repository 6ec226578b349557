"""What is said of shipments: what was found that they need, and what was printed."""

from typing import Annotated, ClassVar, Literal

from annotated_types import MinLen
from pydantic import Field, StringConstraints

from ledger.events.form import (
    Amount,
    BoardCode,
    Count,
    Country,
    Day,
    Digest,
    DocumentCode,
    LotCode,
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
class Determined:
    """What one law was found to ask of some of the wood, by which row of which table.

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
class ShipmentPlanned:
    """A shipment was planned, and what it needs was looked up.

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
    determined: Annotated[tuple[Determined, ...], MinLen(1)]
    tables_sha256: Digest
    hts_number: HtsNumber | None = None

    def __post_init__(self) -> None:
        if not self.serials and not self.boards:
            raise ValueError("a shipment holds an instrument or a board")


@said
class ShipmentPapersPrinted:
    """A shipment's materials list was drawn for the printer; number 2 is a reprint.

    It carries a checkpoint out of the building: `root` is the log's root hash at `size`
    entries. `sha256` is that of the PDF.
    """

    kind: ClassVar[str] = "shipment.papers-printed/1"

    shipment: ShipmentCode
    number: Count
    size: Count
    root: Digest
    sha256: Digest
