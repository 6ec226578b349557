"""What every species paper shows beside its own facts, as plain values."""

from dataclasses import dataclass

HOLD = "HOLD"  # as on the tag that hangs on what is in doubt


@dataclass(frozen=True, slots=True, kw_only=True)
class Imprint:
    """Where and by whom a paper was made, and the checkpoint that it carries.

    place and host may be empty. check is the check character of the number, ten_words
    stand for the root of the checkpoint. An erased signer is None. holds are the
    numbers of those that are open on something in the shipment.
    """

    place: str
    host: str
    check: str
    ten_words: tuple[str, ...]
    signer_badge: str
    signer_name: str | None
    signer_rank: str
    whom_to_ask: str
    holds: tuple[str, ...] = ()

    @property
    def in_doubt(self) -> tuple[tuple[str, str], ...]:
        """What leads the line that is read first, where a hold is open."""
        more = len(self.holds) - 1
        counted = f" and {more} more" if more > 0 else ""
        return tuple((HOLD, f"in doubt, {code}{counted}") for code in self.holds[:1])
