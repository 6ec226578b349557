"""Owners: who owns an instrument, which only the vault knows."""

from ledger.acts.names import (
    SUBJECT_SIZE,
    checked_day,
    checked_past_day,
    kept_name,
    require_not_before,
)
from ledger.acts.shop import Hands, Shop
from ledger.acts.thefts import require_unreported
from ledger.errors import NotFoundError, RefusedError
from ledger.events import OwnerRegistered
from ledger.log.entry import Entry
from ledger.views.certificates import (
    Owner,
    certificates_of,
    owners_of,
    require_standing,
)

OWNER_NAME = "owner.name"


def owner_subject(shop: Shop, serial: str, which: int | None = None) -> str:
    """Return the subject of an instrument's owner: the newest, or the first as 1."""
    with shop.store.reading() as session:
        registered = owners_of(session, serial)
    if not registered:
        raise NotFoundError(f"{serial} has no registered owner")
    counted = "1 owner" if len(registered) == 1 else f"{len(registered)} owners"
    if which is not None and not 1 <= which <= len(registered):
        raise NotFoundError(
            f"{serial} has had {counted}, and no owner {which}: flitchbook owner show "
            f"{serial} counts them"
        )
    return registered[(which or 0) - 1].subject


def named_by(shop: Shop, subject: str) -> int:
    """Return the entry that registered an owner: no older copy has the name."""
    with shop.store.reading() as session:
        return session.get_one(Owner, subject).idx


def register(
    shop: Shop, *, serial: str, name: str, registered_on: str | None, hands: Hands
) -> Entry:
    """Register the first owner of an instrument that has its certificate.

    The name is sealed for the office; nothing of it stands in the log. While a report
    of theft stands nobody is registered, for it may be whoever took it.
    """
    day = registered_on or shop.today()
    checked_day(day)
    with shop.turn() as turn:
        issued = certificates_of(turn.session, serial)
        if not issued:
            raise NotFoundError(
                f"{serial} has no certificate yet: issue it before an owner is entered"
            )
        require_standing(issued[-1])
        require_unreported(turn, serial)
        if owners_of(turn.session, serial):
            raise RefusedError(
                f"{serial} has a registered owner already: a change of owner needs the "
                f"transfer slip, with flitchbook owner transfer"
            )
        what = f"{issued[0].number} of {serial} was issued"
        require_not_before(day, issued[0].issued_on, what)
        subject = shop.entropy(SUBJECT_SIZE).hex()
        with kept_name(turn, subject, OWNER_NAME, name, is_private=True) as commitment:
            event = OwnerRegistered(
                owner=subject,
                serial=serial,
                certificate=issued[-1].number,
                name_commitment=commitment,
                registered_on=day,
            )
            entry = turn.say(event, hands)
            checked_past_day(day, entry.at[:10])
            return entry
