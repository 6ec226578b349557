"""What a statement for an insurer shows, as plain values ready to print."""

from dataclasses import dataclass
from typing import NamedTuple

from labels.facts import OwnerCertificate, Remark


class Photograph(NamedTuple):
    """A photograph of the instrument that the shop keeps; day is YYYY-MM-DD."""

    day: str
    entry: int
    digest: str


class Counts(NamedTuple):
    """How much is on record of an instrument's life, up to today.

    parts  that came off and have others in their place; off are those without
    """

    services: int = 0
    parts: int = 0
    off: int = 0
    concessions: int = 0
    trips: int = 0
    owners: int = 0


class Gone(NamedTuple):
    """A part of the certificate's that came off since; day is YYYY-MM-DD."""

    part: str
    day: str
    is_replaced: bool


class Weighed(NamedTuple):
    """What it weighed last [g]; entry is the certificate's or a service's."""

    grams: int
    day: str
    entry: int


@dataclass(frozen=True, slots=True, kw_only=True)
class InsurerStatement:
    """What the page shows beside the certificate's own facts.

    today        remarks on what is open on the day: they stand, whatever else does not
    told         all others, those before the certificate too, what weighs most first
    photographs  whose files the shop still has, the newest first; `lost` are the others
    day          on which it is drawn, from a record that ends with `as_of_entry`
    reach        how to reach the maker, in a few lines
    """

    certificate: OwnerCertificate
    weighed: Weighed
    counts: Counts
    told: tuple[Remark, ...]
    photographs: tuple[Photograph, ...]
    day: str
    as_of_entry: int
    today: tuple[Remark, ...] = ()
    gone: tuple[Gone, ...] = ()
    lost: int = 0
    reach: tuple[str, ...] = ()
