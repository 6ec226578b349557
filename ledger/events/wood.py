"""What is said of wood as it comes in: who sawed it, its papers, its lots.

A sawyer's name is kept in the vault; the log knows how it may be shown.
"""

from typing import Annotated, ClassVar, Literal

from annotated_types import MinLen

from ledger.events.form import (
    Count,
    Countries,
    Country,
    Day,
    Digest,
    DocumentCode,
    LotCode,
    Subject,
    Words,
    said,
)

Shown = Literal["by-name", "by-region", "known-to-maker"]
Evidence = Literal["invoice", "diary", "witness", "none"]


@said
class SupplierRecorded:
    """A sawyer was entered, with the way in which the name may be shown."""

    kind: ClassVar[str] = "supplier.recorded/1"

    supplier: Subject
    name_commitment: Digest
    shown: Shown
    region: str | None = None
    country: str | None = None


@said
class DocumentFiled:
    """A paper was filed: its bytes are kept under their digest.

    `salted_sha256` stands instead of `sha256` where the paper holds personal data.
    """

    kind: ClassVar[str] = "document.filed/1"

    document: DocumentCode
    paper: Words
    number_as_written: str | None = None
    issued_on: Day | None = None
    expires_on: Day | None = None
    sha256: Digest | None = None
    salted_sha256: Digest | None = None


@said
class PermitLine:
    """What a paper was issued for: a species or a genus, and how much of it.

    The amount has the unit that stands on the paper, and one only; `as_written` is the
    amount as it stands there.
    """

    species: Words
    mass_mg: Count | None = None
    volume_mm3: Count | None = None
    pieces: Count | None = None
    as_written: Words | None = None

    def __post_init__(self) -> None:
        amounts = (self.mass_mg, self.volume_mm3, self.pieces)
        if sum(amount is not None for amount in amounts) != 1:
            raise ValueError("a line has a mass, a volume or a number of pieces")


@said
class PermitRead:
    """What a paper on file was issued for was read off it, line by line."""

    kind: ClassVar[str] = "document.permit-read/1"

    document: DocumentCode
    lines: Annotated[tuple[PermitLine, ...], MinLen(1)]


@said
class LotReceived:
    """A lot came in from one supplier, or is old stock entered at the opening."""

    kind: ClassVar[str] = "lot.received/1"

    lot: LotCode
    species: Words
    form: Words
    boards: Count
    received_on: Day
    documents: tuple[DocumentCode, ...]
    supplier: Subject | None = None
    trade_name: str | None = None
    harvested_in: str | None = None
    opening: bool | None = None
    evidence: Evidence | None = None


@said
class LotPaperAdded:
    """A paper on file was joined to a lot that had come in before.

    `harvested_in` is the country of harvest that it gives, where nobody had said any
    or another paper says the same.
    """

    kind: ClassVar[str] = "lot.paper-added/1"

    lot: LotCode
    document: DocumentCode
    harvested_in: Country | None = None


@said
class LotHarvestNamed:
    """The countries were named in which a lot may have been harvested.

    One country is where it was; of several, sorted, nobody knows which. It is of a lot
    that no country was known of. `document` is a paper of the lot that names them;
    where there is none, the reason says who named them.
    """

    kind: ClassVar[str] = "lot.harvest-named/1"

    lot: LotCode
    countries: Countries
    document: DocumentCode | None = None


@said
class PlotsFiled:
    """The plots of land on which a lot grew were filed, and when it was cut there.

    Where they lie stands in the document alone, as GeoJSON; `number` is how many it
    has. The days are the first and the last of the harvest.
    """

    kind: ClassVar[str] = "lot.plots-filed/1"

    lot: LotCode
    document: DocumentCode
    harvested_from: Day
    harvested_to: Day
    number: Count
