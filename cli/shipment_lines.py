"""What a shipment asks for, in lines to be read and as data."""

from collections.abc import Iterator
from typing import Any


def plan_lines(plan: Any) -> list[str]:
    """Say what must be asked first, then what is needed, then the rest."""
    from ledger.quantities import kilograms
    from ledger.trade.answers import CAUTION

    totals = plan.found.totals
    name = f"Shipment {plan.number}" if plan.number else "Looking ahead, not recorded"
    lines = [
        f"{name}: {totals.to_ask} to ask about, documents needed for "
        f"{totals.permits_needed}, {totals.on_a_list} species on a CITES list, "
        f"{kilograms(totals.listed_wood_mg, places=2)} of listed wood, "
        f"{totals.species} species.",
    ]
    lines += [f"  look first: {fault}" for fault in plan.faults]
    lines += _others_first(plan.found.also)
    for line in plan.found.lines:
        lines.append(
            f"  {line.answer:<10} {line.taxon} ({', '.join(line.parts)}), "
            f"{_mass(line.mass_mg)}: {line.why}"
        )
        if line.is_listed:
            lines.append(f"             of: {'; '.join(map(_share, line.lots))}")
        lines += _beneath(line.determination)
        held = ", ".join(line.evidence) or "none"
        lines.append(f"             papers on file: {held}")
    for other in plan.found.also:
        lines.append(f"  also {other.answer}: {other.law}, {other.why}")
        lines += _beneath(other)
    lines += [f"  note: {note}" for note in plan.found.notes]
    compiled = plan.found.table_date.isoformat()
    lines.append(f"Tables compiled {compiled}. This is {CAUTION}.")
    return lines


def _beneath(said: Any) -> Iterator[str]:
    """Yield what stands under an answer: its papers, whom to ask, what it rests on."""
    from ledger.trade.confidence import confidence_words
    from ledger.trade.documents import office_words

    for paper in said.documents:
        yield f"             {paper.name}, from {office_words(paper.issuer)}"
    if said.answer != "not needed":
        yield f"             ask {office_words(said.ask_whom)}"
    if said.note:
        yield f"             note: {said.note}"
    if said.row:
        yield f"             row {said.row}: {confidence_words(said.confidence)}"


def _mass(mass_mg: int | None) -> str:
    """Return a mass in words, or that nobody weighed it."""
    from ledger.quantities import grams

    return "not weighed" if mass_mg is None else grams(mass_mg, places=0)


def _share(lot: Any) -> str:
    """Say what a line holds of a lot, whence it is and since when it is held."""
    origin = f"from {lot.origin}" if lot.origin else "of no known origin"
    day = f"acquired {lot.acquired}" if lot.acquired else "of no proven day"
    return f"{_mass(lot.mass_mg)} of {lot.lot}, {origin}, {day}"


def _others_first(also: Any) -> list[str]:
    """Say under the totals what laws beside CITES ask, where they ask anything."""
    counts = [
        sum(other.answer == answer for other in also) for answer in ("ask", "needed")
    ]
    if not any(counts):
        return []
    return [
        f"  Beside CITES: {counts[0]} to ask about, documents needed for {counts[1]}."
    ]


def change_line(plan: Any) -> list[str]:
    """Say in a sentence what the tables answer otherwise since it was planned."""
    if not plan.changes:
        return []
    return [f"Changed since {plan.number} was planned: {'; '.join(plan.changes)}."]


def plan_data(plan: Any) -> dict[str, Any]:
    """Return a plan as stable JSON."""
    from dataclasses import asdict

    from ledger.trade.answers import as_data
    from ledger.trade.edition import tables_sha256

    return {
        "shipment": plan.number,
        "answer": plan.found.answer,
        "totals": asdict(plan.found.totals),
        "rows": [
            {"mass_mg": line.mass_mg, "parts": list(line.parts)}
            | {"evidence": list(line.evidence)}
            | {"lots": [_lot_data(lot) for lot in line.lots]}
            | as_data(line.determination)
            for line in plan.found.lines
        ],
        "also": [as_data(other) for other in plan.found.also],
        "notes": list(plan.found.notes),
        "paper_faults": list(plan.faults),
        "entries": list(plan.entries),
        "table_date": plan.found.table_date.isoformat(),
        "tables_sha256": tables_sha256(plan.law),
    }


def _lot_data(lot: Any) -> dict[str, Any]:
    day = lot.acquired.isoformat() if lot.acquired else None
    return {**lot._asdict(), "acquired": day}
