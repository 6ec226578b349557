"""What can be said: one frozen class for each sentence, one module for each noun.

A kind is `noun.past-verb/version`. What is recorded stays: a member's meaning never
changes, a new meaning is a new version, and the old one stays readable for ever.
Facts are integers in small units named in the member; a member that ends in none of
`ledger.quantities.SUFFIXES` is text, a list, or one of the listed counts.
"""

from ledger.events.board import (
    BoardJoined,
    BoardMeasured,
    BoardMoved,
    BoardNumbered,
    BoardNumberedV1,
    BoardPhotographed,
    BoardSplit,
    BoardTapped,
    BoardWeighed,
    LabelPrinted,
)
from ledger.events.build import (
    BoardAllotted,
    BuildBegun,
    ModelDefined,
    StepSigned,
    TagPrinted,
)
from ledger.events.certificate import (
    CertificateIssued,
    CertificatePrinted,
    OwnerRegistered,
)
from ledger.events.house import (
    ClockDoubted,
    CorrectionMade,
    OverrideGiven,
    PolicyAdopted,
    RoomMeasured,
)
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
from ledger.events.shipment import ShipmentPapersPrinted, ShipmentPlanned
from ledger.events.shop import RootChanged, ShopFounded
from ledger.events.wood import DocumentFiled, LotReceived, SupplierRecorded

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
    | RoomMeasured
    | OverrideGiven
    | CorrectionMade
    | SupplierRecorded
    | DocumentFiled
    | LotReceived
    | BoardNumberedV1
    | BoardNumbered
    | BoardMeasured
    | BoardWeighed
    | BoardMoved
    | BoardPhotographed
    | BoardTapped
    | BoardSplit
    | BoardJoined
    | LabelPrinted
    | ModelDefined
    | BuildBegun
    | BoardAllotted
    | StepSigned
    | TagPrinted
    | CertificateIssued
    | CertificatePrinted
    | OwnerRegistered
    | ShipmentPlanned
    | ShipmentPapersPrinted
)
EVENTS: tuple[type[Event], ...] = Event.__args__

__all__ = [
    "EVENTS",
    "BoardAllotted",
    "BoardJoined",
    "BoardMeasured",
    "BoardMoved",
    "BoardNumbered",
    "BoardNumberedV1",
    "BoardPhotographed",
    "BoardSplit",
    "BoardTapped",
    "BoardWeighed",
    "BuildBegun",
    "CertificateIssued",
    "CertificatePrinted",
    "ClockDoubted",
    "CorrectionMade",
    "DocumentFiled",
    "Event",
    "KeyEnrolled",
    "KeyRetired",
    "LabelPrinted",
    "LotReceived",
    "ModelDefined",
    "OverrideGiven",
    "OwnerRegistered",
    "PersonEnrolled",
    "PersonErased",
    "PersonKeyReplaced",
    "PolicyAdopted",
    "QualificationGranted",
    "QualificationWithdrawn",
    "RoleGranted",
    "RoleWithdrawn",
    "RoomMeasured",
    "RootChanged",
    "ShipmentPapersPrinted",
    "ShipmentPlanned",
    "ShopFounded",
    "StepSigned",
    "SupplierRecorded",
    "TagPrinted",
]
