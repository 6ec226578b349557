"""Sentences about wood that a shop says, one of each, for whatever reads them all."""

from dataclasses import replace

from ledger.acts.airlog import read_airlog
from ledger.acts.heads import sign_head
from ledger.acts.names import kept_reason
from ledger.events import (
    BoardFlexed,
    BoardGraded,
    BoardJoined,
    BoardMeasured,
    BoardMetered,
    BoardMoved,
    BoardPhotographed,
    BoardRejected,
    BoardsMatched,
    BoardSplit,
    BoardTapped,
    BoardWeighed,
    BuildTapped,
    Event,
    OverrideGiven,
    RoomLogged,
    RoomMeasured,
    ShipmentPapersPrinted,
    ShipmentPapersPrintedV1,
    ShipmentPlanned,
    ShipmentPlannedV1,
    TagPrinted,
)
from ledger.events.board import Load, Piece, Reading
from ledger.events.grading import CountedRings, SeenDefect
from ledger.events.house import RoomDay
from ledger.events.shipment import (
    DescribedPiece,
    Determined,
    DeterminedV1,
    LotShare,
    NeededPaper,
    Share,
)
from ledger.ids import LotId
from ledger.log import attachments
from ledger.log.checkpoint import Checkpoint, parse_checkpoint, parse_note
from tests import ringing
from tests.sentences_build import (
    GRADUATED,
    of_a_build,
    of_a_found_board,
    of_late_papers,
)
from tests.skerrymoor import NECK, Loft

READ = Reading(
    mode="along",
    frequency_millihertz=71_290,
    uncertainty_millihertz=12,
    q_milli=110_000,
    taps=5,
    scatter_ppm=400,
)
# A logger's file, and its one whole day and a half as they are read from it.
LOGGED = "time,temperature (°C),humidity (%)\n" + "".join(
    f"2026-01-0{day} {hour:02d}:00,20.0,{44 if hour < 12 else 46}\n"
    for day in (4, 5)
    for hour in range(0, 24 if day == 4 else 8, 2)
)
DAY, MORNING = (
    RoomDay(
        day=day.day,
        number=day.readings,
        temperature_millikelvin=day.temperature_millikelvin,
        humidity_ppm=day.humidity_ppm,
        least_humidity_ppm=day.least_humidity_ppm,
        most_humidity_ppm=day.most_humidity_ppm,
        gap_seconds=day.longest_gap_seconds,
    )
    for day in read_airlog(LOGGED.encode()).days
)
METERED = BoardMetered(
    board="L26-001-01",
    meter="pins of the crib",
    setting="spruce",
    reading_ppm=84_000,
    temperature_millikelvin=293_150,
    moisture_ppm=84_000,
    rule="as-read/1",
)
FLEXED = BoardFlexed(
    board="L26-001-01",
    way="along",
    span_um=500_000,
    width_um=203_000,
    thickness_um=4_200,
    loads=(
        Load(load_mg=500_000, deflection_um=1_200),
        Load(load_mg=1_000_000, deflection_um=2_410),
    ),
)
GRADED = BoardGraded(
    board="L26-001-01",
    part="top",
    species="Picea abies",
    policy="first",
    version=1,
    grade="second",
    suggested="second",
    why=("not first: runout 2.5° is above 2°",),
    rings=(
        CountedRings(number=32, span_um=50_000),
        CountedRings(number=27, span_um=50_000),
    ),
    angles_millidegree=(1_000, 7_000),
    runout_millidegree=2_500,
    skew_millidegree=500,
    figure="none",
    figure_as_seen="some bear claw at the edge",
    silk="clear",
    colour="even",
    lab_milli=(82_100, -1_400, 21_000),
    defects=(SeenDefect(defect="pitch", outside=True),),
    density_gram_per_m3=432_000,
    radiation_ratio_milli=12_400,
    q_milli=110_000,
)
REJECTED = BoardRejected(board="L26-001-01", faults=("shake", "worm"), returned=True)
MATCHED = BoardsMatched(
    boards=("L26-001-01", "L26-001-02"),
    part="top",
    serial="26-0001-8",
    policy="first",
    version=1,
    method="least difference over all pairs/1",
    why=("sisters of one billet", "density 1.2 % apart"),
    instead=("L26-001-03 with L26-001-04",),
)
VOICED = BuildTapped(
    serial="26-0001-8",
    part="top",
    stage="braced",
    mass_mg=252_000,
    thickness_um=2_900,
    recording_sha256="5a" * 32,
    low_millihertz=20_000,
    high_millihertz=400_000,
    method="as it was told",
    readings=(READ,),
)
PLANNED = ShipmentPlanned(
    shipment="X26-0001",
    legs=("FR", "GB", "JP"),
    purpose="sale",
    owner_changes=True,
    moves_on="2026-02-01",
    serials=(),
    boards=("L26-001-01",),
    determined=(
        Determined(
            law="CITES",
            answer="ask",
            rule="no row",
            documents=(NeededPaper(name="advice", from_="the authority"),),
            species="Picea abies",
            form="finished_instruments",
            mass_mg=190_500,
            shares=(
                Share(
                    lot="L26-001",
                    mass_mg=190_500,
                    origin="NO",
                    acquired="2026-01-05",
                ),
            ),
            evidence=("D26-0001",),
            table_date="2026-11-24",
            newest_source="2026-11-24",
        ),
    ),
    tables_sha256="7a" * 32,
)

