"""What no form takes: an item whose species, country or mass nobody knows."""

import re
from collections.abc import Iterable

from ledger.errors import RefusedError
from ledger.trade.consignment import Consignment, Item
from ledger.trade.forms.codes import codes, designation_of
from ledger.trade.movement import UNION, place_for, where_words
from ledger.trade.names import read_name

_SPECIES = re.compile(r"[A-Z][a-zë-]+ (?:× ?)?[a-zëï-]{2,}(?: .+)?")
_NO_NAMES = frozenset(
    {"unknown", "unidentified", "unnamed", "various", "mixed", "species"}
    | {"spp", "spp.", "sp", "sp.", "indet", "indet."}
)


def component(item: Item) -> str:
    """Name an item as a person in the shop would: neck of 26-0147-3.

    Source: common practice, no source.
    """
    return f"{item.part or item.trade_name or item.taxon or 'a part'} of {item.thing}"


def refuse_unfit(items: Iterable[Item], *, may_lack_country: bool = False) -> None:
    """Refuse the first item that a form cannot take, and say what to do.

    may_lack_country  a country that nobody knows is asked in its box instead

    Source: 7 CFR 357.3 and 50 CFR 23.23: species, country and quantity are asked for,
    and "unknown" is none of them.
    """
    for item in items:
        _refuse_species(item)
        _refuse_country(item, may_lack=may_lack_country)
        _refuse_amount(item)
        if item.source and item.source not in codes("source"):
            raise RefusedError(
                f"{component(item)} has the source {item.source!r}, which is none of "
                f"{', '.join(codes('source'))}; correct it"
            )


def refuse_unfit_way(consignment: Consignment) -> None:
    """Refuse a consignment that goes nowhere, or through what is no country.

    Source: ISO 3166-1.
    """
    if not consignment.legs:
        raise RefusedError(
            f"{consignment.number} names no country: plan it with the country it "
            f"leaves and the one it enters"
        )
    for leg in consignment.legs:
        _refuse_place(leg, f"{consignment.number} goes by way of")


def nothing_asks(consignment: Consignment, paper: str, why: str) -> RefusedError:
    """Return the refusal of a form that applies to nothing in a consignment.

    Source: common practice, no source.
    """
    return RefusedError(f"nothing in {consignment.number} asks for {paper}: {why}")


def _refuse_species(item: Item) -> None:
    words = item.taxon.split()
    named = _SPECIES.fullmatch(item.taxon) and not _NO_NAMES & {
        word.casefold() for word in words
    }
    if not named and designation_of(item.taxon) is None:
        said = f"is called {item.taxon!r}" if item.taxon else "has no scientific name"
        raise RefusedError(
            f"{component(item)} {said}, and a form asks for genus and species: find "
            f"out which it is, and record it"
        )
    if item.kind == "unknown":
        raise RefusedError(
            f"{component(item)}: whether {item.taxon} is a plant or an animal is not "
            f"in the table of names; add the name to the shop's own rows"
        )


def _refuse_country(item: Item, *, may_lack: bool) -> None:
    if not item.countries and not may_lack:
        name = read_name(item.taxon).name
        grows = where_words(name.grows_in) if name else ""
        hint = f"; the table has it growing in {grows}" if grows else ""
        raise RefusedError(
            f"{component(item)} ({item.taxon}) has no country of origin: ask whoever "
            f"sold it, and name the country, or every one that it may be, {_how(item)}"
            f"{hint}"
        )
    if UNION in item.countries:
        raise RefusedError(
            f"{component(item)} ({item.taxon}) comes from the Union, and a form asks "
            f"for a country: record which"
        )
    for code in item.countries:
        _refuse_place(code, f"{component(item)} has the country of origin")


def _how(item: Item) -> str:
    """Say how a country is put on record: of what came in, of what is described."""
    if item.lots:
        return f"with flitchbook lot harvest {item.lots[0]}"
    return "as its origin or its may_be_from, where it is described"


def _refuse_amount(item: Item) -> None:
    if item.mass_mg is None:
        raise RefusedError(
            f"{component(item)} ({item.taxon}) has no mass: weigh it, and record it"
        )
    if item.mass_mg < 1 or item.pieces < 1:
        raise RefusedError(
            f"{component(item)} ({item.taxon}) has {item.pieces} pieces and "
            f"{item.mass_mg} mg: both must be more than nought; correct it"
        )


def _refuse_place(code: str, what: str) -> None:
    if place_for(code) != code:
        raise RefusedError(
            f"{what} {code!r}, which is no country: write its two capital letters, "
            f"such as FR"
        )
