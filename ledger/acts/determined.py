"""What a shipment was found to need, as its entry says it, and what changed since."""

from collections.abc import Iterator, Sequence
from dataclasses import fields
from typing import Any, cast

from ledger.acts.described import PIECE
from ledger.benchcodes import MaterialId
from ledger.events import ShipmentPlanned, ShipmentPlannedV1
from ledger.events.shipment import (
    Answer,
    Determined,
    DeterminedV1,
    LotShare,
    NeededPaper,
    Share,
)
from ledger.quantities import grams
from ledger.trade.answers import Determination
from ledger.trade.edition import tables_sha256
from ledger.trade.law import Law
from ledger.trade.shipment import Line, LotMass, ShipmentDetermination, lots_in


def all_determined(found: ShipmentDetermination) -> tuple[Determined, ...]:
    """Return all that was found: the Convention line by line, then the other laws."""
    lines = (_determined(line) for line in found.lines)
    return (*lines, *(_beside(other, found.lines) for other in found.also))


def changes(
    then: ShipmentPlanned | ShipmentPlannedV1, found: ShipmentDetermination, law: Law
) -> Iterator[str]:
    """Yield how what is found now differs from what was found when it was planned.

    law  the edition of the tables that is asked now
    """
    now = all_determined(found)
    planned = [_of_today(one) for one in then.determined]
    yield from _changed_lines(planned, now)
    before, since = _beside_in(planned), _beside_in(now)
    for said in dict.fromkeys((*before, *since)):
        of_law, rule, answer = said
        if said not in since:
            yield f"{of_law}, {rule}: {answer} then, and no longer"
        elif said not in before:
            yield f"{of_law}, {rule}: {answer} now, and not then"
    if then.tables_sha256 != tables_sha256(law):
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


def _of_today(said: Determined | DeterminedV1) -> Determined:
    """Return what was found as it is said today; of old there were lots alone."""
    if isinstance(said, Determined):
        return said
    members = {f.name: getattr(said, f.name) for f in fields(said) if f.name != "lots"}
    return Determined(**members, shares=tuple(map(_share_of_today, said.lots)))


def _share_of_today(old: LotShare) -> Share:
    return Share(**{f.name: getattr(old, f.name) for f in fields(old)})


def _other_wood(old: Share, new: Share) -> str | None:
    """Return what else is told otherwise of a lot, or None where nothing is."""
    told = zip(_told(old), _told(new), strict=True)
    changed = [f"{was} then, {now} now" for was, now in told if was != now]
    return "; ".join(changed) or None


def _told(share: Share) -> tuple[str, str, str]:
    """Return what is on record of a lot in a shipment, in words."""
    mass = "not weighed" if share.mass_mg is None else grams(share.mass_mg)
    origin = f"from {share.origin}" if share.origin else "of no known origin"
    acquired = f"acquired {share.acquired}" if share.acquired else "of no proven day"
    return mass, origin, acquired


def _share(said: Determined, of: str) -> Share:
    return next(share for share in said.shares if share.of == of)


def _by_lot(said: Sequence[Determined]) -> dict[tuple[str, str, str], Determined]:
    return {
        (one.species, one.form, share.of): one
        for one in said
        if one.species is not None and one.form is not None
        for share in one.shares
    }


def _beside_in(said: Sequence[Determined]) -> list[tuple[str, str, str]]:
    return [(one.law, one.rule, one.answer) for one in said if one.species is None]


def _determined(line: Line) -> Determined:
    """Say what the Convention asks of one species in one form."""
    return Determined(
        species=line.taxon,
        form=line.form,
        mass_mg=line.mass_mg,
        shares=_shares(line.lots),
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
        shares=_shares(lots_in(lot for line in meant for lot in line.lots)),
        evidence=tuple(evidence),
        **_found(other),
    )


def _shares(lots: Sequence[LotMass]) -> tuple[Share, ...]:
    return tuple(
        Share(
            mass_mg=lot.mass_mg,
            origin=lot.origin,
            acquired=lot.acquired.isoformat() if lot.acquired else None,
            **_whose(lot.lot),
        )
        for lot in lots
    )


def _whose(code: str) -> dict[str, Any]:
    """Return what a share is of: a lot, a batch, or a piece by its place."""
    if code.startswith(PIECE):
        return {"number": int(code.removeprefix(PIECE))}
    is_batch = MaterialId.form.shape.fullmatch(code) is not None
    return {"batch" if is_batch else "lot": code}


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
