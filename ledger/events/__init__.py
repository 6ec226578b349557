"""What can be said: one frozen class for each sentence, one module for each noun.

A kind is `noun.past-verb/version`. What is recorded stays: a member's meaning never
changes, a new meaning is a new version, and the old one stays readable for ever.
Facts are integers in small units named in the member; a member that ends in none of
`ledger.quantities.SUFFIXES` is text, a list, or one of the listed counts.
"""

from ledger.events.board import (
    BoardConsumed,
    BoardFlexed,
    BoardIdentified,
    BoardJoined,
    BoardMeasured,
    BoardMetered,
    BoardMoved,
    BoardNumbered,
    BoardNumberedV1,
    BoardPhotographed,
    BoardReleased,
    BoardReserved,
    BoardSplit,
    BoardTapped,
    BoardWeighed,
    LabelPrinted,
    LabelReplaced,
)
from ledger.events.build import (
    BoardAllotted,
    BuildBegun,
    BuildChanged,
    BuildOrdered,
    BuildTapped,
    BuildVoided,
    ConcessionGiven,
    PartScrapped,
    ReworkOrdered,
    SerialMisstamped,
    StepSigned,
    StepSignedV1,
    TagPrinted,
)
from ledger.events.certificate import (
    CertificateIssued,
    CertificatePrinted,
    OwnerRegistered,
)
from ledger.events.grading import BoardGraded, BoardRejected, BoardsMatched
from ledger.events.hold import (
    HoldLifted,
    HoldPlaced,
)
from ledger.events.house import (
    ClockDoubted,
    CorrectionMade,
    EntryAffirmed,
    EntryRecovered,
    OverrideGiven,
    PolicyAdopted,
    RoomLogged,
    RoomMeasured,
)
from ledger.events.instrument import (
    InstrumentReturned,
    InstrumentSent,
    InstrumentSentV1,
    InstrumentServiced,
    PartRemoved,
)
from ledger.events.material import (
    GaugeCalibrated,
    GaugeListed,
    MaterialFinished,
    MaterialHarvestNamed,
    MaterialPaperAdded,
    MaterialReceived,
)
from ledger.events.ownership import (
    CertificateWithdrawn,
    NoticeSent,
    OwnerTransferred,
    SlipFound,
    SlipIssued,
    SlipLost,
    SlipPrinted,
    SlipPrintedV1,
    TheftReported,
    TheftWithdrawn,
)
from ledger.events.person import (
    KeyCompromised,
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
from ledger.events.plate import PlateGraduated
from ledger.events.route import (
    ModelDefined,
    ModelDefinedV1,
)
from ledger.events.shipment import (
    ShipmentPapersPrinted,
    ShipmentPapersPrintedV1,
    ShipmentPlanned,
    ShipmentPlannedV1,
)
from ledger.events.shop import (
    LogKeyReplaced,
    NumberReserved,
    RootChanged,
    ShopContinued,
    ShopFounded,
)
from ledger.events.training import (
    SkillChecked,
    TrainingBegun,
    TrainingEnded,
)
from ledger.events.wood import (
    DocumentFiled,
    LotHarvestNamed,
    LotPaperAdded,
    LotReceived,
    PermitRead,
    PlotsFiled,
    SupplierRecorded,
)

Event = (
    ShopFounded
    | ShopContinued
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
    | PermitRead
    | LotReceived
    | LotPaperAdded
    | LotHarvestNamed
    | PlotsFiled
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
    | ShipmentPlannedV1
    | ShipmentPapersPrinted
    | ShipmentPapersPrintedV1
    | ModelDefinedV1
    | BuildOrdered
    | BuildChanged
    | BoardReserved
    | BoardReleased
    | BoardConsumed
    | BoardIdentified
    | LabelReplaced
    | StepSignedV1
    | ReworkOrdered
    | PartScrapped
    | ConcessionGiven
    | BuildVoided
    | SerialMisstamped
    | HoldPlaced
    | HoldLifted
    | MaterialReceived
    | MaterialPaperAdded
    | MaterialHarvestNamed
    | MaterialFinished
    | GaugeListed
    | GaugeCalibrated
    | TrainingBegun
    | TrainingEnded
    | SkillChecked
    | InstrumentServiced
    | PartRemoved
    | InstrumentSent
    | InstrumentSentV1
    | InstrumentReturned
    | PlateGraduated
    | KeyCompromised
    | EntryAffirmed
    | EntryRecovered
    | LogKeyReplaced
    | NumberReserved
    | CertificateWithdrawn
    | OwnerTransferred
    | SlipFound
    | NoticeSent
    | SlipIssued
    | SlipLost
    | SlipPrinted
    | SlipPrintedV1
    | TheftReported
    | TheftWithdrawn
)
EVENTS: tuple[type[Event], ...] = Event.__args__

__all__ = [
    "EVENTS",
    "BoardAllotted",
    "BoardConsumed",
    "BoardFlexed",
    "BoardGraded",
    "BoardIdentified",
    "BoardJoined",
    "BoardMeasured",
    "BoardMetered",
    "BoardMoved",
    "BoardNumbered",
    "BoardNumberedV1",
    "BoardPhotographed",
    "BoardRejected",
    "BoardReleased",
    "BoardReserved",
    "BoardSplit",
    "BoardTapped",
    "BoardWeighed",
    "BoardsMatched",
    "BuildBegun",
    "BuildChanged",
    "BuildOrdered",
    "BuildTapped",
    "BuildVoided",
    "CertificateIssued",
    "CertificatePrinted",
    "CertificateWithdrawn",
    "ClockDoubted",
    "ConcessionGiven",
    "CorrectionMade",
    "DocumentFiled",
    "EntryAffirmed",
    "EntryRecovered",
    "Event",
    "GaugeCalibrated",
    "GaugeListed",
    "HoldLifted",
    "HoldPlaced",
    "InstrumentReturned",
    "InstrumentSent",
    "InstrumentSentV1",
    "InstrumentServiced",
    "KeyCompromised",
    "KeyEnrolled",
    "KeyRetired",
    "LabelPrinted",
    "LabelReplaced",
    "LogKeyReplaced",
    "LotHarvestNamed",
    "LotPaperAdded",
    "LotReceived",
    "MaterialFinished",
    "MaterialHarvestNamed",
    "MaterialPaperAdded",
    "MaterialReceived",
    "ModelDefined",
    "ModelDefinedV1",
    "NoticeSent",
    "NumberReserved",
    "OverrideGiven",
    "OwnerRegistered",
    "OwnerTransferred",
    "PartRemoved",
    "PartScrapped",
    "PermitRead",
    "PersonEnrolled",
    "PersonErased",
    "PersonKeyReplaced",
    "PlateGraduated",
    "PlotsFiled",
    "PolicyAdopted",
    "QualificationGranted",
    "QualificationWithdrawn",
    "ReworkOrdered",
    "RoleGranted",
    "RoleWithdrawn",
    "RoomLogged",
    "RoomMeasured",
    "RootChanged",
    "SerialMisstamped",
    "ShipmentPapersPrinted",
    "ShipmentPapersPrintedV1",
    "ShipmentPlanned",
    "ShipmentPlannedV1",
    "ShopContinued",
    "ShopFounded",
    "SkillChecked",
    "SlipFound",
    "SlipIssued",
    "SlipLost",
    "SlipPrinted",
    "SlipPrintedV1",
    "StepSigned",
    "StepSignedV1",
    "SupplierRecorded",
    "TagPrinted",
    "TheftReported",
    "TheftWithdrawn",
    "TrainingBegun",
    "TrainingEnded",
]
