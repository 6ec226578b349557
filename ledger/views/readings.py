"""Pictures and taps of boards, and the air of rooms."""

from collections.abc import Sequence

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, select

from ledger.events import BoardPhotographed, BoardTapped, Event, RoomMeasured
from ledger.log.entry import Entry
from ledger.views.boards import whole
from ledger.views.measures import counting, moment_of


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


class RoomReading(SQLModel, table=True):
    """The air of a room at one time."""

    idx: int = Field(primary_key=True)
    room: str = Field(index=True)
    moment: str
    temperature_millikelvin: int = Field(sa_type=BigInteger)
    humidity_ppm: int = Field(sa_type=BigInteger)
    struck_idx: int | None = None


def fold_readings(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about a picture, a tap or the air into the view."""
    match event:
        case BoardPhotographed():
            _photograph(session, entry, event)
        case BoardTapped():
            _tap(session, entry, event)
        case RoomMeasured():
            _measure_room(session, entry, event)


def taps_of(session: Session, code: str) -> list[Tapping]:
    """Return the taps of a board that count, the oldest first."""
    return list(session.exec(counting(Tapping, code)).all())


def readings_of(session: Session, index: int) -> list[TapReading]:
    """Return what was read from one recording."""
    query = select(TapReading).where(col(TapReading.idx) == index)
    return list(session.exec(query.order_by(col(TapReading.position))).all())


def photographs_of(session: Session, codes: Sequence[str]) -> list[Photograph]:
    """Return the photographs of boards that count."""
    query = select(Photograph).where(
        col(Photograph.board).in_(codes), col(Photograph.struck_idx).is_(None)
    )
    return list(session.exec(query.order_by(col(Photograph.idx))).all())


def newest_air(session: Session, room: str | None = None) -> RoomReading | None:
    """Return the newest reading of a room, or of any room."""
    query = select(RoomReading).where(col(RoomReading.struck_idx).is_(None))
    if room is not None:
        query = query.where(col(RoomReading.room) == room)
    newest = query.order_by(col(RoomReading.moment).desc(), col(RoomReading.idx).desc())
    return session.exec(newest).first()


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
    for position, reading in enumerate(event.readings):
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
            room=event.room,
            moment=moment_of(entry),
            temperature_millikelvin=event.temperature_millikelvin,
            humidity_ppm=event.humidity_ppm,
        )
    )
