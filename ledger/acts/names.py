"""Names, which are kept in the vault and only committed to in the log."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

from ledger.acts.shop import Shop, Turn
from ledger.errors import RefusedError
from ledger.log.encoding import profile_fault, writing_fault

SUBJECT_SIZE = 16
COMMITMENT_KEY_SIZE = 32
LONGEST_NAME = 200
COUNTRY = re.compile(r"[A-Z]{2}\Z")


def checked_name(text: str) -> str:
    """Return a name without spaces around it, or say why it is none."""
    name = text.strip()
    if not name or len(name) > LONGEST_NAME:
        raise RefusedError(f"a name has 1 to {LONGEST_NAME} characters")
    fault = profile_fault(name) or writing_fault(name)
    if fault or "\n" in name:
        raise RefusedError(f"that name cannot be written down: {fault or 'two lines'}")
    return name


def checked_words(what: str, text: str | None) -> str | None:
    """Return the words of a paper or a label without spaces around, or refuse them."""
    if text is None:
        return None
    words = text.strip()
    if not words or len(words) > LONGEST_NAME or "\n" in words:
        raise RefusedError(f"the {what} has 1 to {LONGEST_NAME} characters on one line")
    return words


def checked_country(code: str | None) -> None:
    """Refuse a country that is no two capital letters (ISO 3166-1 alpha-2)."""
    if code is not None and COUNTRY.match(code) is None:
        raise RefusedError(f"{code!r} is no country of two letters such as IT")


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
