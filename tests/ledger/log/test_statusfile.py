"""A status list is written in one way, and read in no other."""

from collections.abc import Callable, Mapping
from hashlib import sha256
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError, TamperError
from ledger.log import statusfile
from ledger.log.encoding import canonical, parse_object
from ledger.log.keys import SecretKey
from ledger.log.statusfile import (
    LARGEST_STATUS_LIST,
    STATES,
    listed_digest,
    listed_token,
    read_status_list,
    write_status_list,
)

CARD = SecretKey(seed=bytes(range(32)))
TOKEN, OTHER = "00" * 16, "ff" * 16
SAID: dict[str, tuple[str, ...]] = {OTHER: ("superseded",), TOKEN: ("reported",)}
TOLD: dict[str, Any] = {
    "origin": "skerrymoor.example/ledger",
    "number": 3,
    "issued": "2026-11-24",
    "next_on": "2026-12-24",
    "size": 74,
    "card": CARD,
}


def made(states: Mapping[str, tuple[str, ...]] | None = None, **changes: Any) -> bytes:
    """Return a list as the shop writes it."""
    return write_status_list(SAID if states is None else states, **(TOLD | changes))


def altered(change: Callable[[dict[str, Any]], object]) -> bytes:
    """Return a list with something else in it, canonical, its signature as it was."""
    members = parse_object(made())
    change(members)
    return canonical(members)


def test_a_list_is_these_bytes() -> None:
    """Sorted by token, members sorted, and the signature over all the rest."""
    data = made()
    rest, _, tail = data.partition(b'"signature":"')
    signature, _, end = tail.partition(b'",')
    found = read_status_list(data)

    assert rest == (
        b'{"certificates":[{"states":["reported"],"token":"' + b"00" * 16 + b'"},'
        b'{"states":["superseded"],"token":"' + b"ff" * 16 + b'"}],'
        b'"format":"flitchbook-status/1","issued":"2026-11-24","key":"'
        + CARD.id.encode()
        + b'","next":"2026-12-24","number":3,"origin":"skerrymoor.example/ledger",'
    )
    assert (len(signature), end) == (88, b'"size":74}')
    assert data.startswith(statusfile.STATUS_START)
    assert found.signed == rest + end
    assert found.is_signed_by(CARD.public)
    assert not found.is_signed_by(SecretKey(seed=bytes(32)).public)


def test_a_token_is_listed_by_half_of_its_digest() -> None:
    """Whoever holds a certificate finds it; whoever holds the list finds nobody."""
    digest = sha256(bytes(16)).hexdigest()
    assert listed_token(bytes(16)) == listed_digest(digest) == digest[:32]


@given(
    states=st.dictionaries(
        st.binary(min_size=16, max_size=16).map(bytes.hex),
        st.sets(st.sampled_from(STATES), min_size=1).map(lambda s: tuple(sorted(s))),
        max_size=12,
    ),
    number=st.integers(1, 2**53 - 1),
)
def test_what_is_written_is_read_again(
    states: dict[str, tuple[str, ...]], number: int
) -> None:
    """In whichever order it was told."""
    found = read_status_list(made(states, number=number))

    assert found.states == states
    assert (found.number, found.issued) == (number, TOLD["issued"])
    assert found.next == TOLD["next_on"]
    assert (found.origin, found.size, found.key) == (TOLD["origin"], 74, CARD.id)


def rows(members: dict[str, Any], *changed: dict[str, Any]) -> None:
    """Put other rows into a list."""
    members["certificates"] = list(changed)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda m: m.pop("next"), "this is no flitchbook-status/1"),
        (lambda m: m.update(more=1), "this is no flitchbook-status/1"),
        (lambda m: m.update(format="flitchbook-status/2"), "this is no flitchbook"),
        (lambda m: m.update(signature="AA=="), "its key and signature"),
        (lambda m: m.update(key="ABCDEF0123456789"), "its key and signature"),
        (lambda m: m.update(origin=""), "does not say its origin"),
        (lambda m: m.update(origin=7), "does not say its origin"),
        (lambda m: m.update(number=0), "number and size count from 1"),
        (lambda m: m.update(size=True), "number and size count from 1"),
        (lambda m: m.update(issued="2026-02-30"), "no days such as"),
        (lambda m: m.update(next=20261224), "no days such as"),
        (lambda m: m.update(next="2026-11-23"), "after it was to be replaced"),
        (lambda m: m.update(certificates={}), "certificates are no list"),
        (lambda m: rows(m, {"token": TOKEN}), "a token and its states"),
        (lambda m: m["certificates"].append(TOKEN), "a token and its states"),
        (lambda m: m["certificates"].append(["states", "token"]), "a token and"),
        (lambda m: m["certificates"][0].update(states=7), "some of reported"),
        (lambda m: m["certificates"].reverse(), "not sorted, each once"),
        (lambda m: m["certificates"].append(m["certificates"][1]), "not sorted"),
        (lambda m: m["certificates"][0].update(token="0" * 31), "32 hex digits"),
        (lambda m: m["certificates"][0].update(states=[]), "some of reported"),
        (lambda m: m["certificates"][0].update(states="reported"), "some of reported"),
        (lambda m: m["certificates"][0].update(states=["stolen"]), "some of reported"),
        (
            lambda m: m["certificates"][0].update(states=["withdrawn", "reported"]),
            "some of reported",
        ),
        (
            lambda m: m["certificates"][0].update(states=["reported", "reported"]),
            "some of reported",
        ),
    ],
)
def test_what_is_not_of_the_form_is_no_list(
    change: Callable[[dict[str, Any]], object], said: str
) -> None:
    """Whoever signed it: a reader takes one form only."""
    with pytest.raises(TamperError, match=said):
        read_status_list(altered(change))


@given(at=st.integers(0, len(made()) - 1), bit=st.integers(0, 7))
def test_no_flipped_bit_is_overlooked(at: int, bit: int) -> None:
    """The form breaks, or the signature does not fit."""
    data = bytearray(made())
    data[at] ^= 1 << bit
    try:
        found = read_status_list(bytes(data))
    except TamperError:
        return
    assert found.key != CARD.id or not found.is_signed_by(CARD.public)


def test_a_list_for_twenty_thousand_certificates_is_read_anywhere() -> None:
    """A house of a century, a third superseded and some of them reported besides."""
    tokens = [sha256(bytes([n % 256, n // 256])).hexdigest()[:32] for n in range(7000)]
    states = {
        token: ("reported", "superseded") if n % 50 == 0 else ("superseded",)
        for n, token in enumerate(tokens)
    }
    data = made(states)

    assert len(data) <= LARGEST_STATUS_LIST
    assert len(read_status_list(data).states) == 7000


def test_the_largest_list_that_is_read_is_written() -> None:
    """To the byte, and what no reader takes is not written."""
    spare = LARGEST_STATUS_LIST - len(made(origin=""))
    largest = made(origin="a" * spare)

    assert len(largest) == LARGEST_STATUS_LIST
    assert read_status_list(largest).states == SAID
    with pytest.raises(RefusedError, match="1048577 bytes, and no reader takes more"):
        made(origin="a" * (spare + 1))
    with pytest.raises(TamperError, match="at most 1048576 bytes"):
        read_status_list(bytes(LARGEST_STATUS_LIST + 1))


def test_a_list_may_be_replaced_on_the_day_it_was_issued() -> None:
    """A shop that issues two on one day says so of the first."""
    found = read_status_list(made(next_on=TOLD["issued"]))

    assert found.next == found.issued
