"""The facts of a key brought to the slip on the envelope that it is sealed in."""

from pathlib import Path
from typing import NamedTuple

from labels.envelope import Envelope
from labels.tongue import Tongue, term, tongue
from ledger.acts.names import checked_past_day
from ledger.acts.shop import Shop
from ledger.acts.signing import find_person, holder_name, person_name
from ledger.errors import NotFoundError, RefusedError
from ledger.log import keyfile
from ledger.log.standing import KeyRecord, Standing
from ledger.views.people import Person


class Kind(NamedTuple):
    """What is said of keys of one purpose: what it is, what it decides, what to do."""

    what: str
    decides: str
    opened: str
    lost: str


ASK = term("Ask who was there, and why.")
TRY = term("Whoever has the file can try every PIN. If nobody knows, take it as lost.")
KINDS = {
    "root": Kind(
        what=term("Root key"),
        decides=term("who is a lead, and who is a root"),
        opened=term(
            "Its pass-phrase, which is not in here, guards it still. If nobody knows, "
            "take it as lost."
        ),
        lost=term(
            "Tell whoever has another root today. Make new ones with those that are "
            "left: flitchbook shop change-roots."
        ),
    ),
    "person": Kind(
        what=term("Key of a person"),
        decides=term("what this badge signs"),
        opened=TRY,
        lost=term(
            "Give a new key today, and the old one ends: flitchbook person replace-key."
        ),
    ),
    "card": Kind(
        what=term("Card key"),
        decides=term("owner cards of this shop"),
        opened=TRY,
        lost=term(
            "Make a new one today, and the old one ends: flitchbook shop "
            "renew-card-key."
        ),
    ),
    "log": Kind(
        what=term("Key of the log"),
        decides=term("heads of the log, and no entry"),
        opened=term("No PIN guards it: take it as lost, whoever it was."),
        lost=term(
            "Tell whoever keeps checkpoints of this shop today: from now on a head "
            "alone proves nothing."
        ),
    ),
    "pdf": Kind(
        what=term("Key of papers"),
        decides=term("papers of this shop that go out as PDF"),
        opened=term("If nobody knows, take it as lost."),
        lost=term("End it today, and make a new one."),
    ),
}


def envelope(shop: Shop, text: str, *, sealed: str, sealed_by: str) -> Envelope:
    """Return what the slip of a key says: of a key file, or of somebody's own key.

    text       a key file, which stays closed, or a badge or a name
    sealed     the day, YYYY-MM-DD; empty: today
    sealed_by  a badge or a name

    Raises NotFoundError for a file or a person that is not there, RefusedError for a
    key that is not of this shop, or that ended.
    """
    path = Path(text)
    if path.is_file():
        public, _ = keyfile.named_key(keyfile.read(path), path.name)
        key, file = public.id, path.name
    elif path.suffix == ".json" or len(path.parts) > 1:
        raise NotFoundError(f"there is no key file at {text}: is its stick in?")
    else:
        key = find_person(shop, text).key
        file = f"{key}.json"
    standing = shop.standing()
    known = _standing_key(standing, key, text, shop.store.head().size)
    kind, language = KINDS[known.purpose], shop.settings.language
    say = tongue(language)
    return Envelope(
        shop=standing.name,
        what=say(kind.what),
        key=key,
        whose=_whose(shop, standing, known, file, say),
        decides=_decides(shop, standing, known, say),
        file=file,
        sealed=_day(shop, sealed),
        sealed_by=person_name(shop, find_person(shop, sealed_by)),
        opened=f"{say(ASK)} {say(kind.opened)}",
        lost=say(kind.lost),
        language=language,
    )


def _standing_key(standing: Standing, key: str, text: str, size: int) -> KeyRecord:
    """Return the record's word of a key that counts now, else refuse."""
    known = standing.keys.get(key)
    if standing.log_key is not None and standing.log_key.id == key:
        # The founding named it, and it holds no place among those that sign entries.
        return KeyRecord(
            public=standing.log_key, purpose="log", subject=None, from_index=0
        )
    if known is None:
        raise RefusedError(
            f"key {key} of {text} is none of this shop's: name another file, or a badge"
        )
    if not known.counts_at(size):
        raise RefusedError(
            f"key {key} of {text} ended with entry {known.until_index}, and counts for "
            f"nothing: no envelope is needed, destroy the file"
        )
    return known


def _whose(
    shop: Shop, standing: Standing, known: KeyRecord, file: str, say: Tongue
) -> str:
    """Return whose a key is: a person's by name or badge, a lead's copy, the shop's."""
    with shop.store.reading() as session:
        if known.subject is not None:
            person = session.get_one(Person, known.subject)
            name = person_name(shop, person)
            is_erased = name == f"badge {person.badge}"
            badge = say("badge {badge}").format(badge=person.badge)
            return badge if is_erased else f"{name}, {badge}"
        if known.purpose == "card":
            lead = holder_name(shop, session, file.partition(".")[0])
            said = say("{shop}, under the PIN of {name}")
            return said.format(shop=standing.name, name=lead)
    return standing.name


def _decides(shop: Shop, standing: Standing, known: KeyRecord, say: Tongue) -> str:
    """Return what a key decides; of a root also how many of them it takes."""
    decides = say(KINDS[known.purpose].decides)
    if known.purpose != "root":
        return decides
    roots = len(standing.live_keys("root", shop.store.head().size))
    if roots == 1:
        return say("alone {what}").format(what=decides)
    return say("{number} of {whole} together: {what}").format(
        number=standing.threshold, whole=roots, what=decides
    )


def _day(shop: Shop, text: str) -> str:
    """Return the day of sealing; one that is still to come is refused."""
    today = shop.today()
    checked_past_day(text or today, today)
    return text or today
