"""What is said of boards: numbered, measured, weighed, moved, tapped, split, joined.

What a grader finds and decides is in `ledger.events.grading`.
"""

from collections.abc import Sequence
from typing import Annotated, ClassVar, Literal

from annotated_types import MinLen

from ledger.events.form import (
    Amount,
    BoardCode,
    Count,
    Day,
    Digest,
    LotCode,
    Words,
    said,
)

Mode = Literal["along", "across", "twist", "bar", "air", "top", "back", "other"]
Face = Literal["front", "back", "end-grain", "edge", "defect"]
Way = Literal["rip", "resaw", "crosscut"]


@said
class BoardNumberedV1:
    """A board was given its code and measured in full, as boards first were."""

    kind: ClassVar[str] = "board.numbered/1"

    board: BoardCode
    lot: LotCode
    meant_for: Words
    length_um: Amount
    width_um: Amount
    thickness_um: Amount
    mass_mg: Amount


@said
class BoardNumbered:
    """A board was given its code, with as much as was known of it.

    Sizes and mass are what the shop's own rule and scale read. What begins with
    `listed` is the sawyer's word and no measure of the shop's; `as_written` has the
    cells of measure of the sawyer's row as they stand there, each after its header.
    `mark` is what the sawyer calls the piece and `supplier_grade` the sawyer's own
    grade, word for word. A moisture is a share of the wood's mass when dry.
    """

    kind: ClassVar[str] = "board.numbered/2"

    board: BoardCode
    lot: LotCode
    meant_for: Words
    length_um: Count | None = None
    width_um: Count | None = None
    thickness_um: Count | None = None
    mass_mg: Count | None = None
    listed_length_um: Count | None = None
    listed_width_um: Count | None = None
    listed_thickness_um: Count | None = None
    listed_mg: Count | None = None
    listed_moisture_ppm: Amount | None = None
    as_written: Words | None = None
    mark: Words | None = None
    supplier_grade: Words | None = None


@said
class BoardMeasured:
    """A board's sizes or its moisture were measured again; what is absent stands.

    Thickness is the mean of its points, which stand here where several were taken. A
    moisture is a share of the wood's mass when dry.
    """

    kind: ClassVar[str] = "board.measured/1"

    board: BoardCode
    length_um: Count | None = None
    width_um: Count | None = None
    thickness_um: Count | None = None
    points_um: Annotated[tuple[Count, ...], MinLen(2)] | None = None
    moisture_ppm: Amount | None = None
    meter: Words | None = None


@said
class BoardWeighed:
    """A board was put on the scale."""

    kind: ClassVar[str] = "board.weighed/1"

    board: BoardCode
    mass_mg: Count
    scale: Words | None = None


@said
class BoardMetered:
    """A moisture meter was put to a board; what it showed is kept as it stood there.

    `reading_ppm` is what the meter showed at its `setting` (the species or group it was
    set to), `temperature_millikelvin` the wood's; `moisture_ppm` is what that comes to
    by `rule`, which has its version. A moisture is a share of the wood's mass when dry.
    """

    kind: ClassVar[str] = "board.metered/1"

    board: BoardCode
    meter: Words
    setting: Words
    reading_ppm: Amount
    temperature_millikelvin: Count
    moisture_ppm: Amount
    rule: Words


@said
class Load:
    """A mass that was put on the middle of a board, and how far that bent it."""

    load_mg: Count
    deflection_um: Count


@said
class BoardFlexed:
    """A board was laid on two supports and bent by masses on its middle.

    `way` is the direction in which it spans: along the grain, or across. `width_um` is
    its size across the span, and `thickness_um` in the direction of bending.
    """

    kind: ClassVar[str] = "board.flexed/1"

    board: BoardCode
    way: Literal["along", "across"]
    span_um: Count
    width_um: Count
    thickness_um: Count
    loads: Annotated[tuple[Load, ...], MinLen(1)]


@said
class BoardMoved:
    """A board was put in another place."""

    kind: ClassVar[str] = "board.moved/1"

    board: BoardCode
    place: Words


@said
class BoardPhotographed:
    """A photograph of a board was filed under its digest."""

    kind: ClassVar[str] = "board.photographed/1"

    board: BoardCode
    face: Face
    sha256: Digest


@said
class Reading:
    """What was read of one mode that day: the mean over the taps, and their scatter.

    `mode` says which way the board moves. What has `uncertainty` in its name is a
    standard uncertainty, that of Q only where it could be estimated. `scatter_ppm` is
    the standard deviation of one tap's frequency; a single tap has none.
    """

    mode: Mode
    frequency_millihertz: Count
    uncertainty_millihertz: Amount
    q_milli: Count
    q_uncertainty_milli: Amount | None = None
    taps: Count
    scatter_ppm: Amount | None = None


