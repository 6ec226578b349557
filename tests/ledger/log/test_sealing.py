"""Tests of sealing to a key."""

import pytest
from cryptography.hazmat.primitives.asymmetric.x25519 import (
    X25519PrivateKey,
    X25519PublicKey,
)
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.log.sealing import seal, unseal

HOLDER = X25519PrivateKey.from_private_bytes(bytes([7] * 32))
OTHER = X25519PrivateKey.from_private_bytes(bytes([8] * 32))


def entropy(size: int) -> bytes:
    """Give the same bytes every time."""
    return bytes([9] * size)


@given(text=st.binary(max_size=300), about=st.binary(max_size=80))
def test_only_the_holder_opens_what_was_sealed(text: bytes, about: bytes) -> None:
    """Another key, or another matter, opens nothing."""
    sealed = seal(text, HOLDER.public_key(), about=about, entropy=entropy)

    assert unseal(sealed, HOLDER, about=about) == text
    assert unseal(sealed, OTHER, about=about) is None
    assert unseal(sealed, HOLDER, about=about + b"!") is None


def test_every_altered_byte_is_found_and_every_cut() -> None:
    """No byte of a sealed text can be altered, and none left out."""
    sealed = seal(b"Amelie", HOLDER.public_key(), about=b"name", entropy=entropy)

    for place in range(len(sealed)):
        bad = bytearray(sealed)
        bad[place] ^= 1
        assert unseal(bytes(bad), HOLDER, about=b"name") is None
        assert unseal(sealed[:place], HOLDER, about=b"name") is None


def test_the_sender_s_key_is_that_of_the_entropy() -> None:
    """A sealed text begins with the public key of the 32 bytes that were drawn."""
    sealed = seal(b"", HOLDER.public_key(), about=b"", entropy=entropy)
    drawn = X25519PrivateKey.from_private_bytes(entropy(32))

    assert sealed[:32] == drawn.public_key().public_bytes_raw()


def test_two_matters_are_sealed_under_two_keys_even_with_bad_entropy() -> None:
    """The same entropy twice gives no two texts under one key and nonce."""
    to = HOLDER.public_key()
    one = seal(bytes(32), to, about=b"one", entropy=entropy)
    two = seal(bytes(32), to, about=b"two", entropy=entropy)

    assert one[:32] == two[:32]
    assert one[32:64] != two[32:64]


def test_a_public_key_of_small_order_is_refused() -> None:
    """The point nought would give a secret that everybody knows (RFC 7748, 6.1)."""
    with pytest.raises(RefusedError, match="gives no secret"):
        seal(
            b"",
            X25519PublicKey.from_public_bytes(bytes(32)),
            about=b"",
            entropy=entropy,
        )
