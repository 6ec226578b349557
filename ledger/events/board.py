"""What is said of boards: numbered, measured, weighed, moved, tapped, split, joined."""

from typing import Annotated, ClassVar, Literal

from annotated_types import MinLen

from ledger.events.form import (
    Amount,
    BoardCode,
    Count,
    Digest,
    LotCode,
    Words,
    said,
)

Mode = Literal["along", "across", "twist", "bar", "other"]
Face = Literal["front", "back", "end-grain", "edge", "defect"]


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

    `as_written` is how the sawyer's list gave the sizes, `mark` what the sawyer calls
    the piece and `supplier_grade` the sawyer's own grade, word for word.
    """

    kind: ClassVar[str] = "board.numbered/2"

    board: BoardCode
    lot: LotCode
    meant_for: Words
    length_um: Count | None = None
    width_um: Count | None = None
    thickness_um: Count | None = None
    mass_mg: Count | None = None
    sizes_as_written: Words | None = None
    mark: Words | None = None
    supplier_grade: Words | None = None


@said
class BoardMeasured:
    """A board's sizes or its moisture were measured again; what is absent stands.

    Thickness is the mean of its points, where more than one was taken.
    """

    kind: ClassVar[str] = "board.measured/1"

    board: BoardCode
    length_um: Count | None = None
    width_um: Count | None = None
    thickness_um: Count | None = None
    points_um: tuple[Count, ...] = ()
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

    `mode` says which way the board moves. `uncertainty_millihertz` is the standard
    uncertainty of the frequency.
    """

    mode: Mode
    frequency_millihertz: Count
    uncertainty_millihertz: Amount
    q_milli: Count
    taps: Count
    scatter_ppm: Amount


@said
class BoardTapped:
    """A board was tapped, and rang.

    The recording is kept, so that all can be read again; moduli are worked out from
    this whenever they are asked for.
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
    offcut: bool | None = None


@said
class BoardSplit:
    """Boards were sawn into pieces; what the saw took and what was waste stand beside.

    `mass_mg` is what the boards weighed before. More than one board is a set that was
    sawn as one.
    """

    kind: ClassVar[str] = "board.split/1"

    parents: Annotated[tuple[BoardCode, ...], MinLen(1)]
    mass_mg: Count
    made: Annotated[tuple[Piece, ...], MinLen(1)]
    kerf_mg: Amount
    waste_mg: Amount
    kerf_um: Amount | None = None


@said
class BoardJoined:
    """Boards were glued into one piece, which is of all their lots."""

    kind: ClassVar[str] = "board.joined/1"

    parents: Annotated[tuple[BoardCode, ...], MinLen(2)]
    made: Piece


@said
class LabelPrinted:
    """Labels for boards were drawn for the printer."""

    kind: ClassVar[str] = "label.printed/1"

    codes: tuple[BoardCode, ...]
    paper: Words
    sha256: Digest
