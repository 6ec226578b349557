"""Sizes, masses and places of boards, entry by entry, and the newest of each.

A measure that was struck stays here, marked, and counts for nothing.
"""

from collections.abc import Sequence
from typing import Any, TypeVar

from sqlalchemy import BigInteger, Index
from sqlmodel import Field, Session, SQLModel, col, select
from sqlmodel.sql.expression import SelectOfScalar

from ledger.errors import TamperError
from ledger.events import (
    BoardJoined,
    BoardMeasured,
    BoardMetered,
    BoardMoved,
    BoardNumbered,
    BoardNumberedV1,
    BoardSplit,
    BoardWeighed,
    Event,
)
from ledger.events.board import Piece
from ledger.log.entry import Entry
from ledger.views.boards import Board, sizes_said, whole
from ledger.views.taking import taken

Row = TypeVar("Row", bound=SQLModel)

SIZES = ("length_um", "width_um", "thickness_um", "moisture_ppm")


class Sizing(SQLModel, table=True):
    """Sizes and moisture of a board as one entry gave them.

    Those of a list are the sawyer's word, and stand until somebody here measures.
    """

    idx: int = Field(primary_key=True)
    board: str = Field(primary_key=True, index=True)
    moment: str
    length_um: int | None = Field(default=None, sa_type=BigInteger)
    width_um: int | None = Field(default=None, sa_type=BigInteger)
    thickness_um: int | None = Field(default=None, sa_type=BigInteger)
    moisture_ppm: int | None = Field(default=None, sa_type=BigInteger)
    is_listed: bool = False
    struck_idx: int | None = None

    @property
    def day(self) -> str:
        """The day on which it happened."""
        return self.moment[:10]


class Weighing(SQLModel, table=True):
    """A board on the scale, on the day on which it lay there."""

    # All that is asked of a board's weighings, in the order in which it is asked.
    __table_args__ = (
        Index(
            "ix_weighing_of_board", "board", "struck_idx", "moment", "idx", "mass_mg"
        ),
    )

    idx: int = Field(primary_key=True)
    board: str = Field(primary_key=True)
    moment: str
    mass_mg: int = Field(sa_type=BigInteger)
    struck_idx: int | None = None

    @property
    def day(self) -> str:
        """The day on which it happened."""
        return self.moment[:10]


class Metering(SQLModel, table=True):
    """What a moisture meter showed, as it was set, and what that comes to by a rule."""

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    moment: str
    meter: str
    setting: str
    reading_ppm: int = Field(sa_type=BigInteger)
    temperature_millikelvin: int = Field(sa_type=BigInteger)
    moisture_ppm: int = Field(sa_type=BigInteger)
    rule: str
    struck_idx: int | None = None

    @property
    def day(self) -> str:
        """The day on which it happened."""
        return self.moment[:10]


class Placing(SQLModel, table=True):
    """Where a board was put."""

    idx: int = Field(primary_key=True)
    board: str = Field(index=True)
    moment: str
    place: str
    struck_idx: int | None = None


