"""Whether the papers of a shipment's wood bear it: in time, of this wood, enough.

What stands on a permit was read off it line by line with flitchbook document permits;
of one that nobody read only its days are known.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from sqlmodel import Session

from ledger.acts.drawdown import LineUse, used_of
from ledger.acts.shop import Shop
from ledger.errors import RefusedError
from ledger.quantities import cubic_metres, kilograms
from ledger.trade.shipment import Material
from ledger.views.wood import Document


def paper_faults(shop: Shop, materials: Sequence[Material]) -> tuple[str, ...]:
    """Return what is wrong with the papers on file of what is to go, each once."""
    with shop.store.reading() as session:
        late = [said for each in materials for said in _late(session, each)]
    return tuple(dict.fromkeys([*late, *_unfit(shop, materials)]))


def require_sound_papers(faults: Sequence[str]) -> None:
    """Refuse a paper that would rest on one that does not bear the wood.

    Raises RefusedError with the paper, the wood, and what to do.
    """
    if faults:
        raise RefusedError(f"{faults[0]}; see flitchbook document used, and ask first")


def _unfit(shop: Shop, materials: Iterable[Material]) -> Iterator[str]:
    """Yield that a paper names other wood, or less of it than came in."""
    for code, lots in _by_paper(materials).items():
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


def _late(session: Session, material: Material) -> Iterator[str]:
    """Yield that a paper had ended when the wood came in."""
    for code in material.documents:
        paper = session.get_one(Document, code)
        if paper.expires_on is None or material.acquired is None:
            continue
        if date.fromisoformat(paper.expires_on) < material.acquired:
            yield (
                f"{paper.paper} {code} ended on {paper.expires_on}, before the "
                f"{material.taxon} of {material.thing} came in on {material.acquired}"
            )


def _by_paper(materials: Iterable[Material]) -> dict[str, set[str]]:
    """Return the papers on file of what is sent, and the lots of each of them."""
    found: dict[str, set[str]] = {}
    for material in materials:
        for code in material.documents:
            found.setdefault(code, set()).add(material.lot)
    return found


def _amount(line: LineUse, amount: int) -> str:
    if line.unit == "pieces":
        return f"{amount} pieces"
    return kilograms(amount) if line.unit == "mass_mg" else cubic_metres(amount)
