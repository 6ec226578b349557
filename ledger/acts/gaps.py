"""What a head that was kept proves of entries that a log does not hold, in words."""

from dataclasses import dataclass
from datetime import date

from ledger.log.checkpoint import Checkpoint
from ledger.log.seen import Sighting, SignedHead


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A head that the log must still hold, signed or only seen, and where it lies."""

    signed: SignedHead | Sighting
    where: str

    @property
    def is_signed(self) -> bool:
        """Tell whether it proves anything to others."""
        return isinstance(self.signed, SignedHead)

    @property
    def of_day(self) -> str:
        """The day of the head as people say it, and where it was kept."""
        day = f"of {weekday(self.signed.day)}, " if self.signed.day else ""
        return f"{day}{self.where}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """That a log does not hold what a kept head proves.

    size  the number of entries that are here
    """

    kept: Kept
    proven: Checkpoint
    size: int

    @property
    def missing(self) -> int:
        """How many entries are missing; 0 where the history is another."""
        return max(self.proven.size - self.size, 0)

    def __str__(self) -> str:
        are = "entry is" if self.missing == 1 else "entries are"
        if not self.kept.is_signed:
            return self._seen_words(are)
        if not self.missing:
            return (
                f"this ledger holds another history: its first {self.proven.size:,} "
                f"entries are not those of a checkpoint {self.kept.of_day}"
            )
        return (
            f"this ledger ends at {self.size:,}; a checkpoint {self.kept.of_day}, "
            f"proves {self.proven.size:,} existed: {self.missing:,} {are} missing"
        )

    def _seen_words(self, are: str) -> str:
        day, saw = weekday(self.kept.signed.day), f"{self.proven.size:,}"
        if not self.missing:
            return (
                f"this ledger holds another history: its first {saw} entries are not "
                f"those that this account saw on {day}"
            )
        return (
            f"this ledger ends at {self.size:,}; this account saw {saw} entries on "
            f"{day}: {self.missing:,} {are} missing"
        )


def weekday(day: str) -> str:
    """Return a day with its name: Friday 2026-01-09."""
    try:
        return f"{date.fromisoformat(day):%A} {day}"
    except ValueError:
        return day