def fold_measures(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry that measures something into the view."""
    match event:
        case BoardNumbered() | BoardNumberedV1():
            _first_measures(session, entry, event)
        case BoardSplit():
            for piece in event.made:
                _first_measures(session, entry, piece)
        case BoardJoined():
            _first_measures(session, entry, event.made)
        case BoardMeasured():
            _size(session, entry, event)
        case BoardWeighed():
            _weigh(session, entry, event.board, event.mass_mg)
        case BoardMetered():
            _meter(session, entry, event)
        case BoardMoved():
            _place(session, entry, event)
    if isinstance(event, BoardMeasured | BoardMetered | BoardWeighed | BoardMoved):
        whole(session, event.board)
        refresh(session, event.board)


def refresh(session: Session, code: str) -> None:
    """Give a board the newest sizes, mass and place that nobody struck."""
    board = taken(session, Board, code)
    sizings = sizings_of(session, code)
    for name in SIZES:
        given = [getattr(row, name) for row in sizings]
        newest = [value for value in given if value is not None]
        setattr(board, name, newest[-1] if newest else None)
    weighings = weighings_of(session, code)
    board.mass_mg = weighings[-1].mass_mg if weighings else None
    placings = placings_of(session, code)
    board.place = placings[-1].place if placings else None


def moment_of(entry: Entry) -> str:
    """Return when something happened: as claimed, else as entered.

    Raises TamperError for a time after it was entered: nobody measures tomorrow.
    """
    moment = entry.happened_at
    if moment > entry.at:
        raise TamperError(
            f"entry {entry.index} of {entry.at} says that it happened at {moment}: run "
            f"flitchbook record audit"
        )
    return moment


def weighings_of(session: Session, code: str) -> list[Weighing]:
    """Return the weighings of a board that count, the oldest first."""
    return list(session.exec(counting(Weighing, code)).all())


def weighed_before(
    session: Session, codes: Sequence[str], day: str, *, at: int
) -> list[Weighing]:
    """Return the weighings of boards before a day, as they counted after an entry."""
    query = select(Weighing).where(
        col(Weighing.board).in_(codes),
        col(Weighing.moment) < day,
        stands(Weighing, at),
    )
    by_time = (col(Weighing.moment), col(Weighing.idx))
    return list(session.exec(query.order_by(*by_time)).all())


def sizings_of(session: Session, code: str) -> list[Sizing]:
    """Return the measured sizes of a board that count, the oldest first."""
    return list(session.exec(counting(Sizing, code)).all())


def meterings_of(session: Session, code: str) -> list[Metering]:
    """Return what meters showed of a board, as far as it counts, the oldest first."""
    return list(session.exec(counting(Metering, code)).all())


def placings_of(session: Session, code: str) -> list[Placing]:
    """Return where a board was put, as far as it counts, the oldest first."""
    return list(session.exec(counting(Placing, code)).all())


def counting(
    view: type[Row], code: str, *, at: int | None = None
) -> SelectOfScalar[Row]:
    """Ask for the rows of a board that nobody struck, as they happened.

    at  the entry after which it is asked; else now
    """
    table: Any = view
    query = select(view).where(table.board == code, stands(view, at))
    return query.order_by(table.moment, table.idx)


def stands(view: Any, at: int | None = None) -> Any:
    """Ask whether rows count now, or counted after an entry, if struck since."""
    is_standing = view.struck_idx.is_(None)
    if at is None:
        return is_standing
    return (view.idx <= at) & (is_standing | (view.struck_idx > at))


def _first_measures(
    session: Session, entry: Entry, said: BoardNumbered | BoardNumberedV1 | Piece
) -> None:
    board, moment = said.board, moment_of(entry)
    (length_um, width_um, thickness_um), is_listed = sizes_said(said)
    if (length_um, width_um, thickness_um) != (None, None, None):
        row = Sizing(
            idx=entry.index,
            board=board,
            moment=moment,
            length_um=length_um,
            width_um=width_um,
            thickness_um=thickness_um,
            is_listed=is_listed,
        )
        session.add(row)
    # Not what is listed: nobody here has weighed that.
    if said.mass_mg is not None:
        _weigh(session, entry, board, said.mass_mg)


def _size(session: Session, entry: Entry, event: BoardMeasured) -> None:
    sizes = {name: getattr(event, name) for name in SIZES}
    moment = moment_of(entry)
    row = Sizing(idx=entry.index, board=event.board, moment=moment, **sizes)
    session.add(row)


def _meter(session: Session, entry: Entry, event: BoardMetered) -> None:
    """Take a meter's reading, and the moisture that it comes to, of one entry."""
    moment = moment_of(entry)
    session.add(
        Metering(
            idx=entry.index,
            board=event.board,
            moment=moment,
            meter=event.meter,
            setting=event.setting,
            reading_ppm=event.reading_ppm,
            temperature_millikelvin=event.temperature_millikelvin,
            moisture_ppm=event.moisture_ppm,
            rule=event.rule,
        )
    )
    session.add(
        Sizing(
            idx=entry.index,
            board=event.board,
            moment=moment,
            moisture_ppm=event.moisture_ppm,
        )
    )


def _weigh(session: Session, entry: Entry, board: str, mass_mg: int) -> None:
    moment = moment_of(entry)
    session.add(Weighing(idx=entry.index, board=board, moment=moment, mass_mg=mass_mg))


def _place(session: Session, entry: Entry, event: BoardMoved) -> None:
    board, moment = event.board, moment_of(entry)
    row = Placing(idx=entry.index, board=board, moment=moment, place=event.place)
    session.add(row)
