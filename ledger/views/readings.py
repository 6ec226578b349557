"""Boards pictured, tapped and bent, instruments tapped, and the air of rooms."""

from collections.abc import Sequence
from typing import NamedTuple

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, select

from ledger.errors import TamperError
from ledger.events import (
    BoardFlexed,
    BoardPhotographed,
    BoardTapped,
    BuildTapped,
    Event,
    RoomLogged,
    RoomMeasured,
)
from ledger.events.board import Reading
from ledger.log.entry import Entry
from ledger.views.boards import whole
from ledger.views.builds import Build
from ledger.views.measures import counting, moment_of, stands
from ledger.views.taking import taken


class Photograph(SQLModel, table=True):
    """A picture of a board on file."""

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    face: str
    digest: str = Field(index=True)
    struck_idx: int | None = None


class Tapping(SQLModel, table=True):
    """A board that was tapped, with its sizes of that moment and the recording."""

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    moment: str
    held_as: str
    length_um: int = Field(sa_type=BigInteger)
    width_um: int = Field(sa_type=BigInteger)
    thickness_um: int = Field(sa_type=BigInteger)
    mass_mg: int = Field(sa_type=BigInteger)
    low_millihertz: int = Field(sa_type=BigInteger)
    high_millihertz: int = Field(sa_type=BigInteger)
    digest: str = Field(index=True)
    method: str
    struck_idx: int | None = None

    @property
    def day(self) -> str:
        """The day on which it was tapped."""
        return self.moment[:10]


class TapReading(SQLModel, table=True):
    """One mode that was read from a recording; a single tap has no scatter."""

    idx: int = Field(primary_key=True)
    position: int = Field(primary_key=True)
    mode: str
    frequency_millihertz: int = Field(sa_type=BigInteger)
    uncertainty_millihertz: int = Field(sa_type=BigInteger)
    q_milli: int = Field(sa_type=BigInteger)
    q_uncertainty_milli: int | None = Field(default=None, sa_type=BigInteger)
    taps: int = Field(sa_type=BigInteger)
    scatter_ppm: int | None = Field(default=None, sa_type=BigInteger)


class PlainTap(NamedTuple):
    """A tapped board as plain columns, for whoever reads the taps of many."""

    idx: int
    board: str
    moment: str
    held_as: str
    length_um: int
    width_um: int
    thickness_um: int
    mass_mg: int


class PlainReading(NamedTuple):
    """One mode as plain columns."""

    idx: int
    mode: str
    frequency_millihertz: int
    uncertainty_millihertz: int


class Flexing(SQLModel, table=True):
    """A board that was bent on two supports, with its sizes of that moment."""

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    moment: str
    way: str
    span_um: int = Field(sa_type=BigInteger)
    width_um: int = Field(sa_type=BigInteger)
    thickness_um: int = Field(sa_type=BigInteger)
    struck_idx: int | None = None

    @property
    def day(self) -> str:
        """The day on which it happened."""
        return self.moment[:10]


class FlexLoad(SQLModel, table=True):
    """One mass on the middle of a board, and how far it bent."""

    idx: int = Field(primary_key=True)
    position: int = Field(primary_key=True)
    load_mg: int = Field(sa_type=BigInteger)
    deflection_um: int = Field(sa_type=BigInteger)


class VoiceTapping(SQLModel, table=True):
    """A part of an instrument that was tapped at a stage of its making."""

    idx: int = Field(primary_key=True)
    serial: str = Field(index=True)
    part: str
    stage: str
    moment: str
    mass_mg: int | None = Field(default=None, sa_type=BigInteger)
    thickness_um: int | None = Field(default=None, sa_type=BigInteger)
    low_millihertz: int = Field(sa_type=BigInteger)
    high_millihertz: int = Field(sa_type=BigInteger)
    digest: str = Field(index=True)
    method: str
    struck_idx: int | None = None

    @property
    def day(self) -> str:
        """The day on which it was tapped."""
        return self.moment[:10]


