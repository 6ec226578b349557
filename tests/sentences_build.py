"""Sentences about a build that a shop says, one of each, for whatever reads them."""

from dataclasses import replace

from ledger.events import (
    BoardAllotted,
    BoardConsumed,
    BoardIdentified,
    BoardReleased,
    BoardReserved,
    BuildChanged,
    BuildOrdered,
    BuildVoided,
    ConcessionGiven,
    Event,
    GaugeCalibrated,
    GaugeListed,
    HoldLifted,
    HoldPlaced,
    InstrumentReturned,
    InstrumentSent,
    InstrumentSentV1,
    InstrumentServiced,
    LabelReplaced,
    LotHarvestNamed,
    LotPaperAdded,
    MaterialFinished,
    MaterialHarvestNamed,
    MaterialPaperAdded,
    MaterialReceived,
    ModelDefinedV1,
    PartRemoved,
    PartScrapped,
    PermitRead,
    PlateGraduated,
    PlotsFiled,
    ReworkOrdered,
    SerialMisstamped,
    SkillChecked,
    StepSigned,
    StepSignedV1,
    TrainingBegun,
    TrainingEnded,
)
from ledger.events.build import Measure, MeasureV1, PartWeighed, Promise
from ledger.events.plate import GaugedPlace
from ledger.events.route import StepV1
from ledger.events.wood import PermitLine

SERIAL = "26-0001-8"
SIGNED = StepSigned(
    serial=SERIAL,
    step="rubbed down",
    meaning="did",
    way="by hand",
    measures=(Measure(what="booth", temperature_millikelvin=294_150),),
    materials=("M26-001",),
    gauges=("G26-001",),
)

GRADUATED = PlateGraduated(
    serial=SERIAL,
    part="top",
    length_um=525_000,
    width_um=430_000,
    places=(
        GaugedPlace(x_um=0, y_um=180_000, thickness_um=6_100),
        GaugedPlace(x_um=-150_000, y_um=180_000, thickness_um=5_000),
        GaugedPlace(x_um=150_000, y_um=180_000, thickness_um=4_900),
        GaugedPlace(x_um=0, y_um=470_000, thickness_um=3_400),
    ),
    gauge="dial caliper",
    stage="before closing",
)


def of_a_build(
    boards: tuple[str, str], void: str, apprentice: str, trainer: str, photograph: str
) -> tuple[Event, ...]:
    """Say one of each of an instrument in the making, and of one that is done.

    boards      two that are free and are spoiled and taken off
    void        the serial of an instrument that will not be
    apprentice  the subject of whoever learns, and of whom: `trainer`
    photograph  the digest of one that is on file
    """
    spoiled, removed = boards
    signed = replace(SIGNED, photographs=(photograph,))
    return (
        BuildOrdered(
            serial=SERIAL,
            order="A-17",
            due="2026-11-20",
            destination="FR",
            promised=(Promise(what="width at the nut", promised="44 mm"),),
        ),
        BuildChanged(
            serial=SERIAL,
            due="2026-11-27",
            promised=(Promise(what="width at the nut", promised="45 mm"),),
        ),
        *_materials(),
        signed,
        ReworkOrdered(serial=SERIAL, step=SIGNED.step),
        signed,
        *_as_it_was_first(),
        ConcessionGiven(serial=SERIAL, step="brace", what="a mended side"),
        *_of_papers(),
        BoardReserved(
            board=spoiled, reserved_for=SERIAL, part="neck", until="2026-12-31"
        ),
        BoardReleased(board=spoiled),
        BoardAllotted(board=spoiled, serial=SERIAL, part="neck"),
        BoardConsumed(board=spoiled, serial=SERIAL),
        PartScrapped(serial=SERIAL, part="neck", boards=(spoiled,)),
        BoardAllotted(board=removed, serial=SERIAL, part="neck"),
        PartRemoved(
            serial=SERIAL, part="neck", boards=(removed,), fate="given to the owner"
        ),
        BuildVoided(serial=void),
        SerialMisstamped(stamped="26-0193-3", serial=SERIAL),
        *_doubts(),
        *_learning(apprentice, trainer),
        *_afterwards(),
    )


