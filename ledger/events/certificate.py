"""What is said when an instrument leaves: its certificate and its owner.

The certificate holds all public facts; makers' and sawyers' names stand in it only as
commitments, which the certificate file opens for whoever holds it.
"""

from typing import ClassVar

from ledger.events.build import Measure, Run
from ledger.events.form import (
    Amount,
    BoardCode,
    Day,
    Digest,
    LotCode,
    Subject,
    Words,
    said,
)
from ledger.events.wood import Evidence


@said
class Sawyer:
    """Who sawed a part's wood, as far as the supplier's file lets it be shown."""

    subject: Subject
    name_commitment: Digest | None = None
    region: str | None = None


@said
class Material:
    """What one part is made of, from which board, where it grew, its finished mass."""

    part: Words
    species: Words
    board: BoardCode
    lot: LotCode
    received_on: Day
    trade_name: str | None = None
    harvested_in: str | None = None
    sawyer: Sawyer | None = None
    opening: bool | None = None
    evidence: Evidence | None = None
    mass_mg: Amount


@said
class Maker:
    """Who worked on it, by badge; the name only as a commitment."""

    subject: Subject
    badge: Words
    work: Words
    name_commitment: Digest | None = None


@said
class CertificateIssued:
    """The owner's certificate of an instrument was issued."""

    kind: ClassVar[str] = "certificate.issued/1"

    number: Words
    serial: Words
    model: Words
    issued_on: Day
    mass_mg: Amount
    makers: tuple[Maker, ...]
    materials: tuple[Material, ...]
    measures: tuple[Measure, ...]
    photographs: tuple[Digest, ...]
    status_token_sha256: Digest
    transfer_sha256: Digest
    instrument: str | None = None
    run: Run | None = None


@said
class CertificatePrinted:
    """A certificate was drawn for the printer."""

    kind: ClassVar[str] = "certificate.printed/1"

    number: Words
    paper: Words
    sha256: Digest


@said
class OwnerRegistered:
    """Somebody is the owner from this day; who, only the vault knows."""

    kind: ClassVar[str] = "owner.registered/1"

    owner: Subject
    serial: Words
    certificate: Words
    name_commitment: Digest
    registered_on: Day
