"""What is said of wood, papers and work in doubt."""

from typing import ClassVar, Literal

from ledger.events.form import HoldCode, Moment, Words, said

On = Literal["supplier", "document", "lot", "board", "batch", "gauge", "person"]


@said
class HoldPlaced:
    """Something is in doubt, and so is all that rests on it, at any depth.

    `code` is what is in doubt: a code of the shop, a subject of a sawyer or a person;
    `since` is from when on, where it was right before. Why is kept in the vault, under
    `reason_commitment`.
    """

    kind: ClassVar[str] = "hold.placed/1"

    hold: HoldCode
    on: On
    code: Words
    since: Moment | None = None


@said
class HoldLifted:
    """A doubt was cleared: all of it, or of one lot, board or instrument.

    Why is kept in the vault, under `reason_commitment`.
    """

    kind: ClassVar[str] = "hold.lifted/1"

    hold: HoldCode
    code: Words | None = None
