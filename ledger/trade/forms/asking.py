"""What a shipment asks before any box does: papers to get, and woods left open."""

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from ledger.scales import in_a_row, some_of
from ledger.trade.consignment import Consignment, Item
from ledger.trade.forms.checks import component
from ledger.trade.forms.sharing import grouped
from ledger.trade.forms.worksheet import Form

# papers for Acer rubrum, sawn wood (CITES): ask the Management Authority …
_SENTENCE = re.compile(
    r"(?P<what>.+?)(?: for (?P<taxon>[^,()]+), (?P<form>[^()]+?))?"
    r" \((?P<law>(?:[^()]|\([^()]*\))+)\): ask (?P<whom>.+)"
)
_PAPERS = "papers"  # where nobody knows which


class Asked(NamedTuple):
    """What a shipment asks: papers that are needed, what is open, what is left out."""

    papers: tuple[str, ...]
    asks: tuple[str, ...]
    left_out: tuple[str, ...]


class _Reason(NamedTuple):
    """Which paper by which law, of which office, and whether it is needed for sure."""

    what: str
    law: str
    whom: str
    is_needed: bool


def asked(consignment: Consignment, forms: Sequence[Form]) -> Asked:
    """Return what a shipment asks, woods of one office and reason in one sentence.

    Source: the determination of the shipment.
    """
    heaps: dict[_Reason, list[str]] = {}
    plain: list[str] = []
    for said in consignment.ask_first:
        found = _SENTENCE.fullmatch(said)
        if found is None:
            plain.append(said)
            continue
        taxa = heaps.setdefault(_reason(found, consignment), [])
        taxa += [found["taxon"]] if found["taxon"] else []
    needed = [_needed(*each) for each in heaps.items() if each[0].is_needed]
    opened = [_open(*each) for each in heaps.items() if not each[0].is_needed]
    return Asked(
        papers=tuple(dict.fromkeys(needed)),
        asks=tuple(dict.fromkeys([*plain, *opened, *_untold(consignment, forms)])),
        left_out=tuple(_left_out(consignment, forms)),
    )


def _reason(found: re.Match[str], consignment: Consignment) -> _Reason:
    is_needed = found["what"] != _PAPERS
    if is_needed and found["taxon"]:
        is_needed = not any(
            item.answer == "ask"
            and item.taxon == found["taxon"]
            and item.form.replace("_", " ") == found["form"]
            for item in consignment.items
        )
    return _Reason(found["what"], found["law"], found["whom"], is_needed)


def _needed(reason: _Reason, taxa: list[str]) -> str:
    return f"{_of(reason.what, taxa)} ({reason.law}): ask {reason.whom}"


def _of(what: str, taxa: list[str]) -> str:
    said = in_a_row(what.split(", "))
    return f"{said} for {in_a_row(list(dict.fromkeys(taxa)))}" if taxa else said


def _open(reason: _Reason, taxa: list[str]) -> str:
    names = list(dict.fromkeys(taxa))
    if reason.what != _PAPERS:
        said = f"whether this paper is needed: {_of(reason.what, names)}"
    elif names:
        verb = "needs" if len(names) == 1 else "need"
        said = f"whether {in_a_row(names)} {verb} papers"
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
    told = " ".join(consignment.ask_first)
    return bool(item.taxon) and item.taxon in told


def _is_written(group: tuple[Item, ...], forms: Iterable[Form]) -> bool:
    written = {item for form in forms for row in form.specimens for item in row.items}
    return written.issuperset(group)


def _untold(consignment: Consignment, forms: Sequence[Form]) -> Iterator[str]:
    """Say which items are open that the shipment's own sentences do not name."""
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
