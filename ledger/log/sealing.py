"""Sealing a text to a person's or the office's key, so that only its holder reads it.

X25519 with a key of this one time, HKDF-SHA-256, AES-256-GCM: the sender's 32 public
bytes, then the ciphertext. Key and nonce are derived from the shared secret, both
public keys and what the text is about, so that no nonce serves twice.

Source: RFC 7748 section 6.1 (X25519); RFC 5869 (HKDF); NIST SP 800-38D (GCM).
"""

from collections.abc import Callable

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.asymmetric.x25519 import (
    X25519PrivateKey,
    X25519PublicKey,
)
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from ledger.errors import RefusedError

Entropy = Callable[[int], bytes]

KEY_SIZE = 32
NONCE_SIZE = 12
LABEL = b"flitchbook-sealed/1 "


def seal(text: bytes, to: X25519PublicKey, *, about: bytes, entropy: Entropy) -> bytes:
    """Seal a text so that only the holder of a key can read it; `unseal` undoes it.

    The same `about` must be named to open it: a sealed text put elsewhere is found out.
    """
    once = X25519PrivateKey.from_private_bytes(entropy(KEY_SIZE))
    sender = once.public_key().public_bytes_raw()
    try:
        shared = once.exchange(to)
    except ValueError:
        raise RefusedError(
            "this public key gives no secret; enrol the person's key again"
        ) from None
    key, nonce = _derived(shared, sender + to.public_bytes_raw(), about)
    return sender + AESGCM(key).encrypt(nonce, text, about)


def unseal(sealed: bytes, holder: X25519PrivateKey, *, about: bytes) -> bytes | None:
    """Open what was sealed, or return None where key, place or bytes do not fit."""
    sender = sealed[:KEY_SIZE]
    receiver = holder.public_key().public_bytes_raw()
    try:
        shared = holder.exchange(X25519PublicKey.from_public_bytes(sender))
        key, nonce = _derived(shared, sender + receiver, about)
        return AESGCM(key).decrypt(nonce, sealed[KEY_SIZE:], about)
    except (InvalidTag, ValueError):
        return None


def _derived(shared: bytes, keys: bytes, about: bytes) -> tuple[bytes, bytes]:
    size = KEY_SIZE + NONCE_SIZE
    made = HKDF(algorithm=SHA256(), length=size, salt=keys, info=LABEL + about)
    derived = made.derive(shared)
    return derived[:KEY_SIZE], derived[KEY_SIZE:]
