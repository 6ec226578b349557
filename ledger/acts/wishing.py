"""What builds that were begun wish of the rack for a part that they do not have yet."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from sqlmodel import Session, col, select

from ledger.acts import closing
from ledger.acts.builds import find_build
from ledger.acts.policies import grading_rules
from ledger.craft.wanted import Wanted
from ledger.craft.wishes import Band, Near, Wish
from ledger.errors import NotFoundError, RefusedError
from ledger.views.boards import Board, boards_in
from ledger.views.builds import Build
from ledger.views.certificates import Certificate
from ledger.views.models import parts_of

# Whoever names no day comes after those that do.
SOME_DAY = "9999-12-31"


@dataclass(frozen=True, slots=True, kw_only=True)
class Orders:
    """What builds wish for one part: what it asks, traits, and the day of each build.

    No serials mean every build that was begun and has no such part yet.
    """

    wanted: Wanted
    serials: tuple[str, ...] = ()
    bands: tuple[Band, ...] = ()
    near: tuple[Near, ...] = ()
    due: Mapping[str, str] = field(default_factory=dict)


def require_grades(session: Session, wanted: Wanted) -> None:
    """Refuse a grade that is none of the house's."""
    policy = grading_rules(session)
    for grade in wanted.grades:
        if grade not in policy.order:
            raise RefusedError(
                f"{grade!r} is none of the house's grades {', '.join(policy.order)}: "
                f"choose one"
            )


def wishes_of(session: Session, orders: Orders) -> list[Wish]:
    """Return what each open build wishes; of those without a day the older first."""
    part = orders.wanted.part
    serials = dict.fromkeys(orders.serials) or _open_builds(session, part)
    for serial in orders.serials:
        require_open(session, serial, part)
    for serial, day in orders.due.items():
        _require_due(serial, day, serials)
    return [
        Wish(
            order=serial,
            due=orders.due.get(serial, SOME_DAY),
            wanted=orders.wanted,
            bands=orders.bands,
            near=orders.near,
        )
        for serial in serials
    ]


def require_open(session: Session, serial: str, part: str) -> None:
    """Refuse an instrument that has such a part already, or can have none."""
    build = find_build(session, serial)
    parts = parts_of(session, build.model, build.version)
    if part not in parts:
        raise NotFoundError(
            f"{build.model} has no part {part!r}: it has {', '.join(parts)}"
        )
    closing.require_open(session, serial, part=part)
    has = [b.code for b in boards_in(session, serial) if b.part == part]
    if has:
        raise RefusedError(
            f"{serial} has its {part} already, {' and '.join(has)}: match for another "
            f"instrument"
        )


def _open_builds(session: Session, part: str) -> dict[str, None]:
    """Return the builds that were begun and have no such part yet, the oldest first."""
    issued = set(session.exec(select(Certificate.serial)).all())
    made = select(Board.serial).where(
        col(Board.part) == part, col(Board.serial).is_not(None)
    )
    done = issued | set(session.exec(made).all())
    parts: dict[tuple[str, int], list[str]] = {}
    found: dict[str, None] = {}
    begun = select(Build).where(col(Build.voided_idx).is_(None))
    for build in session.exec(begun.order_by(col(Build.idx))).all():
        model = (build.model, build.version)
        if model not in parts:
            parts[model] = parts_of(session, *model)
        if build.serial not in done and part in parts[model]:
            found[build.serial] = None
    if not found:
        raise RefusedError(
            f"no instrument that was begun is without its {part}: begin one with "
            f"flitchbook build begin, or look at its model's parts"
        )
    return found


def _require_due(serial: str, day: str, serials: Mapping[str, None]) -> None:
    if serial not in serials:
        raise RefusedError(
            f"{serial} is due {day} and not among the instruments that are matched: "
            f"name it, or leave its day out"
        )
    try:
        is_day = date.fromisoformat(day).isoformat() == day
    except ValueError:
        is_day = False
    if not is_day:
        raise RefusedError(f"{day!r} is no day such as 2027-03-01")
