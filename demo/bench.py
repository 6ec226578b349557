"""Where the story is played: a shop, a clock that is set, chance that is counted."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from ledger.acts.shop import Hands, Shop
from ledger.errors import RefusedError

MINUTE = timedelta(minutes=1)


@dataclass(slots=True)
class Clock:
    """A clock that the story sets; it goes on a minute each time it is looked at."""

    at: datetime = field(default=datetime(2026, 1, 5, 8, 0, tzinfo=UTC))

    def __call__(self) -> datetime:
        """Return the time, and go on a minute."""
        self.at += MINUTE
        return self.at

    def morning_of(self, day: str) -> None:
        """Set the clock to eight in the morning of a day."""
        year, month, date = (int(part) for part in day.split("-"))
        self.at = datetime(year, month, date, 8, 0, tzinfo=UTC)


@dataclass(slots=True)
class Chance:
    """Chance that is the same each time: counted out of SHA-256."""

    count: int = 0

    def __call__(self, size: int) -> bytes:
        """Return the next `size` bytes."""
        out = b""
        while len(out) < size:
            out += hashlib.sha256(f"skerrymoor {self.count}".encode()).digest()
            self.count += 1
        return out[:size]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The open shop, its clock, and everybody's hands by badge."""

    shop: Shop
    clock: Clock
    hands: dict[str, Hands]


def refused(act: Callable[[], object]) -> str:
    """Let something go wrong, and return what was said."""
    try:
        act()
    except RefusedError as refusal:
        return str(refusal)
    raise RefusedError("the story went on where it should have been stopped")
