"""Cards as anybody might sign them: their parts, and their facts amiss."""

from typing import Any

import cbor2

from ledger.log.card import to_digits
from ledger.log.keys import SecretKey
from tests.ledger.log.workshop import secret

KEY = secret("card")


def cose(protected: bytes, payload: bytes, key: SecretKey = KEY) -> tuple[bytes, bytes]:
    """Return a COSE_Sign1 of these parts, and the bytes that its signature is over."""
    signed = cbor2.dumps(["Signature1", protected, b"", payload])
    return cbor2.dumps([protected, {}, payload, key.sign(signed)]), signed


HEADER = cbor2.dumps({1: -19, 4: bytes.fromhex(KEY.id)})
CLAIMS: dict[int, Any] = {
    **{0: 1, 1: "26-0001-8", 2: 20778, 3: "C-2026-00001", 4: "Tidewarden"},
    **{5: [["Picea abies", 191]], 6: 1986, 7: 2, 8: 10, 9: b"\x5a" * 32, 10: b"t" * 16},
}


def card_text(said: object = CLAIMS, header: object = HEADER) -> str:
    """Return the digits of a well-signed card that says this."""
    protected = header if isinstance(header, bytes) else cbor2.dumps(header)
    return to_digits(cose(protected, cbor2.dumps(said))[0])


def altered() -> list[dict[int, Any]]:
    """Return the claims, each time with one fault of form."""
    faults: list[dict[int, Any]] = [CLAIMS | {11: 0}, CLAIMS | {0: 2}]
    faults += [{k: v for k, v in CLAIMS.items() if k != key} for key in CLAIMS]
    for key, value in CLAIMS.items():
        wrong = "1" if isinstance(value, int) else 1
        faults += [CLAIMS | {key: wrong}, CLAIMS | {key: None}]
        if isinstance(value, int):
            faults += [CLAIMS | {key: -1}, CLAIMS | {key: True}, CLAIMS | {key: 1.0}]
    pairs: tuple[object, ...] = (
        ["Picea abies"],
        ["Picea abies", -1],
        ["Picea abies", "1"],
        [1, 1],
        "ab",
        1,
        {0: "Picea abies", 1: 191},
    )
    faults += [CLAIMS | {5: [pair]} for pair in pairs]
    faults += [CLAIMS | {9: b"\x5a" * 31}, CLAIMS | {10: b"t" * 17}]
    return [*faults, CLAIMS | {2: 10**6}, CLAIMS | {2: 2**63}, CLAIMS | {6: 2**53}]


def unprinted() -> list[dict[int, Any]]:
    """Return the claims, each time with a word that no card prints."""
    words = ("two\nlines", "a\ttab", "\u202eturned", "\x7f")
    said = [CLAIMS | {key: word} for key in (1, 3, 4) for word in words]
    return said + [CLAIMS | {5: [["Picea abies", 1], [word, 1]]} for word in words]


def other_cbor(data: bytes) -> list[bytes]:
    """Return what is no card: a card's bytes written otherwise, and other things."""
    return [
        b"",
        data + b"\x00",
        data[:-1],
        b"\xd2" + data,
        b"\x98\x04" + data[1:],
        b"\x9f" + data[1:] + b"\xff",
        data.replace(b"\xa0", b"\xa1\x01\x01", 1),
        cbor2.dumps([HEADER, {}, cbor2.dumps(CLAIMS)]),
        cbor2.dumps([HEADER, {}, cbor2.dumps(CLAIMS), b"s" * 63]),
        cbor2.dumps([HEADER, {}, CLAIMS, b"s" * 64]),
        cbor2.dumps([HEADER, {}, None, b"s" * 64]),
        cbor2.dumps([HEADER, {}, cbor2.dumps(CLAIMS), "s" * 64]),
        cbor2.dumps([HEADER, [], cbor2.dumps(CLAIMS), b"s" * 64]),
        cose(HEADER, b"\xbf" + cbor2.dumps(CLAIMS)[1:] + b"\xff")[0],
        cose(HEADER, cbor2.dumps(dict(reversed(CLAIMS.items()))))[0],
        cose(HEADER, cbor2.dumps(CLAIMS).replace(b"\x00\x01", b"\x00\x18\x01", 1))[0],
        cose(HEADER, cbor2.dumps(CLAIMS) + b"\x00")[0],
        cose(HEADER, b"\xac\x00\x01" + cbor2.dumps(CLAIMS)[1:])[0],
        b"\x81" * 600 + b"\x00",
        b"\x81" * 100_000 + b"\x00",
        b"\xa1\x00" * 300 + b"\x00",
        b"\xc1" * 500 + b"\x00",
        b"\x9b" + b"\xff" * 8,
        b"\x5b\x7f" + b"\xff" * 7,
        b"\xc5\x82\x1b\x3f" + b"\xff" * 7 + b"\x01",
        b"\xc2\x58\xff" + b"\xff" * 255,
        b"\xf7",
    ]
