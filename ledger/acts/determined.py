"""What a shipment was found to need, as its entry says it, and what changed since."""

from collections.abc import Iterator, Sequence
from typing import Any, cast

from ledger.events import ShipmentPlanned
from ledger.events.shipment import Answer, Determined, LotShare, NeededPaper
from ledger.quantities import grams
from ledger.trade.answers import Determination
from ledger.trade.edition import tables_sha256
from ledger.trade.shipment import Line, LotMass, ShipmentDetermination, lots_in


def all_determined(found: ShipmentDetermination) -> tuple[Determined, ...]:
    """Return all that was found: the Convention line by line, then the other laws."""
    lines = (_determined(line) for line in found.lines)
    return (*lines, *(_beside(other, found.lines) for other in found.also))


def changes(then: ShipmentPlanned, found: ShipmentDetermination) -> Iterator[str]:
    """Yield how what is found now differs from what was found when it was planned."""
    now = all_determined(found)
    yield from _changed_lines(then.determined, now)
    before, since = _beside_in(then.determined), _beside_in(now)
    for law, rule, answer in dict.fromkeys((*before, *since)):
        if (law, rule, answer) not in since:
            yield f"{law}, {rule}: {answer} then, and no longer"
        elif (law, rule, answer) not in before:
            yield f"{law}, {rule}: {answer} now, and not then"
    if then.tables_sha256 != tables_sha256():
        yield "the tables are of another edition than when it was planned"


def _changed_lines(
    then: Sequence[Determined], now: Sequence[Determined]
) -> Iterator[str]:
    """Yield what changed of the answers for a species in a form.

    Each lot is compared with itself, and lots that changed alike are told together.
    """
    before, since = _by_lot(then), _by_lot(now)
    alike: dict[tuple[str, str, str], list[str]] = {}
    for key in dict.fromkeys((*before, *since)):
        change = _change(before.get(key), since.get(key), key[2])
        if change is not None:
            alike.setdefault((*key[:2], change), []).append(key[2])
    for (species, form, change), lots in alike.items():
        thing = f"{species}, {form.replace('_', ' ')}"
        yield f"{thing} of {', '.join(lots)}: {change}"


def _change(old: Determined | None, new: Determined | None, lot: str) -> str | None:
    """Return what changed for the wood of a lot, or None where nothing did."""
    if old is None or new is None:
        return "new in it" if old is None else "no longer in it"
    if old.answer != new.answer:
        return f"{old.answer} then, {new.answer} now"
    if set(old.documents) != set(new.documents):
        papers = "; ".join(f"{paper.name}, {paper.from_}" for paper in new.documents)
        return f"other documents needed now: {papers or 'none'}"
    return _other_wood(_share(old, lot), _share(new, lot))


def _other_wood(old: LotShare, new: LotShare) -> str | None:
    """Return what else is told otherwise of a lot, or None where nothing is."""
    told = zip(_told(old), _told(new), strict=True)
    changed = [f"{was} then, {now} now" for was, now in told if was != now]
    return "; ".join(changed) or None


def _told(share: LotShare) -> tuple[str, str, str]:
    """Return what is on record of a lot in a shipment, in words."""
    origin = f"from {share.origin}" if share.origin else "of no known origin"
    acquired = f"acquired {share.acquired}" if share.acquired else "of no proven day"
    return grams(share.mass_mg), origin, acquired


def _share(said: Determined, lot: str) -> LotShare:
    return next(share for share in said.lots if share.lot == lot)


def _by_lot(said: Sequence[Determined]) -> dict[tuple[str, str, str], Determined]:
    return {
        (one.species, one.form, share.lot): one
        for one in said
        if one.species is not None and one.form is not None
        for share in one.lots
    }


def _beside_in(said: Sequence[Determined]) -> list[tuple[str, str, str]]:
    return [(one.law, one.rule, one.answer) for one in said if one.species is None]


def _determined(line: Line) -> Determined:
    """Say what the Convention asks of one species in one form."""
    return Determined(
        species=line.taxon,
        form=line.form,
        mass_mg=line.mass_mg,
        lots=_shares(line.lots),
        evidence=line.evidence,
        **_found(line.determination),
    )


def _beside(other: Determination, lines: Sequence[Line]) -> Determined:
    """Say what another law asks, and of which of the wood."""
    meant = [
        line
        for line in lines
        if any(
            (one.rule, one.answer) == (other.rule, other.answer)
            for one in line.determination.also
        )
    ]
    evidence = dict.fromkeys(code for line in meant for code in line.evidence)
    return Determined(
        lots=_shares(lots_in(lot for line in meant for lot in line.lots)),
        evidence=tuple(evidence),
        **_found(other),
    )


def _shares(lots: Sequence[LotMass]) -> tuple[LotShare, ...]:
    return tuple(
        LotShare(
            lot=lot.lot,
            mass_mg=lot.mass_mg,
            origin=lot.origin,
            acquired=lot.acquired.isoformat() if lot.acquired else None,
        )
        for lot in lots
    )


def _found(said: Determination) -> dict[str, Any]:
    """Return the members that an answer has whatever it is of."""
    newest = said.newest_source
    return {
        "law": said.law,
        "answer": cast("Answer", said.answer),
        "rule": said.rule,
        "row": said.row or None,
        "documents": tuple(
            NeededPaper(name=paper.name, from_=paper.issuer) for paper in said.documents
        ),
        "table_date": said.table_date.isoformat(),
        "newest_source": newest.isoformat() if newest else None,
    }
