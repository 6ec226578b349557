"""Names, which are kept in the vault and only committed to in the log."""

import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date, timedelta
from difflib import get_close_matches
from typing import TypeVar
from unicodedata import east_asian_width

from ledger.acts.shop import Shop, Turn
from ledger.codes import shown
from ledger.errors import RefusedError
from ledger.log.encoding import profile_fault, writing_fault
from ledger.trade.movement import UNION, Purpose, place_for, purpose_for
from ledger.trade.tables import places
from ledger.views.people import subject_of_key

SUBJECT_SIZE = 16
COMMITMENT_KEY_SIZE = 32
LONGEST_NAME = 200
LONGEST_DAYS = 36_500
REASON = "reason"
# Papers shorten or wrap what is longer than they are wide, and the record holds the
# whole; beyond this so little of it would be seen that nobody could tell two apart.
# A wide character, such as 琴, takes the room of two.
LONGEST = {
    "model's name": 32,
    "instrument": 38,
    "name of a run": 40,
    "name of a part": 60,
    "name of a step": 60,
    "use of a board": 60,
    "use of a piece": 60,
    "species": 35,
    "trade name": 60,
    "region": 60,
}
# Old stock of the twenties is bought and sold; older is a slip of the year. Common
# practice, no source.
EARLIEST_ARRIVAL = "1900-01-01"
# More names than these are no help where one was misspelt.
MOST_NEAR = 3
COUNTRY = re.compile(r"[A-Za-z]{2}\Z")
# These words go into the vault, and can be erased there.
ASIDE = (REASON, "place")
# How somebody can be reached: a mail address, or a telephone number with its country.
REACHED = re.compile(r"\S@\S+\.\w|\+\d[\d ()/.-]{6,}\d")
# A word as somebody typed it, or none where it may be left out.
Typed = TypeVar("Typed", str, str | None)


def breadth(text: str) -> int:
    """Return how many letters wide a text is; a wide character is two.

    Source: Unicode Standard Annex #11, East Asian Width, W and F.
    """
    return sum(1 + (east_asian_width(letter) in "WF") for letter in text)


def checked_name(text: str) -> str:
    """Return a name without spaces around it, or say why it is none."""
    name = text.strip()
    if not name or breadth(name) > LONGEST_NAME:
        why = _why(name, "name", LONGEST_NAME)
        raise RefusedError(f"a name has 1 to {LONGEST_NAME} characters{why}")
    _require_writable("name", name)
    return name


def last_day(today: str, within_days: int) -> str:
    """Return the last day that somebody asks about, or refuse one too far off."""
    if within_days > LONGEST_DAYS:
        raise RefusedError(
            f"{within_days} days are more than {LONGEST_DAYS}: ask for fewer"
        )
    return (date.fromisoformat(today) + timedelta(days=within_days)).isoformat()


def checked_words(
    what: str, text: str | None, *, longest: int | None = None
) -> str | None:
    """Return the words of a paper or a label without spaces around, or refuse them.

    Mail addresses and telephone numbers are refused where they could not be erased.
    """
    if text is None:
        return None
    words = text.strip()
    longest = longest or LONGEST.get(what, LONGEST_NAME)
    if not words or breadth(words) > longest or "\n" in words:
        why = _why(words, what, longest)
        raise RefusedError(f"the {what} has 1 to {longest} characters on one line{why}")
    if what not in ASIDE and REACHED.search(words):
        raise RefusedError(
            f"the {what} says how somebody can be reached, and what stands in the log "
            f"is never erased: leave that out"
        )
    return words


def _why(text: str, what: str, longest: int) -> str:
    """Say how long a text is that is too long, and what to do about it."""
    wide = breadth(text)
    if wide <= longest:
        return ""
    twice = ", a wide one counted twice" if wide > len(text) else ""
    room = "; a paper or label has no room for more" if what in LONGEST else ""
    return f", and these are {wide}{twice}{room}: shorten it"


def checked_country(text: Typed) -> Typed:
    """Return the two capital letters of a country, typed in any case, or refuse it.

    Raises RefusedError for what is no code of ISO 3166-1 alpha-2, with what to write.
    """
    if text is None:
        return text
    code = text.strip()
    meant = place_for(code)
    known = f"write {meant}" if meant in places() else ""
    if COUNTRY.match(code) is None:
        raise RefusedError(
            f"{shown(text)} is no country of two letters such as IT: "
            f"{known or 'write the two letters of its code'}"
        )
    if code.upper() not in places():
        again = "look at the two letters again, such as IT for Italy"
        raise RefusedError(
            f"{code.upper()} is the code of no country: {known or again}"
        )
    return code.upper()


