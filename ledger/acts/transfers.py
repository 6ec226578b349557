"""A change of owner: the code of the slip for the next name, and the next slip."""

from dataclasses import dataclass

from ledger.acts.names import (
    SUBJECT_SIZE,
    checked_past_day,
    kept_name,
    require_not_before,
)
from ledger.acts.owners import OWNER_NAME
from ledger.acts.secondyes import require_second
from ledger.acts.shop import Hands, Shop, Turn
from ledger.acts.slipcodes import code_digest, read_code
from ledger.acts.slips import issue_next, standing_certificate
from ledger.acts.thefts import require_unreported
from ledger.acts.whose import who_and_when
from ledger.errors import RefusedError
from ledger.events import OwnerTransferred
from ledger.log.entry import Entry
from ledger.views.certificates import certificates_of, owners_of
from ledger.views.ownership import (
    REPLACED,
    UNUSED,
    USED,
    TransferCode,
    codes_like,
    open_code,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Transfer:
    """What a change of owner left: its entry, the slip used up, and the next one.

    `lost` tells who entered, and when, that the slip was lost.
    """

    entry: Entry
    used: str | None
    slip: str
    lost: str | None = None


def transfer(
    shop: Shop,
    *,
    serial: str,
    code: str,
    name: str,
    transferred_on: str | None,
    hands: Hands,
) -> Transfer:
    """Enter the next owner of an instrument, whose slip's code was shown.

    The former owner's name is kept until it is erased. A slip that was said to be lost
    needs a second yes. Raises RefusedError for a code
    that was mistyped, used, replaced, superseded, another instrument's or nobody's, and
    while a report of theft stands, and for a day before the certificate or before the
    former owner's.
    """
    day = transferred_on or shop.today()
    checked_past_day(day, shop.today())
    digest = code_digest(read_code(code))
    with shop.turn() as turn:
        certificate = standing_certificate(turn, serial)
        require_unreported(turn, serial)
        _require_after_others(turn, serial, day)
        row = _asked_for(turn, serial, digest)
        lost = _lost_words(turn, row)
        if lost is not None:
            why = f"slip {row.slip} was said to be lost, {lost}: ask both who have it"
            require_second(turn, hands, why)
        subject = shop.entropy(SUBJECT_SIZE).hex()
        with kept_name(turn, subject, OWNER_NAME, name, is_private=True) as commitment:
            event = OwnerTransferred(
                owner=subject,
                serial=serial,
                certificate=certificate.number,
                name_commitment=commitment,
                consumed_sha256=digest,
                transferred_on=day,
            )
            entry = turn.say(event, hands)
            turn.session.flush()
            slip = issue_next(turn, certificate, hands)
        return Transfer(entry=entry, used=row.slip, slip=slip, lost=lost)


def _require_after_others(turn: Turn, serial: str, day: str) -> None:
    """Refuse a day on which the instrument cannot have come to its next owner."""
    first = certificates_of(turn.session, serial)[0]
    require_not_before(day, first.issued_on, f"{first.number} of {serial} was issued")
    for owner in owners_of(turn.session, serial)[-1:]:
        what = f"{serial} came to the owner before (entry {owner.idx})"
        require_not_before(day, owner.registered_on, what)


def _lost_words(turn: Turn, row: TransferCode) -> str | None:
    """Say who entered that a slip is lost, and when; None where nobody did."""
    if row.lost_idx is None:
        return None
    who = who_and_when(turn.shop, turn.session, row.lost_idx)
    return f"entered by {who} (entry {row.lost_idx})"


def _asked_for(turn: Turn, serial: str, digest: str) -> TransferCode:
    """Return the code that works for an instrument, or say why this one does not."""
    row = open_code(turn.session, serial)
    if row is not None and row.sha256 == digest:
        return row
    like = codes_like(turn.session, digest)
    if not like:
        raise RefusedError(
            "that code is on no slip of this shop, though it is typed as one: look at "
            "the slip, and ask whoever gave it"
        )
    given = like[-1]
    if given.serial != serial:
        raise RefusedError(
            f"that code is of another instrument than {serial}: look at the serial on "
            f"the slip"
        )
    raise RefusedError(f"{_slip_words(given)} {_ended_words(given, row)}")


def _slip_words(row: TransferCode) -> str:
    return f"slip {row.slip}" if row.slip else f"the code of {row.certificate}"


def _ended_words(row: TransferCode, now: TransferCode | None) -> str:
    """Say how a code came to its end, and which one works in its place."""
    works = _slip_words(now) if now else "no other"
    if row.how == USED:
        return f"was used by entry {row.ended_idx}: {works} works now"
    if row.how == UNUSED:
        return f"was never on a slip: {works} works"
    if row.how == REPLACED:
        return (
            f"was said to be lost, and by entry {row.ended_idx} another took its "
            f"place: {works} works now"
        )
    return (
        f"came with {row.certificate}, and by entry {row.ended_idx} another "
        f"certificate took its place: {works} works now"
    )
