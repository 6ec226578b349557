"""What is said of the house's rules, of its air and its clock, and of mistakes."""

from typing import Annotated, Any, ClassVar

from annotated_types import MinLen
from pydantic import Field

from ledger.events.form import (
    Amount,
    BoardCode,
    Count,
    Day,
    Digest,
    Moment,
    Words,
    said,
)


@said
class PolicyAdopted:
    """The house adopted a rule, whose whole text stands here."""

    kind: ClassVar[str] = "policy.adopted/1"

    policy: dict[str, Any]


@said
class ClockDoubted:
    """Times between these two are false, for the clock was."""

    kind: ClassVar[str] = "clock.doubted/1"

    from_: Annotated[Moment, Field(alias="from")]
    to: Moment


@said
class RoomMeasured:
    """The air of a room was measured."""

    kind: ClassVar[str] = "room.measured/1"

    room: Words
    temperature_millikelvin: Amount
    humidity_ppm: Amount


@said
class RoomDay:
    """The air of one day as a logger had it: means over time, and the extremes.

    `number` is how many readings there are, `gap_seconds` the longest time without one.
    """

    day: Day
    number: Count
    temperature_millikelvin: Count
    humidity_ppm: Amount
    least_humidity_ppm: Amount
    most_humidity_ppm: Amount
    gap_seconds: Amount


@said
class RoomLogged:
    """What a logger kept of a room's air was taken over, day by day.

    The logger's file is kept, so that all can be read again; `method` is how it was
    read, with its version.
    """

    kind: ClassVar[str] = "room.logged/1"

    room: Words
    sha256: Digest
    method: Words
    days: Annotated[tuple[RoomDay, ...], MinLen(1)]


@said
class OverrideGiven:
    """A lead let a board be used in an instrument against a rule, and said why.

    `policy` and `version` are those of the rule, `against` its own words; the reason
    itself is kept in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "override.given/1"

    board: BoardCode
    serial: Words
    policy: Words
    version: Count
    against: Annotated[tuple[Words, ...], MinLen(1)]


@said
class CorrectionMade:
    """An entry was struck: it stays, and counts for nothing any more.

    `struck` is the leaf hash of the entry at `index`, so that nobody can say later that
    another one was meant. The reason is kept in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "correction.made/1"

    index: Amount
    struck: Digest


@said
class EntryRecovered:
    """A lost entry of a closed volume was found, and is quoted whole.

    It changes no fact: what it says was never judged by what stood before it.
    """

    kind: ClassVar[str] = "entry.recovered/1"

    origin: Words
    index: Amount
    record: Words


@said
class EntryAffirmed:
    """An entry in dispute was looked at, and is what its signer meant to say.

    `leaf` is the hash of the entry at `index`, so that nobody can say later that
    another one was meant; `key` is the compromised key that said or approved it. It
    changes no fact.
    """

    kind: ClassVar[str] = "entry.affirmed/1"

    index: Amount
    leaf: Digest
    key: str
