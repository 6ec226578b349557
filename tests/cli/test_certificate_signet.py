"""flitchbook certificate signet, and certificates whose PDF is signed on request."""

import json
import shutil
import sys
from hashlib import sha256

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import Encoding

from cli import verdict
from labels import signature
from ledger.log.store import Store
from tests import skerrymoor
from tests.cli.bench import SERIAL, Bench
from tests.labels import signed
from tests.spooler import Spooler

NUMBER = "C-2026-00001"
PRINT = f"certificate print {NUMBER} --by 01"
KEYS = "shop keys --root sticks/root-1.json --root sticks/root-2.json"


def newest_entry(bench: Bench) -> str:
    """Return the record that was written last, as it stands in the log."""
    store = Store.open(f"sqlite:///{bench.folder / 'shop/ledger.sqlite3'}")
    try:
        return store.record(store.head().size - 1).decode()
    finally:
        store.close()


def test_a_signed_certificate_is_as_true_as_any(bench: Bench) -> None:
    """Poppler finds it valid, the check still says YES, and the log has its digest."""
    told = json.loads(bench.run(f"{PRINT} --sign-pdf --out c.pdf --json").out)
    recorded = newest_entry(bench)
    bench.does(KEYS)
    shutil.copy("shop/published/keys-0001.json", "keys.json")
    pdf = (bench.folder / "c.pdf").read_bytes()
    seen = signed.by_poppler(pdf, bench.folder)

    assert told.keys() == {"number", "file", "signet_sha256"}
    assert "Signature is Valid" in seen and "Total document signed" in seen
    assert f"Common Name: {skerrymoor.NAME}" in seen
    assert "Signing Time: Jan 05 2026 14:00:" in seen
    assert bench.does("certificate check c.pdf --keys keys.json").startswith("YES\n")
    assert '"certificate.printed/1"' in recorded
    assert sha256(pdf).hexdigest() in recorded


def test_the_signet_is_written_for_a_reader(bench: Bench) -> None:
    """Both certificates, the fingerprint as viewers show it, and the very card key."""
    told = bench.data("certificate signet --out signet.pem --by 01")
    said = bench.does("certificate signet --out again.pem --by 01")
    signing = bench.run(f"{PRINT} --sign-pdf --out c.pdf").out
    bench.does(KEYS)
    published = (bench.folder / "shop/published/keys-0001.json").read_text("utf-8")
    pem = (bench.folder / "signet.pem").read_bytes()
    mine, voucher = x509.load_pem_x509_certificates(pem)
    public = voucher.public_key()
    pdf = (bench.folder / "c.pdf").read_bytes()
    shown = f"SHA-256 {bytes.fromhex(told['signet_sha256']).hex(':').upper()}"

    assert told["file"] == "signet.pem"
    assert sha256(mine.public_bytes(Encoding.DER)).hexdigest() == told["signet_sha256"]
    assert isinstance(public, Ed25519PublicKey)
    assert public.public_bytes_raw().hex() in published
    assert f"again.pem: the signet of your card key is {shown}" in said
    assert shown in signing
    assert (bench.folder / "again.pem").read_bytes() == pem
    found = signed.by_pyhanko(pdf, voucher.public_bytes(Encoding.DER))
    assert found.bottom_line and found.trusted


def test_a_check_does_not_judge_the_signature_of_a_pdf(bench: Bench) -> None:
    """Broken or whole it says so, and the answer is that of the certificate in it."""
    bench.does(f"{PRINT} --sign-pdf --out c.pdf")
    bench.does(f"{PRINT} --out plain.pdf")
    bench.does(KEYS)
    shutil.copy("shop/published/keys-0001.json", "keys.json")
    pdf = (bench.folder / "c.pdf").read_bytes()
    (bench.folder / "broken.pdf").write_bytes(pdf.replace(b"/P 1", b"/P 3"))

    assert "Signature is Valid" not in signed.by_poppler(
        (bench.folder / "broken.pdf").read_bytes(), bench.folder
    )
    for name in ("c.pdf", "broken.pdf"):
        check = f"certificate check {name} --keys keys.json"
        assert f"\n  {verdict.OWN_SIGNATURE}\n" in bench.does(check)
        assert bench.data(check)["pdf_signature"] == verdict.OWN_SIGNATURE
    said = bench.does("certificate check plain.pdf --keys keys.json")
    assert said.startswith("YES\n") and "signature of its own" not in said


