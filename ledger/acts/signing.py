"""How a PIN becomes a signature: the key files of a shop and who may open them.

A person's key lies in `keys/<key id>.json` under that person's PIN. The card key lies
once for each lead, in `keys/<lead's key id>.card.json`, under that lead's PIN, so that
one PIN issues and prints. The log's key lies in `keys/log.json` without one. The root
keys lie on sticks outside the shop's folder, each under a pass-phrase.

After a wrong PIN that key waits, longer each time, up to 30 seconds. Only the right
PIN ends the waiting: neither another's key nor a clock that is set back.
"""

import json
from collections.abc import Iterable
from datetime import timedelta
from math import ceil
from pathlib import Path

from sqlmodel import Session

from ledger.acts.shop import CARD_FILE, Shop
from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log import keyfile
from ledger.log.authority import LEAD
from ledger.log.entry import at_moment, at_text
from ledger.log.keys import SecretKey
from ledger.log.strokes import write_over
from ledger.views.people import Person, people, subject_of_key

LONGEST_WAIT_SECONDS = 30
WRONG_PINS = "wrong-pins.json"
LOG_KEY = "log.json"
# Until its entry is written, and over the other then.
NEXT_LOG_KEY = "log.next.json"

# For each key: how often, and until when it waits.
WrongPins = dict[str, tuple[int, str]]


def find_person(shop: Shop, name: str) -> Person:
    """Return the person of this badge or name.

    A name may be given in part, as long as one person only fits it. Raises
    NotFoundError, or RefusedError where several fit.
    """
    with shop.store.reading() as session:
        everybody = people(session)
        session.expunge_all()
    wanted = name.strip().casefold()
    fitting = [p for p in everybody if p.badge.casefold() == wanted]
    if not fitting:
        named = [(p, person_name(shop, p).casefold()) for p in everybody]
        fitting = [p for p, full in named if full == wanted]
        fitting = fitting or [p for p, full in named if wanted and wanted in full]
    if not fitting:
        raise NotFoundError(f"nobody here is called {name!r}: give a name or a badge")
    if len(fitting) > 1:
        badges = ", ".join(p.badge for p in fitting)
        raise RefusedError(f"{name!r} fits several people: give a badge, {badges}")
    return fitting[0]


def person_name(shop: Shop, person: Person) -> str:
    """Return a person's name, or the badge once the name is erased."""
    opening = shop.vault.get(person.subject, "person.name")
    return opening.value if opening else f"badge {person.badge}"


def holder_name(shop: Shop, session: Session, key: str) -> str:
    """Return the name of whoever holds or held a key, or the badge if it is erased."""
    person = holder_of(session, key)
    return person_name(shop, person) if person else f"key {key}"


def holder_of(session: Session, key: str) -> Person | None:
    """Return whoever holds or held a key, or None where nobody does."""
    subject = subject_of_key(session, key)
    return session.get(Person, subject) if subject else None


def holder_names(shop: Shop, session: Session, keys: Iterable[str]) -> dict[str, str]:
    """Return the name behind each key, however often it signed, asked for once."""
    return {key: holder_name(shop, session, key) for key in set(keys)}


def person_key(shop: Shop, person: Person, pin: str) -> SecretKey:
    """Open a person's key with a PIN."""
    holder = person_name(shop, person)
    if person.is_retired:
        raise RefusedError(f"the key of {holder} is retired and signs nothing more")
    secret = open_key(shop, shop.keys / f"{person.key}.json", pin, holder)
    if secret.id != person.key:
        raise TamperError(f"the key file of {holder} holds somebody else's key")
    return secret


def card_key(shop: Shop, person: Person, pin: str) -> SecretKey:
    """Open the shop's card key with a lead's PIN."""
    holder = person_name(shop, person)
    if person.is_retired:
        raise RefusedError(f"the key of {holder} is retired and signs no cards")
    path = shop.keys / f"{person.key}{CARD_FILE}"
    standing, size = shop.standing(), shop.store.head().size
    is_lead = LEAD in standing.roles_of(person.subject)
    if not is_lead or not path.exists():
        raise RefusedError(f"{holder} has no card key: only a lead signs cards")
    secret = open_key(shop, path, pin, holder)
    if secret.id not in standing.live_keys("card", size):
        raise RefusedError(f"the card key of {holder} has ended: have it shared again")
    return secret


def log_key(shop: Shop) -> SecretKey:
    """Return the log's own key, which signs nothing but heads of the tree.

    A new one whose entry was written before the power went is found where it was made.
    """
    made = shop.keys / NEXT_LOG_KEY
    if made.exists():
        secret = keyfile.opened(keyfile.read(made), pin=None, holder="the log")
        if secret.public == shop.standing().log_key:
            return secret
    return keyfile.opened(keyfile.read(shop.keys / LOG_KEY), pin=None, holder="the log")


def root_key(path: Path, pass_phrase: str) -> SecretKey:
    """Open a root key on its stick with its pass-phrase."""
    return keyfile.opened(keyfile.read(path), pin=pass_phrase, holder=path.name)


def open_key(shop: Shop, path: Path, pin: str, holder: str) -> SecretKey:
    """Open a key file of the shop, making whoever guesses wait."""
    who = path.name.partition(".")[0]  # the card's file has the same PIN
    _require_patience(shop, who)
    data = keyfile.read(path)
    try:
        secret = keyfile.opened(data, pin=pin, holder=holder)
    except keyfile.WrongPinError:
        tried = _wrong_pins(shop)
        _wait_from_now(shop, tried, who, tried.get(who, (0, ""))[0] + 1)
        raise
    tried = _wrong_pins(shop)
    if tried.pop(who, None) is not None:
        _write_wrong_pins(shop, tried)
    return secret


def _require_patience(shop: Shop, who: str) -> None:
    tried = _wrong_pins(shop)
    if who not in tried:
        return
    count, until = tried[who]
    left = (at_moment(until) - shop.now()).total_seconds()
    if left > _wait_seconds(count):
        # The clock was set back: nobody is locked out for long, and nothing is gained.
        left = _wait_seconds(count)
        _wait_from_now(shop, tried, who, count)
    if left > 0:
        raise RefusedError(
            f"after a wrong PIN this key waits: try again in {ceil(left)} s"
        )


def _wait_seconds(count: int) -> int:
    # 1, 2, 4, 8, 16 and then the longest
    return LONGEST_WAIT_SECONDS if count > 5 else 1 << max(count - 1, 0)


def _wait_from_now(shop: Shop, tried: WrongPins, who: str, count: int) -> None:
    until = at_text(shop.now() + timedelta(seconds=_wait_seconds(count)))
    _write_wrong_pins(shop, tried | {who: (count, until)})


def _write_wrong_pins(shop: Shop, tried: WrongPins) -> None:
    path = shop.keys / WRONG_PINS
    if not tried:
        path.unlink(missing_ok=True)
        return
    said = {who: {"count": c, "until": until} for who, (c, until) in tried.items()}
    write_over(path, json.dumps(said).encode("ascii"))


def _wrong_pins(shop: Shop) -> WrongPins:
    """Return how often a wrong PIN was given for each key, and until when it waits."""
    path = shop.keys / WRONG_PINS
    if not path.exists():
        return {}
    try:
        said = json.loads(path.read_text(encoding="ascii"))
        tried = {who: (int(row["count"]), row["until"]) for who, row in said.items()}
        for _, until in tried.values():
            at_moment(until)
    except (ValueError, KeyError, TypeError, AttributeError):
        raise TamperError(f"{path} is damaged: remove it and try again") from None
    return tried
