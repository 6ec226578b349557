"""Where an instrument is, as far as anybody said: on a trip, or where it was last."""

from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.service import trip_words
from ledger.acts.shop import Shop
from ledger.acts.whose import who_and_when
from ledger.views.builds import Build, signed_steps
from ledger.views.said import entry_said
from ledger.views.service import trip_out


@dataclass(frozen=True, slots=True, kw_only=True)
class Whereabouts:
    """Where something is in words, and the entry that says so."""

    words: str
    entry: int


def whereabouts(shop: Shop, session: Session, build: Build) -> Whereabouts:
    """Tell where an instrument is: out, or in whose hands it was last, at which step.

    Nobody says where it was laid down afterwards, and neither does this.
    """
    trip = trip_out(session, build.serial)
    if trip is not None:
        return Whereabouts(words=trip_words(shop, session, trip), entry=trip.idx)
    signed = signed_steps(session, build.serial)
    if not signed:
        by = who_and_when(shop, session, build.idx)
        return Whereabouts(words=f"begun by {by}", entry=build.idx)
    last = signed[-1]
    station = entry_said(session, last.idx).event.get("station")
    at = f" at {station}" if station else ""
    by = who_and_when(shop, session, last.idx)
    words = f"last in the hands of {by}{at}: {last.step}, {last.meaning}"
    return Whereabouts(words=words, entry=last.idx)
