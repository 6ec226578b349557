"""Sentences about wood that a shop says, one of each, for whatever reads them all."""

from dataclasses import replace

from ledger.acts.heads import sign_head
from ledger.acts.names import kept_reason
from ledger.events import (
    BoardJoined,
    BoardMeasured,
    BoardMoved,
    BoardPhotographed,
    BoardSplit,
    BoardTapped,
    BoardWeighed,
    OverrideGiven,
    RoomMeasured,
    ShipmentPapersPrinted,
    ShipmentPlanned,
    TagPrinted,
)
from ledger.events.board import Piece, Reading
from ledger.events.shipment import Determined, LotShare, NeededPaper
from ledger.ids import LotId
from ledger.log import attachments
from ledger.log.checkpoint import Checkpoint, parse_checkpoint, parse_note
from tests import ringing
from tests.skerrymoor import NECK, Loft

READ = Reading(
    mode="along",
    frequency_millihertz=71_290,
    uncertainty_millihertz=12,
    q_milli=110_000,
    taps=5,
    scatter_ppm=400,
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
            lots=(
                LotShare(
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


def say_everything(loft: Loft) -> LotId:
    """Say one of each about a new lot of four boards, and return the lot."""
    lot = loft.receive(boards=9)
    first, second, third, fourth = (loft.number(lot, NECK)[0] for _ in range(4))
    said = [
        *_measures(first, rung(loft), filed(loft, "a picture")),
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
        OverrideGiven(
            board=fourth,
            serial="26-0001-8",
            policy="bench",
            version=1,
            against=("too young",),
        ),
        *_papers(fourth, parse_checkpoint(parse_note(sign_head(loft.shop)))),
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


def _measures(
    board: str, recording: str, picture: str
) -> tuple[
    BoardMeasured
    | BoardWeighed
    | BoardMoved
    | BoardPhotographed
    | BoardTapped
    | RoomMeasured,
    ...,
]:
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


def _papers(
    board: str, head: Checkpoint
) -> tuple[TagPrinted | ShipmentPlanned | ShipmentPapersPrinted, ...]:
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
            number=1,
            size=head.size,
            root=head.root.hex(),
            sha256="5b" * 32,
        ),
    )
