"""What is said of instruments that are done: serviced, sent out, come home."""

from typing import Annotated, ClassVar, Literal

from annotated_types import MinLen

from ledger.craft.wares import Errand
from ledger.events.build import Measure
from ledger.events.form import (
    BoardCode,
    Day,
    Digest,
    MaterialCode,
    Words,
    said,
)


@said
class InstrumentServiced:
    """Work was done on a finished instrument; whoever did it is who signed."""

    kind: ClassVar[str] = "instrument.serviced/1"

    serial: Words
    on: Day
    fault: Words | None = None
    work: Words
    measures: tuple[Measure, ...] = ()
    materials: tuple[MaterialCode, ...] = ()
    photographs: tuple[Digest, ...] = ()
    by_others: Literal[True] | None = None


@said
class PartRemoved:
    """A part was taken off a finished instrument; other wood may be allotted to it.

    `fate` is what became of the old wood.
    """

    kind: ClassVar[str] = "instrument.part-removed/1"

    serial: Words
    part: Words
    boards: Annotated[tuple[BoardCode, ...], MinLen(1)]
    fate: Literal["kept", "destroyed", "given to the owner"]
    photographs: tuple[Digest, ...] = ()


@said
class InstrumentSentV1:
    """An instrument left the shop, as first it was said: whither stands in the log."""

    kind: ClassVar[str] = "instrument.sent/1"

    serial: Words
    on: Day
    to: Words
    errand: Errand
    until: Day | None = None


@said
class InstrumentSent:
    """An instrument left the shop; each way out is an entry of its own.

    Whither it went is kept in the vault, under `reason_commitment`: it may be a name,
    or where somebody lives.
    """

    kind: ClassVar[str] = "instrument.sent/2"

    serial: Words
    on: Day
    errand: Errand
    until: Day | None = None


@said
class InstrumentReturned:
    """An instrument came home."""

    kind: ClassVar[str] = "instrument.returned/1"

    serial: Words
    on: Day
    condition: Words | None = None
