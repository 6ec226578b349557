"""The signet follows from the card key, and its certificates say whose it is."""

import hmac
import subprocess
from datetime import UTC, date, datetime
from hashlib import sha256
from pathlib import Path
from shutil import which

import pytest
from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from cryptography.x509.oid import NameOID
from hypothesis import given
from hypothesis import strategies as st

from ledger.log.keys import SecretKey
from ledger.log.signet import LABEL, ORDER, Signet, make_signet, signet_key

CARD = SecretKey(bytes(range(32)))
SHOP = "Skerrymoor Fretted Instruments"
DAY = date(2026, 1, 5)
# SEC 2 section 2.4.2: the base point of secp256r1.
BASE_X = 0x6B17D1F2E12C4247F8BCE6E563A440F277037D812DEB33A0F4A13945D898C296
BASE_Y = 0x4FE342E2FE1A7F9B8EE7EB4A7C0F9E162BCE33576B315ECECBB6406837BF51F5
PRIME = 2**256 - 2**224 + 2**192 + 2**96 - 1
LETTERS = st.characters(exclude_categories=["Cs", "Cc", "Z"])


@pytest.fixture(scope="module")
def signet() -> Signet:
    """Give the signet of a card key that is known."""
    return make_signet(CARD, shop=SHOP, since=DAY)


def read(data: bytes) -> x509.Certificate:
    """Read a certificate."""
    return x509.load_der_x509_certificate(data)


def test_the_order_is_that_of_the_curve() -> None:
    """One less than it is the base point's mirror, and it is no key itself.

    Source: SEC 2 section 2.4.2 (secp256r1).
    """
    last = ec.derive_private_key(ORDER - 1, ec.SECP256R1()).public_key()

    assert last.public_numbers().x == BASE_X
    assert last.public_numbers().y == PRIME - BASE_Y
    with pytest.raises(ValueError, match="Invalid EC key"):
        ec.derive_private_key(ORDER, ec.SECP256R1())


def test_the_key_follows_from_the_card_key_by_the_published_rules() -> None:
    """Another way, written out by hand, comes to the same number.

    Source: RFC 5869 (extract without salt, expand), FIPS 186-5 section A.2.1.
    """
    drawn = hmac.digest(bytes(32), CARD.seed, "sha256")
    first = hmac.digest(drawn, LABEL + b"\1", "sha256")
    second = hmac.digest(drawn, first + LABEL + b"\2", "sha256")
    number = int.from_bytes((first + second)[:40], "big") % (ORDER - 1) + 1

    assert signet_key(CARD).private_numbers().private_value == number


def test_a_signet_is_the_same_whenever_it_is_made(signet: Signet) -> None:
    """A fingerprint that an owner wrote down fits for as long as the card key does."""
    again = make_signet(CARD, shop=SHOP, since=DAY)

    assert (again.certificate, again.voucher) == (signet.certificate, signet.voucher)
    assert signet.fingerprint == sha256(signet.certificate).hexdigest()
    assert signet.fingerprint == (
        "230632ffc22f0e65e36b739498b388bda1f1ed5569537fa4c091143aaaf37544"
    )


def test_the_voucher_holds_the_very_card_key(signet: Signet) -> None:
    """Its public key is that of the keys file, and its name and number are the id."""
    voucher = read(signet.voucher)
    public = voucher.public_key()

    assert isinstance(public, Ed25519PublicKey)
    assert public.public_bytes_raw() == CARD.public.raw
    assert f"{voucher.serial_number:016x}" == CARD.id
    assert voucher.subject == voucher.issuer
    assert [one.value for one in voucher.subject] == [SHOP, f"card key {CARD.id}"]


def test_the_signets_certificate_names_the_shop(signet: Signet) -> None:
    """From the first day on, without an end, for signatures and nothing else.

    Source: RFC 5280 sections 4.1.2.5 (no end), 4.2.1.3 and 4.2.1.9.
    """
    mine = read(signet.certificate)
    usage = mine.extensions.get_extension_for_class(x509.KeyUsage)
    limits = mine.extensions.get_extension_for_class(x509.BasicConstraints)

    assert mine.public_key() == signet.key.public_key()
    assert [one.value for one in mine.subject] == [SHOP, SHOP]
    assert mine.not_valid_before_utc == datetime(2026, 1, 5, tzinfo=UTC)
    assert mine.not_valid_after_utc == datetime(9999, 12, 31, 23, 59, 59, tzinfo=UTC)
    assert usage.critical and limits.critical and not limits.value.ca
    assert usage.value.digital_signature and usage.value.content_commitment
    assert not usage.value.key_cert_sign and not usage.value.key_agreement


def test_openssl_follows_it_to_the_card_key(signet: Signet, tmp_path: Path) -> None:
    """Out of the file that is given away, taken apart where a certificate ends.

    Source: RFC 7468 (PEM), RFC 5280 section 6 (the path).
    """
    if which("openssl") is None:
        pytest.skip("openssl cannot be run: apt install openssl")
    end = b"-----END CERTIFICATE-----\n"
    mine, voucher, rest = signet.pem.split(end)
    (tmp_path / "mine.pem").write_bytes(mine + end)
    (tmp_path / "voucher.pem").write_bytes(voucher + end)
    told = subprocess.run(
        ["openssl", "verify", "-x509_strict", "-CAfile", "voucher.pem", "mine.pem"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )

    assert (told.stdout, rest) == ("mine.pem: OK\n", b"")


@given(st.text(LETTERS, min_size=1, max_size=9).map(lambda text: text * 9))
def test_any_name_fits(name: str) -> None:
    """Whole where there is room, else as much of it as there is, and an ellipsis.

    Source: RFC 5280 appendix A.1 (ub-common-name and ub-organization-name, 64).
    """
    made = read(make_signet(CARD, shop=name, since=DAY).certificate)
    (shown,) = made.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    text = str(shown.value)

    assert len(text.encode()) <= 64
    if len(name.encode()) <= 64:
        assert text == name
    else:
        assert text.endswith("…") and name.startswith(text[:-1])
        assert len(text.encode()) > 64 - 4  # no letter takes more


def test_another_card_key_does_not_vouch_for_it(signet: Signet) -> None:
    """Nor does its own for a certificate in which a byte is changed."""
    other = make_signet(SecretKey(bytes(32)), shop=SHOP, since=DAY)
    altered = signet.certificate.replace(b"Skerrymoor", b"Skerrimoor")

    assert other.key.public_key() != signet.key.public_key()
    read(signet.certificate).verify_directly_issued_by(read(signet.voucher))
    with pytest.raises(ValueError, match="subject"):
        read(signet.certificate).verify_directly_issued_by(read(other.voucher))
    with pytest.raises((InvalidSignature, ValueError)):
        read(altered).verify_directly_issued_by(read(signet.voucher))


def test_a_signet_does_not_show_its_key(signet: Signet) -> None:
    """Where it is printed by mistake, what is secret stays out."""
    secret = signet.key.private_numbers().private_value

    assert "key" not in repr(signet).partition("certificate=")[0]
    assert str(secret) not in repr(signet)
