"""What can be said: one frozen class for each sentence, one module for each noun.

A kind is `noun.past-verb/version`. What is recorded stays: a member's meaning never
changes, a new meaning is a new version, and the old one stays readable for ever.
Facts are integers in small units named in the member; a member that ends in none of
`ledger.quantities.SUFFIXES` is text, a list, or one of the listed counts.
"""

from ledger.events.build import BoardAllotted, BuildBegun, ModelDefined, StepSigned
from ledger.events.certificate import (
    CertificateIssued,
    CertificatePrinted,
    OwnerRegistered,
)
from ledger.events.house import ClockDoubted, PolicyAdopted
from ledger.events.person import (
    KeyEnrolled,
    KeyRetired,
    PersonEnrolled,
    PersonErased,
    PersonKeyReplaced,
    QualificationGranted,
    QualificationWithdrawn,
    RoleGranted,
    RoleWithdrawn,
)
from ledger.events.shop import RootChanged, ShopFounded
from ledger.events.wood import (
    BoardNumbered,
    DocumentFiled,
    LabelPrinted,
    LotReceived,
    SupplierRecorded,
)

Event = (
    ShopFounded
    | RootChanged
    | PersonEnrolled
    | PersonKeyReplaced
    | PersonErased
    | RoleGranted
    | RoleWithdrawn
    | QualificationGranted
    | QualificationWithdrawn
    | KeyEnrolled
    | KeyRetired
    | PolicyAdopted
    | ClockDoubted
    | SupplierRecorded
    | DocumentFiled
    | LotReceived
    | BoardNumbered
    | LabelPrinted
    | ModelDefined
    | BuildBegun
    | BoardAllotted
    | StepSigned
    | CertificateIssued
    | CertificatePrinted
    | OwnerRegistered
)
EVENTS: tuple[type[Event], ...] = Event.__args__

__all__ = [
    "EVENTS",
    "BoardAllotted",
    "BoardNumbered",
    "BuildBegun",
    "CertificateIssued",
    "CertificatePrinted",
    "ClockDoubted",
    "DocumentFiled",
    "Event",
    "KeyEnrolled",
    "KeyRetired",
    "LabelPrinted",
    "LotReceived",
    "ModelDefined",
    "OwnerRegistered",
    "PersonEnrolled",
    "PersonErased",
    "PersonKeyReplaced",
    "PolicyAdopted",
    "QualificationGranted",
    "QualificationWithdrawn",
    "RoleGranted",
    "RoleWithdrawn",
    "RootChanged",
    "ShopFounded",
    "StepSigned",
    "SupplierRecorded",
]
