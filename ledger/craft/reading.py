"""How a policy's text is read: strictly, and refused in a sentence that says where."""

import re
from collections.abc import Collection
from typing import Any

from ledger.errors import RefusedError
from ledger.scales import shown

NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*\Z")
SPECIES = re.compile(r"[A-Z][a-z-]+(?: (?:× )?[a-z-]+)?\Z")
# Numbers of a policy end here: who writes more has mistyped.
LARGEST = 10**6
LONGEST_WORD = 40


def members(
    said: object, must: Collection[str], *, may: Collection[str] = (), of: str
) -> dict[str, Any]:
    """Return an object that has just the members it must have, and some it may.

    Source: the shop's policy; nature sets none.
    """
    if not isinstance(said, dict):
        raise RefusedError(f"{of} has {', '.join(must)}; {told(said)} is no such thing")
    astray = sorted(str(name) for name in set(said) - {*must, *may})
    if astray:
        raise RefusedError(
            f"{of} has no {told(', '.join(astray))}; it has {', '.join([*must, *may])}"
        )
    lacking = [name for name in must if name not in said]
    if lacking:
        raise RefusedError(f"{of} lacks {', '.join(lacking)}: write it in")
    return said


def whole(value: object, name: str, *, least: int = 0, most: int = LARGEST) -> int:
    """Return a whole number between two bounds.

    Source: the shop's policy; nature sets none.
    """
    if type(value) is not int or not least <= value <= most:
        raise RefusedError(
            f"{name} is a whole number from {least} to {most}, not {told(value)}"
        )
    return value


def identifier(value: object) -> str:
    """Return a policy's id.

    Source: the shop's policy; nature sets none.
    """
    if not isinstance(value, str) or NAME.match(value) is None:
        raise RefusedError(f"the policy's id {told(value)} is no name such as first")
    return value


def entries(value: object, name: str, *, least: int = 1) -> list[Any]:
    """Return a list that has at least so many entries.

    Source: the shop's policy; nature sets none.
    """
    if not isinstance(value, list) or len(value) < least:
        raise RefusedError(f"{name} is a list with at least {least} in it")
    return value


def words(value: object, name: str, *, least: int = 1) -> tuple[str, ...]:
    """Return a list of different words, tidy and not too long.

    Source: the shop's policy; nature sets none.
    """
    given = entries(value, name, least=least)
    for word in given:
        if not isinstance(word, str) or word != " ".join(word.split()) or not word:
            raise RefusedError(f"{told(word)} among {name} is no plain word")
        if len(word) > LONGEST_WORD:
            raise RefusedError(
                f"{told(word)} among {name} has {len(word)} letters, more than the "
                f"{LONGEST_WORD} allowed: shorten it"
            )
    twice = next((word for word in given if given.count(word) > 1), None)
    if twice is not None:
        raise RefusedError(f"{told(twice)} stands twice among {name}: write it once")
    return tuple(given)


def woods(value: object, name: str) -> tuple[str, ...]:
    """Return a list of genera and species; an empty one means any wood.

    Source: the shop's policy; nature sets none.
    """
    names = words(value, name, least=0)
    for wood in names:
        if SPECIES.match(wood) is None:
            raise RefusedError(
                f"{told(wood)} is no genus or species such as Picea or Picea abies"
            )
    return names


def told(value: object) -> str:
    """Return a value as a refusal may quote it: neither endless nor on two lines.

    Source: the house's manner of speaking.
    """
    if type(value) is int and abs(value) > 10**15:
        return "a number as large as that"
    return shown(value) if isinstance(value, str) else shown(repr(value))[1:-1]
