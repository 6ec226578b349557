"""What is said of instruments in the making: begun, ordered, allotted to, signed."""

from typing import Annotated, ClassVar, Literal

from annotated_types import MinLen

from ledger.events.board import Reading
from ledger.events.form import (
    BoardCode,
    BodyCode,
    Count,
    Country,
    Day,
    Digest,
    GaugeCode,
    MaterialCode,
    NeckCode,
    Words,
    said,
)
from ledger.events.route import NEVER_BELOW_ZERO, require_one_value

MeaningV1 = Literal["did", "inspected", "approved"]
Meaning = Literal["did", "assisted", "inspected", "approved", "witnessed"]
Stage = Literal["braced", "closed", "strung"]


@said
class Run:
    """The short run a build belongs to: number so-and-so of so many pieces."""

    name: Words
    number: Count
    pieces: Count


@said
class BuildBegun:
    """An instrument was begun; its serial is taken and never given again."""

    kind: ClassVar[str] = "build.begun/1"

    serial: Words
    model: Words
    version: Count
    body: BodyCode
    neck: NeckCode
    run: Run | None = None


@said
class BoardAllotted:
    """A board was allotted to one part of one instrument."""

    kind: ClassVar[str] = "board.allotted/1"

    board: BoardCode
    serial: Words
    part: Words


@said
class Promise:
    """One line of what was promised: what of the instrument, and how it is to be."""

    what: Words
    promised: Words


@said
class BuildOrdered:
    """What an instrument is to be was set down: for which order, when and whither.

    Who ordered it is nobody's business here; the order has a number.
    """

    kind: ClassVar[str] = "build.ordered/1"

    serial: Words
    order: Words | None = None
    due: Day | None = None
    destination: Country | None = None
    promised: tuple[Promise, ...] = ()


@said
class BuildChanged:
    """What was promised of an instrument was changed by a signed note.

    What is absent stays. With a `version` it follows another version of its model from
    now on. Why is kept in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "build.changed/1"

    serial: Words
    version: Count | None = None
    due: Day | None = None
    destination: Country | None = None
    promised: tuple[Promise, ...] = ()


@said
class MeasureV1:
    """One thing measured, as first it could be."""

    what: Words
    length_um: int | None = None
    mass_mg: int | None = None
    frequency_millihertz: int | None = None
    humidity_ppm: int | None = None

    def __post_init__(self) -> None:
        require_one_value(self)


@said
class Measure:
    """One thing measured, in the one unit that is given."""

    what: Words
    length_um: int | None = None
    mass_mg: int | None = None
    frequency_millihertz: int | None = None
    humidity_ppm: int | None = None
    temperature_millikelvin: int | None = None
    angle_millidegree: int | None = None
    pitch_ppm: int | None = None
    time_seconds: int | None = None

    def __post_init__(self) -> None:
        require_one_value(self)


@said
class PartWeighed:
    """A finished part and its mass."""

    part: Words
    mass_mg: int


@said
class StepSignedV1:
    """A builder put a key to a step, as steps first were signed."""

    kind: ClassVar[str] = "build.step-signed/1"

    serial: Words
    step: Words
    meaning: MeaningV1
    measures: tuple[MeasureV1, ...]
    weighed: tuple[PartWeighed, ...]

    def __post_init__(self) -> None:
        _require_possible(self.measures, self.weighed)


@said
class StepSigned:
    """A builder put a key to a step: did it, helped, inspected, approved, witnessed it.

    `way` is which of the accepted ways it was done in; `materials` are the batches that
    went into it, `gauges` what it was measured with, `photographs` what it looked like.
    Whoever joins body and neck says the numbers that stand on both. A step that was
    done under supervision counts once whoever may do it alone has `witnessed` it.
    """

    kind: ClassVar[str] = "build.step-signed/2"

    serial: Words
    step: Words
    meaning: Meaning
    way: Words | None = None
    measures: tuple[Measure, ...] = ()
    weighed: tuple[PartWeighed, ...] = ()
    materials: tuple[MaterialCode, ...] = ()
    gauges: tuple[GaugeCode, ...] = ()
    photographs: tuple[Digest, ...] = ()
    body: BodyCode | None = None
    neck: NeckCode | None = None

    def __post_init__(self) -> None:
        # Judged here and not where it was read: an act says first what to do about it.
        _require_possible(self.measures, self.weighed)


@said
class ReworkOrdered:
    """A step has to be done again: what was signed of it before counts no more.

    Why is kept in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "build.rework-ordered/1"

    serial: Words
    step: Words


@said
class PartScrapped:
    """A part was spoiled: its wood is gone, and the part waits for other wood.

    Why is kept in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "build.part-scrapped/1"

    serial: Words
    part: Words
    boards: Annotated[tuple[BoardCode, ...], MinLen(1)]


@said
class ConcessionGiven:
    """An instrument goes on though something of it is not as it should be.

    `measure` is what was read, where it was a measure. Why is kept in the vault, under
    `reason_commitment`.
    """

    kind: ClassVar[str] = "build.concession-given/1"

    serial: Words
    step: Words
    what: Words
    measure: Measure | None = None


@said
class BuildVoided:
    """An instrument will not be: its serial stays void, and its wood is free again.

    Why is kept in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "build.voided/1"

    serial: Words


@said
class SerialMisstamped:
    """A number was stamped that is not the instrument's: it is void, and leads here."""

    kind: ClassVar[str] = "build.misstamped/1"

    stamped: Words
    serial: Words


@said
class BuildTapped:
    """A part of an instrument was tapped at a stage of its making, and rang.

    A plate before its braces is a board, and is tapped as one. The recording is kept,
    so that all can be read again; `mass_mg` and `thickness_um` are of what was tapped.
    """

    kind: ClassVar[str] = "build.tapped/1"

    serial: Words
    part: Words
    stage: Stage
    mass_mg: Count | None = None
    thickness_um: Count | None = None
    recording_sha256: Digest
    low_millihertz: Count
    high_millihertz: Count
    method: Words
    readings: Annotated[tuple[Reading, ...], MinLen(1)]


@said
class TagPrinted:
    """A build tag was drawn for the printer; number 2 is the first reprint.

    It carries a checkpoint out of the building: `root` is the log's root hash at `size`
    entries. `sha256` is of the PDF.
    """

    kind: ClassVar[str] = "build.tag-printed/1"

    serial: Words
    number: Count
    size: Count
    root: Digest
    sha256: Digest


def _require_possible(
    measures: tuple[MeasureV1, ...] | tuple[Measure, ...],
    weighed: tuple[PartWeighed, ...],
) -> None:
    given = [part.mass_mg for part in weighed]
    for measure in measures:
        given += [getattr(measure, unit, None) or 0 for unit in NEVER_BELOW_ZERO]
    if any(value < 0 for value in given):
        raise ValueError(
            "a mass, a frequency, a humidity, a temperature or a time is never below "
            "zero"
        )
