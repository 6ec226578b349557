"""When a build is closed, what opens it again, and what came after its certificate.

A certificate closes a build. A part that was taken off afterwards opens it again for
that part, and for the steps it takes, until the next certificate. A void one is never
opened.
"""

from sqlmodel import Session, col, select

from ledger.acts.builds import find_build
from ledger.errors import RefusedError
from ledger.scales import in_a_row
from ledger.views.allotting import Stay, newer_wood, stays_at, stays_in
from ledger.views.boards import set_of
from ledger.views.builds import SignedStep
from ledger.views.certificates import certificates_of
from ledger.views.models import plan_of
from ledger.views.orders import concessions_of
from ledger.views.service import removed_parts, services_of


def require_not_void(session: Session, serial: str) -> None:
    """Refuse an instrument that will not be; it was begun."""
    build = find_build(session, serial)
    if build.voided_idx is not None:
        raise RefusedError(
            f"{serial} is void, by entry {build.voided_idx}: its number is not given "
            f"again, so begin another instrument"
        )


def require_open(session: Session, serial: str, *, part: str | None = None) -> None:
    """Refuse work on a build that is void, or closed by its certificate.

    After a certificate wood is allotted to a part that was taken off only, and steps
    are signed while one is.
    """
    require_not_void(session, serial)
    issued = certificates_of(session, serial)
    if not issued:
        return
    off = parts_off(session, serial)
    if off and (part is None or part in off):
        return
    closed = f"{serial} has its certificate {issued[-1].number}: its build is closed"
    if off:
        raise RefusedError(f"{closed}, but for the {in_a_row(off)} that was taken off")
    raise RefusedError(
        f"{closed}; later work is service, and a part comes off with flitchbook "
        f"instrument remove-part"
    )


def parts_off(session: Session, serial: str) -> list[str]:
    """Return the parts that were taken off since the newest certificate, in order."""
    issued = certificates_of(session, serial)
    since = issued[-1].idx if issued else -1
    off = (row.part for row in removed_parts(session, serial) if row.idx > since)
    return list(dict.fromkeys(off))


def news_since(session: Session, serial: str, index: int) -> list[int]:
    """Return the entries after one that a further certificate would have to tell."""
    steps = select(SignedStep.idx).where(
        col(SignedStep.serial) == serial, col(SignedStep.struck_idx).is_(None)
    )
    told = {
        *(row.idx for row in services_of(session, serial)),
        *(row.idx for row in removed_parts(session, serial)),
        *(row.idx for row in concessions_of(session, serial)),
        *(row.idx for row in stays_in(session, serial) if row.how != "struck"),
        *session.exec(steps).all(),
    }
    return sorted(idx for idx in told if idx > index)


def wood_at(session: Session, serial: str, index: int) -> list[Stay]:
    """Return the boards that were in an instrument after an entry, in order."""
    return stays_at(session, serial, index)


def steps_at(session: Session, serial: str, index: int) -> list[SignedStep]:
    """Return the signed steps of an instrument that counted after an entry."""
    query = select(SignedStep).where(
        col(SignedStep.serial) == serial, col(SignedStep.idx) <= index
    )
    build = find_build(session, serial)
    plan = plan_of(session, build.model, build.version)
    stays = stays_in(session, serial)
    return [
        step
        for step in session.exec(query.order_by(col(SignedStep.idx))).all()
        if all(
            ended is None or ended > index
            for ended in (step.struck_idx, step.reworked_idx)
        )
        and newer_wood(step, plan, stays, at=index) is None
    ]


def part_at(session: Session, serial: str, part: str, index: int) -> str | None:
    """Return the board or set that a part was made of after an entry, or None."""
    found = [s for s in wood_at(session, serial, index) if s.part == part]
    return set_of(found[0].board) if found else None
