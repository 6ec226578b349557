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
    """How much is on record of an instrument's life, up to today."""

    services: int
    parts: int
    concessions: int
    trips: int
    owners: int


class Weighed(NamedTuple):
    """What it weighed last [g]; entry is the certificate's or a service's."""

    grams: int
    day: str
    entry: int


@dataclass(frozen=True, slots=True, kw_only=True)
class InsurerStatement:
    """What the page shows beside the certificate's own facts.

    since        remarks on what happened after the certificate
    photographs  the newest first
    day          on which it is drawn, from a record that ends with `as_of_entry`
    """

    certificate: OwnerCertificate
    weighed: Weighed
    counts: Counts
    since: tuple[Remark, ...]
    photographs: tuple[Photograph, ...]
    day: str
    as_of_entry: int