@said
class BoardTapped:
    """A board was tapped, and rang.

    The recording is kept, so that all can be read again; moduli are worked out from
    this whenever they are asked for. `low_millihertz` and `high_millihertz` bound the
    band that was looked at: of what rings outside it nothing is said. `method` is how
    it was read, with its version.
    """

    kind: ClassVar[str] = "board.tapped/1"

    board: BoardCode
    held_as: Literal["plate", "bar"]
    length_um: Count
    width_um: Count
    thickness_um: Count
    mass_mg: Count
    recording_sha256: Digest
    low_millihertz: Count
    high_millihertz: Count
    method: Words
    readings: Annotated[tuple[Reading, ...], MinLen(1)]


@said
class Piece:
    """One piece that came off the saw, with its code, its sizes and its mass."""

    board: BoardCode
    meant_for: Words
    mass_mg: Count
    length_um: Count | None = None
    width_um: Count | None = None
    thickness_um: Count | None = None
    offcut: Literal[True] | None = None


@said
class BoardSplit:
    """Boards were sawn into pieces; what the saw took and what was waste stand beside.

    `masses_mg` is what each of the boards weighed before. More than one board is a set
    that was sawn as one, each cut through all of them. What is absent nobody took: no
    dust is another thing than 0 g of it. Where the dust was worked out, `kerf_um` is
    how wide the saw cut, and `way` what its `cuts` divided: a ripcut the width, a resaw
    the thickness, a crosscut the length. Why more is missing than the house allows is
    kept in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "board.split/1"

    parents: Annotated[tuple[BoardCode, ...], MinLen(1)]
    masses_mg: Annotated[tuple[Count, ...], MinLen(1)]
    made: Annotated[tuple[Piece, ...], MinLen(1)]
    dust_mg: Amount | None = None
    waste_mg: Amount | None = None
    kerf_um: Count | None = None
    cuts: Count | None = None
    way: Way | None = None

    def __post_init__(self) -> None:
        _see_that_each_was_weighed(self.parents, self.masses_mg)
        saw = {self.kerf_um is None, self.cuts is None, self.way is None}
        if len(saw) > 1 or (self.kerf_um is not None and self.dust_mg is None):
            raise ValueError("a saw has a kerf, makes cuts one way, and dust")


@said
class BoardJoined:
    """Boards were glued into one piece, which is of all their lots.

    `masses_mg` is what each of the boards weighed before, which is its share in it. Why
    it weighs less than they did is kept in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "board.joined/1"

    parents: Annotated[tuple[BoardCode, ...], MinLen(2)]
    masses_mg: Annotated[tuple[Count, ...], MinLen(2)]
    made: Piece

    def __post_init__(self) -> None:
        _see_that_each_was_weighed(self.parents, self.masses_mg)


@said
class BoardReserved:
    """A board is kept for an order or an instrument until a day, and for no other."""

    kind: ClassVar[str] = "board.reserved/1"

    board: BoardCode
    reserved_for: Words
    part: Words
    until: Day


@said
class BoardReleased:
    """A board is free again: kept for nobody, allotted to nothing.

    Why is kept in the vault, under `reason_commitment`, where it was asked.
    """

    kind: ClassVar[str] = "board.released/1"

    board: BoardCode


@said
class BoardConsumed:
    """A board went into its instrument for good, and is no board any more."""

    kind: ClassVar[str] = "board.consumed/1"

    board: BoardCode
    serial: Words


@said
class BoardIdentified:
    """A board that was found without its label was told by what it measures.

    The sizes and the mass are those of what was found. `others` would have fitted too.
    Why it is thought to be this one is kept in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "board.identified/1"

    board: BoardCode
    confidence: Literal["certain", "likely", "doubtful"]
    length_um: Count | None = None
    width_um: Count | None = None
    thickness_um: Count | None = None
    mass_mg: Count | None = None
    others: tuple[BoardCode, ...] = ()


@said
class LabelReplaced:
    """A board's label is void, and the next one is marked as replacement `number`."""

    kind: ClassVar[str] = "label.replaced/1"

    board: BoardCode
    number: Count


@said
class LabelPrinted:
    """Labels for boards were drawn for the printer."""

    kind: ClassVar[str] = "label.printed/1"

    codes: tuple[BoardCode, ...]
    paper: Words
    sha256: Digest


def _see_that_each_was_weighed(parents: Sequence[str], masses: Sequence[int]) -> None:
    if len(parents) != len(masses):
        raise ValueError("each board that is used up has one mass")
