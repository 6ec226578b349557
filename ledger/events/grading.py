"""What is said when wood is judged: graded, rejected, matched."""

from typing import Annotated, ClassVar, Literal

from annotated_types import MinLen

from ledger.events.form import Amount, BoardCode, Count, Words, said

Strength = Literal["none", "slight", "clear", "strong"]
Colour = Literal["even", "slightly uneven", "uneven"]
DefectKind = Literal[
    "check",
    "compression wood",
    "knot",
    "pin knot",
    "pitch",
    "shake",
    "stain",
    "wane",
    "worm hole",
]


@said
class CountedRings:
    """So many rings across so much of a board's width, at one place."""

    number: Count
    span_um: Count


@said
class SeenDefect:
    """One defect that was seen; what lies outside the part's outline is cut away."""

    defect: DefectKind
    outside: Literal[True] | None = None


@said
class BoardGraded:
    """Somebody graded a board by the house's rule; who did is who signed.

    `grade` is the grader's own word. `suggested` is what the rule `policy`, in its
    `version`, came to from all that stands here, and `why` says so in its words; where
    the rule came to no grade there is none. Angles are of the rings from quarter, at
    each place; of runout out of the face; of skew within it. `figure`, `silk` and
    `colour` are steps of a scale, `figure_as_seen` is in the grader's words, and
    `lab_milli` is a measured colour: CIE L*, a* and b*. No defect at all is an empty
    list; where nobody looked there is none. What was known of the board by its sizes,
    its mass and its taps stands beside, for the rule looked at it.
    """

    kind: ClassVar[str] = "board.graded/1"

    board: BoardCode
    part: Words
    species: Words
    policy: Words
    version: Count
    grade: Words
    suggested: Words | None = None
    why: tuple[Words, ...]
    rings: Annotated[tuple[CountedRings, ...], MinLen(1)] | None = None
    angles_millidegree: Annotated[tuple[Amount, ...], MinLen(1)] | None = None
    runout_millidegree: Amount | None = None
    skew_millidegree: Amount | None = None
    figure: Strength | None = None
    figure_as_seen: Words | None = None
    silk: Strength | None = None
    colour: Colour | None = None
    lab_milli: tuple[int, int, int] | None = None
    defects: tuple[SeenDefect, ...] | None = None
    density_gram_per_m3: Count | None = None
    radiation_ratio_milli: Count | None = None
    q_milli: Count | None = None


@said
class BoardRejected:
    """A board is not used for instruments: what is wrong with it, and where it went.

    `returned` says that it went back to the sawyer. What more there is to say is kept
    in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "board.rejected/1"

    board: BoardCode
    faults: Annotated[tuple[Words, ...], MinLen(1)]
    returned: Literal[True] | None = None


@said
class BoardsMatched:
    """Boards were chosen to go together into one part, or one board to go into it.

    `method` and the rule `policy` in its `version` say how, `why` in what words; what
    would have done as well stands in `instead`. Nothing is allotted by it.
    """

    kind: ClassVar[str] = "board.matched/1"

    boards: Annotated[tuple[BoardCode, ...], MinLen(1)]
    part: Words
    serial: Words | None = None
    policy: Words
    version: Count
    method: Words
    why: Annotated[tuple[Words, ...], MinLen(1)]
    instead: tuple[Words, ...] | None = None
