"""What an owner's booklet shows, as plain values ready to print."""

from dataclasses import dataclass
from typing import NamedTuple

from labels.facts import Material, Measure, OwnerCertificate


class Room(NamedTuple):
    """The air that the house keeps its wood in: from, to [%], and the entry of it."""

    least: str
    most: str
    entry: int


class Air(NamedTuple):
    """The air of a room on a day; values with their units."""

    room: str
    humidity: str
    warmth: str
    day: str
    entry: int


class Moves(NamedTuple):
    """How a wood moves across its grain, by a handbook and not by the record.

    dry, usual, damp  moistures at rest in dry, usual and damp air
    shrinks, swells   what 100 mm of the species lose and gain, from the usual air
    """

    species: str
    dry: str
    usual: str
    damp: str
    shrinks: str
    swells: str
    source: str


class NotWood(NamedTuple):
    """What is in the instrument and no wood, such as bone, by its species."""

    species: str
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnerBooklet:
    """What the booklet shows beside the certificate's own facts.

    year         in which it was made, whenever its certificate was issued
    set_up       what was measured last before the certificate, without the mass
    room, air    as of the certificate, where they are on record
    moves        None where no handbook tells of the top's wood
    not_wood     shell and bone, as far as batches on record say so
    superseded_by  the number of a newer certificate, or nothing
    """

    certificate: OwnerCertificate
    year: int
    set_up: tuple[Measure, ...]
    room: Room | None = None
    air: Air | None = None
    moves: Moves | None = None
    not_wood: tuple[NotWood, ...] = ()
    superseded_by: str = ""


class Tree(NamedTuple):
    """Wood of one species from one place, and every part that is of it.

    sawyers  each by whom some of it came; of a name in two spellings the first
    """

    species: str
    trade_name: str
    sawyers: tuple[str, ...]
    place: str
    parts: tuple[str, ...]
    least_months: int
    most_months: int
    grams: int


def trees_of(materials: tuple[Material, ...]) -> list[Tree]:
    """Return the wood of an instrument, parts of the same wood from a place in one."""
    rows: dict[tuple[str, str, str], list[Material]] = {}
    for row in materials:
        key = (row.species, row.trade_name.casefold(), row.place_of_growth)
        rows.setdefault(key, []).append(row)
    return [_tree(same) for same in rows.values()]


def _tree(same: list[Material]) -> Tree:
    first = same[0]
    return Tree(
        species=first.species,
        trade_name=first.trade_name,
        sawyers=tuple(dict.fromkeys(row.sawyer for row in same if row.sawyer)),
        place=first.place_of_growth,
        parts=tuple(dict.fromkeys(row.part for row in same)),
        least_months=min(row.months for row in same),
        most_months=max(row.months for row in same),
        grams=sum(row.grams for row in same),
    )
