"""People: enrolled, qualified, given roles and new keys, retired, erased."""

from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass

from ledger.acts.names import SUBJECT_SIZE, kept_name
from ledger.acts.shop import Entropy, Hands, Shop, Turn, forget
from ledger.acts.signing import person_name
from ledger.craft.signing import qualifications_in
from ledger.errors import RefusedError
from ledger.events import (
    KeyRetired,
    PersonEnrolled,
    PersonErased,
    PersonKeyReplaced,
    PolicyAdopted,
    QualificationGranted,
    RoleGranted,
)
from ledger.events.shop import ShownKey
from ledger.log import keyfile
from ledger.log.entry import Entry
from ledger.log.keyfile import Stretching
from ledger.log.keys import SecretKey, prove_possession
from ledger.log.policy import POLICY_FORMAT
from ledger.log.vault import person_sealing_key
from ledger.views.people import Person, people

SEED_SIZE = 32
PERSON_NAME = "person.name"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sharing:
    """What a lead shares with another: the card key and the office's key.

    `lead` is the sharing lead's own key, `to` the other's, whose PIN will open both.
    """

    lead: SecretKey
    card: SecretKey
    to: SecretKey
    pin: str
    stretching: Stretching | None = None


def new_key(entropy: Entropy) -> SecretKey:
    """Make a key out of chance."""
    return SecretKey(entropy(SEED_SIZE))


def shown_key(secret: SecretKey, *, origin: str, purpose: str) -> ShownKey:
    """Return the public half of a key with a signature that shows possession."""
    possession = prove_possession(secret, origin=origin, purpose=purpose)
    return ShownKey(public=str(secret.public), possession=possession)


def seal_key(
    shop: Shop,
    secret: SecretKey,
    *,
    purpose: str,
    pin: str,
    holder: SecretKey,
    stretching: Stretching | None = None,
) -> None:
    """Lay a key into the shop's folder under its holder's PIN."""
    sealed = keyfile.sealed(
        secret, purpose=purpose, pin=pin, entropy=shop.entropy, stretching=stretching
    )
    mark = "" if purpose == "person" else f".{purpose}"
    keyfile.write(shop.keys / f"{holder.id}{mark}.json", sealed)


def enrol_in(turn: Turn, name: str, badge: str, key: SecretKey, hands: Hands) -> str:
    """Enrol a person within a turn, and return the new subject."""
    _require_free_badge(turn, badge)
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
                _require_known(turn, qualification)
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
            _require_known(turn, name)
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
            _share(shop, sharing)
        return entry


def retire(shop: Shop, person: Person, hands: Hands) -> Entry:
    """End a person's key; all that it signed before still stands."""
    with shop.turn() as turn:
        return turn.say(KeyRetired(key=person.key), hands)


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
        sealing = person_sealing_key(key.seed).public_key()
        shop.vault.put_sealing_key(person.subject, sealing)
        if shared_by is not None:
            lead, card = shared_by
            _share(
                shop,
                Sharing(lead=lead, card=card, to=key, pin=pin, stretching=stretching),
            )
        return entry


def erase(shop: Shop, subject: str, hands: Hands) -> Entry:
    """Erase a person's name and particulars; every proof still verifies.

    The entry comes first: if the power goes in between, the next start finishes it.
    """
    with shop.turn() as turn:
        entry = turn.say(PersonErased(subject=subject), hands)
    forget(shop, subject)
    return entry


def adopt_policy(shop: Shop, policy: dict[str, object], hands: Hands) -> Entry:
    """Adopt a policy, whose whole text goes into the entry."""
    if policy.get("format") != POLICY_FORMAT:
        raise RefusedError(
            f"{policy.get('format')!r} is no format of a policy: write {POLICY_FORMAT}"
        )
    with shop.turn() as turn:
        return turn.say(PolicyAdopted(policy=policy), hands)


def _share(shop: Shop, sharing: Sharing) -> None:
    seal_key(
        shop,
        sharing.card,
        purpose="card",
        pin=sharing.pin,
        holder=sharing.to,
        stretching=sharing.stretching,
    )
    mine, other = (person_sealing_key(key.seed) for key in (sharing.lead, sharing.to))
    shop.vault.share_office(shop.entropy, mine, other.public_key())


def require_badge(badge: str) -> None:
    """Refuse a badge that cannot be read aloud, typed and printed."""
    if not badge.isalnum() or len(badge) > 8:
        raise RefusedError(f"{badge!r} is no badge: one to eight letters or digits")


def _require_free_badge(turn: Turn, badge: str) -> None:
    require_badge(badge)
    taken = next(
        (p for p in people(turn.session) if p.badge.casefold() == badge.casefold()),
        None,
    )
    if taken is not None:
        holder = person_name(turn.shop, taken)
        raise RefusedError(f"badge {badge} is {holder}'s and is not given again")


def _require_known(turn: Turn, qualification: str) -> None:
    known = qualifications_in(turn.standing.policy)
    if qualification not in known:
        raise RefusedError(
            f"the signing policy in force knows no {qualification!r}: "
            f"it knows {', '.join(sorted(known))}"
        )
