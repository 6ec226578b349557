"""What the tables answer of a certified instrument at a border, as of its issue."""

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import permutations
from typing import Literal, cast, get_args

from sqlmodel import Session

from labels.evidence_facts import Answer, Border, BorderRow
from ledger.acts.chosen import FINISHED
from ledger.acts.evidence import batch_holding
from ledger.acts.law import law_in_force
from ledger.acts.shop import Shop
from ledger.craft.wares import Use
from ledger.events import CertificateIssued
from ledger.events.certificate import Material
from ledger.trade.answers import Determination
from ledger.trade.confidence import is_from_memory
from ledger.trade.coverage import ORDER
from ledger.trade.determination import determine
from ledger.trade.law import Law
from ledger.trade.movement import (
    UNION,
    Movement,
    is_in_union,
    owner_changes_by,
    where_words,
)
from ledger.trade.names import meant_by, read_name
from ledger.trade.question import Part, Question
from ledger.trade.tables import table_date
from ledger.views.harvests import naming_of
from ledger.views.usage import batches_in

# Nobody knows where an instrument will go: it is asked about on these roads.
ENDS = (UNION, "GB", "JP", "US")
PURPOSES: tuple[Literal["sale", "personal"], ...] = ("sale", "personal")


def border_of(
    shop: Shop, session: Session, event: CertificateIssued, as_of: int
) -> Border | None:
    """Return the answers for all species in an instrument, what is needed first.

    Of several roads the answer counts that asks for most. It is asked of the wood as
    the certificate names it, on the day of its issue, by the tables of the program and
    the rows of its own that the shop went by at that entry.
    """
    law, day = law_in_force(session, at=as_of), date.fromisoformat(event.issued_on)
    start = shop.settings.country
    parts = [
        *_wood(session, event.materials, as_of),
        *_animals(session, event.serial, as_of, law),
    ]
    if not parts:
        return None
    asked = [_worst(part, day, movements(start, day), law) for _, part in parts]
    seen = [found.newest_source for found in asked if found.newest_source]
    return Border(
        day=event.issued_on,
        compiled=table_date().isoformat(),
        oldest_source=min(seen).isoformat() if seen else "",
        start=start,
        ends=_ends(start, day),
        rows=tuple(_rows(parts, asked, law)),
    )


def _wood(
    session: Session, materials: Sequence[Material], as_of: int
) -> Iterator[tuple[str, Part]]:
    """Yield the parts and their wood; the day that old stock came in proves nothing."""
    for row in materials:
        came = None if row.opening else date.fromisoformat(row.received_on)
        naming = None if row.harvested_in else naming_of(session, row.lot, as_of)
        grown = tuple(naming.countries.split()) if naming else ()
        yield (
            row.part,
            Part(
                taxon=row.species,
                form=FINISHED,
                mass_mg=row.mass_mg or None,
                acquired=came,
                origin=row.harvested_in,
                may_be_from=grown if len(grown) > 1 else (),
            ),
        )


def _animals(
    session: Session, serial: str, as_of: int, law: Law
) -> Iterator[tuple[str, Part]]:
    """Yield the shell and bone that steps took until then, from where was known."""
    for batch in batches_in(session, [serial], get_args(Use), at=as_of):
        if batch.species is None:
            continue
        held, name = batch_holding(session, batch), read_name(batch.species, law).name
        is_plant = name is not None and name.kind == "plant"
        naming = naming_of(session, batch.batch, as_of)
        grown = naming.countries.split() if naming else []
        yield (
            str(batch.use),
            Part(
                taxon=batch.species,
                form=FINISHED if is_plant else held.form,
                origin=grown[0] if len(grown) == 1 else None,
                may_be_from=tuple(grown) if len(grown) > 1 else (),
            ),
        )


def _ends(start: str, day: date) -> tuple[str, ...]:
    """Return the ends of the roads; none lies where the instrument is already."""
    if not start:
        return ENDS
    here = UNION if is_in_union(start, day) else start
    return tuple(end for end in ENDS if end != here)


def movements(start: str, day: date) -> list[Movement]:
    """Return the roads: from the shop's own country, or else from each end to each."""
    legs: list[tuple[str, ...]] = [(start, end) for end in _ends(start, day)]
    if not start:
        legs = list(permutations(ENDS, 2))
    return [
        Movement(legs=leg, purpose=purpose, owner_changes=owner_changes_by(purpose))
        for leg in legs
        for purpose in PURPOSES
    ]


def _worst(
    part: Part, day: date, movements: Sequence[Movement], law: Law
) -> Determination:
    """Return the answer that asks for most on any of several roads."""
    found = [
        determine(Question(parts=(part,), date=day, movement=movement), law=law)
        for movement in movements
    ]
    return min(found, key=lambda said: ORDER.index(said.answer))


def _rows(
    parts: Sequence[tuple[str, Part]], asked: Sequence[Determination], law: Law
) -> Iterator[BorderRow]:
    """Yield a row for each species, by the strictest answer for any of its wood.

    What only the age of the tables leaves open comes last.
    """
    of_species: dict[str, list[tuple[str, Determination]]] = {}
    for (name, part), found in zip(parts, asked, strict=True):
        of_species.setdefault(part.taxon, []).append((name, found))
    rows = [_row(species, told, law) for species, told in of_species.items()]
    yield from sorted(
        rows,
        key=lambda row: (
            row.is_aged,
            ORDER.index(row.answer),
            not row.appendix,
            row.species,
        ),
    )


def _row(
    species: str, told: Sequence[tuple[str, Determination]], law: Law
) -> BorderRow:
    found = min((said for _, said in told), key=lambda said: ORDER.index(said.answer))
    listing = law.listings.get(found.row)
    is_listed = listing is not None and listing.is_listed
    is_seen = not is_from_memory(listing) if listing else bool(meant_by(species, law))
    has_note = is_listed and listing is not None and listing.annotation != "none"
    return BorderRow(
        species=species,
        parts=tuple(dict.fromkeys(name for name, _ in told)),
        answer=cast("Answer", found.answer),
        appendix=listing.appendix if listing and is_listed else "",
        annotation=listing.annotation if listing and has_note else "",
        where=where_words(listing.population) if listing and is_listed else "",
        is_aged=bool(found.open_for_age) and not found.is_listed,
        is_looked_up=is_listed or is_seen,
    )