def _of_papers() -> tuple[Event, ...]:
    """Say what papers on file are of."""
    return (
        PermitRead(
            document="D26-0001",
            lines=(
                PermitLine(
                    species="Picea abies", mass_mg=12_500_000, as_written="12.5 kg"
                ),
                PermitLine(species="Dalbergia", pieces=40),
            ),
        ),
        PlotsFiled(
            lot="L26-001",
            document="D26-0001",
            harvested_from="2025-01-07",
            harvested_to="2025-02-14",
            number=3,
        ),
    )


def of_late_papers(lot: str) -> tuple[Event, ...]:
    """Say that a paper came after the wood and the shell that it is of."""
    return (
        LotHarvestNamed(lot=lot, countries=("AT", "IT")),
        LotPaperAdded(lot=lot, document="D26-0001", harvested_in="IT"),
        MaterialPaperAdded(batch="M26-002", document="D26-0001"),
        MaterialHarvestNamed(
            batch="M26-002", countries=("ID", "PH"), document="D26-0001"
        ),
    )


def of_a_found_board(board: str) -> tuple[Event, ...]:
    """Say that a board was found without its label."""
    return (
        BoardIdentified(
            board=board,
            confidence="likely",
            length_um=810_000,
            mass_mg=1_039_000,
            others=("L26-001-01",),
        ),
        LabelReplaced(board=board, number=1),
    )


def _as_it_was_first() -> tuple[Event, ...]:
    """Say what the first versions of a sentence said."""
    return (
        ModelDefinedV1(
            model="Lamplit Twelve",
            version=1,
            instrument="small flat-top guitar",
            parts=("top",),
            steps=(StepV1(step="brace", qualification="brace"),),
        ),
        StepSignedV1(
            serial=SERIAL,
            step="weighed",
            meaning="did",
            measures=(MeasureV1(what="whole", mass_mg=1_986_000),),
            weighed=(PartWeighed(part="bridge", mass_mg=39_000),),
        ),
    )


def _materials() -> tuple[Event, ...]:
    return (
        MaterialReceived(
            batch="M26-001",
            what="hide glue, 192 g strength",
            use="glue",
            lot_as_written="7714",
            received_on="2026-01-05",
            expires_on="2028-01-05",
            documents=("D26-0001",),
        ),
        MaterialReceived(
            batch="M26-002",
            what="dots of mother-of-pearl",
            use="shell",
            species="Pinctada maxima",
            received_on="2026-01-05",
        ),
        MaterialFinished(batch="M26-002"),
        GaugeListed(
            gauge="G26-001", what="dial caliper", measures="length", mark="SN 4471"
        ),
        GaugeCalibrated(
            gauge="G26-001", on="2026-01-04", until="2027-01-04", outcome="good"
        ),
    )


def _doubts() -> tuple[Event, ...]:
    return (
        HoldPlaced(hold="H26-001", on="document", code="D26-0001"),
        HoldLifted(hold="H26-001", code="L26-001"),
        HoldPlaced(
            hold="H26-002", on="batch", code="M26-001", since="2026-01-05T00:00:00Z"
        ),
        HoldLifted(hold="H26-002"),
        HoldLifted(hold="H26-001"),
    )


def _learning(apprentice: str, trainer: str) -> tuple[Event, ...]:
    learning = TrainingBegun(subject=apprentice, qualification="frets", trainer=trainer)
    ended = TrainingEnded(subject=apprentice, qualification="frets")
    checked = SkillChecked(subject=trainer, qualification="frets", until="2027-06-30")
    return (learning, ended, checked)


def _afterwards() -> tuple[Event, ...]:
    sent = InstrumentSent(
        serial=SERIAL, on="2026-01-05", errand="show", until="2026-01-12"
    )
    sent_of_old = InstrumentSentV1(
        serial=SERIAL,
        on="2026-01-05",
        to="the autumn show",
        errand="show",
        until="2026-01-12",
    )
    return (
        sent_of_old,
        InstrumentReturned(serial=SERIAL, on="2026-01-06", condition="as it went"),
        sent,
        InstrumentServiced(
            serial=SERIAL,
            on="2026-01-06",
            fault="a high fret",
            work="levelled",
            materials=("M26-001",),
        ),
    )
