"""What is said of wood that is of one of several countries, nobody knows which.

It is judged as of each of them, and as of no known origin: the worst of these answers
counts, so that naming countries frees nothing that an unknown one would not.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from ledger.trade.answers import Determination, merged
from ledger.trade.coverage import NEEDED, ORDER
from ledger.trade.movement import one_of_places
from ledger.trade.path import Step


def of_countries(
    unknown: Determination, by_country: Mapping[str, Determination]
) -> Determination:
    """Return the answer for wood of one of several countries.

    unknown     the answer where its origin is not known at all
    by_country  that for each country it may be of

    Source: the rows of the answers; the shop's own caution for what nobody knows.
    """
    each = (unknown, *by_country.values())
    first = min(each, key=_rank)
    worst = [code for code, one in by_country.items() if one.answer == first.answer]
    why, named = first.why, one_of_places(tuple(by_country))
    if first is not unknown:
        others = one_of_places([code for code in by_country if code not in worst])
        also = f", and it may also be of {others}" if others else ", nobody knows which"
        why = f"{'if it is ' if others else ''}of {one_of_places(worst)}{also}: {why}"
    if first.answer == NEEDED and _differ(each):
        why = f"{why}; which documents depends on the country"
    says = f"of {named}, nobody knows which: judged as of each, and as of none known"
    step = Step(at="origin", says=says, decided=first.answer, row=first.row)
    mine = set(first.path)
    own = (step for one in each for step in one.path if step.own and step not in mine)
    return replace(
        first,
        why=why,
        is_listed=any(one.is_listed for one in each),
        also=_others(each),
        path=(*first.path, *dict.fromkeys(own), step),
    )


def _rank(said: Determination) -> tuple[int, bool]:
    return ORDER.index(said.answer), not said.is_listed


def _differ(each: Iterable[Determination]) -> bool:
    """Tell whether documents are needed that are not the same for every country."""
    needed = {frozenset(one.documents) for one in each if one.answer == NEEDED}
    return len(needed) > 1


def _others(each: Iterable[Determination]) -> tuple[Determination, ...]:
    """Return the answers under other laws: of one rule only the worst."""
    found: dict[tuple[str, str], Determination] = {}
    for one in each:
        for other in merged((one,)):
            key = (other.rule, other.ask_whom)
            known = found.setdefault(key, other)
            found[key] = min(known, other, key=lambda two: ORDER.index(two.answer))
    return tuple(sorted(found.values(), key=lambda two: ORDER.index(two.answer)))
