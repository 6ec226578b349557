"""What a whole shipment asks for: each species and form, then the totals."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

from ledger.trade.answers import Determination, merged
from ledger.trade.coverage import ASK, NEEDED, ORDER
from ledger.trade.determination import determine, limited_mass_mg
from ledger.trade.documents import Document
from ledger.trade.movement import Movement
from ledger.trade.question import Part, Question
from ledger.trade.tables import names, table_date


class LotMass(NamedTuple):
    """So much wood of a lot, where it was harvested and the day it came in.

    Either is None where that is not known, or where nothing shows the day.
    """

    lot: str
    mass_mg: int
    origin: str | None = None
    acquired: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A piece in a shipment: what it is, of which lot, and what papers it has."""

    taxon: str
    part: str
    form: str
    mass_mg: int
    lot: str
    acquired: date | None = None
    origin: str | None = None
    documents: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """The answer for wood of one species in one form, with the papers we hold for it.

    It is true for all of that wood: what is answered otherwise, as where some came in
    before the first listing, is another line.
    """

    taxon: str
    form: str
    parts: tuple[str, ...]
    origins: tuple[str | None, ...]
    mass_mg: int
    lots: tuple[LotMass, ...]  # that make up the mass
    answer: str
    is_listed: bool
    documents: tuple[Document, ...]
    evidence: tuple[str, ...]
    rule: str
    row: str
    source: str
    why: str
    ask_whom: str
    determination: Determination


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """The figures an officer reads first, in the order to say them."""

    to_ask: int  # lines to ask about
    permits_needed: int  # lines that need documents
    on_a_list: int  # species that stand in an Appendix
    listed_wood_mg: int
    species: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ShipmentDetermination:
    """The answer for a shipment: its lines, other laws, and the totals."""

    answer: str
    lines: tuple[Line, ...]
    totals: Totals
    also: tuple[Determination, ...]
    notes: tuple[str, ...]
    table_date: date


def determine_shipment(
    materials: Sequence[Material],
    *,
    movement: Movement,
    day: date,
    hts_number: str | None = None,
) -> ShipmentDetermination:
    """Answer what a shipment needs, counting the 10 kg of annotation #15 once over all.

    Lines come as needed, ask, listed but not needed, and the rest. Wood of one species
    in one form stands in several where the answer is not the same for all of it.

    Source: annotation #15 b of the CITES Appendices for the sum; each line its own row.
    """
    limited = limited_mass_mg(tuple(_part(each) for each in materials), day)
    # What is told of a piece beside its mass, which counts in the sum alone.
    alike: dict[Part, list[Material]] = {}
    for each in materials:
        alike.setdefault(replace(_part(each), mass_mg=None), []).append(each)
    groups: dict[Determination, list[Material]] = {}
    for part, same in alike.items():
        question = Question(
            parts=(part,), date=day, movement=movement, hts_number=hts_number
        )
        found = determine(question, shipment_mass_mg=limited)
        groups.setdefault(found, []).extend(same)
    lines = [_line(found, group) for found, group in groups.items()]
    lines.sort(key=_rank)
    said = tuple(line.determination for line in lines)
    return ShipmentDetermination(
        answer=min((line.answer for line in lines), key=ORDER.index, default=ASK),
        lines=tuple(lines),
        totals=_totals(lines),
        also=merged(said),
        notes=tuple(_notes(lines)),
        table_date=table_date(),
    )


def lots_in(masses: Iterable[LotMass]) -> tuple[LotMass, ...]:
    """Return each lot once with its mass in all, by number.

    A lot came in on one day, from one country.

    Source: the shop's own weights.
    """
    found: dict[str, LotMass] = {}
    for each in masses:
        before = found.get(each.lot)
        mass_mg = each.mass_mg + (before.mass_mg if before else 0)
        found[each.lot] = each._replace(mass_mg=mass_mg)
    return tuple(found[lot] for lot in sorted(found))


def _line(said: Determination, group: list[Material]) -> Line:
    return Line(
        taxon=said.taxon,
        form=said.form,
        parts=tuple(dict.fromkeys(each.part for each in group)),
        origins=tuple(dict.fromkeys(each.origin for each in group)),
        mass_mg=sum(each.mass_mg for each in group),
        lots=lots_in(_mass(each) for each in group),
        answer=said.answer,
        is_listed=said.is_listed,
        documents=said.documents,
        evidence=tuple(
            dict.fromkeys(code for each in group for code in each.documents)
        ),
        rule=said.rule,
        row=said.row,
        source=said.source,
        why=said.why,
        ask_whom=said.ask_whom,
        determination=said,
    )


def _mass(material: Material) -> LotMass:
    return LotMass(material.lot, material.mass_mg, material.origin, material.acquired)


def _part(material: Material) -> Part:
    return Part(
        taxon=material.taxon,
        form=material.form,
        mass_mg=material.mass_mg,
        acquired=material.acquired,
        origin=material.origin,
    )


def _rank(line: Line) -> tuple[int, bool, str, str]:
    return ORDER.index(line.answer), not line.is_listed, line.taxon, line.form


def _totals(lines: Sequence[Line]) -> Totals:
    return Totals(
        to_ask=sum(line.answer == ASK for line in lines),
        permits_needed=sum(line.answer == NEEDED for line in lines),
        on_a_list=len({line.taxon for line in lines if line.is_listed}),
        listed_wood_mg=sum(line.mass_mg for line in lines if _is_listed_wood(line)),
        species=len({line.taxon for line in lines}),
    )


def _is_listed_wood(line: Line) -> bool:
    name = names().get(line.taxon)
    return line.is_listed and name is not None and name.kind == "plant"


def _notes(lines: Sequence[Line]) -> Iterable[str]:
    """Yield what must be said of the shipment as a whole."""
    covered = [line.taxon for line in lines if line.answer == NEEDED]
    if covered and len(lines) > len(covered):
        listed = ", ".join(dict.fromkeys(covered))
        yield (
            f"covered: {listed}; a thing that holds any of it needs its documents, "
            f"whatever is left out for the other woods in it"
        )
