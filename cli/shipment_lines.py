"""What a shipment asks for, in lines to be read and as data."""

from collections.abc import Iterator
from typing import Any

# Below, whole grams or hundredths of a kilogram would round off too much of it [mg].
SMALL_MG = 10_000


def plan_lines(plan: Any) -> list[str]:
    """Say what must be asked first, then what is needed, then the rest."""
    from ledger.trade.answers import CAUTION

    totals = plan.found.totals
    name = f"Shipment {plan.number}" if plan.number else "Looking ahead, not recorded"
    lines = [
        f"{name}: {totals.to_ask} to ask about, documents needed for "
        f"{totals.permits_needed}, {totals.on_a_list} species on a CITES list, "
        f"{_listed_wood(plan)}, "
        f"{totals.species} species.",
    ]
    lines += [f"  look first: {fault}" for fault in plan.faults]
    lines += _others_first(plan.found.also)
    read = for_reading(plan.found.lines)
    aged = [line for line in read if open_for_age(line)]
    # One alone is told whole; of several the reason is told once.
    folded = aged if len(aged) > 1 else []
    for line in (line for line in read if not (folded and open_for_age(line))):
        lines.append(
            f"  {line.answer:<10} {line.taxon} ({', '.join(line.parts)}), "
            f"{_mass(line.mass_mg)}: {line.why}"
        )
        if line.is_listed:
            lines.append(f"             of: {'; '.join(map(_share, line.lots))}")
        lines += _beneath(line.determination)
        held = ", ".join(line.evidence) or "none"
        lines.append(f"             papers on file: {held}")
    lines += _aged(folded)
    for other in plan.found.also:
        lines.append(f"  also {other.answer}: {other.law}, {other.why}")
        lines += _beneath(other)
    lines += [f"  note: {note}" for note in plan.found.notes]
    compiled = plan.found.table_date.isoformat()
    lines.append(f"Tables compiled {compiled}. This is {CAUTION}.")
    return lines


def _aged(lines: list[Any]) -> Iterator[str]:
    """Yield what only the age of the tables leaves open: the reason once, then each."""
    from ledger.trade.documents import office_words

    if not lines:
        return
    yield f"  ask        no listing found; open only because {why_aged(lines)}:"
    for line in lines:
        held = ", ".join(line.evidence) or "none"
        parts = f"{line.taxon} ({', '.join(line.parts)}), {_mass(line.mass_mg)}"
        row = line.determination.row
        yield f"             {parts}; row {row}; papers on file: {held}"
    asked = dict.fromkeys(office_words(line.ask_whom) for line in lines)
    yield from (f"             ask {offices}" for offices in asked)


def for_reading(lines: Any) -> list[Any]:
    """Return lines in the order to read them: needed, ask, listed, mere age last."""
    from ledger.trade.coverage import ASK, NEEDED

    def rank(line: Any) -> tuple[bool, bool, bool, bool]:
        is_aged = bool(open_for_age(line))
        is_needed, is_open = line.answer == NEEDED, line.answer == ASK
        return is_aged, not is_needed, not is_open, not line.is_listed

    return sorted(lines, key=rank)


def open_for_age(line: Any) -> str:
    """Say why wood that no listing was found for is to ask for age alone, or nothing.

    Listed wood leads whatever leaves it open.
    """
    return "" if line.is_listed else str(line.determination.open_for_age)


def why_aged(lines: Any) -> str:
    """Say once why some lines are open for age: of several sources the oldest counts.

    Nothing where none is.
    """
    aged = [line for line in lines if open_for_age(line)]
    whys = list(dict.fromkeys(map(open_for_age, aged)))
    if len(whys) < 2:
        return "".join(whys)
    seen = {line.determination.newest_source for line in aged} - {None}
    days = sorted(map(str, seen))
    if not days:
        return whys[0]
    return (
        f"the newest sources seen are of {days[0]} to {days[-1]}, and the lists may "
        f"have changed since"
    )


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


def is_weighed(plan: Any) -> bool:
    """Tell whether all listed wood of a shipment was weighed; shell is no wood."""
    from ledger.trade.names import meant_by

    return not any(
        line.is_listed
        and line.mass_mg is None
        and any(name.kind == "plant" for name in meant_by(line.taxon, plan.law))
        for line in plan.found.lines
    )


def _listed_wood(plan: Any) -> str:
    """Say how much listed wood there is, and that some of it was never weighed."""
    from ledger.quantities import grams, kilograms

    mass_mg, is_whole = plan.found.totals.listed_wood_mg, is_weighed(plan)
    if not mass_mg and not is_whole:
        return "listed wood not weighed"
    is_small = 0 < mass_mg < SMALL_MG
    said = grams(mass_mg) if is_small else kilograms(mass_mg, places=2)
    return f"{'' if is_whole else 'at least '}{said} of listed wood"


def _mass(mass_mg: int | None) -> str:
    """Return a mass in words, or that nobody weighed it; little is not rounded off."""
    from ledger.quantities import grams

    if mass_mg is None:
        return "not weighed"
    return grams(mass_mg, places=0 if mass_mg >= SMALL_MG or not mass_mg else None)


def _share(lot: Any) -> str:
    """Say what a line holds of a lot, whence it is and since when it is held."""
    day = f"acquired {lot.acquired}" if lot.acquired else "of no proven day"
    return f"{_mass(lot.mass_mg)} of {lot.lot}, {lot.whence}, {day}"


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


def country_open(recipient: str, journey: Any) -> tuple[str, ...]:
    """Say that the papers leave a country open, where the way leads to several.

    recipient  whom it goes to, as it was typed
    """
    from datetime import date

    from ledger.acts.consignments import recipient_of
    from ledger.trade.forms.ends import either
    from ledger.trade.ways import ends_of

    if recipient_of(recipient, journey).country:
        return ()
    may_be = either(ends_of(journey.legs, date.fromisoformat(journey.moves_on)))
    return (f"the recipient's country is open: end --recipient with {may_be}",)
