"""Who signs: Ed25519 keys, each for one purpose.

A key is named by its key id, the first 16 hex digits of the SHA-256 of its raw public
key. Whoever enrols a key shows possession of it, by a signature over the log, the key
and the one purpose it will serve.

Source: RFC 8032 (Ed25519; verified without cofactor, and with S below L).
"""

import base64
import binascii
import hashlib
from dataclasses import dataclass, field

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import (
    Ed25519PrivateKey,
    Ed25519PublicKey,
)

from ledger.errors import RefusedError
from ledger.log.encoding import canonical

PURPOSES = ("root", "log", "person", "card", "pdf")
POSSESSION_FORMAT = "flitchbook-possession/1"
PUBLIC_SIZE = 32
SIGNATURE_SIZE = 64

# The eight points of small order and the six other ways to write some of them. Under
# the first of them a signature of R = 1, S = 0 verifies for every message.
SMALL_ORDER = frozenset(
    bytes.fromhex(text)
    for text in (
        "0100000000000000000000000000000000000000000000000000000000000000",
        "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
        "0000000000000000000000000000000000000000000000000000000000000000",
        "0000000000000000000000000000000000000000000000000000000000000080",
        "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
        "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc85",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
        "0100000000000000000000000000000000000000000000000000000000000080",
        "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
        "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
        "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
        "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
        "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
    )
)


@dataclass(frozen=True, slots=True)
class PublicKey:
    """A key as others know it: 32 raw bytes."""

    raw: bytes

    @classmethod
    def parse(cls, text: object) -> "PublicKey":
        """Read 64 lower-case hex digits; refuse a key of small order."""
        raw = hex_bytes(text, PUBLIC_SIZE)
        if raw is None:
            raise RefusedError(f"{text!r} is no public key: 64 hex digits are needed")
        if raw in SMALL_ORDER:
            raise RefusedError(
                f"public key {text} is of small order: anybody could sign for it"
            )
        return cls(raw)

    def __str__(self) -> str:
        return self.raw.hex()

    @property
    def id(self) -> str:
        """The key id: 16 hex digits."""
        return hashlib.sha256(self.raw).hexdigest()[:16]

    def has_signed(self, message: bytes, signature: bytes) -> bool:
        """Tell whether this key made the signature over the message.

        No signer makes one whose R is of small order, and readers differ over it.
        """
        if signature[:PUBLIC_SIZE] in SMALL_ORDER:
            return False
        try:
            Ed25519PublicKey.from_public_bytes(self.raw).verify(signature, message)
        except (InvalidSignature, ValueError):
            return False
        return True


@dataclass(frozen=True, slots=True)
class SecretKey:
    """A key as its holder has it: the 32-byte seed."""

    seed: bytes = field(repr=False)

    @property
    def public(self) -> PublicKey:
        """The key that others know."""
        private = Ed25519PrivateKey.from_private_bytes(self.seed)
        return PublicKey(private.public_key().public_bytes_raw())

    @property
    def id(self) -> str:
        """The key id: 16 hex digits."""
        return self.public.id

    def sign(self, message: bytes) -> bytes:
        """Return the 64-byte signature over a message."""
        return Ed25519PrivateKey.from_private_bytes(self.seed).sign(message)


def signature_text(signature: bytes) -> str:
    """Write a signature as 88 characters of base64 (RFC 4648 section 4)."""
    return base64.b64encode(signature).decode("ascii")


def signature_bytes(text: object) -> bytes | None:
    """Read 88 characters of base64, padded and with unused bits zero, or None."""
    data = base64_bytes(text)
    return data if data is not None and len(data) == SIGNATURE_SIZE else None


def base64_bytes(text: object) -> bytes | None:
    """Read base64 that is written in the one way RFC 4648 would write it, or None."""
    if not isinstance(text, str):
        return None
    try:
        data = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        return None
    return data if base64.b64encode(data).decode("ascii") == text else None


def hex_bytes(text: object, size: int) -> bytes | None:
    """Read `size` bytes of lower-case hex, or None."""
    if not isinstance(text, str) or len(text) != 2 * size:
        return None
    if not set(text) <= set("0123456789abcdef"):
        return None
    return bytes.fromhex(text)


def possession_statement(*, origin: str, public: PublicKey, purpose: str) -> bytes:
    """Return the bytes a key signs to show that its holder has it."""
    return canonical(
        {
            "format": POSSESSION_FORMAT,
            "origin": origin,
            "public": str(public),
            "purpose": purpose,
        }
    )


def prove_possession(secret: SecretKey, *, origin: str, purpose: str) -> str:
    """Return the possession signature of a key, in base64."""
    statement = possession_statement(
        origin=origin, public=secret.public, purpose=purpose
    )
    return signature_text(secret.sign(statement))
