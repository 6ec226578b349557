"""What is said of materials that are no boards, and of what measures."""

from typing import ClassVar

from ledger.craft.wares import Measures, Outcome, Use
from ledger.events.form import (
    Countries,
    Day,
    DocumentCode,
    GaugeCode,
    MaterialCode,
    Subject,
    Words,
    said,
)


@said
class MaterialReceived:
    """A batch of glue, finish, shell or strings came in.

    `lot_as_written` is its maker's own number; a material of a plant or an animal has
    its `species`.
    """

    kind: ClassVar[str] = "material.received/1"

    batch: MaterialCode
    what: Words
    use: Use
    supplier: Subject | None = None
    lot_as_written: Words | None = None
    species: Words | None = None
    received_on: Day
    expires_on: Day | None = None
    documents: tuple[DocumentCode, ...] = ()


@said
class MaterialPaperAdded:
    """A paper on file was joined to a batch that had come in before."""

    kind: ClassVar[str] = "material.paper-added/1"

    batch: MaterialCode
    document: DocumentCode


@said
class MaterialHarvestNamed:
    """The countries were named in which a batch may have been harvested, as of a lot.

    One country is where it was; of several nobody knows which.
    """

    kind: ClassVar[str] = "material.harvest-named/1"

    batch: MaterialCode
    countries: Countries
    document: DocumentCode | None = None


@said
class MaterialFinished:
    """Nothing is left of a batch."""

    kind: ClassVar[str] = "material.finished/1"

    batch: MaterialCode


@said
class GaugeListed:
    """A rule, a scale or a meter is used from now on; `mark` is what stands on it."""

    kind: ClassVar[str] = "gauge.listed/1"

    gauge: GaugeCode
    what: Words
    measures: Measures
    mark: Words | None = None


@said
class GaugeCalibrated:
    """A gauge was compared with something better, and holds until a day.

    One that `failed` may have been wrong ever since it was last right.
    """

    kind: ClassVar[str] = "gauge.calibrated/1"

    gauge: GaugeCode
    on: Day
    until: Day | None = None
    outcome: Outcome
    document: DocumentCode | None = None
