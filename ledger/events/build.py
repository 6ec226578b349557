"""What is said of instruments: models, builds, the boards in them, who did what."""

from typing import ClassVar, Literal

from ledger.events.form import said

# What a measure can be given in.
UNITS = ("length_um", "mass_mg", "frequency_millihertz", "humidity_ppm")

Meaning = Literal["did", "inspected", "approved"]


@said
class Step:
    """A step of a model's route, and the qualification its signer needs."""

    step: str
    qualification: str


@said
class ModelDefined:
    """A model, or its next version, was set down: its parts and its steps."""

    kind: ClassVar[str] = "model.defined/1"

    model: str
    version: int
    instrument: str
    parts: tuple[str, ...]
    steps: tuple[Step, ...]


@said
class Run:
    """The short run a build belongs to: number so-and-so of so many pieces."""

    name: str
    number: int
    pieces: int


@said
class BuildBegun:
    """An instrument was begun; its serial is taken and never given again."""

    kind: ClassVar[str] = "build.begun/1"

    serial: str
    model: str
    version: int
    body: str
    neck: str
    run: Run | None = None


@said
class BoardAllotted:
    """A board was allotted to one part of one instrument."""

    kind: ClassVar[str] = "board.allotted/1"

    board: str
    serial: str
    part: str


@said
class Measure:
    """One thing measured, in the one unit that is given."""

    what: str
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

    part: str
    mass_mg: int


@said
class StepSigned:
    """A builder put a key to a step: did it, inspected it or approved it."""

    kind: ClassVar[str] = "build.step-signed/1"

    serial: str
    step: str
    meaning: Meaning
    measures: tuple[Measure, ...]
    weighed: tuple[PartWeighed, ...]
