"""A signature in the PDF itself, which its viewer judges: PAdES B-B, and nothing shown.

    signed = signature.sign(pdf, key=key, certificates=(mine, voucher), at=moment)

It is set into a file that is finished, as an update behind it: what was there stays as
it is, byte for byte, with its attachments, metadata and colours. It says that nothing
may be changed after it. pyHanko makes it, an extra that need not be installed.

Source: ETSI EN 319 142-1 (PAdES; section 6.3 for level B-B), ISO 32000-1 section 12.8
(signature dictionary, byte range, DocMDP), RFC 5652 (CMS), RFC 6979 (no chance in it).
"""

import asyncio
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from importlib import import_module
from io import BytesIO
from typing import Any

from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256

from ledger.errors import RefusedError

FIELD = "Signature"
DIGEST = "sha256"
# In hex digits; with the longest names a signature takes 3,400 of them.
ROOM = 8192
LIBRARY = "pyhanko"
# All that is imported below, the library itself first.
USED = (
    LIBRARY,
    "asn1crypto.x509",
    "pyhanko.pdf_utils.incremental_writer",
    "pyhanko.pdf_utils.metadata.xmp_xml",
    "pyhanko.pdf_utils.misc",
    "pyhanko.sign.fields",
    "pyhanko.sign.signers.cms_embedder",
    "pyhanko.sign.signers.constants",
    "pyhanko.sign.signers.pdf_byterange",
)


def require_library() -> None:
    """Refuse to sign where the library for it is missing, or does not work."""
    try:
        for name in USED:
            import_module(name)
    except ImportError as fault:
        if isinstance(fault, ModuleNotFoundError) and fault.name == LIBRARY:
            raise RefusedError(
                "a signature in the PDF needs pyHanko, which is not installed here: "
                "install flitchbook with the extra pdf-signature, or leave the option "
                "away"
            ) from None
        raise RefusedError(
            f"a signature in the PDF needs pyHanko, which is installed here and does "
            f"not load ({_one_line(fault)}): install flitchbook with the extra "
            f"pdf-signature again, or leave the option away"
        ) from None
    _algorithm()


def sign(
    pdf: bytes,
    *,
    key: ec.EllipticCurvePrivateKey,
    certificates: Sequence[bytes],
    at: datetime,
) -> bytes:
    """Return a finished PDF with a signature behind it that lets nothing be changed.

    The certificates (DER) begin with the key's own; `at` is the time that it claims.

    Raises RefusedError where the library is missing, or does not get it done.
    """
    require_library()
    from pyhanko.pdf_utils.misc import PdfError

    try:
        return _signed(pdf, _signer(key, certificates), at)
    # The library's own are of both kinds.
    except (PdfError, ValueError) as fault:
        raise RefusedError(
            f"pyHanko did not sign the PDF ({_one_line(fault)}): leave the option away"
        ) from None


def _signed(pdf: bytes, signer: Any, at: datetime) -> bytes:
    from pyhanko.sign.signers import cms_embedder

    writer = _writer(pdf)
    embedding = cms_embedder.PdfCMSEmbedder(_field()).write_cms(FIELD, writer)
    next(embedding)
    embedding.send(_setup(at))
    waiting, out = embedding.send(cms_embedder.SigIOSetup(md_algorithm=DIGEST))
    made = signer.async_sign(waiting.document_digest, DIGEST, use_pades=True)
    # In a thread of its own: whoever calls may be in an event loop already.
    with ThreadPoolExecutor(max_workers=1) as thread:
        embedding.send(thread.submit(asyncio.run, made).result())
    signed: bytes = out.getvalue()
    return signed


def _writer(pdf: bytes) -> Any:
    """Return what writes an update, and leaves the metadata as they are.

    Left alone it would write its own name and this moment into them.
    """
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.pdf_utils.metadata.xmp_xml import MetadataStream
    from pyhanko.sign.signers import constants

    class Updating(IncrementalPdfFileWriter):
        def update_container(self, obj: Any) -> None:
            if not isinstance(obj, MetadataStream):
                super().update_container(obj)

    writer = Updating(BytesIO(pdf))
    # ETSI EN 319 142-1: a PDF 1.7 names the extension that its signature is of.
    writer.register_extension(constants.ESIC_EXTENSION_1)
    return writer


def _field() -> Any:
    """Return a field without extent; PDF/A asks that it may be printed."""
    from pyhanko.sign.fields import SigFieldSpec

    return SigFieldSpec(FIELD)


def _setup(at: datetime) -> Any:
    from pyhanko.sign.fields import MDPPerm, SigSeedSubFilter
    from pyhanko.sign.signers import cms_embedder
    from pyhanko.sign.signers.pdf_byterange import SignatureObject

    return cms_embedder.SigObjSetup(
        sig_placeholder=SignatureObject(
            timestamp=at, subfilter=SigSeedSubFilter.PADES, bytes_reserved=ROOM
        ),
        mdp_setup=cms_embedder.SigMDPSetup(
            md_algorithm=DIGEST, certify=True, docmdp_perms=MDPPerm.NO_CHANGES
        ),
    )


def _signer(key: ec.EllipticCurvePrivateKey, certificates: Sequence[bytes]) -> Any:
    from asn1crypto.x509 import Certificate
    from pyhanko.sign.signers import Signer

    class Signing(Signer):
        async def async_sign_raw(
            self, data: bytes, digest_algorithm: str, dry_run: bool = False
        ) -> bytes:
            return key.sign(data, _algorithm())

    own, *others = map(Certificate.load, certificates)
    signer = Signing(signing_cert=own)
    signer.cert_registry.register_multiple(others)
    return signer


def _algorithm() -> ec.ECDSA:
    """Return how a signet signs, without chance; not every OpenSSL can."""
    try:
        return ec.ECDSA(SHA256(), deterministic_signing=True)
    except UnsupportedAlgorithm:
        raise RefusedError(
            "a signature in the PDF is made without chance (RFC 6979), which the "
            "OpenSSL of the library cryptography cannot do here: it wants 3.2 or "
            "newer and no FIPS mode, or leave the option away"
        ) from None


def _one_line(fault: Exception) -> str:
    """Return what went wrong as it stands in a sentence."""
    return " ".join(str(fault).split()) or type(fault).__name__
