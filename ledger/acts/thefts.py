"""Reports of theft: whose word it is only the vault knows, and nobody judges it here.

While one stands nothing changes hands in the record, no slip is drawn, and whoever
checks the certificate is told to contact the maker.
"""

from datetime import date, timedelta

from sqlmodel import Session

from ledger.acts.names import (
    SUBJECT_SIZE,
    checked_past_day,
    kept_name,
    kept_reason,
    require_not_before,
)
from ledger.acts.shop import Hands, Shop, Turn
from ledger.errors import NotFoundError, RefusedError
from ledger.events import TheftReported, TheftWithdrawn
from ledger.log.entry import Entry
from ledger.views.certificates import certificates_of
from ledger.views.ownership import (
    TheftReport,
    open_reports,
    reports_about,
    reports_of,
)

CLAIMANT_NAME = "claimant.name"
# So long no name that bears on a report is erased: whoever took an instrument must not
# be able to have its owner forgotten.
ERASURE_RESTS_DAYS = 30


def report(
    shop: Shop, *, serial: str, name: str, said_on: str | None, hands: Hands
) -> TheftReport:
    """Enter that somebody says an instrument was taken; return the report."""
    day = said_on or shop.today()
    checked_past_day(day, shop.today())
    with shop.turn() as turn:
        issued = certificates_of(turn.session, serial)
        if not issued:
            raise NotFoundError(
                f"{serial} has no certificate, so nothing of it is checked by anybody: "
                f"see to it in the shop"
            )
        what = f"{issued[0].number} of {serial} was issued"
        require_not_before(day, issued[0].issued_on, what)
        subject = shop.entropy(SUBJECT_SIZE).hex()
        number = len(reports_of(turn.session, serial)) + 1
        with kept_name(
            turn, subject, CLAIMANT_NAME, name, is_private=True
        ) as commitment:
            event = TheftReported(
                serial=serial,
                number=number,
                claimant=subject,
                name_commitment=commitment,
                said_on=day,
            )
            turn.say(event, hands)
        turn.session.flush()
        entered = reports_of(turn.session, serial)[-1]
        turn.session.expunge(entered)
    return entered


def withdraw(
    shop: Shop, *, serial: str, number: int, reason: str, hands: Hands
) -> Entry:
    """Enter that a report no longer stands, and why."""
    with shop.turn() as turn:
        found = _report(turn.session, serial, number)
        if found.withdrawn_idx is not None:
            raise RefusedError(
                f"report {number} of {serial} was withdrawn by entry "
                f"{found.withdrawn_idx} already"
            )
        event = TheftWithdrawn(serial=serial, number=number)
        with kept_reason(turn, hands.by.id, reason) as commitment:
            return turn.say(event, hands, reason=commitment)


def standing_reports(shop: Shop, serial: str) -> list[int]:
    """Return the numbers of the reports of an instrument that stand."""
    with shop.store.reading() as session:
        return [row.number for row in open_reports(session, serial)]


def require_unreported(turn: Turn, serial: str) -> None:
    """Refuse a change of owner, and a slip for one, while a report stands."""
    standing = open_reports(turn.session, serial)
    if standing:
        said = ", ".join(f"{row.number} of {row.said_on}" for row in standing)
        raise RefusedError(
            f"{serial} is reported (report {said}): contact those who claim it, and "
            f"enter no owner and draw no slip until flitchbook owner theft-withdrawn "
            f"says why it ended"
        )


def require_may_erase(turn: Turn, subject: str) -> None:
    """Let an erasure rest while a report that the name bears on is young."""
    for row in reports_about(turn.session, subject):
        entered = date.fromisoformat(row.entered_on)
        until = (entered + timedelta(days=ERASURE_RESTS_DAYS)).isoformat()
        if turn.shop.today() < until:
            raise RefusedError(
                f"report {row.number} of {row.serial} stands since {row.entered_on}: "
                f"names that bear on it are erased from {until} on"
            )


def report_made(shop: Shop, serial: str, number: int) -> TheftReport:
    """Return a report by its number; its entry was the first to name the claimant."""
    with shop.store.reading() as session:
        found = _report(session, serial, number)
        session.expunge(found)
    return found


def _report(session: Session, serial: str, number: int) -> TheftReport:
    found = {row.number: row for row in reports_of(session, serial)}
    if number not in found:
        raise NotFoundError(
            f"{serial} has no report {number}: flitchbook owner show {serial} tells "
            f"those that it has"
        )
    return found[number]
