"""Where a way leads: to its end, or abroad and home again."""

from collections.abc import Iterable, Sequence
from datetime import date
from itertools import pairwise

from ledger.trade.movement import UNION, is_in_union, place_name


def comes_home(legs: Sequence[str], day: date) -> bool:
    """Tell whether a way ends where it began; the Union is home to its members.

        GB, US, GB    DE, US, EU    DE, US, FR

    Source: Regulation (EC) 338/97 for the Union, which is one territory.
    """
    here, there = legs[0], legs[-1]
    if here == there:
        return True
    if not (is_in_union(here, day) and is_in_union(there, day)):
        return False
    # From one member to another it came home only if it had left.
    return UNION in (here, there) or not all(is_in_union(leg, day) for leg in legs)


def ends_of(legs: Sequence[str], day: date) -> tuple[str, ...]:
    """Return where a way leads: its end, or each country that it comes home from.

        GB, NL, US        US
        GB, US, GB        US
        GB, FR, US, GB    FR, US
        DE, US, FR        US, FR

    Home in another member of the Union may be where it leads as well.

    Source: common practice, no source.
    """
    if not comes_home(legs, day):
        return (legs[-1],)
    home = {legs[0], legs[-1]}
    abroad = [
        leg
        for leg in legs[1:-1]
        if leg not in home and not (UNION in home and is_in_union(leg, day))
    ]
    if UNION not in home and len(home) > 1:
        abroad.append(legs[-1])
    return tuple(dict.fromkeys(abroad)) or (legs[-1],)


def receiving(legs: Sequence[str], day: date) -> str:
    """Return the country of whoever receives; empty where it may be one of several.

    Source: common practice, no source: a tour is received where it turns.
    """
    ends = ends_of(legs, day)
    return ends[0] if len(ends) == 1 else ""


def entered(legs: Sequence[str], day: date) -> tuple[tuple[str, ...], ...]:
    """Return what a way enters, in order: a country, or members of the Union in a row.

        GB, FR, DE, US    (FR, DE), (US)

    Source: Regulation (EC) 338/97: between members of the Union there is no border.
    """
    found: list[tuple[str, ...]] = []
    for here, there in pairwise(legs):
        is_inside = is_in_union(here, day) and is_in_union(there, day)
        if is_inside and found:
            found[-1] = tuple(dict.fromkeys((*found[-1], there)))
        elif not is_inside and here != there:
            found.append((there,))
    return tuple(dict.fromkeys(found))


def country_line(country: str, legs: Sequence[str], day: date) -> str:
    """Return the country as it ends an address; of several, which to add by hand.

    Source: ISO 3166-1.
    """
    known = country or receiving(legs, day)
    if known:
        return f"{place_name(known)} ({known})"
    may_be = " or ".join(f"{place_name(end)} ({end})" for end in ends_of(legs, day))
    return f"country to be added by hand: {may_be}"


def way_line(country: str, legs: Sequence[str], day: date) -> str:
    """Return where a way leads, by which countries, and whether it comes home.

        France (FR) via United States (US)
        United States (US), then France (FR)
        United States (US), and back

    Source: ISO 3166-1.
    """
    told = country_line(country, legs, day)
    ends = {legs[0], legs[-1]}
    is_home = comes_home(legs, day) and (len(ends) == 1 or UNION in ends)
    if country:
        here = {country, UNION} if is_in_union(country, day) else {country}
        past = {*here, *(ends if is_home else ())}
        at = max((n for n, leg in enumerate(legs) if leg in here), default=len(legs))
        told = " via ".join((told, *_named(reversed(legs[1:at]), past)))
        told = ", then ".join((told, *_named(legs[at + 1 :], past)))
    return f"{told}, and back" if is_home else told


def _named(legs: Iterable[str], past: set[str]) -> list[str]:
    """Name countries once each, but those that were said."""
    others = dict.fromkeys(leg for leg in legs if leg not in past)
    return [f"{place_name(leg)} ({leg})" for leg in others]
