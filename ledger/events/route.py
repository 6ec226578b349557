"""What is said of models: their parts, and the steps of the road that they take."""

from typing import Annotated, ClassVar, Literal, get_args

from annotated_types import MinLen

from ledger.events.form import Count, Words, said

# What a measure can be given in.
Unit = Literal[
    "length_um",
    "mass_mg",
    "frequency_millihertz",
    "humidity_ppm",
    "temperature_millikelvin",
    "angle_millidegree",
    "pitch_ppm",
    "time_seconds",
]
UNITS: tuple[Unit, ...] = get_args(Unit)
# A relief may be, where a neck bends back.
NEVER_BELOW_ZERO = (
    "mass_mg",
    "frequency_millihertz",
    "humidity_ppm",
    "temperature_millikelvin",
    "time_seconds",
)

Family = Literal["flat-top", "arch-top", "solid-body"]
Gate = Literal["inspected", "approved"]


@said
class StepV1:
    """A step as models first had it: its name and its signer's qualification."""

    step: Words
    qualification: Words


@said
class ModelDefinedV1:
    """A model, or its next version, was set down: the names of its parts and steps."""

    kind: ClassVar[str] = "model.defined/1"

    model: Words
    version: Count
    instrument: Words
    parts: tuple[Words, ...]
    steps: tuple[StepV1, ...]


@said
class Quantity:
    """One value in the one unit that is given; `pitch_ppm` is off a tone, by share."""

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
class Characteristic:
    """What a step measures: its band and its aim, or nothing but that it is recorded.

    `unit` is the one in which it is given, as in a quantity.
    """

    what: Words
    unit: Unit
    target: Quantity | None = None
    least: Quantity | None = None
    most: Quantity | None = None

    def __post_init__(self) -> None:
        for each in (self.target, self.least, self.most):
            if each is not None and getattr(each, self.unit) is None:
                raise ValueError(f"{self.what} is given in two units")


@said
class PlannedPart:
    """A part of a model: the sizes it is cut from and has when done, and of what wood.

    `species` are those it may be made of, a genus for all of its kinds; none named is
    any. `pieces` is of how many it is made, where it is more than one. An `optional`
    part may be left out.
    """

    part: Words
    species: Annotated[tuple[Words, ...], MinLen(1)] | None = None
    pieces: Count | None = None
    rough_length_um: Count | None = None
    rough_width_um: Count | None = None
    rough_thickness_um: Count | None = None
    length_um: Count | None = None
    width_um: Count | None = None
    thickness_um: Count | None = None
    optional: Literal[True] | None = None


@said
class PlannedStep:
    """A step of a model's road: who may sign it, what comes before, what it asks for.

    `after` are the steps that must be done before it, and `gate` what must be said of
    this one before any other goes on. `ways` are the accepted ones, as by hand and by
    machine. `uses_up` are the parts whose wood goes into the instrument with it, for
    good. `rest_days` pass before the next step that comes after it. `materials` are
    what must be named by its batch, as glue. What `photograph` asks for cannot be seen
    again later; a step that `marries` joins the body and the neck of one number.
    """

    step: Words
    qualification: Words
    after: tuple[Words, ...] = ()
    ways: Annotated[tuple[Words, ...], MinLen(1)] | None = None
    uses_up: Annotated[tuple[Words, ...], MinLen(1)] | None = None
    measured: Annotated[tuple[Characteristic, ...], MinLen(1)] | None = None
    materials: Annotated[tuple[Words, ...], MinLen(1)] | None = None
    gate: Gate | None = None
    rest_days: Count | None = None
    photograph: Literal[True] | None = None
    marries: Literal[True] | None = None


@said
class ModelDefined:
    """A model, or its next version, was set down: its parts and its road."""

    kind: ClassVar[str] = "model.defined/2"

    model: Words
    version: Count
    instrument: Words
    family: Family | None = None
    parts: Annotated[tuple[PlannedPart, ...], MinLen(1)]
    steps: Annotated[tuple[PlannedStep, ...], MinLen(1)]


def require_one_value(said_in: object) -> None:
    """See that a value is given in one unit, and in no two.

    Raises ValueError where it is not.
    """
    values = [getattr(said_in, unit, None) for unit in UNITS]
    if len(values) - values.count(None) != 1:
        raise ValueError("a measure has one value in one unit")


def unit_of(said_in: object) -> Unit:
    """Return the one unit in which a value is given."""
    return next(unit for unit in UNITS if getattr(said_in, unit, None) is not None)
