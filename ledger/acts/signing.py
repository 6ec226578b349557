"""How a PIN becomes a signature: the key files of a shop and who may open them.

A person's key lies in `keys/<key id>.json` under that person's PIN. The card key lies
once for each lead, in `keys/<lead's key id>.card.json`, under that lead's PIN, so that
one PIN issues and prints. The log's key lies in `keys/log.json` without one. The root
keys lie on sticks outside the shop's folder, each under a pass-phrase.

After a wrong PIN the station waits, longer each time, up to 30 seconds.
"""

import json
from datetime import timedelta
from pathlib import Path

from sqlmodel import Session

from ledger.acts.shop import Shop
from ledger.errors import NotFoundError, RefusedError, TamperError
from ledger.log import keyfile
from ledger.log.entry import at_moment, at_text
from ledger.log.keys import SecretKey
from ledger.views.people import Person, people, subject_of_key

LONGEST_WAIT_SECONDS = 30
WRONG_PINS = "wrong-pins.json"
LOG_KEY = "log.json"


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
    subject = subject_of_key(session, key)
    person = session.get(Person, subject) if subject else None
    return person_name(shop, person) if person else f"key {key}"


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
    path = shop.keys / f"{person.key}.card.json"
    if not path.exists():
        raise RefusedError(f"{holder} has no card key: only a lead signs cards")
    return open_key(shop, path, pin, holder)


def log_key(shop: Shop) -> SecretKey:
    """Return the log's own key, which signs nothing but heads of the tree."""
    return keyfile.opened(keyfile.read(shop.keys / LOG_KEY), pin=None, holder="the log")


def root_key(path: Path, pass_phrase: str) -> SecretKey:
    """Open a root key on its stick with its pass-phrase."""
    return keyfile.opened(keyfile.read(path), pin=pass_phrase, holder=path.name)


def open_key(shop: Shop, path: Path, pin: str, holder: str) -> SecretKey:
    """Open a key file of the shop, making whoever guesses wait."""
    _require_patience(shop)
    data = keyfile.read(path)
    try:
        secret = keyfile.opened(data, pin=pin, holder=holder)
    except keyfile.WrongPinError:
        _remember_wrong_pin(shop)
        raise
    (shop.keys / WRONG_PINS).unlink(missing_ok=True)
    return secret


def _require_patience(shop: Shop) -> None:
    said = _wrong_pins(shop)
    left = (at_moment(said["until"]) - shop.now()).total_seconds() if said else 0
    # A clock that was set back must not lock the station for longer than the wait.
    if 0 < left <= LONGEST_WAIT_SECONDS:
        raise RefusedError(
            f"after a wrong PIN this station waits: try again in {int(left) + 1} s"
        )


def _remember_wrong_pin(shop: Shop) -> None:
    said = _wrong_pins(shop)
    count = int(said["count"]) + 1 if said else 1
    wait = min(LONGEST_WAIT_SECONDS, 2 ** min(count - 1, 5))
    until = at_text(shop.now() + timedelta(seconds=wait))
    text = json.dumps({"count": str(count), "until": until})
    (shop.keys / WRONG_PINS).write_text(text, encoding="ascii")


def _wrong_pins(shop: Shop) -> dict[str, str]:
    path = shop.keys / WRONG_PINS
    if not path.exists():
        return {}
    try:
        said = json.loads(path.read_text(encoding="ascii"))
        at_moment(said["until"])
        return {"count": str(int(said["count"])), "until": said["until"]}
    except (ValueError, KeyError, TypeError):
        raise TamperError(f"{path} is damaged: remove it and try again") from None
