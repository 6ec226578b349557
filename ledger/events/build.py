"""What is said of instruments: models, builds, the boards in them, who did what."""

from typing import Annotated, ClassVar, Literal

from annotated_types import MinLen

from ledger.events.board import Reading
from ledger.events.form import (
    BoardCode,
    BodyCode,
    Count,
    Digest,
    NeckCode,
    Words,
    said,
)

# What a measure can be given in.
UNITS = ("length_um", "mass_mg", "frequency_millihertz", "humidity_ppm")
# A relief may be, where a neck bends back.
NEVER_BELOW_ZERO = ("mass_mg", "frequency_millihertz", "humidity_ppm")

Meaning = Literal["did", "inspected", "approved"]
Stage = Literal["braced", "closed", "strung"]


@said
class Step:
    """A step of a model's route, and the qualification its signer needs."""

    step: Words
    qualification: Words


@said
class ModelDefined:
    """A model, or its next version, was set down: its parts and its steps."""

    kind: ClassVar[str] = "model.defined/1"

    model: Words
    version: Count
    instrument: Words
    parts: tuple[Words, ...]
    steps: tuple[Step, ...]


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
class Measure:
    """One thing measured, in the one unit that is given."""

    what: Words
    length_um: int | None = None
    mass_mg: int | None = None
    frequency_millihertz: int | None = None
    humidity_ppm: int | None = None

    def __post_init__(self) -> None:
        values = [getattr(self, unit) for unit in UNITS]
        if len(values) - values.count(None) != 1:
            raise ValueError("a measure has one value in one unit")


@said
class PartWeighed:
    """A finished part and its mass."""

    part: Words
    mass_mg: int


@said
class StepSigned:
    """A builder put a key to a step: did it, inspected it or approved it."""

    kind: ClassVar[str] = "build.step-signed/1"

    serial: Words
    step: Words
    meaning: Meaning
    measures: tuple[Measure, ...]
    weighed: tuple[PartWeighed, ...]

    def __post_init__(self) -> None:
        # Judged here and not where it was read: an act says first what to do about it.
        given = [part.mass_mg for part in self.weighed]
        for measure in self.measures:
            given += [getattr(measure, unit) for unit in NEVER_BELOW_ZERO]
        if any(value is not None and value < 0 for value in given):
            raise ValueError("a mass, a frequency or a humidity is never below zero")


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
