"""Keys and signatures: RFC 8032's vectors, and all that must not pass for one."""

import base64
import hashlib

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import RefusedError
from ledger.log import keys
from ledger.log.encoding import parse
from ledger.log.keys import (
    PURPOSES,
    SMALL_ORDER,
    PublicKey,
    SecretKey,
    base64_bytes,
    hex_bytes,
    possession_statement,
    prove_possession,
    signature_bytes,
    signature_text,
)
from tests.labels.verify import curve
from tests.ledger.log.damage import bits_flipped, damaged
from tests.ledger.log.workshop import secret

# RFC 8032 section 7.1, tests 1 to 3 and SHA(abc): seed, public, message, signature.
RFC_8032 = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e06522490155"
        "5fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
        "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac"
        "18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
    (
        "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
        "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
        hashlib.sha512(b"abc").hexdigest(),
        "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b589"
        "09351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704",
    ),
]
# The order of the base point, RFC 8032 section 5.1.
L = 2**252 + 27742317777372353535851937790883648493
# The prime of the field.
P = 2**255 - 19


@pytest.mark.parametrize(("seed", "public", "message", "signature"), RFC_8032)
def test_the_vectors_of_rfc_8032_are_reproduced(
    seed: str, public: str, message: str, signature: str
) -> None:
    """A published seed gives the published public key and signature."""
    key = SecretKey(bytes.fromhex(seed))
    signed = key.sign(bytes.fromhex(message))

    assert str(key.public) == public
    assert signed.hex() == signature
    assert PublicKey.parse(public).has_signed(bytes.fromhex(message), signed)


@pytest.mark.parametrize(("seed", "public", "message", "signature"), RFC_8032)
def test_a_signature_with_l_added_to_s_does_not_verify(
    seed: str, public: str, message: str, signature: str
) -> None:
    """RFC 8032 section 5.1.7 wants S below L, so that one is not written twice."""
    raw = bytes.fromhex(signature)
    larger = int.from_bytes(raw[32:], "little") + L
    again = raw[:32] + larger.to_bytes(32, "little")

    assert not PublicKey.parse(public).has_signed(bytes.fromhex(message), again)


@pytest.mark.parametrize(("seed", "public", "message", "signature"), RFC_8032[:3])
def test_a_damaged_signature_does_not_verify(
    seed: str, public: str, message: str, signature: str
) -> None:
    """Not one bit may be flipped, not one byte lost or added."""
    key, said, raw = PublicKey.parse(public), bytes.fromhex(message), bytes.fromhex

    for bad in (*bits_flipped(raw(signature)), *damaged(raw(signature))):
        assert not key.has_signed(said, bad)
    assert not key.has_signed(said, raw(signature) + b"\x00")
    assert not key.has_signed(said + b"\x00", raw(signature))


@pytest.mark.parametrize("raw", sorted(SMALL_ORDER), ids=lambda raw: raw.hex()[:4])
def test_a_key_of_small_order_is_refused(raw: bytes) -> None:
    """Under some of these a signature verifies for every message."""
    with pytest.raises(RefusedError, match="is of small order"):
        PublicKey.parse(raw.hex())


def test_a_signature_whose_r_is_the_neutral_point_is_refused() -> None:
    """Only the key's own holder can make one, and readers differ over it."""
    signer, message = secret("a holder"), b"what is said"
    forged = curve.signed(signer, message)

    raw = Ed25519PublicKey.from_public_bytes(signer.public.raw)
    raw.verify(forged, message)
    assert not signer.public.has_signed(message, forged)


def test_all_fourteen_ways_to_write_a_point_of_small_order_are_listed() -> None:
    """Each y of small order, with either sign, and once more with the prime added."""
    ys = [0, 1, P - 1, P, P + 1]
    eighth = sorted(raw for raw in SMALL_ORDER if raw[0] in (0x26, 0xC7))
    edges = {
        (y | sign << 255).to_bytes(32, "little") for y in ys for sign in (0, 1)
    } - set(eighth)

    assert edges | set(eighth) == SMALL_ORDER
    assert len(eighth) == 4
    assert all(is_of_order_8(raw) for raw in eighth)


def is_of_order_8(raw: bytes) -> bool:
    """Tell whether a point has order 8: doubled, its y is 0.

    That needs y^2 = -x^2, and then the curve's equation -x^2 + y^2 = 1 + d x^2 y^2
    becomes d y^4 + 2 y^2 = 1.
    """
    y = (int.from_bytes(raw, "little") & (1 << 255) - 1) % P
    d = -121665 * pow(121666, -1, P) % P
    return (d * pow(y, 4, P) + 2 * y * y) % P == 1


