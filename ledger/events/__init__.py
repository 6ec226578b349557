"""What can be said: one frozen class for each sentence, one module for each noun.

A kind is `noun.past-verb/version`. What is recorded stays: a member's meaning never
changes, a new meaning is a new version, and the old one stays readable for ever.
Facts are integers in small units named in the member; a member that ends in none of
`ledger.quantities.SUFFIXES` is text, a list, or one of the listed counts.
"""

from ledger.events.board import (
    BoardFlexed,
    BoardJoined,
    BoardMeasured,
    BoardMetered,
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
    BuildTapped,
    ModelDefined,
    StepSigned,
    TagPrinted,
)
from ledger.events.certificate import (
    CertificateIssued,
    CertificatePrinted,
    OwnerRegistered,
)
from ledger.events.grading import BoardGraded, BoardRejected, BoardsMatched
from ledger.events.house import (
    ClockDoubted,
    CorrectionMade,
    OverrideGiven,
    PolicyAdopted,
    RoomLogged,
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
    | RoomLogged
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
    | BoardMetered
    | BoardFlexed
    | BoardGraded
    | BoardRejected
    | BoardsMatched
    | BoardSplit
    | BoardJoined
    | LabelPrinted
    | ModelDefined
    | BuildBegun
    | BoardAllotted
    | StepSigned
    | BuildTapped
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
    "BoardFlexed",
    "BoardGraded",
    "BoardJoined",
    "BoardMeasured",
    "BoardMetered",
    "BoardMoved",
    "BoardNumbered",
    "BoardNumberedV1",
    "BoardPhotographed",
    "BoardRejected",
    "BoardSplit",
    "BoardTapped",
    "BoardWeighed",
    "BoardsMatched",
    "BuildBegun",
    "BuildTapped",
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
    "RoomLogged",
    "RoomMeasured",
    "RootChanged",
    "ShipmentPapersPrinted",
    "ShipmentPlanned",
    "ShopFounded",
    "StepSigned",
    "SupplierRecorded",
    "TagPrinted",
]
