"""When something is to be done again that keeps what was entered."""

from datetime import date

# A house that loses a week of entries can still ask everybody what they did.
LONGEST_DAYS = 7


def is_due(last_on: str | None, today: str, *, entries_since: int) -> bool:
    """Tell whether a copy or a slip is due: none is, or an old one and entries since.

    A day that cannot be read is no day.
    """
    if last_on is None:
        return True
    try:
        since = date.fromisoformat(today) - date.fromisoformat(last_on)
    except ValueError:
        return True
    return entries_since > 0 and since.days > LONGEST_DAYS