def test_a_certificate_is_signed_as_it_is_issued(bench: Bench) -> None:
    """In one command; without the option there is no signature in it."""
    bench.does(f"instrument service {SERIAL} 'neck reset' --by 12")
    said = bench.run(f"certificate issue {SERIAL} --by 01 --sign-pdf --out c.pdf")
    plain = bench.run(f"{PRINT} --out plain.pdf")

    assert (said.code, plain.code) == (0, 0)
    assert "signed; the signet of the card key that signed is SHA-256 " in said.out
    assert "signed" not in plain.out
    assert b"/ETSI.CAdES.detached" in (bench.folder / "c.pdf").read_bytes()
    assert b"/ByteRange" not in (bench.folder / "plain.pdf").read_bytes()


def test_what_is_printed_is_what_is_kept(
    bench: Bench, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """The spooler is handed the signed file itself."""
    spooler = Spooler.begun(tmp_path_factory.mktemp("spooler"), bench.patch)
    said = bench.run(f"{PRINT} --sign-pdf --out c.pdf --print roll")

    assert said.code == 0, said
    assert spooler.jobs()[0].data == (bench.folder / "c.pdf").read_bytes()


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (f"{PRINT} --sign-pdf --out c.pdf", "with the extra pdf-signature"),
        (
            f"certificate issue {SERIAL} --by 01 --sign-pdf --out c.pdf",
            "with the extra pdf-signature",
        ),
    ],
)
def test_without_the_library_nothing_is_done(
    bench: Bench, command: str, why: str
) -> None:
    """One sentence says what to install; without the option nothing is missing."""
    bench.patch.setitem(sys.modules, "pyhanko", None)

    bench.refuses(command, why)
    assert bench.run(f"{PRINT} --out plain.pdf").code == 0


def test_a_library_that_does_not_load_takes_no_number(
    bench: Bench, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Nothing is in the log, where it was only found out while signing before."""
    shim = tmp_path_factory.mktemp("shim") / "pyhanko"
    shim.mkdir()
    (shim / "__init__.py").write_text('raise ImportError("x")\n', encoding="utf-8")
    bench.patch.syspath_prepend(shim.parent)
    for name in [name for name in sys.modules if name.startswith("pyhanko")]:
        bench.patch.delitem(sys.modules, name)
    bench.does(f"instrument service {SERIAL} 'neck reset' --by 12")
    before = newest_entry(bench)

    bench.refuses(
        f"certificate issue {SERIAL} --by 01 --sign-pdf --out c.pdf",
        "does not load (x)",
    )
    assert newest_entry(bench) == before


def test_a_number_that_is_taken_is_told_where_signing_fails(bench: Bench) -> None:
    """The certificate is issued; only its paper is wanting, and can be drawn again."""
    bench.patch.setattr(signature, "ROOM", 64)
    bench.does(f"instrument service {SERIAL} 'neck reset' --by 12")

    said = bench.run(f"certificate issue {SERIAL} --by 01 --sign-pdf --out c.pdf")

    assert (said.code, said.out) == (1, "")
    assert "C-2026-00002 is issued, but no paper of it is drawn: pyHanko" in said.err
    assert "Traceback" not in said.err
    assert not (bench.folder / "c.pdf").exists()


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (
            f"certificate print {SERIAL} --by 12 --sign-pdf --out c.pdf",
            "only a lead signs cards",
        ),
        ("certificate signet --by 12 --out s.pem", "only a lead signs cards"),
        ("certificate signet --by 01 --out pins", "pins is there already"),
        ("certificate signet --by 01 --out none/s.pem", "there is no folder none"),
    ],
)
def test_a_signet_is_for_leads(bench: Bench, command: str, why: str) -> None:
    """No file is left, and nothing is said in the log."""
    bench.does("record checkpoint")
    bench.refuses(command, why)