PLANNED_V1 = ShipmentPlannedV1(
    shipment="X26-0002",
    legs=("FR", "JP"),
    purpose="sale",
    owner_changes=True,
    moves_on="2026-02-01",
    serials=(),
    boards=("L26-001-01",),
    determined=(
        DeterminedV1(
            law="CITES",
            answer="ask",
            rule="no row",
            documents=(),
            species="Picea abies",
            form="sawn_wood",
            mass_mg=190_500,
            lots=(LotShare(lot="L26-001", mass_mg=190_500),),
            evidence=(),
            table_date="2026-11-24",
        ),
    ),
    tables_sha256="7a" * 32,
)
# A guitar that was not made here, on its way to a show and back.
DESCRIBED = ShipmentPlanned(
    shipment="X26-0003",
    legs=("FR", "GB", "FR"),
    purpose="display",
    owner_changes=False,
    moves_on="2026-02-01",
    serials=(),
    boards=(),
    described=(
        DescribedPiece(
            thing="guitar of 1964",
            marks="number 4711 inside",
            part="back and sides",
            species="Dalbergia nigra",
            form="finished_instruments",
            origin="BR",
            acquired="1963-05-01",
        ),
    ),
    determined=(
        Determined(
            law="CITES",
            answer="needed",
            rule="Appendix I",
            documents=(),
            species="Dalbergia nigra",
            form="finished_instruments",
            shares=(Share(number=1, origin="BR", acquired="1963-05-01"),),
            evidence=(),
            table_date="2026-11-24",
        ),
    ),
    tables_sha256="7a" * 32,
)


def say_everything(loft: Loft) -> LotId:
    """Say one of each about a new lot of four boards, and return the lot."""
    lot = loft.receive(boards=9, harvested_in=None)
    first, second, third, fourth, fifth, sixth = (
        loft.number(lot, NECK)[0] for _ in range(6)
    )
    learns, teaches = (loft.person(badge).subject for badge in ("03", "02"))
    said = [
        *_measures(first, rung(loft), filed(loft, "a picture")),
        *_judged(first, fourth),
        replace(VOICED, recording_sha256=rung(loft)),
        GRADUATED,
        RoomLogged(
            room="crib",
            sha256=filed(loft, LOGGED),
            method="logger file/1",
            days=(DAY, MORNING),
        ),
        *_sawn_and_glued(second, third),
        OverrideGiven(
            board=fourth,
            serial="26-0001-8",
            policy="bench",
            version=1,
            against=("too young",),
        ),
        *of_a_found_board(fourth),
        *of_a_build(
            (fifth, sixth),
            loft.begin(),
            learns,
            teaches,
            filed(loft, "the blocks, inside"),
        ),
        *_papers(fourth, parse_checkpoint(parse_note(sign_head(loft.shop)))),
        *of_late_papers(str(lot)),
    ]
    hands = loft.hands()
    with loft.shop.turn() as turn:
        weighed = [turn.say(event, hands) for event in said][1].index
    with (
        loft.shop.turn() as turn,
        kept_reason(turn, hands.by.id, "the wrong board") as why,
    ):
        turn.say(loft.strike(weighed), hands, reason=why)
    return lot