class RoomReading(SQLModel, table=True):
    """The air of a room at one time, or over one day as a logger had it.

    Of a day, temperature and humidity are the means; `number` is how many readings
    there were, `gap_seconds` the longest time without one.
    """

    idx: int = Field(primary_key=True)
    position: int = Field(primary_key=True)
    room: str = Field(index=True)
    moment: str
    temperature_millikelvin: int = Field(sa_type=BigInteger)
    humidity_ppm: int = Field(sa_type=BigInteger)
    number: int | None = Field(default=None, sa_type=BigInteger)
    least_humidity_ppm: int | None = Field(default=None, sa_type=BigInteger)
    most_humidity_ppm: int | None = Field(default=None, sa_type=BigInteger)
    gap_seconds: int | None = Field(default=None, sa_type=BigInteger)
    struck_idx: int | None = None

    @property
    def day(self) -> str:
        """The day on which it was measured."""
        return self.moment[:10]


class RoomLog(SQLModel, table=True):
    """A logger's file of a room's air, and how it was read."""

    idx: int = Field(primary_key=True)
    room: str
    digest: str = Field(index=True)
    method: str
    struck_idx: int | None = None


def fold_readings(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about a picture, a tap or the air into the view."""
    match event:
        case BoardPhotographed():
            _photograph(session, entry, event)
        case BoardTapped():
            _tap(session, entry, event)
        case BoardFlexed():
            _flex(session, entry, event)
        case BuildTapped():
            _tap_build(session, entry, event)
        case RoomMeasured():
            _measure_room(session, entry, event)
        case RoomLogged():
            _log_room(session, entry, event)


def taps_of(session: Session, code: str, at: int | None = None) -> list[Tapping]:
    """Return the taps of a board that count, or did after an entry, oldest first."""
    return list(session.exec(counting(Tapping, code, at=at)).all())


def readings_of(session: Session, index: int) -> list[TapReading]:
    """Return what was read from one recording."""
    query = select(TapReading).where(col(TapReading.idx) == index)
    return list(session.exec(query.order_by(col(TapReading.position))).all())


def recording_filed(session: Session, digest: str) -> Tapping | VoiceTapping | None:
    """Return the tap that a recording was filed for and that counts, or None."""
    of_board = select(Tapping).where(col(Tapping.digest) == digest, stands(Tapping))
    of_build = select(VoiceTapping).where(
        col(VoiceTapping.digest) == digest, stands(VoiceTapping)
    )
    return session.exec(of_board).first() or session.exec(of_build).first()


def voice_of(
    session: Session, serial: str, at: int | None = None
) -> list[VoiceTapping]:
    """Return the taps of an instrument that count, or did after an entry, in order."""
    query = select(VoiceTapping).where(
        col(VoiceTapping.serial) == serial, stands(VoiceTapping, at)
    )
    by_time = (col(VoiceTapping.moment), col(VoiceTapping.idx))
    return list(session.exec(query.order_by(*by_time)).all())


def air_since(session: Session, room: str, day: str) -> list[RoomReading]:
    """Return what counts of a room's air from a day on, the oldest first.

    Where two logs tell of one day both are here, the later one last.
    """
    query = select(RoomReading).where(
        stands(RoomReading),
        col(RoomReading.room) == room,
        col(RoomReading.moment) >= day,
    )
    by_time = (col(RoomReading.moment), col(RoomReading.idx))
    return list(session.exec(query.order_by(*by_time)).all())


def flexings_of(session: Session, code: str) -> list[Flexing]:
    """Return the bendings of a board that count, the oldest first."""
    return list(session.exec(counting(Flexing, code)).all())


def loads_of(session: Session, index: int) -> list[FlexLoad]:
    """Return the masses and deflections of one bending, in the order given."""
    query = select(FlexLoad).where(col(FlexLoad.idx) == index)
    return list(session.exec(query.order_by(col(FlexLoad.position))).all())


def photographs_of(
    session: Session, codes: Sequence[str], at: int | None = None
) -> list[Photograph]:
    """Return the photographs of boards that count, or did after an entry."""
    query = select(Photograph).where(
        col(Photograph.board).in_(codes), stands(Photograph, at)
    )
    return list(session.exec(query.order_by(col(Photograph.idx))).all())


def newest_air(
    session: Session, room: str | None = None, at: int | None = None
) -> RoomReading | None:
    """Return the newest reading of a room, or of any; at a time, after an entry."""
    query = select(RoomReading).where(stands(RoomReading, at))
    if room is not None:
        query = query.where(col(RoomReading.room) == room)
    newest = query.order_by(col(RoomReading.moment).desc(), col(RoomReading.idx).desc())
    return session.exec(newest.limit(1)).first()


def _photograph(session: Session, entry: Entry, event: BoardPhotographed) -> None:
    whole(session, event.board)
    row = Photograph(
        idx=entry.index, board=event.board, face=event.face, digest=event.sha256
    )
    session.add(row)


def _tap(session: Session, entry: Entry, event: BoardTapped) -> None:
    whole(session, event.board)
    session.add(
        Tapping(
            idx=entry.index,
            board=event.board,
            moment=moment_of(entry),
            held_as=event.held_as,
            length_um=event.length_um,
            width_um=event.width_um,
            thickness_um=event.thickness_um,
            mass_mg=event.mass_mg,
            low_millihertz=event.low_millihertz,
            high_millihertz=event.high_millihertz,
            digest=event.recording_sha256,
            method=event.method,
        )
    )
    _read(session, entry, event.readings)


def _flex(session: Session, entry: Entry, event: BoardFlexed) -> None:
    whole(session, event.board)
    session.add(
        Flexing(
            idx=entry.index,
            board=event.board,
            moment=moment_of(entry),
            way=event.way,
            span_um=event.span_um,
            width_um=event.width_um,
            thickness_um=event.thickness_um,
        )
    )
    for position, load in enumerate(event.loads):
        row = FlexLoad(
            idx=entry.index,
            position=position,
            load_mg=load.load_mg,
            deflection_um=load.deflection_um,
        )
        session.add(row)


def _tap_build(session: Session, entry: Entry, event: BuildTapped) -> None:
    taken(session, Build, event.serial)
    session.add(
        VoiceTapping(
            idx=entry.index,
            serial=event.serial,
            part=event.part,
            stage=event.stage,
            moment=moment_of(entry),
            mass_mg=event.mass_mg,
            thickness_um=event.thickness_um,
            low_millihertz=event.low_millihertz,
            high_millihertz=event.high_millihertz,
            digest=event.recording_sha256,
            method=event.method,
        )
    )
    _read(session, entry, event.readings)


def _read(session: Session, entry: Entry, readings: Sequence[Reading]) -> None:
    for position, reading in enumerate(readings):
        session.add(
            TapReading(
                idx=entry.index,
                position=position,
                mode=reading.mode,
                frequency_millihertz=reading.frequency_millihertz,
                uncertainty_millihertz=reading.uncertainty_millihertz,
                q_milli=reading.q_milli,
                q_uncertainty_milli=reading.q_uncertainty_milli,
                taps=reading.taps,
                scatter_ppm=reading.scatter_ppm,
            )
        )


def _measure_room(session: Session, entry: Entry, event: RoomMeasured) -> None:
    session.add(
        RoomReading(
            idx=entry.index,
            position=0,
            room=event.room,
            moment=moment_of(entry),
            temperature_millikelvin=event.temperature_millikelvin,
            humidity_ppm=event.humidity_ppm,
        )
    )


def _log_room(session: Session, entry: Entry, event: RoomLogged) -> None:
    """Take a logger's days, each of which counts as of its end."""
    log = RoomLog(
        idx=entry.index, room=event.room, digest=event.sha256, method=event.method
    )
    session.add(log)
    for position, day in enumerate(event.days):
        if day.day > entry.at[:10]:
            raise TamperError(
                f"entry {entry.index} of {entry.at} tells of the air of {day.day}: run "
                f"flitchbook record audit"
            )
        row = RoomReading(
            idx=entry.index,
            position=position,
            room=event.room,
            moment=min(f"{day.day}T23:59:59Z", entry.at),
            temperature_millikelvin=day.temperature_millikelvin,
            humidity_ppm=day.humidity_ppm,
            number=day.number,
            least_humidity_ppm=day.least_humidity_ppm,
            most_humidity_ppm=day.most_humidity_ppm,
            gap_seconds=day.gap_seconds,
        )
        session.add(row)
