"""Plates gauged for their thickness at known places, entry by entry."""

from collections.abc import Sequence

from sqlalchemy import BigInteger
from sqlmodel import Field, Session, SQLModel, col, or_, select

from ledger.events import Event, PlateGraduated
from ledger.log.entry import Entry
from ledger.views.builds import Build
from ledger.views.materials import Gauge
from ledger.views.measures import moment_of, stands
from ledger.views.taking import taken


class Graduation(SQLModel, table=True):
    """A plate of an instrument that was gauged at a number of places."""

    idx: int = Field(primary_key=True)
    serial: str = Field(index=True)
    part: str
    moment: str
    length_um: int = Field(sa_type=BigInteger)
    width_um: int | None = Field(default=None, sa_type=BigInteger)
    gauge: str | None = None
    stage: str | None = None
    number: int
    thinnest_um: int = Field(sa_type=BigInteger)
    thickest_um: int = Field(sa_type=BigInteger)
    struck_idx: int | None = None

    @property
    def day(self) -> str:
        """The day on which it was gauged."""
        return self.moment[:10]


class GraduatedPlace(SQLModel, table=True):
    """How thick a plate was at one place."""

    idx: int = Field(primary_key=True)
    position: int = Field(primary_key=True)
    x_um: int = Field(sa_type=BigInteger)
    y_um: int = Field(sa_type=BigInteger)
    thickness_um: int = Field(sa_type=BigInteger)


def fold_graduations(session: Session, entry: Entry, event: Event) -> None:
    """Take an entry about the thickness of a plate into the view."""
    if not isinstance(event, PlateGraduated):
        return
    taken(session, Build, event.serial)
    thicknesses = [place.thickness_um for place in event.places]
    session.add(
        Graduation(
            idx=entry.index,
            serial=event.serial,
            part=event.part,
            moment=moment_of(entry),
            length_um=event.length_um,
            width_um=event.width_um,
            gauge=event.gauge,
            stage=event.stage,
            number=len(thicknesses),
            thinnest_um=min(thicknesses),
            thickest_um=max(thicknesses),
        )
    )
    for position, place in enumerate(event.places):
        row = GraduatedPlace(
            idx=entry.index,
            position=position,
            x_um=place.x_um,
            y_um=place.y_um,
            thickness_um=place.thickness_um,
        )
        session.add(row)


def graduations_of(
    session: Session, serial: str, at: int | None = None
) -> list[Graduation]:
    """Return the graduations of an instrument that count, or did after an entry."""
    query = select(Graduation).where(
        col(Graduation.serial) == serial, stands(Graduation, at)
    )
    by_time = (col(Graduation.moment), col(Graduation.idx))
    return list(session.exec(query.order_by(*by_time)).all())


def newest_graduations(session: Session, serial: str) -> list[Graduation]:
    """Return the newest graduation of each plate of an instrument."""
    return list({row.part: row for row in graduations_of(session, serial)}.values())


def graduation_at(session: Session, index: int) -> Graduation | None:
    """Return the graduation that an entry gave and that counts, or None."""
    found = session.get(Graduation, index)
    return found if found is not None and found.struck_idx is None else None


def places_of(session: Session, index: int) -> list[GraduatedPlace]:
    """Return the places of one graduation, in the order given."""
    query = select(GraduatedPlace).where(col(GraduatedPlace.idx) == index)
    return list(session.exec(query.order_by(col(GraduatedPlace.position))).all())


def graduations_by(
    session: Session, gauges: Sequence[str], *, since: str = ""
) -> list[Graduation]:
    """Return what gauges of these names measured of plates since a day, in order."""
    query = select(Graduation).where(
        col(Graduation.gauge).in_(list(gauges)),
        col(Graduation.struck_idx).is_(None),
        col(Graduation.moment) >= since,
    )
    return list(session.exec(query.order_by(col(Graduation.idx))).all())


def graduated_by(
    session: Session, gauge: str, *, since: str, placed: int
) -> list[tuple[str, int]]:
    """Return instruments with the entries by which a gauge measured plates of theirs.

    By its code, its name or its mark, as that stands there: since a moment, or entered
    after an entry, for when it is said to have happened is a person's own word.
    """
    listed = session.get(Gauge, gauge)
    names = [gauge, listed.what, listed.mark or gauge] if listed else [gauge]
    query = select(Graduation.serial, Graduation.idx).where(
        col(Graduation.gauge).in_(names),
        col(Graduation.struck_idx).is_(None),
        or_(col(Graduation.moment) >= since, col(Graduation.idx) > placed),
    )
    return list(session.exec(query).all())
