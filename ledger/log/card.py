"""The owner card's text: a certificate's first facts in one square.

A COSE_Sign1 without tag, protected {1: -19, 4: kid}, empty unprotected map, no
additional data; its payload is a map of small integers:

    0 version  1 serial  2 issued, days since 1970-01-01  3 certificate number
    4 model  5 [[species, grams], …]  6 mass, grams  7 number of makers
    8 entry index  9 leaf hash  10 status token

`kid` is the eight bytes of the key id of the shop's card key. The bytes are printed as
decimal digits, seven bytes in seventeen digits, behind `https://HOST/v#` or `V#`: a
link whose fragment no browser sends anywhere.

Source: RFC 9052 (COSE_Sign1), RFC 9864 (algorithm -19, Ed25519), RFC 8949 section
4.2.1 (deterministic CBOR), ISO/IEC 18004 (what a symbol of version 17-Q holds).
"""

import io
from collections.abc import Container, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

import cbor2

from ledger.errors import RefusedError, TamperError
from ledger.log.encoding import LARGEST, profile_fault
from ledger.log.keys import SIGNATURE_SIZE, PublicKey, SecretKey

ED25519 = -19
LARGEST_CARD = 332
# A 17-Q symbol has 367 data codewords; mode and count cost 20 bits for the byte
# segment and 16 for the numeric one.
SYMBOL_BITS = 367 * 8 - 20 - 16
DIGITS = {0: 0, 1: 3, 2: 5, 3: 8, 4: 10, 5: 13, 6: 15, 7: 17}
EPOCH = date(1970, 1, 1)
REST = "+"
SHORTEST_MODEL = 8
KEY_NAME = 8  # bytes of a key id


@dataclass(frozen=True, slots=True, kw_only=True)
class CardClaims:
    """What a card says: species in falling mass, masses in whole grams."""

    serial: str
    issued: date
    certificate: str
    model: str
    species: tuple[tuple[str, int], ...]
    mass: int
    makers: int
    index: int
    leaf: bytes
    status_token: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """A card that was read: its claims, the key it names, and what was signed."""

    claims: CardClaims
    key: str
    signed: bytes
    signature: bytes

    def is_signed_by(self, public: PublicKey) -> bool:
        """Tell whether this card key signed the claims."""
        return public.has_signed(self.signed, self.signature)


def write_card(
    claims: CardClaims,
    secret: SecretKey,
    *,
    host: str,
    listed: Container[str],
    unsure: Container[str] = (),
) -> str:
    """Return the card's text; `read_card` is the inverse.

    What is shown where not all fits is what `fitted` says. Raises RefusedError when
    it still does not fit.
    """
    shown = fitted(claims, host=host, listed=listed, unsure=unsure)
    return _prefix(host) + to_digits(_signed_bytes(shown, secret))


def fitted(
    claims: CardClaims,
    *,
    host: str,
    listed: Container[str],
    unsure: Container[str] = (),
) -> CardClaims:
    """Return the claims as they fit the symbol, whichever key signs them.

    Where they would not fit, the species that are neither `listed` nor `unsure` go into
    one item "+", the lightest first; then the model is shortened, and then the unsure
    ones and at last the listed ones go the same way. Serial, number, mass and leaf are
    never shortened. Raises RefusedError when it still does not fit.
    """
    words = (claims.serial, claims.certificate, claims.model)
    if not all(_is_line(word) for word in (*words, *(n for n, _ in claims.species))):
        raise RefusedError("a card's words stand on one line, without control signs")
    room = _room(host)
    shown = claims
    while (size := _size(shown)) > room:
        shorter = _shorter(shown, listed, unsure)
        if shorter is None:
            raise RefusedError(
                f"the card would hold {size} bytes and its square has room for {room} "
                f"beside the host {host}: give the shop a shorter one (label_host in "
                f"its shop.toml)"
            )
        shown = shorter
    return shown


