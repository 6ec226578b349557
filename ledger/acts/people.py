"""People: enrolled, qualified, given roles and new keys, retired, erased."""

from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass

from sqlmodel import Session

from ledger.acts.keyring import Sharing as Sharing  # it belongs to what an act asks
from ledger.acts.keyring import (
    new_key,
    require_lead,
    seal_key,
    share_in,
    shown_key,
)
from ledger.acts.names import SUBJECT_SIZE, checked_name, kept_name
from ledger.acts.shop import CARD_FILE, Hands, Shop, Turn, forget, take_away
from ledger.acts.signing import person_name
from ledger.acts.thefts import require_may_erase
from ledger.craft.signing import qualifications_in
from ledger.errors import RefusedError
from ledger.events import (
    KeyEnrolled,
    KeyRetired,
    PersonEnrolled,
    PersonErased,
    PersonKeyReplaced,
    QualificationGranted,
    QualificationWithdrawn,
    RoleGranted,
    RoleWithdrawn,
)
from ledger.log.authority import LEAD
from ledger.log.entry import Entry
from ledger.log.keyfile import Stretching
from ledger.log.keys import SecretKey
from ledger.log.standing import Standing
from ledger.log.vault import person_sealing_key
from ledger.scales import half_width, shown
from ledger.views.certificates import Owner
from ledger.views.ownership import is_claimant
from ledger.views.people import Person, people
from ledger.views.wood import Supplier

PERSON_NAME = "person.name"


@dataclass(frozen=True, slots=True, kw_only=True)
class Renewal:
    """A new card key: its entry, those that ended the old ones, and who lost theirs.

    `to_share` are the other leads: somebody shares the new key with each of them.
    """

    enrolled: Entry
    retired: tuple[Entry, ...]
    to_share: tuple[Person, ...]


def enrol_in(turn: Turn, name: str, badge: str, key: SecretKey, hands: Hands) -> str:
    """Enrol a person within a turn, and return the new subject."""
    _require_free_badge(turn.shop, turn.session, badge)
    subject = turn.shop.entropy(SUBJECT_SIZE).hex()
    origin = turn.standing.origin
    with kept_name(turn, subject, PERSON_NAME, name) as commitment:
        shown = shown_key(key, origin=origin, purpose="person")
        event = PersonEnrolled(
            subject=subject,
            badge=badge,
            name_commitment=commitment,
            public=shown.public,
            possession=shown.possession,
        )
        turn.say(event, hands)
    turn.shop.vault.put_sealing_key(subject, person_sealing_key(key.seed).public_key())
    return subject


def require_may_enrol(
    shop: Shop, *, name: str, badge: str, qualifications: Sequence[str]
) -> None:
    """Refuse a name, a badge or a work that cannot be, before anybody types a PIN."""
    checked_name(name)
    # A turn would leave a signed head, and nobody has said anything yet.
    with shop.store.reading() as session:
        _require_free_badge(shop, session, badge)
    standing = shop.standing()
    for qualification in qualifications:
        require_known(standing, qualification)


def enrol(
    shop: Shop,
    *,
    name: str,
    badge: str,
    pin: str,
    qualifications: Sequence[str],
    hands: Hands,
    qualified_by: SecretKey | None = None,
    stretching: Stretching | None = None,
) -> Entry:
    """Enrol a person with a badge and a key under a PIN.

    Qualifications are granted by a lead, `qualified_by`; without any they come later.
    """
    key = new_key(shop.entropy)
    with ExitStack() as undo:
        with shop.turn() as turn:
            subject = enrol_in(turn, name, badge, key, hands)
            undo.callback(shop.vault.erase, subject)
            entry = turn.newest_entry
            if qualifications and qualified_by is None:
                raise RefusedError("qualifications are granted by a lead: name one too")
            for qualification in qualifications:
                require_known(turn.standing, qualification)
                granted = QualificationGranted(
                    subject=subject, qualification=qualification
                )
                turn.say(granted, Hands(by=qualified_by or hands.by))
            seal_key(
                shop, key, purpose="person", pin=pin, holder=key, stretching=stretching
            )
        undo.pop_all()
    return entry


def qualify(
    shop: Shop, person: Person, qualifications: Sequence[str], hands: Hands
) -> list[Entry]:
    """Let a person sign one or more kinds of work from now on."""
    with shop.turn() as turn:
        said = []
        for name in qualifications:
            require_known(turn.standing, name)
            event = QualificationGranted(subject=person.subject, qualification=name)
            said.append(turn.say(event, hands))
    return said


def appoint(
    shop: Shop,
    person: Person,
    role: str,
    hands: Hands,
    *,
    sharing: Sharing | None = None,
) -> Entry:
    """Give a person a role; the roots approve.

    A new lead gets the shop's card key under the own PIN, and with it the office's
    key: `sharing` brings both from a lead who has them.
    """
    with shop.turn() as turn:
        entry = turn.say(RoleGranted(subject=person.subject, role=role), hands)
        if sharing is not None:
            share_in(turn, sharing)
        return entry


def dismiss(shop: Shop, person: Person, role: str, hands: Hands) -> Entry:
    """Take a role back; the roots approve.

    Whoever leads no more loses the card key's file and the office's key.
    """
    with shop.turn() as turn:
        entry = turn.say(RoleWithdrawn(subject=person.subject, role=role), hands)
    if role == LEAD:
        take_away(shop, person.key, shop.vault.sealing_key(person.subject))
    return entry


def disqualify(
    shop: Shop, person: Person, qualifications: Sequence[str], hands: Hands
) -> list[Entry]:
    """Let a person no longer sign these kinds of work; what was signed stays signed."""
    with shop.turn() as turn:
        return [
            turn.say(
                QualificationWithdrawn(subject=person.subject, qualification=name),
                hands,
            )
            for name in qualifications
        ]


