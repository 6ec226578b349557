"""Moments: a clock that can be right, and a time that something can have happened."""

from collections.abc import Callable
from datetime import datetime, timedelta

from ledger.errors import NotFoundError, RefusedError
from ledger.log.entry import at_moment, at_text
from ledger.log.store import Store
from ledger.views.said import entry_said
from ledger.views.standing import is_doubted

LONGEST_PAUSE = timedelta(days=31)
SMALL_STEP_BACK = timedelta(minutes=10)


def require_no_pause(last: datetime, now: datetime) -> None:
    """Ask about the clock where nothing was said for long."""
    if now - last > LONGEST_PAUSE:
        raise RefusedError(
            f"the newest entry is of {at_text(last)[:10]} and this machine's clock "
            f"says {at_text(now)[:10]}, {(now - last).days} days later; look at the "
            f"clock, and if it is right say so with --after-pause"
        )


def require_no_step_back(last: datetime, now: datetime) -> None:
    """Refuse a clock that is behind the newest entry by more than a little."""
    if last - now > SMALL_STEP_BACK:
        raise RefusedError(
            f"this machine's clock says {at_text(now)}, before the newest entry of "
            f"{at_text(last)}; set the clock, or if that entry's time is false, have a "
            f"lead say so with flitchbook record doubt-clock"
        )


def require_past(happened_at: str, now: Callable[[], datetime]) -> None:
    """Refuse a time that is none, or still to come."""
    try:
        moment = at_moment(happened_at)
    except ValueError:
        raise RefusedError(
            f"{happened_at!r} is no time such as 2026-11-24T22:08:35Z: write it like "
            f"that, in UTC"
        ) from None
    if moment > now():
        raise RefusedError(f"{happened_at} is still to come: look at the clock")


def require_since_founding(store: Store, happened_at: str) -> None:
    """Refuse a time before the shop was founded: no key of it was there then.

    Where the founding's own time is false nobody can tell whether it was before.
    """
    founded = _founded(store)
    if founded is not None and at_moment(happened_at) < at_moment(founded):
        raise RefusedError(
            f"{happened_at} is before this shop was founded, {founded}, and no key of "
            f"it tells of a time before: look at the year again, or leave "
            f"--happened-at away"
        )


def _founded(store: Store) -> str | None:
    """Return when the shop was founded, or None where that is not to be trusted."""
    with store.reading() as session:
        try:
            founded = entry_said(session, 0).at
        except NotFoundError:
            return None
        return None if is_doubted(session, founded) else founded