def read_card(text: str) -> Card:
    """Read a card's text, with its address or without; TamperError if it is none."""
    digits = text.strip().rpartition("#")[2]
    data = from_digits(digits)
    if len(data) > 2 * LARGEST_CARD:
        raise TamperError("the card's text is too long to be one")
    parts = _exact_cbor(data)
    if not isinstance(parts, list | tuple) or len(parts) != 4 or parts[1] != {}:
        raise TamperError("the card is no COSE_Sign1")
    protected, _, payload, signature = parts
    if not all(isinstance(part, bytes) for part in (protected, payload, signature)):
        raise TamperError("the card is no COSE_Sign1")
    header = _exact_cbor(protected)
    if not _has_numbers(header, {1, 4}) or not _is_alg(header[1]):
        raise TamperError("the card is not signed with Ed25519")
    if not isinstance(header[4], bytes) or len(header[4]) != KEY_NAME:
        raise TamperError("the card does not name its key")
    if len(signature) != SIGNATURE_SIZE:
        raise TamperError("the card's signature has not 64 bytes")
    return Card(
        claims=_claims(_exact_cbor(payload)),
        key=header[4].hex(),
        signed=_to_be_signed(protected, payload),
        signature=signature,
    )


def to_digits(data: bytes) -> str:
    """Write bytes as decimal digits; `from_digits` is the inverse."""
    groups = (data[n : n + 7] for n in range(0, len(data), 7))
    return "".join(str(int.from_bytes(g, "big")).zfill(DIGITS[len(g)]) for g in groups)


def from_digits(text: str) -> bytes:
    """Read bytes out of decimal digits; TamperError where they are not of the form."""
    if not text.isascii() or not text.isdigit():
        raise TamperError("the card's text is not of digits")
    sizes = {digits: size for size, digits in DIGITS.items()}
    whole, rest = divmod(len(text), DIGITS[7])
    if rest not in sizes:
        raise TamperError("the card's text is cut off: read it again")
    ends = [DIGITS[7]] * whole + ([rest] if rest else [])
    out, at = b"", 0
    for width in ends:
        number = int(text[at : at + width])
        if number >= 1 << 8 * sizes[width]:
            raise TamperError("the card's digits do not stand for bytes")
        out += number.to_bytes(sizes[width], "big")
        at += width
    return out


