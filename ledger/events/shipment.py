"""What is said of shipments: what was found that they need, and what was printed."""

from typing import Annotated, ClassVar, Literal

from annotated_types import MinLen

from ledger.events.form import (
    Amount,
    BoardCode,
    Count,
    Day,
    Digest,
    ShipmentCode,
    Words,
    said,
)

Answer = Literal["needed", "not needed", "ask"]


@said
class Determined:
    """What one species in one form was found to need, by which row, as of which table.

    `documents` are the papers to ask for, each as "name, from whom".
    """

    species: Words
    form: Words
    mass_mg: Amount
    answer: Answer
    documents: tuple[Words, ...]
    rule: Words
    row: Words
    table_date: Day
    newest_source: Day | None = None


@said
class ShipmentPlanned:
    """A shipment was planned, and what it needs was looked up.

    `legs` are the countries it goes through, the first one where it starts. What the
    tables said that day stands here; it is worked out again whenever it is asked for.
    """

    kind: ClassVar[str] = "shipment.planned/1"

    shipment: ShipmentCode
    legs: Annotated[tuple[Words, ...], MinLen(2)]
    purpose: Words
    owner_changes: bool
    moves_on: Day
    serials: tuple[Words, ...]
    boards: tuple[BoardCode, ...]
    determined: Annotated[tuple[Determined, ...], MinLen(1)]
    tariff_code: Words | None = None


@said
class ShipmentPapersPrinted:
    """The materials list of a shipment was drawn for the printer."""

    kind: ClassVar[str] = "shipment.papers-printed/1"

    shipment: ShipmentCode
    number: Count
    size: Count
    sha256: Digest