def share(shop: Shop, sharing: Sharing) -> None:
    """Share the card key and the office's key with another lead; nothing is said."""
    with shop.turn() as turn:
        share_in(turn, sharing)


def renew_card_key(
    shop: Shop,
    hands: Hands,
    lead: SecretKey,
    pin: str,
    *,
    stretching: Stretching | None = None,
) -> Renewal:
    """Make a new card key, for the lead whose key and PIN these are; the roots approve.

    The old card key ends, and its cards still verify. The other leads' files of it
    go: share the new one with them.
    """
    key = new_key(shop.entropy)
    with shop.turn() as turn:
        require_lead(turn, lead)
        old = turn.standing.live_keys("card", turn.size)
        shown = shown_key(key, origin=turn.standing.origin, purpose="card")
        event = KeyEnrolled(
            purpose="card", public=shown.public, possession=shown.possession
        )
        enrolled = turn.say(event, hands)
        retired = tuple(turn.say(KeyRetired(key=ended), hands) for ended in old)
        others = [p for p in people(turn.session) if p.key != lead.id]
        turn.session.expunge_all()
        ended = [
            k for k, known in turn.standing.keys.items() if known.purpose == "card"
        ]
        seal_key(
            shop,
            key,
            purpose="card",
            pin=pin,
            holder=lead,
            over=ended,
            stretching=stretching,
        )
        leads = [p for p in others if LEAD in turn.standing.roles_of(p.subject)]
    for path in shop.keys.glob(f"*{CARD_FILE}"):
        if path.name != f"{lead.id}{CARD_FILE}":
            path.unlink(missing_ok=True)
    return Renewal(enrolled=enrolled, retired=retired, to_share=tuple(leads))


def retire(shop: Shop, person: Person, hands: Hands) -> Entry:
    """End a person's key; all that it signed before still stands."""
    with shop.turn() as turn:
        entry = turn.say(KeyRetired(key=person.key), hands)
    take_away(shop, person.key, shop.vault.sealing_key(person.subject))
    return entry


def replace_key(
    shop: Shop,
    person: Person,
    pin: str,
    hands: Hands,
    *,
    shared_by: tuple[SecretKey, SecretKey] | None = None,
    stretching: Stretching | None = None,
) -> Entry:
    """Give a person a new key under a new PIN; the old one ends.

    A lead's new key needs the card key and the office's key again: `shared_by` is a
    lead's own key and the card key, opened with that lead's PIN.
    """
    key = new_key(shop.entropy)
    with shop.turn() as turn:
        shown = shown_key(key, origin=turn.standing.origin, purpose="person")
        event = PersonKeyReplaced(
            subject=person.subject, public=shown.public, possession=shown.possession
        )
        entry = turn.say(event, hands)
        seal_key(
            shop, key, purpose="person", pin=pin, holder=key, stretching=stretching
        )
        if shared_by is not None:
            lead, card = shared_by
            share_in(
                turn,
                Sharing(lead=lead, card=card, to=key, pin=pin, stretching=stretching),
            )
    # Only now: were the entry never written, the old key would still be the one.
    old = shop.vault.sealing_key(person.subject)
    sealing = person_sealing_key(key.seed).public_key()
    shop.vault.put_sealing_key(person.subject, sealing)
    take_away(shop, person.key, old)
    return entry


def erase(shop: Shop, subject: str, hands: Hands) -> Entry:
    """Erase a person's name and particulars; every proof still verifies.

    The entry comes first: if the power goes in between, the next start finishes it.
    Raises RefusedError for a subject that is no person, sawyer, owner or claimant, and
    for a name that bears on a young report of theft.
    """
    with shop.turn() as turn:
        require_somebody(turn.session, subject)
        require_may_erase(turn, subject)
        entry = turn.say(PersonErased(subject=subject), hands)
    forget(shop, subject)
    return entry


def require_somebody(session: Session, subject: str) -> None:
    """Refuse a subject of whom the log does not speak as of somebody."""
    is_known = any(session.get(row, subject) for row in (Person, Supplier, Owner))
    if not is_known and not is_claimant(session, subject):
        raise RefusedError(
            f"subject {subject} is no person, sawyer, owner or claimant: nothing was "
            f"recorded"
        )


def require_badge(badge: str) -> None:
    """Refuse a badge that cannot be read aloud, typed and printed."""
    if not badge.isalnum() or len(badge) > 8:
        raise RefusedError(
            f"{shown(badge)} is no badge: one to eight letters or digits, such as 02"
        )
    if badge != half_width(badge):
        raise RefusedError(
            f"{shown(badge)} is no badge, for nobody tells it from "
            f"{half_width(badge)}: write it so"
        )


def _require_free_badge(shop: Shop, session: Session, badge: str) -> None:
    require_badge(badge)
    said = _as_said(badge)
    taken = next((p for p in people(session) if _as_said(p.badge) == said), None)
    if taken is not None:
        holder = person_name(shop, taken)
        if taken.badge.casefold() == badge.casefold():
            why = f"is {holder}'s and is not given again"
        else:
            why = f"is too like {taken.badge}, {holder}'s, to tell them apart"
        raise RefusedError(f"badge {badge} {why}: give another")


def _as_said(badge: str) -> str:
    """Return a badge as people say it: 7 for 07, and in any case."""
    return badge.casefold().lstrip("0")


def require_known(standing: Standing, qualification: str) -> None:
    """Refuse a qualification that the signing policy in force does not know."""
    known = qualifications_in(standing.policy)
    if qualification not in known:
        raise RefusedError(
            f"the signing policy in force knows no {qualification!r}: flitchbook shop "
            f"policy shows the {len(known)} qualifications that it knows"
        )
