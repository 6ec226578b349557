"""Scientific names: accepted ones, synonyms, and names of the trade that hide many."""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from ledger.errors import NotFoundError, RefusedError
from ledger.trade.confidence import is_from_memory
from ledger.trade.law import Law, compiled
from ledger.trade.path import Step
from ledger.trade.tables import Name

OFFERS = 3
# For whoever typed a name, and for no paper that goes to others.
WRITE_IT = "; write genus and species, as Picea abies"
# Closer than this a misspelt name is offered; common practice, no source.
_LIKENESS = 0.75


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How a name was understood: an accepted name, or why not and what is offered."""

    name: Name | None
    is_from_memory: bool = False  # that the name as typed means the accepted one
    reason: str = ""
    offers: tuple[str, ...] = ()
    path: tuple[Step, ...] = ()


def read_name(text: str, law: Law | None = None) -> Reading:
    """Read a scientific name; a trade name or a misspelling is never guessed.

    Source: the table of names; trade names that mean several taxa are in a table too.
    """
    typed = " ".join(text.split())
    if not typed:
        return Reading(name=None, reason="the taxon is empty; write genus and species")
    law = law or compiled()
    found = law.names.get(tidy(typed))
    # A name of the shop's own may lead to one that a later edition has no more.
    name = law.names.get(found.accepted) if found is not None else None
    if found is not None and name is not None:
        is_unread = found is not name and is_from_memory(found)
        return Reading(name=name, is_from_memory=is_unread, path=_way(found, name))
    trade = trade_meanings(typed, law)
    if trade:
        return _hidden(typed, trade, law)
    return _unknown(typed, law)


@dataclass(frozen=True, slots=True, kw_only=True)
class Genus:
    """A genus that was named without a species, and what the table has of it.

    name     as a genus is written: Swietenia spp.
    species  the accepted names; the genus itself where it is a name of the table
    """

    name: str
    species: tuple[Name, ...]


def read_genus(text: str, law: Law | None = None) -> Genus | None:
    """Read a genus alone: Swietenia, Swietenia spp. or sp.; nothing where it is none.

    What the table has under another genus now is among its species: wood that is called
    Caesalpinia may be Paubrasilia echinata.

    Source: the table of names; International Code of Nomenclature for algae, fungi, and
    plants, article 20: the name of a genus is one word.
    """
    law, words = law or compiled(), text.split()
    if not words or trade_meanings(" ".join(words), law):
        return None
    genus, *rest = tidy(text).split()
    if rest not in ([], ["spp."]):
        return None
    whole = f"{genus} spp."
    own = law.names.get(whole)
    found = (
        [own]
        if own is not None
        else [name for name in law.names.values() if name.name.startswith(f"{genus} ")]
    )
    accepted = dict.fromkeys(law.names.get(name.accepted) for name in found)
    species = tuple(name for name in accepted if name is not None)
    return Genus(name=whole, species=species) if species else None


def meant_by(text: str, law: Law | None = None) -> tuple[Name, ...]:
    """Return the accepted names that a text may mean: one, those of a genus, or none.

    Source: the table of names.
    """
    name = read_name(text, law).name
    if name is not None:
        return (name,)
    genus = read_genus(text, law)
    return () if genus is None else genus.species


def slips(texts: Iterable[str], law: Law | None = None) -> tuple[str, ...]:
    """Ask of each text that is no name of the table, but is like one, which is meant.

    Source: the table of names; how like they must be is common practice, no source.
    """
    law, found = law or compiled(), []
    for text in dict.fromkeys(texts):
        offers = () if meant_by(text, law) else read_name(text, law).offers
        if offers:
            asked = " or ".join(offers)
            found.append(f"{text} is in no table here: is {asked} meant?")
    return tuple(found)


def _way(found: Name, name: Name) -> tuple[Step, ...]:
    """Return how a name was read: as accepted, or as another word for it."""
    says = f"{found.name} is an accepted name"
    if found is not name:
        says = f"{found.name} is read as {name.name}"
    if name.group:
        says = f"{says}, within {name.group}"
    return (Step(at="name", says=says, row=found.name, own=found.own or name.own),)


def scientific_name(text: str, law: Law | None = None) -> str:
    """Return the accepted scientific name, or refuse with what may be meant.

    Source: the table of names.
    """
    reading = read_name(text, law)
    if reading.name is not None:
        return reading.name.name
    meant = trade_meanings(" ".join(text.split()), law)
    fault = RefusedError if meant else NotFoundError
    raise fault(reading.reason)


def trade_meanings(typed: str, law: Law | None = None) -> tuple[str, ...]:
    """Return what a trade name may mean: its own entry, or every name that bears it.

    Source: the tables of names and of trade names.
    """
    law, word = law or compiled(), typed.casefold()
    entry = law.trade_names.get(word)
    return law.spoken.get(word, ()) if entry is None else entry.may_mean


def _hidden(typed: str, trade: tuple[str, ...], law: Law) -> Reading:
    reason = (
        f"{typed} is a trade name that may mean {', '.join(trade)}; "
        f"give the scientific name"
    )
    entry = law.trade_names.get(typed.casefold())
    if entry is not None and entry.own:
        reason = f"{reason} ({entry.own})"
    return Reading(name=None, reason=reason, offers=trade)


def _unknown(typed: str, law: Law) -> Reading:
    shown = typed if len(typed) <= 60 else f"{typed[:60]}…"
    offers = _close(typed, law)
    if offers:
        reason = f"{shown} is no name in the table; is one of these meant: "
        return Reading(name=None, reason=reason + ", ".join(offers), offers=offers)
    reason = f"{shown} is no name in the table{WRITE_IT}"
    return Reading(name=None, reason=reason)


def _close(typed: str, law: Law) -> tuple[str, ...]:
    # A long text is no misspelt name, and likeness costs the square of its length.
    if len(typed) > 60:
        return ()
    near = get_close_matches(tidy(typed), list(law.names), n=OFFERS, cutoff=_LIKENESS)
    return tuple(dict.fromkeys(law.names[name].accepted for name in near))


def tidy(typed: str) -> str:
    """Write a name as botanists do: the genus with a capital, the rest without.

    Source: International Code of Nomenclature for algae, fungi, and plants, art. 20-23.
    """
    words = typed.lower().split()
    if words[-1] in ("spp.", "spp", "sp.", "sp"):
        words[-1] = "spp."
    return " ".join([words[0].capitalize(), *words[1:]])