def _room(host: str) -> int:
    digits = (SYMBOL_BITS - 8 * len(_prefix(host).encode())) * 3 // 10
    rest = max(size for size, width in DIGITS.items() if width <= digits % DIGITS[7])
    return max(0, min(LARGEST_CARD, digits // DIGITS[7] * 7 + rest))


def _prefix(host: str) -> str:
    return f"https://{host.lower()}/v#" if host else "V#"


def _shorter(
    claims: CardClaims, listed: Container[str], unsure: Container[str]
) -> CardClaims | None:
    """Return the claims with one thing less, or None where nothing is left to lose."""
    named = [pair for pair in claims.species if pair[0] != REST]
    others = [p for p in named if p[0] not in listed and p[0] not in unsure]
    if others:
        return _folded(claims, others)
    if len(claims.model) > SHORTEST_MODEL:
        return replace(claims, model=claims.model.rstrip("…")[:-1] + "…")
    last = [pair for pair in named if pair[0] not in listed] or named
    return _folded(claims, last) if last else None


def _folded(claims: CardClaims, among: Sequence[tuple[str, int]]) -> CardClaims:
    """Take the lightest of some species into the one item of the rest."""
    lightest = min(reversed(among), key=lambda pair: pair[1])
    rest = sum(grams for name, grams in claims.species if name == REST)
    named = [pair for pair in claims.species if pair[0] != REST]
    named.remove(lightest)
    return replace(claims, species=(*named, (REST, rest + lightest[1])))


def _size(claims: CardClaims) -> int:
    """Return how many bytes a card takes; a key's name and mark are always as long."""
    protected, payload = _protected(bytes(KEY_NAME)), _cbor(_claims_map(claims))
    return len(_cbor([protected, {}, payload, bytes(SIGNATURE_SIZE)]))


def _signed_bytes(claims: CardClaims, secret: SecretKey) -> bytes:
    protected = _protected(bytes.fromhex(secret.id))
    payload = _cbor(_claims_map(claims))
    signature = secret.sign(_to_be_signed(protected, payload))
    return _cbor([protected, {}, payload, signature])


def _protected(key: bytes) -> bytes:
    return _cbor({1: ED25519, 4: key})


def _to_be_signed(protected: bytes, payload: bytes) -> bytes:
    return _cbor(["Signature1", protected, b"", payload])


def _claims_map(claims: CardClaims) -> dict[int, Any]:
    return {
        0: 1,
        1: claims.serial,
        2: (claims.issued - EPOCH).days,
        3: claims.certificate,
        4: claims.model,
        5: [[name, grams] for name, grams in claims.species],
        6: claims.mass,
        7: claims.makers,
        8: claims.index,
        9: claims.leaf,
        10: claims.status_token,
    }


def _claims(said: Any) -> CardClaims:
    kinds = {1: str, 3: str, 4: str, 9: bytes, 10: bytes, 5: list | tuple}
    numbers = (0, 2, 6, 7, 8)
    if not _has_numbers(said, set(kinds) | set(numbers)):
        raise TamperError("the card does not hold the facts of a card")
    typed = all(isinstance(said[key], kind) for key, kind in kinds.items())
    counted = all(_is_count(said[key]) for key in numbers)
    pairs = typed and all(_is_pair(pair) for pair in said[5])
    if not (counted and pairs and said[0] == 1 and said[2] < 10**6):
        raise TamperError("the card's facts are not of their form")
    words = (said[1], said[3], said[4], *(pair[0] for pair in said[5]))
    if not all(_is_line(word) for word in words):
        raise TamperError("the card's words hold what no card prints")
    if len(said[9]) != 32 or len(said[10]) != 16:
        raise TamperError("the card's hash or token has not its length")
    return CardClaims(
        serial=said[1],
        issued=date.fromordinal(EPOCH.toordinal() + said[2]),
        certificate=said[3],
        model=said[4],
        species=tuple((name, grams) for name, grams in said[5]),
        mass=said[6],
        makers=said[7],
        index=said[8],
        leaf=said[9],
        status_token=said[10],
    )


def _is_line(text: str) -> bool:
    """Tell whether a text can be shown as it is, on one line."""
    return profile_fault(text) is None and "\n" not in text


def _is_pair(pair: Any) -> bool:
    if not isinstance(pair, list | tuple) or len(pair) != 2:
        return False
    return isinstance(pair[0], str) and _is_count(pair[1])


def _is_count(value: Any) -> bool:
    return type(value) is int and 0 <= value <= LARGEST


def _is_alg(value: Any) -> bool:
    return type(value) is int and value == ED25519


def _has_numbers(said: Any, numbers: set[int]) -> bool:
    """Tell whether this is a map of just these numbers; true and 1.0 are not 1."""
    is_map = isinstance(said, dict) and set(said) == numbers
    return is_map and all(type(key) is int for key in said)


def _cbor(value: Any) -> bytes:
    """Write CBOR in the one deterministic way."""
    return cbor2.dumps(value, canonical=True)


def _exact_cbor(data: bytes) -> Any:
    """Read CBOR that is written in the one deterministic way, and nothing after it."""
    try:
        value = cbor2.load(io.BytesIO(data))
        again = _cbor(value)
    except (cbor2.CBORDecodeError, cbor2.CBOREncodeError, ValueError, TypeError):
        raise TamperError("the card's bytes are damaged") from None
    if again != data:
        raise TamperError("the card's bytes are not written the one way they may be")
    return value