def place_from(text: str) -> str:
    """Return the code of a place, typed in any case or by name; refuse what is none."""
    code = place_for(text)
    if code is None:
        raise RefusedError(
            f"{shown(text)} is no country: write two letters such as JP, or its name"
        )
    return code


def harvest_country(text: Typed) -> Typed:
    """Return the code of a country of harvest, typed as `place_from` takes it.

    Raises RefusedError for what is no country, and for the Union, which is several.
    """
    if text is None:
        return text
    code = place_from(text)
    if code == UNION:
        raise RefusedError(
            "papers ask for a country and not for the Union: name each member State "
            "that it may be"
        )
    return code


def purpose_from(text: str) -> Purpose:
    """Return what a word says a journey is for, and refuse a word that is unknown."""
    purpose = purpose_for(text)
    if purpose is None:
        raise RefusedError(
            f"{shown(text)} is no purpose: say sale, gift, personal, performance, "
            f"exhibition, competition, teaching, loan, appraisal or repair"
        )
    return purpose


def checked_day(text: str | None) -> None:
    """Refuse a day that is no YYYY-MM-DD."""
    if text is None:
        return
    try:
        is_day = date.fromisoformat(text).isoformat() == text
    except ValueError:
        is_day = False
    if not is_day:
        raise RefusedError(f"{text!r} is no day such as 2026-11-21")


def checked_past_day(text: str, today: str) -> None:
    """Refuse a day that is none, or that is still to come."""
    checked_day(text)
    if text > today:
        raise RefusedError(
            f"{text} is still to come, and today is {today}: look at the day again"
        )


def require_not_before(day: str, first: str, what: str) -> None:
    """Refuse a day before the first on which something can have been so.

    what  what happened on that first day, as the refusal ends its sentence
    """
    if day < first:
        raise RefusedError(
            f"{day} is before {first}, when {what}: look at the day again"
        )


def checked_arrival(text: str | None) -> None:
    """Refuse a day that is none, or on which nothing came in that is here today."""
    checked_day(text)
    if text is not None and text < EARLIEST_ARRIVAL:
        raise RefusedError(
            f"{text} is before {EARLIEST_ARRIVAL[:4]}, and no stock is so old: look at "
            f"the year again; where nobody knows it, give the day it was found here"
        )


def nearest(text: str, names: Iterable[str]) -> list[str]:
    """Return the names that are most like one that was typed, the nearest first."""
    known = {name.casefold(): name for name in names}
    near = get_close_matches(text.casefold()[:LONGEST_NAME], list(known), n=MOST_NEAR)
    return [known[name] for name in near]


def meant_words(near: Sequence[str]) -> str:
    """Ask whether one of the nearest names was meant, or say nothing where none is."""
    return f"; is {' or '.join(near)} meant?" if near else ""


def is_same(one: str, other: str) -> bool:
    """Tell whether two words are of one thing: capitals and spaces tell none apart."""
    return "".join(one.casefold().split()) == "".join(other.casefold().split())


@contextmanager
def kept_reason(
    turn: Turn, key: str, reason: str, *, about: str | None = None
) -> Iterator[str]:
    """Keep the reason that somebody gives, and give its commitment to the entry.

    It is kept as said by whoever signs, and goes with that person's particulars; or
    with those of the subject that it is `about`.
    """
    subject = about or subject_of_key(turn.session, key)
    if subject is None:
        raise RefusedError(f"key {key} is nobody's here: a reason has somebody's name")
    said = checked_words("reason", reason) or ""
    _require_writable("reason", said)
    with kept_name(turn, subject, REASON, said) as commitment:
        yield commitment


@contextmanager
def kept_name(
    turn: Turn, subject: str, field: str, name: str, *, is_private: bool = False
) -> Iterator[str]:
    """Keep a name in the vault and give its commitment to the entry that follows.

    The vault comes first, so that no entry ever stands without its name; where the
    entry is refused, the name goes again.
    """
    shop: Shop = turn.shop
    value, key = checked_name(name), shop.entropy(COMMITMENT_KEY_SIZE)
    if is_private:
        commitment = shop.vault.put_sealed(
            subject, field, value, key, entropy=shop.entropy
        )
    else:
        commitment = shop.vault.put(subject, field, value, key)
    try:
        yield commitment
    except BaseException:
        shop.vault.forget(commitment)
        raise


def _require_writable(what: str, text: str) -> None:
    fault = profile_fault(text) or writing_fault(text)
    if fault or "\n" in text:
        raise RefusedError(
            f"that {what} cannot be written down: {fault or 'two lines'}"
        )
