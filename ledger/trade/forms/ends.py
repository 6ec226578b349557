"""Between which ends a paper goes: out to whoever receives, or home again.

A form is for one crossing, and a shipment may make several. Here it is turned into what
a form is for: its first leg is the country it leaves, the others are those that it may
enter, one where that is known; its sender exports and its recipient imports. A country
on the way is a stop, as it is for the determination: it is entered and left again.
"""

from collections.abc import Sequence
from dataclasses import replace

from ledger.trade.consignment import Consignment, Party
from ledger.trade.forms import sharing
from ledger.trade.forms.worksheet import Answer, ask
from ledger.trade.movement import UNION, crossings, is_in_union, place_words
from ledger.trade.ways import comes_home, entered, receiving


def leaving(consignment: Consignment) -> Consignment:
    """Return a shipment as the paper is for it that it leaves its first country with.

    It is for the first country that is entered: each later one asks for its own.

    Source: Articles III to V of the Convention: a permit names who exports and imports.
    """
    legs, day = consignment.legs, consignment.moves_on
    first = next(iter(entered(legs, day)), (legs[-1],))
    return _leg(consignment, legs[0], first)


def entering(consignment: Consignment, countries: Sequence[str]) -> Consignment:
    """Return a shipment as a paper is for it of what it enters.

    countries  one of them it enters, where nobody knows which

    Source: Articles III to V of the Convention: a permit names who exports and imports.
    """
    legs, day = consignment.legs, consignment.moves_on
    borders = [pair for pair in crossings(legs, day) if pair[1] in countries]
    if legs[-1] in countries and comes_home(legs, day):
        home = legs[0] if legs[-1] == UNION else legs[-1]
        return _leg(consignment, borders[-1][0], (home,), is_home=True)
    return _leg(consignment, borders[0][0], tuple(countries))


def importer(way: Consignment) -> Answer:
    """Return who imports; where the country of the address is open, it is asked.

    Source: common practice, no source.
    """
    who, ends = way.recipient, way.legs[1:]
    if not who.name:
        return ask(f"name and address of the importer in {either(ends)}")
    if who.country:
        return sharing.party(who, "importer")
    said = ", ".join((who.name, *who.address))
    if len(ends) > 1:
        return ask(f"in which country the importer is: {either(ends)}", said)
    return ask(f"whether the importer is in {either(ends)}", said)


def country_of_import(way: Consignment) -> Answer:
    """Return the country that it enters, or which of several is asked.

    Source: ISO 3166-1.
    """
    ends = way.legs[1:]
    if len(ends) > 1:
        return ask(f"which country this paper is for: {either(ends)}")
    return sharing.country(ends[0], "the country it enters", way.recipient.country)


def title(kind: str, way: Consignment, kinds: Sequence[str]) -> str:
    """Return the name of a form; of several permits to import it tells whose it is.

    Source: common practice, no source.
    """
    return kind if kinds.count(kind) == 1 else f"{kind} of {either(way.legs[1:])}"


def either(countries: Sequence[str]) -> str:
    """Return countries of which it is one, as a sentence names them.

    Source: ISO 3166-1.
    """
    return " or ".join(
        "a member State of the Union" if code == UNION else place_words(code)
        for code in countries
    )


def _leg(
    consignment: Consignment, here: str, ends: tuple[str, ...], *, is_home: bool = False
) -> Consignment:
    """Return one leg of a shipment, with whoever is known to export and import on it.

    The shop is at the start of the way, and at its end where it comes home; the
    recipient is where the address says, and is asked about where it says nothing.
    """
    legs, day = consignment.legs, consignment.moves_on
    shop, who = consignment.sender, consignment.recipient
    where = who.country or receiving(legs, day)
    sender = shop if here == legs[0] else Party(name="")
    if here != legs[0] and where == here:
        sender = replace(who, country=where)
    if is_home and legs[0] in (*ends, UNION):
        who = shop
    elif where in ends or (UNION in ends and where and is_in_union(where, day)):
        who, ends = replace(who, country=where), (where,)
    elif where:
        who = Party(name="")
    return replace(consignment, legs=(here, *ends), sender=sender, recipient=who)
