"""Whether the papers of a shipment's wood bear it: in time, of this wood, enough.

What stands on a permit was read off it line by line with flitchbook document permits;
of one that nobody read only its days are known.
"""

from collections.abc import Iterable, Iterator

from ledger.acts.drawdown import LineUse, used_of
from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from ledger.quantities import cubic_metres, kilograms
from ledger.trade.consignment import Consignment, HeldPaper, Item


def require_sound_papers(shop: Shop, consignment: Consignment) -> None:
    """Refuse a worksheet that would rest on a paper that does not bear the wood.

    Raises RefusedError with the paper, the wood, and what to do.
    """
    fault = next(_faults(shop, consignment), None)
    if fault is not None:
        raise RefusedError(f"{fault}; see flitchbook document used, and ask first")


def _faults(shop: Shop, consignment: Consignment) -> Iterator[str]:
    for item in consignment.items:
        for paper in item.held:
            yield from _late(item, paper)
    for code, lots in _by_paper(consignment.items).items():
        used = used_of(shop, code)
        name = f"{used.document.paper} {code}"
        for draw in used.not_named:
            if draw.lot in lots:
                yield f"{name} names no {draw.species}, and {draw.lot} is of that"
        for line in used.lines:
            if line.is_over and lots & set(line.lots):
                yield (
                    f"{name} is over-drawn: it was issued for "
                    f"{_amount(line, line.permitted)} of {line.species}, and "
                    f"{_amount(line, line.used.amount)} came in under it"
                )


def _late(item: Item, paper: HeldPaper) -> Iterator[str]:
    """Yield that a paper had ended when the wood came in."""
    ended, came = paper.expires_on, item.acquired
    if ended is not None and came is not None and ended < came:
        yield (
            f"{paper.paper} {paper.document} ended on {ended}, before the {item.taxon} "
            f"of {item.thing} came in on {came}"
        )


def _by_paper(items: Iterable[Item]) -> dict[str, set[str]]:
    """Return the papers on file of what is sent, and the lots of each of them."""
    found: dict[str, set[str]] = {}
    for item in items:
        for paper in item.held:
            found.setdefault(paper.document, set()).update(item.lots)
    return found


def _amount(line: LineUse, amount: int) -> str:
    if line.unit == "pieces":
        return f"{amount} pieces"
    return kilograms(amount) if line.unit == "mass_mg" else cubic_metres(amount)
