"""A card key's signet: what signs a PDF, so that a viewer sees whether it was changed.

Few viewers read Ed25519, so the signet is a key on P-256 that follows from the card key
and is laid down nowhere. Two certificates go with it, and each is the same whenever it
is made: the card key's own, and the signet's, which the card key signed. Whoever has
the shop's keys file can tell by the first that the second is the shop's.

Source: RFC 5280 (certificates), RFC 8410 (Ed25519 in them), FIPS 186-5 section A.2.1
(a private key out of extra bits), SEC 2 section 2.4.2 (the order of P-256).
"""

import hashlib
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.asymmetric.types import CertificatePublicKeyTypes
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from cryptography.x509.oid import NameOID

from ledger.log.keys import SecretKey

# Under another label it would be another key: it never changes.
LABEL = b"flitchbook-signet/1"
ORDER = 0xFFFFFFFF_00000000_FFFFFFFF_FFFFFFFF_BCE6FAAD_A7179E84_F3B9CAC2_FC632551
DERIVED_SIZE = 40  # the order's 32 bytes, and 64 bits more
# RFC 5280 section 4.1.2.5: a certificate that has no end of its own.
NO_END = datetime(9999, 12, 31, 23, 59, 59, tzinfo=UTC)
# RFC 5280 appendix A.1 allows so many characters, and the library so many bytes.
LONGEST_NAME_BYTES = 64
ELLIPSIS = "…"
NOTHING = {
    "digital_signature": False,
    "content_commitment": False,
    "key_encipherment": False,
    "data_encipherment": False,
    "key_agreement": False,
    "key_cert_sign": False,
    "crl_sign": False,
    "encipher_only": False,
    "decipher_only": False,
}
VOUCHING = x509.KeyUsage(**NOTHING | {"key_cert_sign": True})
SIGNING = x509.KeyUsage(
    **NOTHING | {"digital_signature": True, "content_commitment": True}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Signet:
    """A key for PDFs, its certificate, and the card key's that vouches for it (DER)."""

    key: ec.EllipticCurvePrivateKey = field(repr=False)
    certificate: bytes
    voucher: bytes

    @property
    def fingerprint(self) -> str:
        """The SHA-256 of the signet's certificate: 64 hex digits."""
        return hashlib.sha256(self.certificate).hexdigest()

    @property
    def pem(self) -> bytes:
        """Both certificates as one file, the signet's first (RFC 7468)."""
        both = map(x509.load_der_x509_certificate, (self.certificate, self.voucher))
        return b"".join(one.public_bytes(Encoding.PEM) for one in both)


def make_signet(card: SecretKey, *, shop: str, since: date) -> Signet:
    """Return the signet of a card key, with a shop's name and the day it counts from.

    Its certificates are valid from the beginning of that day in UTC, without an end.
    """
    vouching = Ed25519PrivateKey.from_private_bytes(card.seed)
    key = signet_key(card)
    begun = (
        x509.CertificateBuilder()
        .issuer_name(_name(shop, f"card key {card.id}"))
        .not_valid_before(datetime.combine(since, time(), UTC))
        .not_valid_after(NO_END)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(vouching.public_key()),
            critical=False,
        )
    )
    voucher = (
        begun.subject_name(_name(shop, f"card key {card.id}"))
        .public_key(vouching.public_key())
        .serial_number(int(card.id, 16))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(VOUCHING, critical=True)
    )
    certificate = (
        begun.subject_name(_name(shop, shop))
        .public_key(key.public_key())
        .serial_number(_number(key.public_key()))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(SIGNING, critical=True)
    )
    return Signet(
        key=key,
        certificate=_signed(certificate, key.public_key(), vouching),
        voucher=_signed(voucher, vouching.public_key(), vouching),
    )


def signet_key(card: SecretKey) -> ec.EllipticCurvePrivateKey:
    """Return the key on P-256 that follows from a card key, always the same."""
    kdf = HKDF(algorithm=SHA256(), length=DERIVED_SIZE, salt=None, info=LABEL)
    derived = int.from_bytes(kdf.derive(card.seed), "big")
    return ec.derive_private_key(derived % (ORDER - 1) + 1, ec.SECP256R1())


def _signed(
    builder: x509.CertificateBuilder,
    public: CertificatePublicKeyTypes,
    vouching: Ed25519PrivateKey,
) -> bytes:
    named = x509.SubjectKeyIdentifier.from_public_key(public)
    made = builder.add_extension(named, critical=False).sign(vouching, None)
    return made.public_bytes(Encoding.DER)


def _number(public: ec.EllipticCurvePublicKey) -> int:
    """Return a key's id as a serial number, out of its point as a card key's is."""
    point = public.public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    return int(hashlib.sha256(point).hexdigest()[:16], 16)


def _name(shop: str, common: str) -> x509.Name:
    return x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, _shortened(shop)),
            x509.NameAttribute(NameOID.COMMON_NAME, _shortened(common)),
        ]
    )


def _shortened(text: str) -> str:
    """Return a name that a certificate has room for, with an ellipsis if it is cut."""
    data = text.encode()
    if len(data) <= LONGEST_NAME_BYTES:
        return text
    room = LONGEST_NAME_BYTES - len(ELLIPSIS.encode())
    return data[:room].decode(errors="ignore").rstrip() + ELLIPSIS
