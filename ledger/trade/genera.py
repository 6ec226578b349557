"""What is said of a genus that was named without its species, out of theirs.

A genus holds species that the table does not have: what is not needed for each that it
has is still to be asked about.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from ledger.scales import in_a_row, some_of
from ledger.trade.answers import Determination, merged
from ledger.trade.confidence import AND
from ledger.trade.confidence import ORDER as SURENESS
from ledger.trade.coverage import ASK, NEEDED, NOT_NEEDED, ORDER
from ledger.trade.law import Law
from ledger.trade.movement import place_words
from ledger.trade.names import Genus
from ledger.trade.path import Step

SETTLE = "settle the species before wood is bought"
_NEEDS = {
    NEEDED: "would need documents",
    ASK: "must be asked about",
    NOT_NEEDED: "would need no documents",
}


def of_genus(
    genus: Genus, each: Sequence[Determination], *, origin: str | None, law: Law
) -> Determination:
    """Return the answer for a genus, out of that for each of its species.

    It is needed where they all are by rows for a whole genus, family or order; else it
    is ask, with which are listed, and never that nothing is needed.

    origin  that was stated of the wood, for a listing may be of some populations only
    law     the edition that it is judged by

    Source: the rows of the answers; the shop's own caution for what the table lacks.
    """
    first = min(each, key=lambda one: (ORDER.index(one.answer), not one.is_listed))
    kinds = dict.fromkeys((one.is_listed, one.answer) for one in each)
    is_alike = len(kinds) == 1
    is_needed = is_alike and first.answer == NEEDED
    is_sure = is_needed and all(_is_of_whole(one, law) for one in each)
    answer = NEEDED if is_sure else ASK
    where = f" from {place_words(origin)}" if origin else ""
    why = _alike(genus, each, where) if is_alike else _apart(each, where)
    if is_needed and not is_sure:
        why = _most_likely(each, where)
    papers = (paper for one in each for paper in one.documents)
    rules = dict.fromkeys(one.rule for one in each)
    named = in_a_row([one.taxon for one in each])
    first_step = Step(at="name", says=f"{genus.name} is asked about as {named}")
    return replace(
        first,
        taxon=genus.name,
        answer=answer,
        documents=tuple(dict.fromkeys(papers)) if answer == NEEDED else (),
        rule=first.rule if len(rules) == 1 else "differs by species",
        rows=tuple(dict.fromkeys(row for one in each for row in one.rows)),
        sources=tuple(dict.fromkeys(mark for one in each for mark in one.sources)),
        table_date=min(one.table_date for one in each),
        newest_source=min(
            (one.newest_source for one in each if one.newest_source), default=None
        ),
        confidence=_least(one.confidence for one in each),
        why=why,
        note=first.note if len({one.note for one in each}) == 1 else "",
        is_listed=any(one.is_listed for one in each),
        also=tuple(_beside(each)),
        path=(
            first_step,
            *(step for one in each for step in one.path),
            Step(at="species", says=why, decided=answer, row=first.row),
        ),
    )


def _is_of_whole(said: Determination, law: Law) -> bool:
    """Tell whether an answer rests on a row for more than one species."""
    row = law.listings.get(said.row)
    return row is not None and row.rank != "species"


def _most_likely(each: Sequence[Determination], where: str) -> str:
    """Say what is so of every species that the table has, which may not be all."""
    named = some_of([one.taxon for one in each])
    return (
        f"documents are most likely needed, as for {named}{where}; but one that the "
        f"table lacks may not be listed: {SETTLE}"
    )


def _alike(genus: Genus, each: Sequence[Determination], where: str) -> str:
    """Say what is so whichever species it is, as far as the table has them."""
    first, word = each[0], genus.name.removesuffix(" spp.")
    named = ", ".join(one.taxon for one in each)
    which = f"whichever species of {word}{where} it is (in the table: {named})"
    is_one = len({one.why for one in each}) == 1 and first.is_listed
    why = f"{which}: {first.why}" if is_one else which
    if first.answer == NEEDED:
        is_same = len({one.documents for one in each}) == 1
        papers = "" if is_same else "; which documents depends on the species"
        return f"documents are needed {why}{papers}"
    lacking = f"but one that the table lacks may be listed: {SETTLE}"
    if not first.is_listed:
        return f"no listing was found {which}, {lacking}"
    if first.answer == NOT_NEEDED:
        return f"no documents would be needed {why}; {lacking}"
    return f"it has to be asked about {why}"


def _apart(each: Sequence[Determination], where: str) -> str:
    """Say which species are listed and which are not, the strictest first."""
    told = []
    for answer in ORDER:
        listed = [one.taxon for one in each if one.is_listed and one.answer == answer]
        if listed:
            verb = "is" if len(listed) == 1 else "are"
            told.append(f"{in_a_row(listed)} {verb} listed and {_NEEDS[answer]}")
    free = [one.taxon for one in each if not one.is_listed]
    if free:
        told.append(f"no listing was found of {in_a_row(free)}{where}")
    return f"{'; '.join(told)}: {SETTLE}"


def _beside(each: Sequence[Determination]) -> Iterator[Determination]:
    """Yield what other laws say; ask about what they say of some species only."""
    for other in merged(tuple(each)):
        of = [
            one.taxon
            for one in each
            if any((o.rule, o.answer) == (other.rule, other.answer) for o in one.also)
        ]
        if len(of) == len(each):
            yield other
        else:
            why = f"{other.why}; it is said of {in_a_row(of)} only: {SETTLE}"
            step = Step(at="species", says=why, decided=ASK)
            path = (*other.path, step)
            yield replace(other, answer=ASK, documents=(), why=why, path=path)


def _least(said: Iterable[str]) -> str:
    """Return the least of the words of confidence, with the shop's own rows after it.

    Where one answer rests on no row there is none.
    """
    words = list(said)
    if not all(words):
        return ""
    parts = [word.split(AND) for word in words]
    least = min((first for first, *_ in parts), key=SURENESS.index)
    return AND.join((least, *dict.fromkeys(own for _, *rest in parts for own in rest)))
