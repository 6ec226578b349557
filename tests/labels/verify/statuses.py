"""Status lists for the page, made by hand so that they can be wrong.

    data = statuses.listed(house, {token: ["withdrawn"]}, number=5)

`even` and `odd` give each list with its keys file, and by their names whether it is
taken: another judge is held against the page's on the same bytes.
"""

from collections.abc import Iterator, Mapping, Sequence
from hashlib import sha256
from typing import Any

from ledger.log.keys import SecretKey, signature_text
from tests.labels.verify.houses import House, Sale
from tests.labels.verify.sayings import Json, loosely


def token_of(token: bytes) -> str:
    """Return by what a list names a certificate."""
    return sha256(token).hexdigest()[:32]


def rows(states: Mapping[bytes, Sequence[str]]) -> list[Json]:
    """Return the rows of a list, in their order."""
    named = {token_of(token): list(said) for token, said in states.items()}
    return [{"states": named[token], "token": token} for token in sorted(named)]


def listed(
    house: House,
    states: Mapping[bytes, Sequence[str]] | None = None,
    *,
    by: SecretKey | None = None,
    **other: Any,
) -> bytes:
    """Return a list that a card key signed, whatever it says; `other` are members."""
    secret = by or house.key("card")
    members: Json = {
        "certificates": rows(states or {}),
        "format": "flitchbook-status/1",
        "issued": "2026-11-24",
        "key": secret.id,
        "next": "2026-12-24",
        "number": 1,
        "origin": house.origin,
        "size": 20,
    }
    said = members | other
    signature = signature_text(secret.sign(loosely(said)))
    return loosely(said | {"signature": signature})


def odd(sale: Sale) -> Iterator[tuple[str, bytes, bytes]]:
    """Yield lists that count as none: what is wrong, the list and the keys file."""
    house, keys = sale.house, sale.keys
    card, one = house.key("card"), {sale.token: ["reported"]}
    true = rows({sale.token: ["reported"], b"x" * 16: ["withdrawn"]})
    others: dict[str, Json] = {
        "a format": {"format": "flitchbook-status/2"},
        "a member more": {"more": 1},
        "a day that is none": {"issued": "2026-02-30"},
        "a next before the day": {"next": "2026-11-23"},
        "number nought": {"number": 0},
        "size nought": {"size": 0},
        "size in words": {"size": "20"},
        "another log": {"origin": "skerrymoor.example"},
        "no key": {"key": "c54e7deb9709ea6"},
        "rows that are none": {"certificates": {}},
        "rows out of order": {"certificates": true[::-1]},
        "a row twice": {"certificates": [true[0], true[0]]},
        "no states": {"certificates": [true[0] | {"states": []}]},
        "an unknown state": {"certificates": [true[0] | {"states": ["lost"]}]},
        "a state twice": {"certificates": [true[0] | {"states": ["reported"] * 2}]},
        "states out of order": {
            "certificates": [true[0] | {"states": ["withdrawn", "reported"]}]
        },
        "a short token": {"certificates": [true[0] | {"token": "00"}]},
    }
    for what, other in others.items():
        yield what, listed(house, one, **other), keys
    yield "a person's key", listed(house, one, by=house.key("lead")), keys
    yield "a stranger's key", listed(house, one, by=house.key("nobody")), keys
    yield "a changed row", listed(house, one).replace(b"reported", b"withdrawn"), keys
    yield "a line's end", listed(house, one) + b"\n", keys
    keyed: dict[str, Json] = {
        "a key not yet there": {"from_index": 21},
        "a key that ended": {"until_index": 19},
        "a disputed key": {"disputed_since": 20},
        "a key disputed later": {"disputed_since": 21},
        "a key of another purpose": {"purpose": "pdf"},
    }
    for what, changes in keyed.items():
        yield what, listed(house, one), sale.rekeyed(keys=sale.rows(card, **changes))
    before: dict[str, Json] = {
        "a key that ended, and a size before": {"until_index": 19},
        "a disputed key, and a size before": {"disputed_since": 19},
    }
    for what, changes in before.items():
        backdated = listed(house, one, size=18)
        yield what, backdated, sale.rekeyed(keys=sale.rows(card, **changes))


def even(sale: Sale) -> Iterator[tuple[str, bytes, bytes]]:
    """Yield lists that are taken, each at an edge of what may be."""
    house, keys, card = sale.house, sale.keys, sale.house.key("card")
    yield "an empty one", listed(house), keys
    yield "every state", listed(house, {sale.token: STATES}), keys
    yield "one day", listed(house, next="2026-11-24"), keys
    keyed: dict[str, Json] = {
        "just there": {"from_index": 20},
        "the last that counts": {"until_index": 20},
    }
    for what, changes in keyed.items():
        yield what, listed(house), sale.rekeyed(keys=sale.rows(card, **changes))


STATES = ("reported", "superseded", "withdrawn")
