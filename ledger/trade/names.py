"""Scientific names: accepted ones, synonyms, and names of the trade that hide many."""

from dataclasses import dataclass
from difflib import get_close_matches

from ledger.errors import NotFoundError, RefusedError
from ledger.trade.confidence import is_from_memory
from ledger.trade.tables import Name, names, trade_names

OFFERS = 3
# Closer than this a misspelt name is offered; common practice, no source.
_LIKENESS = 0.75


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How a name was understood: an accepted name, or why not and what is offered."""

    name: Name | None
    is_from_memory: bool = False  # that the name as typed means the accepted one
    reason: str = ""
    offers: tuple[str, ...] = ()


def read_name(text: str) -> Reading:
    """Read a scientific name; a trade name or a misspelling is never guessed.

    Source: the table of names; trade names that mean several taxa are in a table too.
    """
    typed = " ".join(text.split())
    if not typed:
        return Reading(name=None, reason="the taxon is empty; write genus and species")
    found = names().get(_tidy(typed))
    if found is not None:
        name = names()[found.accepted]
        is_unread = found is not name and is_from_memory(found)
        return Reading(name=name, is_from_memory=is_unread)
    trade = trade_meanings(typed)
    if trade:
        return _hidden(typed, trade)
    return _unknown(typed)


def scientific_name(text: str) -> str:
    """Return the accepted scientific name, or refuse with what may be meant.

    Source: the table of names.
    """
    reading = read_name(text)
    if reading.name is not None:
        return reading.name.name
    fault = RefusedError if trade_meanings(" ".join(text.split())) else NotFoundError
    raise fault(reading.reason)


def trade_meanings(typed: str) -> tuple[str, ...]:
    """Return what a trade name may mean: its own entry, or every name that bears it.

    Source: the tables of names and of trade names.
    """
    word = typed.casefold()
    entry = trade_names().get(word)
    if entry is not None:
        return entry.may_mean
    return tuple(
        row.name
        for row in names().values()
        if any(word == each.casefold() for each in row.trade_names)
    )


def _hidden(typed: str, trade: tuple[str, ...]) -> Reading:
    reason = (
        f"{typed} is a trade name that may mean {', '.join(trade)}; "
        f"give the scientific name"
    )
    return Reading(name=None, reason=reason, offers=trade)


def _unknown(typed: str) -> Reading:
    shown = typed if len(typed) <= 60 else f"{typed[:60]}…"
    offers = _close(typed)
    if offers:
        reason = f"{shown} is no name in the table; is one of these meant: "
        return Reading(name=None, reason=reason + ", ".join(offers), offers=offers)
    reason = f"{shown} is no name in the table; write genus and species, as Picea abies"
    return Reading(name=None, reason=reason)


def _close(typed: str) -> tuple[str, ...]:
    # A long text is no misspelt name, and likeness costs the square of its length.
    if len(typed) > 60:
        return ()
    near = get_close_matches(_tidy(typed), list(names()), n=OFFERS, cutoff=_LIKENESS)
    return tuple(dict.fromkeys(names()[name].accepted for name in near))


def _tidy(typed: str) -> str:
    """Write a name as botanists do: the genus with a capital, the rest without."""
    words = typed.lower().split()
    if words[-1] in ("spp.", "spp", "sp.", "sp"):
        words[-1] = "spp."
    return " ".join([words[0].capitalize(), *words[1:]])
