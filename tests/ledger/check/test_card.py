"""A card is judged by its text alone, and by the shop's card key."""

from decimal import Decimal
from typing import Any

import cbor2
import pytest

from ledger.check import CANNOT_TELL, NO, YES, check
from ledger.log.card import from_digits, to_digits
from ledger.log.encoding import parse_object
from tests.ledger.buying import CARD, PINNED, sold_by
from tests.skerrymoor import Loft


def card_keys(**changes: Any) -> bytes:
    """Return the keys file with other members of its card key."""
    rows = [
        row | changes if row["purpose"] == "card" else row
        for row in parse_object(PINNED.keys)["keys"]
    ]
    return PINNED.changed_keys(keys=rows)


@pytest.mark.parametrize(
    ("text", "keys", "word", "why"),
    [
        (CARD, PINNED.keys, YES, "the certificate decides"),
        (CARD, None, CANNOT_TELL, "which only it vouches for"),
        (CARD, PINNED.keys[:-9], CANNOT_TELL, "the keys file does not hold"),
        (CARD[:-1] + b"0", PINNED.keys, NO, "not signed by a card key"),
        (CARD[:-3], PINNED.keys, NO, "damaged"),
        (CARD, PINNED.changed_keys(size=9), CANNOT_TELL, "is newer than this keys"),
        (CARD, PINNED.changed_keys(size=11), YES, "the certificate decides"),
        (CARD, PINNED.changed_keys(size=10), CANNOT_TELL, "is newer than this keys"),
        (CARD, card_keys(until_index=9), NO, "ended with entry 9"),
        (CARD, card_keys(until_index=10), YES, "the certificate decides"),
        # Later than the card's own index, which a thief of the key could have written.
        (CARD, card_keys(disputed_since=12), CANNOT_TELL, "does not say wh"),
        (CARD, card_keys(purpose="pdf"), NO, "not signed by a card key"),
        (b"https://\xff/v#123", PINNED.keys, CANNOT_TELL, "nothing signed is found"),
    ],
)
def test_a_card_is_judged_by_its_key(
    text: bytes, keys: bytes | None, word: str, why: str
) -> None:
    """Whole and known is a YES, and what cannot be known is no NO."""
    answer = check(text, keys)

    assert answer.word == word
    assert why in answer.reasons[0]


def test_a_card_tells_by_which_keys_file_it_was_judged() -> None:
    """By its day; by none where there was none."""
    day = parse_object(PINNED.keys)["date"]

    assert check(CARD, PINNED.keys).keys_date == day
    assert check(CARD, None).keys_date is None


def test_a_card_of_another_shop_cannot_be_told_from_a_false_one(
    certified: Loft,
) -> None:
    """It names no log, only a key that this keys file does not know."""
    assert check(CARD, sold_by(certified).keys).word == CANNOT_TELL


PROTECTED, _, PAYLOAD, SIGNATURE = cbor2.loads(
    from_digits(CARD.decode("ascii").strip().rpartition("#")[2])
)
HEADER, CLAIMS = cbor2.loads(PROTECTED), cbor2.loads(PAYLOAD)


def card(header: Any, claims: Any) -> bytes:
    """Return a card's text with another header or other claims, signed by nobody."""
    parts = [cbor2.dumps(part, canonical=True) for part in (header, claims)]
    data = cbor2.dumps([parts[0], {}, parts[1], SIGNATURE], canonical=True)
    return f"V#{to_digits(data)}".encode()


@pytest.mark.parametrize(
    ("header", "claims"),
    [
        (HEADER | {1: Decimal(-19)}, CLAIMS),
        (HEADER | {1: -19.0}, CLAIMS),
        (HEADER, {True if n == 1 else n: fact for n, fact in CLAIMS.items()}),
        (HEADER, CLAIMS | {6: 2**53}),
        (HEADER, CLAIMS | {8: 2**64}),
        (HEADER, CLAIMS | {7: 2**70}),
        (HEADER, CLAIMS | {5: [["Picea abies", 2**53]]}),
    ],
)
def test_a_number_that_not_every_reader_has_is_no_number(
    header: Any, claims: Any
) -> None:
    """Python takes true and 1.0 for 1, and counts beyond 2^53 - 1; others do not."""
    assert check(card(HEADER, CLAIMS), None).word == CANNOT_TELL
    assert check(card(header, claims), None).word == NO


DIGITS = CARD.strip().rpartition(b"#")[2]


@pytest.mark.parametrize(
    "before",
    [
        *(b"V#", b"v#", b" \r\n\tV#", b"HTTPS://SKM.EXAMPLE/V#"),
        *(b'https://a!"$~-9/v#', b"https://a/v#", b"https://" + b"a" * 253 + b"/v#"),
    ],
)
def test_a_card_is_known_by_its_address_or_without_one(before: bytes) -> None:
    """However a telephone or a reader hands the square on."""
    assert check(before + DIGITS + b" \r\n", PINNED.keys).word == YES


@pytest.mark.parametrize(
    "text",
    [
        *(DIGITS, b"#" + DIGITS, b"/v#" + DIGITS, b"xV#" + DIGITS, b"V#"),
        *(b"https:/a/v#" + DIGITS, b"http://a/v#" + DIGITS, b"https:///v#" + DIGITS),
        *(b"https://a b/v#" + DIGITS, b"https://a#b/v#" + DIGITS),
        *(b"https://a/w#" + DIGITS, b"https://a/v" + DIGITS, b"V#" + DIGITS + b"x"),
        *(b"https://" + b"a" * 254 + b"/v#" + DIGITS, b"V#" + b"1" * 2001),
    ],
)
def test_what_no_square_of_ours_says_is_no_card(text: bytes) -> None:
    """Nothing of it is judged as one."""
    answer = check(text, PINNED.keys)

    assert (answer.word, answer.card) == (CANNOT_TELL, None)
    assert check(b"V#" + b"1" * 2000, PINNED.keys).word == NO
