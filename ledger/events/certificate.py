"""What is said when an instrument leaves: its certificate and its owner.

The certificate holds all public facts; makers' and sawyers' names stand in it only as
commitments, which the certificate file opens for whoever holds it.
"""

from typing import ClassVar

from ledger.events.build import Measure, Run
from ledger.events.form import said
from ledger.events.wood import Evidence


@said
class Sawyer:
    """Who sawed a part's wood, as far as the supplier's file lets it be shown."""

    subject: str
    name_commitment: str | None = None
    region: str | None = None


@said
class Material:
    """What one part is made of, from which board, where it grew, its finished mass."""

    part: str
    species: str
    board: str
    lot: str
    received_on: str
    trade_name: str | None = None
    harvested_in: str | None = None
    sawyer: Sawyer | None = None
    opening: bool | None = None
    evidence: Evidence | None = None
    mass_mg: int


@said
class Maker:
    """Who worked on it, by badge; the name only as a commitment."""

    subject: str
    badge: str
    work: str
    name_commitment: str | None = None


@said
class CertificateIssued:
    """The owner's certificate of an instrument was issued."""

    kind: ClassVar[str] = "certificate.issued/1"

    number: str
    serial: str
    model: str
    issued_on: str
    mass_mg: int
    makers: tuple[Maker, ...]
    materials: tuple[Material, ...]
    measures: tuple[Measure, ...]
    photographs: tuple[str, ...]
    status_token_sha256: str
    transfer_sha256: str
    instrument: str | None = None
    run: Run | None = None


@said
class CertificatePrinted:
    """A certificate was drawn for the printer."""

    kind: ClassVar[str] = "certificate.printed/1"

    number: str
    paper: str
    sha256: str


@said
class OwnerRegistered:
    """Somebody is the owner from this day; who, only the vault knows."""

    kind: ClassVar[str] = "owner.registered/1"

    owner: str
    serial: str
    certificate: str
    name_commitment: str
    registered_on: str