def rung(loft: Loft) -> str:
    """Keep a recording in which the reading is heard, and return its digest."""
    path = ringing.plate(loft.shop.folder.parent / "tap.wav", taps=2)
    return attachments.put(loft.shop.attachments, path)


def filed(loft: Loft, text: str) -> str:
    """Keep a file that says this, and return its digest."""
    path = loft.shop.folder.parent / "file"
    path.write_text(text, encoding="utf-8")
    return attachments.put(loft.shop.attachments, path)


def _sawn_and_glued(second: str, third: str) -> tuple[Event, ...]:
    """Saw one board, and glue a piece of it to another."""
    return (
        BoardSplit(
            parents=(second,),
            masses_mg=(1_040_000,),
            made=(
                Piece(board=f"{second}.C1", meant_for="neck", mass_mg=700_000),
                Piece(board=f"{second}.C2", meant_for="brace", mass_mg=300_000),
            ),
            dust_mg=20_000,
            waste_mg=20_000,
            kerf_um=1_200,
            cuts=2,
            way="rip",
        ),
        BoardJoined(
            parents=(third, f"{second}.C2"),
            masses_mg=(1_040_000, 300_000),
            made=Piece(board=f"{third}.C1", meant_for="neck", mass_mg=1_300_000),
        ),
    )


def _judged(first: str, second: str) -> tuple[Event, ...]:
    """Judge one board and another, and match them."""
    return (
        replace(METERED, board=first),
        replace(FLEXED, board=first),
        replace(GRADED, board=first),
        replace(MATCHED, boards=(first, second)),
        replace(REJECTED, board=first, returned=None),
    )


def _measures(board: str, recording: str, picture: str) -> tuple[Event, ...]:
    return (
        BoardMeasured(board=board, thickness_um=23_500, moisture_ppm=82_000),
        BoardWeighed(board=board, mass_mg=1_035_000),
        BoardWeighed(board=board, mass_mg=1_034_000, scale="bench"),
        BoardMoved(board=board, place="shelf B3"),
        BoardPhotographed(board=board, face="front", sha256=picture),
        BoardTapped(
            board=board,
            held_as="plate",
            length_um=810_000,
            width_um=95_000,
            thickness_um=23_500,
            mass_mg=1_034_000,
            recording_sha256=recording,
            low_millihertz=20_000,
            high_millihertz=400_000,
            method="as it was told",
            readings=(READ,),
        ),
        RoomMeasured(
            room="crib", temperature_millikelvin=293_150, humidity_ppm=440_000
        ),
    )


def _papers(board: str, head: Checkpoint) -> tuple[Event, ...]:
    return (
        TagPrinted(
            serial="26-0001-8",
            number=1,
            size=head.size,
            root=head.root.hex(),
            sha256="5a" * 32,
        ),
        replace(PLANNED, boards=(board,)),
        ShipmentPapersPrinted(
            shipment="X26-0001",
            paper="packing list",
            number=1,
            size=head.size,
            root=head.root.hex(),
            sha256="5b" * 32,
        ),
        replace(PLANNED_V1, boards=(board,)),
        ShipmentPapersPrintedV1(
            shipment="X26-0002",
            number=1,
            size=head.size,
            root=head.root.hex(),
            sha256="5b" * 32,
        ),
        DESCRIBED,
    )