@pytest.mark.parametrize(
    "text",
    [
        *(None, 7, b"d75a", "", "d7", "D75A" * 16, "d75a" * 15 + "d75", "d75a" * 17),
        *("d75g" * 16, " " + "d75a" * 15 + "d75", "٣" * 64),
    ],
)
def test_a_public_key_is_64_lower_case_hex_digits(text: object) -> None:
    """No other length, alphabet or type is taken for a public key."""
    with pytest.raises(RefusedError, match="64 hex digits are needed"):
        PublicKey.parse(text)


def test_a_key_id_is_the_start_of_the_hash_of_the_raw_key() -> None:
    """Sixteen hex digits of SHA-256 over the 32 bytes name a key."""
    key = PublicKey.parse(RFC_8032[0][1])

    assert key.id == hashlib.sha256(key.raw).hexdigest()[:16]
    assert secret("lead").id == secret("lead").public.id != key.id


def test_a_secret_key_does_not_show_itself() -> None:
    """The seed is not printed where a key lands in a message or a trace."""
    key = secret("lead")

    assert key.seed.hex() not in repr(key)
    assert repr(key.seed) not in repr(key)


@pytest.mark.parametrize("purpose", PURPOSES)
@pytest.mark.parametrize("claimed", PURPOSES)
def test_possession_is_shown_for_one_purpose_in_one_log(
    purpose: str, claimed: str
) -> None:
    """A possession for one purpose, log or key proves none for another."""
    key = secret("lead")
    shown = signature_bytes(prove_possession(key, origin="a.example", purpose=purpose))

    def fits(origin: str, public: PublicKey) -> bool:
        said = possession_statement(origin=origin, public=public, purpose=claimed)
        return shown is not None and key.public.has_signed(said, shown)

    assert fits("a.example", key.public) is (purpose == claimed)
    assert not fits("b.example", key.public)
    assert not fits("a.example", secret("office").public)


def test_a_possession_statement_says_what_it_is_for() -> None:
    """The signed bytes are canonical, and name format, log, key and purpose."""
    public = secret("lead").public
    said = possession_statement(origin="a.example", public=public, purpose="card")

    assert parse(said) == {
        "format": "flitchbook-possession/1",
        "origin": "a.example",
        "public": str(public),
        "purpose": "card",
    }


@given(st.binary(min_size=64, max_size=64))
def test_a_signature_is_written_and_read_in_one_way(signature: bytes) -> None:
    """Base64 of 64 bytes has 88 characters, and comes back as it was."""
    text = signature_text(signature)

    assert len(text) == 88
    assert signature_bytes(text) == signature


@given(st.binary(max_size=70))
def test_only_one_spelling_of_base64_is_read(data: bytes) -> None:
    """Without padding, with other unused bits, or with spaces it is not the one."""
    text = base64.b64encode(data).decode()
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"

    assert base64_bytes(text) == data
    assert base64_bytes(text + "\n") is None
    assert base64_bytes(text + "=") is None
    assert base64_bytes(text + "ä") is None
    if text.endswith("="):
        body, padding = text.rstrip("="), text.count("=")
        sloppy = body[:-1] + alphabet[alphabet.index(body[-1]) | 1] + "=" * padding
        assert base64_bytes(body) is None
        assert base64_bytes(sloppy) is None


@pytest.mark.parametrize(
    "text", [None, 7, b"AAAA", "A" * 88, "A" * 86, "_" * 86 + "=="]
)
def test_what_is_no_signature_in_base64_is_none(text: object) -> None:
    """Another type, alphabet or length is no signature, and no crash."""
    assert signature_bytes(text) is None


@pytest.mark.parametrize(("text", "size"), [("0A", 1), ("0", 1), ("0a0a", 1), (10, 1)])
def test_hex_is_lower_case_and_of_its_length(text: object, size: int) -> None:
    """Upper case, another length or a number is no hex of ours."""
    assert hex_bytes(text, size) is None
    assert hex_bytes("0a", 1) == b"\n"


def test_a_key_serves_one_of_five_purposes() -> None:
    """Their names stand in what every key signs to show that its holder has it."""
    assert keys.PURPOSES == ("root", "log", "person", "card", "pdf")
