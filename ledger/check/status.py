"""What a status list adds to a YES: superseded, withdrawn, reported, or nothing.

No list changes a NO or a CANNOT TELL, and one that does not hold changes nothing: then
nothing is known of what became of the certificate since, and that is said. A card key
that was ever disputed, or that ended within the keys file, vouches for no list.
"""

from dataclasses import replace
from datetime import date

from ledger.check.answer import (
    BUT,
    CANNOT_TELL,
    NO,
    YES,
    Answer,
    Status,
    keys_or_fault,
)
from ledger.errors import TamperError
from ledger.log.keysfile import KeysFile
from ledger.log.statusfile import (
    REPORTED,
    SUPERSEDED,
    WITHDRAWN,
    StatusList,
    listed_digest,
    listed_token,
    read_status_list,
)

NO_LIST = (
    "no list of the shop's was opened, so whether it was superseded, withdrawn or "
    "reported since is not known"
)
NOTHING_KNOWN = "nothing is known from it"
# The gravest first. Never more on a page that anybody may see: who took what is not for
# us to say.
SAID_OF = {
    WITHDRAWN: "withdrawn by the shop: ask it why",
    REPORTED: "reported: contact the maker before you buy or hand it over",
    SUPERSEDED: (
        "superseded: the shop issued a newer certificate of this instrument; this one "
        "is true as of its day"
    ),
}
# The states with which nobody should buy or hand over without having asked.
GRAVE = frozenset({REPORTED, WITHDRAWN})


def check_status(data: bytes) -> Answer:
    """Say whose status list this is, where somebody shows it alone."""
    try:
        found = read_status_list(data)
    except TamperError as fault:
        return Answer(word=NO, reasons=(str(fault),))
    reason = (
        f"this is status list {found.number} of {found.origin}: open a certificate or "
        f"a card and the shop's keys file beside it"
    )
    return Answer(word=CANNOT_TELL, reasons=(reason,))


def with_status(
    answer: Answer, data: bytes | None, keys_data: bytes | None, today: str
) -> Answer:
    """Add to a YES what a status list says; any other answer stays as it is.

    today  YYYY-MM-DD by the reader's clock, or nothing where there is none
    """
    token = _token(answer)
    if answer.word != YES or token is None:
        return answer
    if data is None:
        return replace(answer, status=Status(words=(NO_LIST,)))
    found = judged_list(data, keys_data)
    if isinstance(found, str):
        return replace(answer, status=Status(words=(f"{found}; {NOTHING_KNOWN}",)))
    states = found.states.get(token, ())
    said = tuple(said for state, said in SAID_OF.items() if state in states)
    return replace(
        answer,
        word=BUT if GRAVE.intersection(states) else YES,
        reasons=(*said, *answer.reasons),
        status=_status(found, states, answer.index or 0, today),
    )


def judged_list(data: bytes, keys_data: bytes | None) -> StatusList | str:
    """Return a list that the shop's card key signed, or say why it says nothing."""
    try:
        found = read_status_list(data)
    except TamperError as fault:
        return f"the status list does not hold: {fault}"
    if keys_data is None:
        return "the status list cannot be judged without the shop's keys file"
    keys = keys_or_fault(keys_data)
    if isinstance(keys, str):
        return f"the status list cannot be judged: {keys}"
    return _against_keys(found, keys)


def _against_keys(found: StatusList, keys: KeysFile) -> StatusList | str:
    known, unjudged = keys.key(found.key), "the status list cannot be judged"
    if found.origin != keys.origin:
        return (
            f"{unjudged} by this keys file: it is of {found.origin} and the keys file "
            f"of {keys.origin}"
        )
    if known is None or known.purpose != "card":
        return f"{unjudged} by this keys file: key {found.key} is no card key in it"
    # What a list says of its size and day is its signer's word: whoever has an old key
    # signs a list that looks as old.
    ended = not known.span.covers(keys.size)
    if ended or not known.span.covers(found.size):
        return (
            f"{unjudged} by this keys file: card key {found.key} does not count at "
            f"{keys.size if ended else found.size} entries"
        )
    if known.disputed_since is not None:
        return (
            f"{unjudged} by this keys file: card key {found.key} is disputed since "
            f"entry {known.disputed_since}"
        )
    if not found.is_signed_by(known.public):
        return f"the status list does not hold: key {found.key} did not sign it"
    return found


def signs_lists(keys: KeysFile, key: str) -> bool:
    """Tell whether a key vouches for lists still: no other's number binds anybody."""
    known = keys.key(key)
    return (
        known is not None
        and known.purpose == "card"
        and known.span.covers(keys.size)
        and known.disputed_since is None
    )


def _status(
    found: StatusList, states: tuple[str, ...], index: int, today: str
) -> Status:
    age = _days(found.issued, today)
    named = f"status list {found.number} of {found.issued}{_age_words(age)}"
    words = [f"said in {named}" if states else f"nothing is said against it in {named}"]
    if found.size <= index:
        words.append("the list is older than this certificate")
    # Where there is no clock, no day is behind the list's own.
    overdue = today > found.next
    if overdue:
        words.append(f"this list was to be replaced on {found.next}: get the newer one")
    return Status(
        words=tuple(words),
        states=states,
        number=found.number,
        issued=found.issued,
        next=found.next,
        size=found.size,
        age_days=age,
        is_overdue=overdue,
    )


def _token(answer: Answer) -> str | None:
    """Return how a list names the certificate that an answer is of."""
    if answer.facts is not None:
        return listed_digest(answer.facts.status_token_sha256)
    return listed_token(answer.card.status_token) if answer.card else None


def _days(since: str, today: str) -> int | None:
    if not today:
        return None
    return (date.fromisoformat(today) - date.fromisoformat(since)).days


def _age_words(age: int | None) -> str:
    if age is None:
        return ""
    if age < 0:
        return " (still to come by this machine's clock)"
    return f" ({age} day old)" if age == 1 else f" ({age} days old)"
