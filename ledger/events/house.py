"""What is said of the house's own rules and of its clock."""

from typing import Annotated, Any, ClassVar

from pydantic import Field

from ledger.events.form import Moment, said


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
