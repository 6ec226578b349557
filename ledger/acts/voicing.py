"""Instruments tapped as they are made: the same voice, braced, closed and strung.

A plate before its braces is a board and is tapped as one; here its box goes on. Which
mode is which is said by whoever holds it, as with boards: along, across and twist of a
braced plate; the air, the top and the back of a closed box.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from sqlmodel import Session

from ledger.acts.builds import find_build
from ledger.acts.closing import require_not_void, wood_at
from ledger.acts.filing import kept_file
from ledger.acts.hearing import Rung, band_around, heard_in
from ledger.acts.shop import Hands, Shop
from ledger.errors import NotFoundError, RefusedError
from ledger.events import BuildTapped
from ledger.events.board import Mode, Reading
from ledger.events.build import Stage
from ledger.log.entry import Entry
from ledger.quantities import grams
from ledger.views.boards import boards_in
from ledger.views.models import parts_of
from ledger.views.readings import (
    Tapping,
    TapReading,
    VoiceTapping,
    readings_of,
    recording_filed,
    taps_of,
    voice_of,
)

PLATE = "plate"
STAGES: tuple[Stage, ...] = ("braced", "closed", "strung")
BRACED: tuple[Mode, ...] = ("along", "across", "twist", "top", "back", "other")
BOX: tuple[Mode, ...] = ("air", "top", "back", "other")
MODES: dict[Stage, tuple[Mode, ...]] = {"braced": BRACED, "closed": BOX, "strung": BOX}
# Where nobody says what to expect [mHz]: the air of a large box to a stiff top.
USUAL_BAND = (60_000, 500_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Voiced:
    """An instrument that rang: its entry, what was read, and warnings."""

    entry: Entry
    serial: str
    readings: tuple[Reading, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """One stage of a part: the day, what it weighed, and the modes that were read.

    Before the braces it is a board that was tapped, which has its code.
    """

    stage: str
    part: str
    board: str | None
    idx: int
    day: str
    mass_mg: int | None
    thickness_um: int | None
    readings: tuple[TapReading, ...]


def band_for(expected: Mapping[Mode, int]) -> tuple[int, int]:
    """Return the band to listen to [mHz]: around what is expected, else the usual."""
    return band_around(expected, USUAL_BAND)


def tap_build(
    shop: Shop,
    serial: str,
    path: Path,
    *,
    part: str,
    stage: Stage,
    expected: Mapping[Mode, int],
    band: tuple[int, int] | None = None,
    mass_mg: int | None = None,
    thickness_um: int | None = None,
    hands: Hands,
) -> Voiced:
    """File a recording of a part of an instrument, and record what was read of it.

    expected  [mHz]  roughly where each mode lies
    band      [mHz]  what is listened to; else around what is expected

    Raises RefusedError where a part was closed before it was braced, where it stays
    open which mode is which, and for a recording that is of another piece.
    """
    _require_sizes(mass_mg, thickness_um)
    with shop.store.reading() as session:
        _require_stage(session, serial, part, stage)
    rung = Rung(
        noun=f"a {part} that is {stage}",
        modes=MODES[stage],
        options=", ".join(f"--{mode}" for mode in MODES[stage][:-1]),
    )
    heard = heard_in(path, band or band_for(expected), expected, rung)
    with kept_file(shop, path, announced=heard.sha256) as turn:
        _require_stage(turn.session, serial, part, stage)
        _require_unfiled(turn.session, heard.sha256)
        event = BuildTapped(
            serial=serial,
            part=part,
            stage=stage,
            mass_mg=mass_mg,
            thickness_um=thickness_um,
            recording_sha256=heard.sha256,
            low_millihertz=heard.low_millihertz,
            high_millihertz=heard.high_millihertz,
            method=heard.method,
            readings=heard.readings,
        )
        entry = turn.say(event, hands)
    return Voiced(
        entry=entry, serial=serial, readings=heard.readings, warnings=heard.warnings
    )


def voice(session: Session, serial: str, *, at: int | None = None) -> list[Rail]:
    """Return the taps of an instrument from its plates on, stage by stage.

    Of its boards all taps count that are on record; what stood later in one stage
    comes later.

    at  the entry after which it is asked about, whatever was struck since; else now
    """
    find_build(session, serial)
    boards = [(str(b.part), b.code) for b in boards_in(session, serial)]
    if at is not None:
        boards = [(stay.part, stay.board) for stay in wood_at(session, serial, at)]
    plates = [
        _plate(session, part, tapping)
        for part, code in boards
        for tapping in taps_of(session, code, at)
    ]
    made = [_rail(session, tapping) for tapping in voice_of(session, serial, at)]
    order = (PLATE, *STAGES)
    return sorted((*plates, *made), key=lambda rail: order.index(rail.stage))


def _plate(session: Session, part: str, tapping: Tapping) -> Rail:
    return Rail(
        stage=PLATE,
        part=part,
        board=tapping.board,
        idx=tapping.idx,
        day=tapping.day,
        mass_mg=tapping.mass_mg,
        thickness_um=tapping.thickness_um,
        readings=tuple(readings_of(session, tapping.idx)),
    )


def _rail(session: Session, tapping: VoiceTapping) -> Rail:
    return Rail(
        stage=tapping.stage,
        part=tapping.part,
        board=None,
        idx=tapping.idx,
        day=tapping.day,
        mass_mg=tapping.mass_mg,
        thickness_um=tapping.thickness_um,
        readings=tuple(readings_of(session, tapping.idx)),
    )


def _require_sizes(mass_mg: int | None, thickness_um: int | None) -> None:
    if mass_mg is not None and mass_mg <= 0:
        raise RefusedError(f"{grams(mass_mg)} is no mass: weigh it again")
    if thickness_um is not None and thickness_um <= 0:
        raise RefusedError(f"{thickness_um} um is no thickness: measure it again")


def _require_stage(session: Session, serial: str, part: str, stage: Stage) -> None:
    """Refuse a part that the model does not have, and a box that opened again."""
    require_not_void(session, serial)
    build = find_build(session, serial)
    parts = parts_of(session, build.model, build.version)
    if part not in parts:
        raise NotFoundError(
            f"{build.model} has no part {part!r}: it has {', '.join(parts)}"
        )
    later = [
        row
        for row in voice_of(session, serial)
        if row.part == part and STAGES.index(_stage(row)) > STAGES.index(stage)
    ]
    if later:
        raise RefusedError(
            f"the {part} of {serial} was tapped {later[0].stage} by entry "
            f"{later[0].idx}, which comes after {stage}: say which stage it is, or "
            f"strike that entry"
        )


def _stage(row: VoiceTapping) -> Stage:
    return next(stage for stage in STAGES if stage == row.stage)


def _require_unfiled(session: Session, digest: str) -> None:
    """Refuse a recording that is on file already: one piece was tapped in it."""
    there = recording_filed(session, digest)
    if there is not None:
        what = there.board if isinstance(there, Tapping) else there.serial
        raise RefusedError(
            f"this recording is of {what}, filed by entry {there.idx}: take the "
            f"recording of this tap, or strike that entry first"
        )
