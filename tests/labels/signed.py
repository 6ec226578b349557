"""Ask three judges of other hands whether the signature in a PDF holds.

Poppler reads it with NSS, OpenSSL judges the CMS over the bytes that are signed, and
pyHanko looks at what was changed since as well. The first two know nothing of it.
"""

import re
import subprocess
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from pathlib import Path
from shutil import which
from typing import Any

import pytest
from asn1crypto import cms, x509
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko_certvalidator import ValidationContext

RANGE = re.compile(rb"/ByteRange \[(\d+) (\d+) (\d+) (\d+)\]")


def by_poppler(pdf: bytes, folder: Path) -> str:
    """Return what pdfsig says of the signatures in a PDF."""
    return _told(["pdfsig", _laid(folder / "signed.pdf", pdf)], "poppler-utils").stdout


def by_openssl(pdf: bytes, folder: Path, trusted: bytes) -> bool:
    """Tell whether OpenSSL finds the CMS true to its bytes, by a certificate (PEM)."""
    before, within, after = parts(pdf)
    command = ["openssl", "cms", "-verify", "-cades", "-binary", "-inform", "DER"]
    command += ["-in", _laid(folder / "signature", within), "-content"]
    command += [_laid(folder / "content", before + after), "-purpose", "any"]
    command += ["-CAfile", _laid(folder / "trusted.pem", trusted)]
    command += ["-out", str(folder / "out")]
    return _told(command, "openssl").returncode == 0


def by_pyhanko(pdf: bytes, trusted: bytes) -> Any:
    """Return how the library judges the one signature, by a certificate (DER)."""
    root = x509.Certificate.load(trusted)
    context = ValidationContext(trust_roots=[root], allow_fetching=False)
    (embedded,) = PdfFileReader(BytesIO(pdf)).embedded_signatures
    # In a thread of its own: a browser's test leaves an event loop in this one.
    with ThreadPoolExecutor(max_workers=1) as thread:
        return thread.submit(validate_pdf_signature, embedded, context).result()


def parts(pdf: bytes) -> tuple[bytes, bytes, bytes]:
    """Return what stands before a signature, the signature (DER), and what is after."""
    found = RANGE.search(pdf)
    assert found is not None
    first, size, second, rest = map(int, found.groups())
    assert (first, second + rest) == (0, len(pdf)), "the range leaves something out"
    gap = pdf[size:second]
    assert (gap[:1], gap[-1:]) == (b"<", b">")
    return pdf[:size], bytes.fromhex(gap[1:-1].decode()), pdf[second:]


def content(pdf: bytes) -> Any:
    """Return the signed data of a PDF's one signature."""
    return cms.ContentInfo.load(parts(pdf)[1])["content"]


def _told(command: list[str], package: str) -> subprocess.CompletedProcess[str]:
    if which(command[0]) is None:
        pytest.skip(f"{command[0]} cannot be run: apt install {package}")
    return subprocess.run(command, capture_output=True, text=True, check=False)


def _laid(path: Path, data: bytes) -> str:
    path.write_bytes(data)
    return str(path)
