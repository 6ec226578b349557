"""What a whole shipment asks for: each species and form, then the totals."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

from ledger.trade.answers import Determination, merged
from ledger.trade.coverage import ASK, NEEDED, ORDER
from ledger.trade.determination import determine, limited_mass_mg
from ledger.trade.documents import Document
from ledger.trade.law import Law, compiled
from ledger.trade.listings import first_listing, first_row, is_grown_in
from ledger.trade.movement import Movement
from ledger.trade.names import meant_by
from ledger.trade.origins import origin_words
from ledger.trade.question import Part, Question


class LotMass(NamedTuple):
    """So much of a lot, where it was harvested and the day it came in.

    `lot` may be a batch as well, or a piece that somebody described. Mass, origin and
    day are None where that is not known, or where nothing shows it; of an origin that
    is one of several countries, `may_be_from` has them.
    """

    lot: str
    mass_mg: int | None
    origin: str | None = None
    acquired: date | None = None
    may_be_from: tuple[str, ...] = ()

    @property
    def whence(self) -> str:
        """Where it was harvested, as a line of a plan says it."""
        return origin_words(self.origin, self.may_be_from)


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A piece in a shipment: what it is, of which lot, and what papers it has."""

    taxon: str
    part: str
    form: str
    mass_mg: int | None
    lot: str
    acquired: date | None = None
    origin: str | None = None
    may_be_from: tuple[str, ...] = ()  # where the origin is one of these, unknown which
    documents: tuple[str, ...] = ()
    volume_mm3: int | None = None
    thing: str = ""  # what it is in: a serial, a board, a thing that was described
    boards: tuple[str, ...] = ()  # the pieces it is of; none for what is no board


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
    mass_mg: int | None  # None where any of it was never weighed
    volume_mm3: int | None  # None where it is not known of all of it
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
    materials: tuple[Material, ...]  # that it is true of


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
    law: Law | None = None,
) -> ShipmentDetermination:
    """Answer what a shipment needs, counting the 10 kg of annotation #15 once over all.

    Lines come as needed, ask, listed but not needed, and the rest. Wood of one species
    in one form stands in several where the answer is not the same for all of it.

    Source: annotation #15 b of the CITES Appendices for the sum; each line its own row.
    """
    law = law or compiled()
    limited = limited_mass_mg([_part(each) for each in materials], day, law)
    groups: dict[Determination, list[Material]] = {}
    for same in _alike(materials, movement, law):
        question = Question(
            # The mass counts in the sum alone.
            parts=(replace(_part(same[0]), mass_mg=None),),
            date=day,
            movement=movement,
            hts_number=hts_number,
        )
        found = determine(question, shipment_mass_mg=limited, law=law)
        groups.setdefault(found, []).extend(same)
    lines = [_line(found, group) for found, group in groups.items()]
    lines.sort(key=_rank)
    said = tuple(line.determination for line in lines)
    return ShipmentDetermination(
        answer=min((line.answer for line in lines), key=ORDER.index, default=ASK),
        lines=tuple(lines),
        totals=_totals(lines, law),
        also=merged(said),
        notes=tuple(_notes(lines)),
        table_date=law.table_date,
    )


def _alike(
    materials: Sequence[Material], movement: Movement, law: Law
) -> Iterable[list[Material]]:
    """Return the pieces together that one question answers for.

    Of the day on which wood came in only this counts: whether one is known, and lies
    before the first listing, of a genus alone that of each of its species.
    """
    first: dict[tuple[object, ...], tuple[date | None, ...]] = {}
    found: dict[tuple[object, ...], list[Material]] = {}
    for each in materials:
        wood = (each.taxon, each.origin, each.may_be_from)
        if wood not in first:
            first[wood] = tuple(_first_days(each, movement, law))
        day = each.acquired
        is_old = tuple(
            None if day is None else begun is not None and day < begun
            for begun in first[wood]
        )
        found.setdefault((*wood, each.form, is_old), []).append(each)
    return found.values()


def _first_days(
    material: Material, movement: Movement, law: Law
) -> Iterator[date | None]:
    """Yield when each species that wood may be was first listed, if it ever was.

    Where it is of one of several countries, as of each of them too.
    """
    home, origin = movement.legs[0], material.origin
    for name in meant_by(material.taxon, law):
        is_home = origin is None and is_grown_in(name, home)
        for place in (home if is_home else origin, *material.may_be_from):
            first = first_row(name, place, law)
            yield None if first is None else first.valid_from
            yield first_listing(name, place, law)


def lots_in(masses: Iterable[LotMass]) -> tuple[LotMass, ...]:
    """Return each lot once with its mass in all, by number.

    A lot came in on one day, from one country.

    Source: the shop's own weights.
    """
    found: dict[str, LotMass] = {}
    for each in masses:
        before = found.get(each.lot)
        both_mg = (each.mass_mg, before.mass_mg if before else 0)
        found[each.lot] = each._replace(mass_mg=added(both_mg))
    return tuple(found[lot] for lot in sorted(found))


def added(masses: Iterable[int | None]) -> int | None:
    """Return masses added up; None where one of them is not known.

    Source: the shop's own weights.
    """
    known = list(masses)
    return None if None in known else sum(mass or 0 for mass in known)


def _line(said: Determination, group: list[Material]) -> Line:
    return Line(
        taxon=said.taxon,
        form=said.form,
        parts=tuple(dict.fromkeys(each.part for each in group)),
        origins=tuple(dict.fromkeys(each.origin for each in group)),
        mass_mg=added(each.mass_mg for each in group),
        volume_mm3=added(each.volume_mm3 for each in group),
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
        materials=tuple(group),
    )


def _mass(material: Material) -> LotMass:
    return LotMass(
        material.lot,
        material.mass_mg,
        material.origin,
        material.acquired,
        material.may_be_from,
    )


def _part(material: Material) -> Part:
    return Part(
        taxon=material.taxon,
        form=material.form,
        mass_mg=material.mass_mg,
        acquired=material.acquired,
        origin=material.origin,
        may_be_from=material.may_be_from,
    )


def _rank(line: Line) -> tuple[int, bool, str, str]:
    return ORDER.index(line.answer), not line.is_listed, line.taxon, line.form


def _totals(lines: Sequence[Line], law: Law) -> Totals:
    return Totals(
        to_ask=sum(line.answer == ASK for line in lines),
        permits_needed=sum(line.answer == NEEDED for line in lines),
        on_a_list=len({line.taxon for line in lines if line.is_listed}),
        listed_wood_mg=sum(
            lot.mass_mg or 0
            for line in lines
            if _is_listed_wood(line, law)
            for lot in line.lots
        ),
        species=len({line.taxon for line in lines}),
    )


def _is_listed_wood(line: Line, law: Law) -> bool:
    kinds = {name.kind for name in meant_by(line.taxon, law)}
    return line.is_listed and "plant" in kinds


def _notes(lines: Sequence[Line]) -> Iterable[str]:
    """Yield what must be said of the shipment as a whole."""
    unweighed = [
        f"{', '.join(line.parts)} ({line.taxon})"
        for line in lines
        if line.mass_mg is None
    ]
    if unweighed:
        yield f"not weighed, or in part only: {'; '.join(unweighed)}"
    covered = [line.taxon for line in lines if line.answer == NEEDED]
    if covered and len(lines) > len(covered):
        listed = ", ".join(dict.fromkeys(covered))
        yield (
            f"covered: {listed}; a thing that holds any of it needs its documents, "
            f"whatever is left out for the other woods in it"
        )
