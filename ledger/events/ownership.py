"""What is said of an owner's standing: slips, transfers, reports, withdrawn papers.

Names stand here as commitments only, and a code as its SHA-256: whoever reads the log
learns that an instrument changed hands, never whose they are, and no code that works.
"""

from typing import ClassVar

from ledger.events.form import (
    Count,
    Day,
    Digest,
    DocumentCode,
    SlipCode,
    Subject,
    Words,
    said,
)


@said
class CertificateWithdrawn:
    """The shop takes a certificate back; why is in the vault."""

    kind: ClassVar[str] = "certificate.withdrawn/1"

    number: Words


@said
class SlipIssued:
    """A transfer slip was given its number, before there is paper of it.

    `transfer_sha256` is of the 16 raw bytes of its code: the certificate's own for the
    first slip of a certificate, a fresh one for each that follows.
    """

    kind: ClassVar[str] = "owner.slip-issued/1"

    slip: SlipCode
    serial: Words
    certificate: Words
    transfer_sha256: Digest


@said
class SlipPrintedV1:
    """A transfer slip was drawn for the printer, before it carried a checkpoint."""

    kind: ClassVar[str] = "owner.slip-printed/1"

    slip: SlipCode
    sha256: Digest


@said
class SlipPrinted:
    """A transfer slip was drawn for the printer.

    It carries a checkpoint out of the building: `root` is the log's root hash at `size`
    entries. `sha256` is of the PDF.
    """

    kind: ClassVar[str] = "owner.slip-printed/2"

    slip: SlipCode
    size: Count
    root: Digest
    sha256: Digest


@said
class SlipLost:
    """An owner says that a slip is lost; it still works until another takes its place.

    `letter` is the owner's letter, where it was filed as a paper.
    """

    kind: ClassVar[str] = "owner.slip-lost/1"

    slip: SlipCode
    letter: DocumentCode | None = None


@said
class NoticeSent:
    """The notice of a lost slip went to the last known owner; its days run from here.

    Where nobody is known by name, it says that there was nobody to send it to.
    """

    kind: ClassVar[str] = "owner.notice-sent/1"

    slip: SlipCode


@said
class SlipFound:
    """A slip that was said to be lost is in its owner's hands."""

    kind: ClassVar[str] = "owner.slip-found/1"

    slip: SlipCode


@said
class OwnerTransferred:
    """Somebody else is the owner from this day: the code under the fold was shown.

    `consumed_sha256` is of the code that this used up.
    """

    kind: ClassVar[str] = "owner.transferred/1"

    owner: Subject
    serial: Words
    certificate: Words
    name_commitment: Digest
    consumed_sha256: Digest
    transferred_on: Day


@said
class TheftReported:
    """Somebody says that an instrument was taken; reports count from 1 for each."""

    kind: ClassVar[str] = "theft.reported/1"

    serial: Words
    number: Count
    claimant: Subject
    name_commitment: Digest
    said_on: Day


@said
class TheftWithdrawn:
    """A report of theft no longer stands; why is in the vault."""

    kind: ClassVar[str] = "theft.withdrawn/1"

    serial: Words
    number: Count
