"""What a shipment asks before any box does: papers to get, and woods left open."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from ledger.scales import in_a_row, some_of
from ledger.trade.consignment import Consignment, Item
from ledger.trade.forms.checks import component
from ledger.trade.forms.sharing import doubt_words, grouped
from ledger.trade.forms.worksheet import Form
from ledger.trade.movement import Movement, place_words, purpose_for

NO_COMMERCE = "annotation #10, text of 2026"


class Asked(NamedTuple):
    """What a shipment asks: papers that are needed, what is open, what is left out."""

    papers: tuple[str, ...]
    asks: tuple[str, ...]
    left_out: tuple[str, ...]


class _Reason(NamedTuple):
    """Which papers by which law, of which office, and whether needed for sure."""

    papers: tuple[str, ...]
    law: str
    whom: str
    is_needed: bool


def asked(consignment: Consignment, forms: Sequence[Form]) -> Asked:
    """Return what a shipment asks, woods of one office and reason in one sentence.

    What is in doubt leads, for nothing can rest on it until that is cleared.

    Source: the determination of the shipment.
    """
    heaps: dict[_Reason, list[str]] = {}
    for one in consignment.ask_first:
        reason = _Reason(one.papers, one.law, one.whom, one.is_needed)
        taxa = heaps.setdefault(reason, [])
        if one.taxon and one.taxon not in taxa:
            taxa.append(one.taxon)
    needed = [_needed(*each) for each in heaps.items() if each[0].is_needed]
    opened = [_open(*each) for each in heaps.items() if not each[0].is_needed]
    return Asked(
        papers=tuple(needed),
        asks=(
            *_doubts(consignment),
            *_barred(consignment),
            *opened,
            *_untold(consignment, forms),
        ),
        left_out=tuple(_left_out(consignment, forms)),
    )


def _doubts(consignment: Consignment) -> tuple[str, ...]:
    """Name each paper in doubt once, whatever it was filed for."""
    said = (doubt_words(one) for item in consignment.items for one in item.doubted)
    return tuple(dict.fromkeys(said))


def _barred(consignment: Consignment) -> Iterator[str]:
    """Ask first of what no permit is given for in commerce, as the rows say.

    Source: Article III of the Convention for Appendix I; annotation #10, text of 2026.
    """
    if _is_commercial(consignment) is False:
        return
    for group in grouped(consignment.items, lambda item: item.taxon):
        item = next(filter(_is_wild_and_barred, group), None)
        if item is None:
            continue
        why = f"it stands in Appendix {item.appendix}"
        if item.annotation == NO_COMMERCE:
            why = f"{why}, {item.annotation}"
        first = item.first_listed
        old = f"from before its first listing of {first}" if first else "older than it"
        yield (
            f"whether a permit is given at all for {item.taxon}: {why}, by which none "
            f"is given for commerce in what was taken from the wild; what is {old} may "
            f"be asked for; ask {_office(item, consignment)}"
        )


def _is_wild_and_barred(item: Item) -> bool:
    """Tell whether commerce is barred in it, unless it is not from the wild."""
    is_barred = item.appendix == "I" or item.annotation == NO_COMMERCE
    return is_barred and bool(item.documents) and item.source in ("", "W")


def _is_commercial(consignment: Consignment) -> bool | None:
    purpose = purpose_for(consignment.purpose) if consignment.purpose else None
    return Movement(
        legs=consignment.legs, purpose=purpose, owner_changes=consignment.owner_changes
    ).is_commercial


def _office(item: Item, consignment: Consignment) -> str:
    """Return whom the determination names for a species, or the first authority."""
    said = [one.whom for one in consignment.ask_first if one.taxon == item.taxon]
    home = f"the Management Authority of {place_words(consignment.legs[0])}"
    return next(iter(said), home)


def _needed(reason: _Reason, taxa: Sequence[str]) -> str:
    papers = reason.papers or ("papers",)
    return f"{_of(papers, taxa)} ({reason.law}): ask {reason.whom}"


def _of(papers: Sequence[str], taxa: Sequence[str]) -> str:
    return f"{in_a_row(papers)} for {in_a_row(taxa)}" if taxa else in_a_row(papers)


def _open(reason: _Reason, taxa: Sequence[str]) -> str:
    if reason.papers:
        said = f"whether this paper is needed: {_of(reason.papers, taxa)}"
    elif taxa:
        verb = "needs" if len(taxa) == 1 else "need"
        said = f"whether {in_a_row(taxa)} {verb} papers"
    else:
        said = "whether papers are needed"
    return f"{said} ({reason.law}): ask {reason.whom}"


def _groups(consignment: Consignment) -> tuple[tuple[Item, ...], ...]:
    """Return the items that no answer was found for, species by species."""
    return grouped(
        (item for item in consignment.items if item.answer == "ask"),
        lambda item: item.taxon,
    )


def _is_told(item: Item, consignment: Consignment) -> bool:
    return item.taxon in {one.taxon for one in consignment.ask_first if one.taxon}


def _is_written(group: tuple[Item, ...], forms: Iterable[Form]) -> bool:
    written = {item for form in forms for row in form.specimens for item in row.items}
    return written.issuperset(group)


def _untold(consignment: Consignment, forms: Sequence[Form]) -> Iterator[str]:
    """Say which items are open that the shipment itself does not name."""
    for group in _groups(consignment):
        if _is_told(group[0], consignment):
            continue
        where = some_of(tuple(dict.fromkeys(component(item) for item in group)))
        name = group[0].taxon or "a wood without a name"
        left = "" if _is_written(group, forms) else "; it is not on this sheet"
        yield f"{name} ({where}): whether a paper is needed is open{left}"


def _left_out(consignment: Consignment, forms: Sequence[Form]) -> Iterator[str]:
    """Say once which of the open woods that were named stand on no row."""
    names = [
        group[0].taxon
        for group in _groups(consignment)
        if _is_told(group[0], consignment) and not _is_written(group, forms)
    ]
    if names:
        yield (
            f"Not on this sheet, for whether they need a paper is open: "
            f"{in_a_row(names)}."
        )
